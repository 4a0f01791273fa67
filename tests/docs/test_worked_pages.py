"""Generated pages on published cases and on enquiries say what the tests hold today."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.docs


@pytest.mark.parametrize(
    ("tool", "page"), [("validation", "validation.md"), ("enquiries", "explanation/enquiries.md")]
)
def test_page_is_current(tool, page):
    spec = importlib.util.spec_from_file_location(tool, ROOT / "tools" / f"{tool}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    text = (ROOT / "docs" / page).read_text(encoding="utf-8")
    assert text == module.page(), "./do docs"
