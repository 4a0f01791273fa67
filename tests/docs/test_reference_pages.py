"""Generated pages are what the code says, and the README points at files that exist."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.docs


def reference():
    spec = importlib.util.spec_from_file_location("reference", ROOT / "tools" / "reference.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("page", reference().PAGES)
def test_page_is_current(page):
    made = reference().PAGES[page]()
    assert (ROOT / "docs" / "reference" / page).read_text(encoding="utf-8") == made, "./do docs"


def test_every_check_has_its_row():
    from dutyline.checks.ledger import CHECKS

    text = (ROOT / "docs" / "reference" / "checks.md").read_text(encoding="utf-8")
    assert all(f"`{check.id}`" in text for check in CHECKS)


def test_every_check_names_its_tests():
    from dutyline.checks.ledger import CHECKS

    found = reference().tests_by_check((check.id, check.part) for check in CHECKS)
    assert not [check.id for check in CHECKS if not found.get((check.id, check.part))]


def test_tests_that_are_named_exist():
    """Every name in the table is that of a function in the file of that name."""
    text = (ROOT / "docs" / "reference" / "checks.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`(test_\w+)::(test_\w+)", text))
    assert len(named) > 80
    for file, test in named:
        places = (
            ROOT / "tests" / "unit" / folder / f"{file}.py" for folder in ("checks", "demand")
        )
        sources = [place.read_text(encoding="utf-8") for place in places if place.exists()]
        assert any(f"def {test}(" in source for source in sources), (file, test)


PAGES = [
    *(ROOT / "docs").glob("**/*.md"),
    *(ROOT / "examples").glob("**/*.md"),
    *(ROOT / name for name in ("README.md", "CONTRIBUTING.md", "CHANGELOG.md")),
]


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_links_lead_somewhere(page):
    text = page.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#\s]+)\)", text):
        if "://" in target:
            continue
        assert (page.parent / target).exists(), target


def test_readme_verbs_exist():
    from dutyline.cli.main import cli

    text = (ROOT / "README.md").read_text(encoding="utf-8")
    verbs = set(re.findall(r"dutyline (\w+) +(?:axis|examples|--)", text))
    assert verbs
    assert verbs <= set(cli.commands)


@pytest.mark.slow
def test_readme_python_runs(tmp_path, monkeypatch):
    """The code of the README, run as it stands but in a folder of its own."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    assert blocks
    monkeypatch.chdir(tmp_path)
    for block in blocks:
        exec(block.replace("examples/", f"{ROOT.as_posix()}/examples/"), {})
    assert (tmp_path / "lift.pdf").read_bytes().startswith(b"%PDF-")


def test_tasks_of_the_readme_exist():
    script = (ROOT / "do").read_text(encoding="utf-8")
    for name in ("README.md", "CONTRIBUTING.md"):
        for verb in re.findall(r"\./do (\w+)", (ROOT / name).read_text(encoding="utf-8")):
            assert re.search(rf"^(task_)?{verb}\(\)", script, re.MULTILINE), verb
