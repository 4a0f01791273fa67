"""The validation page says what the published cases give today."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.docs


def test_page_is_current():
    spec = importlib.util.spec_from_file_location("validation", ROOT / "tools" / "validation.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    text = (ROOT / "docs" / "validation.md").read_text(encoding="utf-8")
    assert text == module.page(), "./do docs"
