"""A chain of changes comes to the same text whether or not the document between them is kept."""

from __future__ import annotations

import random

import pytest

from dutyline.app.inputs import example_file, example_names
from dutyline.axis import edit
from dutyline.axis.fields import SECTIONS
from dutyline.axis.read import read_axis
from dutyline.core.errors import InputError
from dutyline.core.recent import Recent

STEPS = 12
TYPED = ("", "1.5", "28 kg", "0,4 s", "yes", "200 mm", "carton, box", "a word")


def _paths(text: str) -> list[str]:
    stated = [i.path for i in read_axis("axis.toml", text=text).inputs]
    others = [
        f"{name}.{field.name}"
        for name, section in SECTIONS.items()
        if not section.many
        for field in section.fields
    ]
    return [*stated, *others]


@pytest.mark.parametrize("name", example_names())
def test_kept_documents_change_nothing(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    chance = random.Random(name)
    kept = fresh = example_file(name).read_text(encoding="utf-8")
    paths = _paths(kept)
    for _ in range(STEPS):
        path = chance.choice(paths)
        typed, status = chance.choice(TYPED), chance.choice(("", "given", "measured", "assumed"))
        kept = _changed(kept, path, typed, status)
        with monkeypatch.context() as patched:
            patched.setattr(edit, "_WRITTEN", Recent(most=0))
            fresh = _changed(fresh, path, typed, status)
        assert kept == fresh


def _changed(text: str, path: str, typed: str, status: str) -> str:
    try:
        if status:
            return edit.set_status(text, path, status, "by hand")
        return edit.set_value(text, path, typed)
    except InputError:
        return text


def test_a_document_waits_for_its_own_text_only() -> None:
    text = example_file("lift").read_text(encoding="utf-8")
    one = edit.set_value(text, "load.mass", "30 kg")
    other = edit.set_value(text, "load.mass", "31 kg")
    assert edit.parsed(one).as_string() == one
    assert edit.parsed(one) is not edit.parsed(one)
    assert edit.parsed(other).as_string() == other


def test_documents_of_long_texts_do_not_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    written: Recent = Recent(most=2)
    monkeypatch.setattr(edit, "_WRITTEN", written)
    short = edit.set_value('[load]\nmass = "3 kg"\n', "load.mass", "4 kg")
    long = edit.set_value(f"# {'-' * edit.LONGEST_KEPT}\n{short}", "load.mass", "5 kg")
    assert written.get(short) is not None
    assert written.get(long) is None
