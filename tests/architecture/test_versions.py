"""One version, told the same way everywhere; the pins that bind are there."""

from __future__ import annotations

import importlib.metadata
import re
import tomllib
from pathlib import Path

import pytest

import dutyline

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.architecture


def project() -> dict:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def test_version_is_the_one_of_the_package():
    assert dutyline.__version__ == project()["version"]


def test_runtime_dependencies_are_few():
    names = {re.match(r"[\w-]+", d).group() for d in project()["dependencies"]}
    assert names == {"numpy", "click"}


def test_typst_is_pinned_and_locked():
    assert "typst==0.15.2" in project()["optional-dependencies"]["report"]
    for lock in ("run", "dev"):
        text = (ROOT / "requirements" / f"{lock}.lock").read_text(encoding="utf-8")
        assert re.search(r"^typst==0\.15\.2 \\$", text, re.MULTILINE)
    assert importlib.metadata.version("typst") == "0.15.2"


@pytest.mark.parametrize("lock", ["run", "dev"])
def test_locks_hold_names_versions_and_hashes_only(lock):
    text = (ROOT / "requirements" / f"{lock}.lock").read_text(encoding="utf-8")
    assert "//" not in text
    blocks = re.split(r"\n(?=\S)", text.strip())
    for block in blocks:
        assert re.match(r"[\w.-]+==[\w.]+( ; [^\\]+)? \\\n", block), block
        assert "--hash=sha256:" in block
