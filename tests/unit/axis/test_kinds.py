"""What is said of every mechanism and stage, and that its smallest file runs."""

from __future__ import annotations

import tomllib

import jsonschema
import pytest

import dutyline
from dutyline.axis.forms import KINDS, STAGES
from dutyline.axis.kinds import is_stage, kinds
from dutyline.axis.schema import schema
from dutyline.catalogue.library import demo_line
from dutyline.checks.ledger import MEETS
from dutyline.checks.verdict import trial_of
from dutyline.report.formula import read
from dutyline.selection import search

NAMES = [*KINDS, *STAGES]
LINE = demo_line()


def test_every_kind_is_described_once_and_in_order():
    found = list(kinds())
    assert sorted(found) == sorted(NAMES)
    assert [is_stage(k) for k in kinds().values()] == [False] * len(KINDS) + [True] * len(STAGES)


@pytest.mark.parametrize("name", NAMES)
def test_words_are_sentences_and_relations_are_formulas(name):
    kind = kinds()[name]
    assert kind.what.endswith(".")
    assert kind.watch
    assert all(sentence.endswith((".", ":")) for sentence in kind.watch)
    assert all(read(formula) for _, formula in kind.relations)
    assert kind.source


@pytest.mark.parametrize("name", NAMES)
def test_the_smallest_file_runs_and_is_valid(name):
    """Read, demanded and found a combination that meets; the schema takes it too."""
    kind = kinds()[name]
    axis = dutyline.read_axis(f"{name}.toml", text=kind.example)
    out = dutyline.demand(axis)
    assert out.balance < 1e-9
    jsonschema.Draft202012Validator(schema(axis.train.kind)).validate(tomllib.loads(kind.example))
    if is_stage(kind):
        assert any(stage.kind == name for stage in axis.train.chain.stages)
    else:
        assert axis.train.kind == name
    every = trial_of(axis, LINE, search.tries(axis, LINE, out), out)
    assert (search.decide(every).state == MEETS).any()
