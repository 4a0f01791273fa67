"""Kinds and sections in the terminal: the same as on the page, eighty columns wide."""

from __future__ import annotations

import pytest

from dutyline.axis.fields import NESTED, SECTIONS
from dutyline.axis.kinds import kinds
from support.command import dutyline


@pytest.mark.parametrize("name", [*kinds(), *SECTIONS, *NESTED])
def test_every_word_is_answered_within_eighty_columns(name):
    done = dutyline("schema", name)
    assert done.code == 0, done.err
    assert max(len(row) for row in done.out.splitlines()) <= 80


@pytest.mark.parametrize("name", ["four-bar", "worm"])
def test_a_kind_is_shown_with_relations_fields_and_file(name):
    kind, shown = kinds()[name], dutyline("schema", name).out
    joined = " ".join(shown.split())
    for said in (kind.title, kind.what, kind.source, *kind.watch, *(f for _, f in kind.relations)):
        assert " ".join(said.split()) in joined
    assert kind.example.strip() in shown
    assert "Only for" not in shown


def test_a_section_has_its_fields_alone():
    shown = dutyline("schema", "tandem").out
    assert shown.startswith("[tandem] Tandem")
    assert "preload (T_p): torque" in shown
    assert dutyline("schema", "nonsense").code == 2
