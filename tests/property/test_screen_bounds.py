"""Shortcuts of the screen, each against the full calculation: what it hands on, what it bounds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.polynomial import legendre

from dutyline.catalogue.library import demo_line
from dutyline.checks.ledger import judge
from dutyline.checks.listing import CHECKS
from dutyline.checks.reserves import required_reserve
from dutyline.checks.verdict import trial_of
from dutyline.core import series
from dutyline.demand.motor import part_range, piece_reach, torque_coefficients
from dutyline.demand.overload import overload_use
from dutyline.physics.overload import DEFAULT_CURVE, DEFAULT_RECOVERY
from dutyline.selection import search
from support import axes, benches

pytestmark = pytest.mark.property
NAMES = ("slide", "hoist", "direct", "swing")


def tried(name, count=200, seed=1):
    """Combinations at random on an example, with parts of the line that ships."""
    axis = axes.EXAMPLES[name]()
    return trial_of(axis, demo_line(), benches.scattered(demo_line(), count, seed))


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("gaps", [False, True])
def test_no_drive_or_resistor_changes_a_check_of_the_motor_side(name, gaps):
    """One motor, gearhead and brake, every drive and resistor: one state, data missing or not."""
    axis = axes.EXAMPLES[name]()
    line = benches.blanked(demo_line(), seed=3) if gaps else demo_line()
    some = benches.scattered(line, 20, seed=2)
    others = len(line.drives) * len(line.resistors)
    choice = some.take(np.repeat(np.arange(some.size), others))
    drive, resistor = np.divmod(np.arange(others), len(line.resistors))
    choice = replace(choice, drive=np.tile(drive, some.size), resistor=np.tile(resistor, some.size))
    trial = trial_of(axis, line, choice)
    known = [check for check in CHECKS if check.id in search.OF_MOTOR_SIDE]
    assert {check.id for check in known} == search.OF_MOTOR_SIDE
    for check in known:
        judged = judge(trial, check)
        for column in (judged.state, judged.must):
            table = column.reshape(some.size, others)
            assert np.all(table == table[:, :1]), check.id


@pytest.mark.parametrize("parts", [1, 3, 4])
def test_series_on_equal_parts(parts):
    """Values on a part against the whole series, both by NumPy's own Legendre evaluation."""
    whole = np.random.default_rng(5).normal(size=6)
    split = (whole @ series.subdivision(6, parts)).reshape(parts, 6)
    u = np.linspace(-1, 1, 9)
    for k, part in enumerate(split):
        z = -1 + (2 * k + 1 + u) / parts
        assert legendre.legval(u, part) == pytest.approx(legendre.legval(z, whole), abs=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_torque_stays_in_the_range_of_its_part(name):
    """Forty places on every quarter of a piece, and no quarter leaves the range of its piece."""
    side = tried(name).motor_side
    out, shafts, parts = side.out, side.shafts, 4
    low, high = part_range(out, shafts, parts)
    coefficient = torque_coefficients(out, shafts)
    z = np.linspace(-1, 1, 40 * parts)
    torque = np.abs(series.at(coefficient, z[None, None, :]))
    torque = torque.reshape(len(torque), -1, 40)
    least = np.where(np.repeat(out.moments.credit, parts), 0.0, torque.min(axis=2))
    slack = 1e-12 * torque.max(axis=(1, 2))[:, None]
    assert np.all(low <= least + slack)
    assert np.all(torque.max(axis=2) <= high + slack)
    assert np.all(high <= np.repeat(piece_reach(out, shafts), parts, axis=1) + slack)


@pytest.mark.parametrize("name", NAMES)
def test_rms_current_lies_between_its_bounds(name):
    side = tried(name).motor_side
    low, high = side.current_bounds
    exact = side.rms_current
    assert np.all(low <= exact * (1 + 1e-12))
    assert np.all(exact <= high * (1 + 1e-12))


@pytest.mark.parametrize("name", ["lift", "hoist", "slide"])
def test_bounds_of_the_overload_decide_as_the_exact_use(name):
    """The same sides of limit and reserve, and bounds do decide something beyond whole pieces."""
    side = tried(name, 400).motor_side
    axis = side.out.axis
    reserve = required_reserve("overload-accumulated", axis)
    for share in (0.5, 0.8, 1.2):
        task = (side.out, side.shafts, side.windings, share * side.windings.current_stall)
        curve = (DEFAULT_CURVE, DEFAULT_RECOVERY)
        exact = overload_use(*task, *curve)
        quick = overload_use(*task, *curve, 1 - reserve, side.reach, side.peak)
        for found, bound in ((exact.largest, quick.largest), (exact.single, quick.single)):
            assert np.array_equal(found > 1, bound > 1)
            assert np.array_equal(found > 1 - reserve, bound > 1 - reserve)
        assert np.any(exact.largest != quick.largest) or not np.any(exact.factor > 1)
