"""The worst single burst of torques that a hand can draw, against the highest point of a formula.

A direct axis holds a force that a table gives over time; with no saturation the load factor is
force over reference. The best level of the formulas is looked for by scipy.
"""

from __future__ import annotations

import sys

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from dutyline.demand.currents import Windings
from dutyline.demand.output import output_demand
from dutyline.demand.overload import overload_use
from dutyline.physics.overload import allowed_time
from dutyline.train.records import Burden, Force, Load
from support import axes
from support.cycles import shaft

CURVE = ((1.5, 4.0), (3.0, 0.5))
PLAIN = Windings(*(np.array([v]) for v in (1.0, 100.0, 200.0, 1.0)))


def burst(points, curve=CURVE, length=2.0):
    """Worst burst and its end; ``points`` are (seconds, load factor) within a dwell."""
    places, values = zip(*points, strict=True)
    forces = (Force("table", values, places, "time", phases=(1,)),)
    load = Load(False, Burden(inertia=1e-6))
    phases = [axes.move(1.0, 1.0), axes.dwell(length), axes.move(-1.0, 1.0)]
    out = output_demand(axes.make(load, [], phases, forces=forces))
    use = overload_use(out, shaft(), PLAIN, np.ones(1), curve, 10.0)
    return float(use.single[0]), float(use.single_time[0]) - 1.0


def highest(length, low, high, curve=CURVE):
    """Largest length(level) over time allowed between two levels."""
    found = minimize_scalar(
        lambda level: -length(level) / float(allowed_time(level, curve)),
        bounds=(low, high), method="bounded", options={"xatol": 1e-10},
    )  # fmt: skip
    return -found.fun


def test_one_triangle():
    """From 1 to 4 and back in 2 s: at a level x it lasts 2 (4 - x)/3."""
    wanted = max(highest(lambda x: 2 * (4 - x) / 3, *ends) for ends in ((1, 1.5), (1.5, 4)))
    assert burst([(0, 1), (1, 4), (2, 1)])[0] == pytest.approx(wanted, rel=1e-7)


def test_plateau_counts_to_its_end():
    """At 2.5 for 0.8 s with steep flanks."""
    use, end = burst([(0.2, 0), (0.2001, 2.5), (1.0001, 2.5), (1.0002, 0)])
    assert use == pytest.approx(0.8 / float(allowed_time(2.5, CURVE)), rel=1e-3)
    assert end == pytest.approx(1.0001, abs=1e-4)


@pytest.mark.parametrize("low", [1.9, 2.37, 2.83])
def test_burst_that_parts_at_a_low_point(low):
    """3 to ``low`` to 3 in 1 s: whole at the low point, in two above it.

    At the low point it lasts 1 s, and longer below only on the flanks of 1e-6 s.
    """
    use, end = burst([(0.5 - 1e-6, 0), (0.5, 3), (1, low), (1.5, 3), (1.5 + 1e-6, 0)])
    assert use == pytest.approx(1 / float(allowed_time(low, CURVE)), rel=1e-5)
    assert end == pytest.approx(1.5, abs=1e-5)


def test_one_of_two_parts_may_be_worst():
    """A short dip to 1.05 between two humps of unequal width: the wider one alone counts."""
    points = [(0, 0), (0.4, 3), (0.8, 1.05), (1.4, 3), (2.0, 0)]
    wanted = highest(lambda x: 0.6 * (3 - x) / 1.95 + 0.6 * (3 - x) / 3, 1.5, 3)
    assert burst(points)[0] == pytest.approx(wanted, rel=1e-7)


def test_burst_around_the_end_of_the_cycle():
    """A force in the last phase and one in the first make one burst."""
    load = Load(False, Burden(inertia=1e-6))
    phases = [axes.dwell(0.5, force=2.0), axes.move(1.0, 1.0), axes.move(-1.0, 1.0),
              axes.dwell(0.75, force=2.0)]  # fmt: skip
    out = output_demand(axes.make(load, [], phases))
    use = overload_use(out, shaft(), PLAIN, np.ones(1), CURVE, 10.0)
    assert float(use.single[0]) == pytest.approx(1.25 / float(allowed_time(2.0, CURVE)), rel=1e-7)
    assert float(use.single_time[0]) == pytest.approx(0.5)


def test_torque_that_turns_round_does_not_end_a_burst():
    """The current counts, whatever its sign: +2 for 0.5 s, then -2 for 0.5 s."""
    load = Load(False, Burden(inertia=1e-6))
    phases = [axes.dwell(0.5, force=2.0), axes.dwell(0.5, force=-2.0), axes.move(1.0, 1.0),
              axes.move(-1.0, 1.0)]  # fmt: skip
    out = output_demand(axes.make(load, [], phases))
    use = overload_use(out, shaft(), PLAIN, np.ones(1), CURVE, 10.0)
    assert float(use.single[0]) == pytest.approx(1 / float(allowed_time(2.0, CURVE)), rel=1e-7)


def test_never_below_one_is_without_end():
    """A force above 1 all the time."""
    load = Load(False, Burden(inertia=1e-6, steady=1.3))
    out = output_demand(axes.make(load, [], [axes.move(1.0, 1.0), axes.move(-1.0, 1.0)]))
    use = overload_use(out, shaft(), PLAIN, np.ones(1), CURVE, 10.0)
    assert use.single[0] == np.inf


def test_bound_stands_where_the_search_is_cut_short(monkeypatch):
    """Never below the use itself, however few rounds are allowed."""
    points = [(0, 0), (0.4, 3), (0.8, 1.2), (1.4, 2.6), (1.6, 1.9), (2.0, 0)]
    exact = burst(points)[0]
    for rounds in (0, 1, 2, 4):
        monkeypatch.setattr(sys.modules["dutyline.demand.bursts"], "ROUNDS", rounds)
        assert burst(points)[0] >= exact * (1 - 1e-9)
    monkeypatch.setattr(sys.modules["dutyline.demand.bursts"], "ROUNDS", 1)
    assert burst(points)[0] > exact * 1.01
