"""What is said of every mechanism and stage, and that its smallest file runs."""

from __future__ import annotations

import tomllib

import jsonschema
import pytest

import dutyline
from dutyline.axis.forms import KINDS, STAGES
from dutyline.axis.kinds import is_stage, kinds
from dutyline.axis.schema import schema
from dutyline.report.formula import read

NAMES = [*KINDS, *STAGES]


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
    assert dutyline.demand(axis).balance < 1e-9
    jsonschema.Draft202012Validator(schema(axis.train.kind)).validate(tomllib.loads(kind.example))
    if is_stage(kind):
        assert any(stage.kind == name for stage in axis.train.chain.stages)
    else:
        assert axis.train.kind == name
    assert dutyline.select(axis).candidates[0].verdict == "meets"
