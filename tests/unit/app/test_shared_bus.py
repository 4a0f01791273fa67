"""Axes on one bus against the recursion stepped in time over the powers of each."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

import dutyline as dl
from support.judged import PARTS, changed, judged, lift, stocked


@cache
def axis(tray: float = 7.0) -> dl.Verdict:
    """The lift; with a tray of another mass another axis of the same cycle."""
    own = lift()
    if tray != 7.0:
        payloads = {"tray": replace(own.train.chain.load.payloads["tray"], inertia=tray)}
        load = replace(own.train.chain.load, payloads=payloads)
        own = replace(own, train=replace(own.train, chain=replace(own.train.chain, load=load)))
    return judged(own, stocked())


def stepped(verdicts, starts, steps=60_000):
    """Energy to the resistor apart and together, and the largest sum drawn: midpoints, clamped."""
    courses = [v.extra["bus"] for v in verdicts]
    cycle = float(courses[0].trace.time[-1])
    dt = cycle / steps
    middle = (np.arange(steps) + 0.5) * dt
    power = [
        np.interp((middle - s) % cycle, c.trace.time, c.trace.drawn)
        for c, s in zip(courses, starts, strict=True)
    ]
    room = [0.5 * c.capacitance * (c.switching**2 - c.idle**2) for c in courses]

    def burnt(drawn, capacity):
        stored = total = 0.0
        for _ in range(3):
            total = 0.0
            for p in (-drawn * dt).tolist():
                stored += p
                if stored > capacity:
                    total += stored - capacity
                    stored = capacity
                stored = max(stored, 0.0)
        return total

    apart = [burnt(p, c) for p, c in zip(power, room, strict=True)]
    return apart, burnt(sum(power), sum(room)), float(sum(power).max())


def test_two_axes_out_of_step_against_small_steps():
    both, starts = [axis(), axis(9.0)], (0.0, 0.61)
    found = dl.shared_bus(both, starts)
    apart, together, peak = stepped(both, starts)
    assert list(found.alone) == pytest.approx(apart, rel=2e-3)
    assert found.together == pytest.approx(together, rel=2e-3, abs=1e-3)
    assert found.supply_peak == pytest.approx(peak, rel=2e-3)
    assert found.saved > 0


def test_alone_is_what_the_ledger_says():
    verdict = axis()
    found = dl.shared_bus([verdict])
    told = verdict.demand["bus"]
    assert found.alone == (found.together,)
    assert found.together == pytest.approx(told["resistor_energy"], rel=2e-3)
    assert found.capacity == pytest.approx(told["capacitor_energy"], rel=1e-9)
    peak = next(ln for ln in verdict.ledger if ln.check == "resistor-peak")
    assert found.resistor_peak == pytest.approx(peak.demand, rel=5e-3)


def test_twins_in_step_save_nothing_and_their_sum_is_twice_one():
    one, twins = dl.shared_bus([axis()]), dl.shared_bus([axis(), axis()])
    assert twins.together == pytest.approx(2 * one.together, rel=1e-9)
    assert twins.saved == pytest.approx(0.0, abs=1e-9)
    assert twins.supply_peak == pytest.approx(2 * one.supply_peak, rel=1e-9)


def test_no_start_is_worse_than_twins_in_step():
    whole = dl.shared_bus([axis(), axis()]).together
    cycle = float(axis().extra["bus"].trace.time[-1])
    alone = dl.shared_bus([axis()])
    each = alone.power.dot(np.diff(alone.time)).sum()
    for start in np.linspace(0.0, cycle, 5):
        shifted = dl.shared_bus([axis(), axis()], (0.0, float(start)))
        assert shifted.together <= whole * (1 + 1e-9)
        drawn = (shifted.power * np.diff(shifted.time)).sum()
        assert drawn == pytest.approx(2 * each, rel=1e-9)


def test_a_candidate_is_traced_first():
    bare = replace(axis(), trace=None, extra={})
    assert dl.shared_bus([bare]).together == dl.shared_bus([axis()]).together


def test_what_cannot_share_a_bus_is_refused():
    with pytest.raises(dl.RangeError, match="empty"):
        dl.shared_bus([])
    with pytest.raises(dl.RangeError, match="2 starts for 1"):
        dl.shared_bus([axis()], (0.0, 1.0))
    with pytest.raises(dl.InputError):
        dl.shared_bus(["lift"])
    low = judged(lift(site=replace(lift().site, mains=210.0)), stocked())
    with pytest.raises(dl.RangeError, match="idle voltage"):
        dl.shared_bus([axis(), low])
    blind = changed(stocked(), "drive", PARTS.drive, bus_capacitance=None)
    with pytest.raises(dl.RangeError, match="not known"):
        dl.shared_bus([judged(lift(), blind)])
