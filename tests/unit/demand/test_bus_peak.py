"""Power to the braking resistor from the instant at which the capacitor is full, by hand.

A flywheel of 0.05 kg m^2 brakes without losses from 100 rad/s in 1 s: the power falls from 500 W
along a straight line, and 250 J return.
"""

from __future__ import annotations

import numpy as np
import pytest

from dutyline.demand.bus import BusSide, bus_use
from dutyline.demand.currents import Windings
from dutyline.demand.output import output_demand
from dutyline.train.records import Burden, Load
from support import axes
from support.cycles import shaft

PLAIN = Windings(*(np.array([v]) for v in (1.0, 100.0, 200.0, 1.0)))


def burnt(capacity, phases=None):
    moves = [axes.move(100.0, 2.0, "triangle"), axes.dwell(0.5)]
    load = Load(False, Burden(inertia=0.05))
    out = output_demand(axes.make(load, [], phases or moves, endless=True))
    side = BusSide(*(np.array([v]) for v in (0.0, 0.0, 100.0, 1.5, 0.0, 0.0, capacity)))
    return bus_use(out, shaft(), PLAIN, side)


@pytest.mark.parametrize("capacity", [0.0, 10.0, 90.0, 160.0, 249.0])
def test_power_when_the_capacitor_is_full(capacity):
    """Full when 500 t - 250 t^2 is the capacity: 500 sqrt(1 - C/250) W from then on."""
    use = burnt(capacity)
    left = np.sqrt(1 - capacity / 250)
    assert float(use.peak_power[0]) == pytest.approx(500 * left, rel=1e-9)
    assert float(use.peak_time[0]) == pytest.approx(1 + (1 - left), rel=1e-9)
    assert float(use.resistor[0]) == pytest.approx(250 - capacity, rel=1e-9)


def test_no_power_where_it_never_fills():
    """251 J take all of it."""
    use = burnt(251.0)
    assert float(use.peak_power[0]) == 0.0
    assert float(use.resistor[0]) == 0.0


def test_crest_after_the_instant_counts():
    """A cubic move: the braking power -J a w rises to a crest; a small capacitor fills before it.

    With s = t/T and w = 6 h s (1 - s)/T, a = 6 h (1 - 2 s)/T^2 the crest of (2 s - 1) s (1 - s)
    lies at s = 1/2 + 1/sqrt(12).
    """
    use = burnt(1.0, [axes.move(100.0, 2.0, "cubic"), axes.dwell(0.5)])
    s = 0.5 + 1 / np.sqrt(12)
    crest = 0.05 * 36 * 100**2 / 2**3 * (2 * s - 1) * s * (1 - s)
    assert float(use.peak_power[0]) == pytest.approx(crest, rel=1e-9)
    assert float(use.peak_time[0]) == pytest.approx(2 * s, rel=1e-9)
