"""Command line and Python give the same numbers, to the last digit."""

from __future__ import annotations

import json
import math

import pytest

import dutyline as dl
from dutyline.app.records_json import demand_json, verdict_json
from dutyline.app.shortlist_json import shortlist_json
from support.command import LIFT, dutyline
from support.examples import NAMES, axis_file, searched, verify_command

pytestmark = pytest.mark.e2e


@pytest.mark.parametrize("name", NAMES)
def test_demand(name):
    shown = json.loads(dutyline("demand", str(axis_file(name)), "--json").out)
    out = dl.demand(dl.read_axis(axis_file(name)))
    assert shown == json.loads(json.dumps(demand_json(out)))
    assert shown["peak_torque"]["value"] == out.peak_torque
    assert shown["rms_torque"]["value"] == out.rms_torque
    assert shown["energy_regenerated"]["value"] == out.energy_regenerated


@pytest.mark.parametrize("name", NAMES)
def test_verify_of_every_example(name):
    """Named on the command line, as a combination in Python, and met in a search."""
    words = verify_command(name).split()[4:]
    parts = {w.removeprefix("--"): own for w, own in zip(words[::2], words[1::2], strict=True)}
    shown = json.loads(dutyline("verify", str(axis_file(name)), *words, "--json").out)
    axis = dl.read_axis(axis_file(name))
    verdict = dl.advise(dl.verify(axis, dl.Combination(**parts)))
    assert shown == json.loads(json.dumps(verdict_json(verdict)))
    for line, said in zip(verdict.ledger, shown["ledger"], strict=True):
        finite = line.margin is not None and math.isfinite(line.margin)
        assert said["margin"] == (line.margin if finite else None)
    same = [c for c in searched(name).candidates if c.combination == verdict.combination]
    assert [verdict_json(dl.advise(c))["ledger"] for c in same] == [verdict_json(verdict)["ledger"]]


def test_verify():
    names = ("--motor", "XM72-0450H", "--gearhead", "XG72-4", "--brake", "XB72")
    shown = json.loads(dutyline("verify", str(LIFT), *names, "--json").out)
    chosen = dl.Combination("XM72-0450H", "XG72-4", brake="XB72")
    verdict = dl.advise(dl.verify(dl.read_axis(LIFT), chosen))
    assert shown == json.loads(json.dumps(verdict_json(verdict)))
    assert shown["combination"]["drive"], "taken from the pairings"


def assert_alike(one, other, place=""):
    """The same structure and words; numbers to 1e-9."""
    if isinstance(one, dict):
        assert one.keys() == other.keys(), place
        for key in one:
            assert_alike(one[key], other[key], f"{place}/{key}")
    elif isinstance(one, list):
        assert len(one) == len(other), place
        for k, (a, b) in enumerate(zip(one, other, strict=True)):
            assert_alike(a, b, f"{place}/{k}")
    elif isinstance(one, float):
        assert one == pytest.approx(other, rel=1e-9, abs=1e-12), place
    else:
        assert one == other, place


def test_select_and_verify_agree():
    """A candidate of the shortlist, verified by itself, has the same ledger but for remedies.

    A search tells none: they are found on demand.
    Words and states are equal; numbers to 1e-9, because sums over one combination and over many
    are added up in another order, and the settled winding is iterated until all have settled.
    """
    shortlist = json.loads(dutyline("select", str(LIFT), "--json").out)
    assert shortlist == json.loads(json.dumps(shortlist_json(dl.select(dl.read_axis(LIFT)))))
    for candidate in shortlist["candidates"][:3]:
        parts = candidate["combination"]
        names = [a for part, name in parts.items() if name for a in (f"--{part}", name)]
        alone = json.loads(dutyline("verify", str(LIFT), *names, "--json").out)
        for line in alone["ledger"]:
            line["remedies"] = []
        assert_alike(alone, candidate)


def test_json_has_no_nan():
    for verb in (("demand",), ("select",), ("schema",)):
        arguments = [*verb, "--json"] + ([str(LIFT)] if verb != ("schema",) else [])
        json.loads(dutyline(*arguments).out, parse_constant=pytest.fail)
