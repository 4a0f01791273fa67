"""The shortlist of the page: pairs are counted as everywhere else, and nothing that is not
needed is called unchecked."""

from dutyline.app.workbench.shortlist import MOST_REJECTED, shortlist
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination
from dutyline.selection.search import select

LEVEL = """
schema = 1
[axis]
title = "Shuttle"
[load]
mass = "15 kg"
[mechanism]
kind = "belt"
teeth = 24
pitch = "8 mm"
[[phase]]
name = "out"
do = "move"
by = "400 mm"
time = "0.5 s"
[[phase]]
name = "back"
do = "move"
by = "-400 mm"
time = "0.5 s"
[site]
mains = "MAINS"
phases = 3
"""


def listed(mains: str):
    found = select(read_axis("level.toml", text=LEVEL.replace("MAINS", mains)), demo_line())
    return found, shortlist(found, Combination(motor="none"))


def test_a_level_axis_without_brake_has_no_check_of_it():
    _, view = listed("230 V")
    marks = {family: mark for family, _, _, mark in view.candidates[0].shares}
    assert marks["Brake"] == marks["Holding"] == "none"
    assert marks["Speed"] == "meets"


def test_rejected_pairs_are_counted_not_the_sentences_about_them():
    found, view = listed("230 V")
    told = sum(r.pairs for r in found.rejected[:MOST_REJECTED])
    assert view.more == found.pairs - len(found.candidates) - told - found.unjudged
    assert view.none == ""


def test_mains_that_no_drive_takes_are_named_as_the_reason():
    _, view = listed("400 V")
    assert not view.candidates
    assert "Nothing in the product line runs on 400" in view.none
