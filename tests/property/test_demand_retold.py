"""The same task told otherwise: cut, mirrored or repeated, it asks for the same."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume
from hypothesis import strategies as st

from dutyline.demand.output import output_demand
from dutyline.train.records import Burden, Load
from support import axes
from support.cycles import (
    SHAFT,
    assert_same,
    examples,
    figures,
    random_shafts,
)
from support.laws import law, often

pytestmark = pytest.mark.property


@examples
def test_splitting_pieces_changes_nothing(axis):
    """Integrals do not depend on where the cycle is cut."""
    one = figures(output_demand(axis), SHAFT)
    assert_same(one, figures(output_demand(axes.cut(axis, [0.3, 0.61, 0.5, 0.02])), SHAFT))


@law(axes.axes(), st.lists(st.floats(0.05, 0.8), min_size=1, max_size=3), random_shafts)
def test_splitting_random_pieces_changes_nothing(axis, shares, shafts):
    """As above, on any axis.

    Not on septic moves: rounding of their flat end is looked at in unit/demand/test_kinks.py.
    """
    assume(all(phase.law != "septic" for phase in axis.cycle.phases))
    one = figures(output_demand(axis), shafts)
    assert_same(one, figures(output_demand(axes.cut(axis, shares)), shafts), rel=1e-7)


def test_two_half_dwells_are_one():
    """A phase told in two parts is the same task."""
    load = Load(True, axes.weight(20.0, friction=12.0), {"box": axes.weight(5.0)})
    belt = axes.stage(0.03, 0.95, linear_out=True)
    up = axes.move(0.4, 0.5, carry=("box",))
    down = axes.move(-0.4, 0.6, "quintic")
    for hold in axes.HOLDS:
        held = {"hold": hold, "carry": ("box",)}
        whole = [up, axes.dwell(0.5, **held), down, axes.dwell(0.3)]
        parts = [up, axes.dwell(0.2, **held), axes.dwell(0.3, **held), down, axes.dwell(0.3)]
        one, two = (figures(output_demand(axes.make(load, [belt], s)), SHAFT)
                    for s in (whole, parts))  # fmt: skip
        assert_same(one, two, rel=1e-12)


def test_a_run_told_in_two_parts_is_one():
    """A run at one speed, cut."""
    load = Load(False, Burden(inertia=0.6, friction=2.0, viscous=0.15, gravity_sin=3.0))

    def spun(*times):
        parts = [axes.run(20.0, t, ramp=0.2 if k == 0 else None) for k, t in enumerate(times)]
        return axes.make(load, [axes.stage(0.5, 0.9)], [*parts, axes.run(0.0, 0.1, ramp=0.2)],
                         endless=True)  # fmt: skip

    one, two = (figures(output_demand(spun(*t)), SHAFT) for t in ((0.7,), (0.25, 0.45)))
    assert_same(one, two, rel=1e-9)


def test_a_payload_told_in_two_parts_is_one():
    """Two payloads on board weigh what one of their sum does."""
    whole = {"box": axes.weight(9.0, friction=3.0)}
    parts = {"a": axes.weight(5.0, friction=1.0), "b": axes.weight(4.0, friction=2.0)}
    found = []
    for payloads in (whole, parts):
        load = Load(True, axes.weight(20.0), payloads)
        belt = axes.stage(0.03, 0.95, linear_out=True)
        up = axes.move(0.4, 0.5, carry=tuple(payloads))
        rest = [axes.dwell(0.2, carry=tuple(payloads)), axes.move(-0.4, 0.6), axes.dwell(0.1)]
        found.append(figures(output_demand(axes.make(load, [belt], [up, *rest])), SHAFT))
    assert_same(*found, rel=1e-12)


@examples
def test_mirror_image_of_an_example(axis):
    """The + direction turned round with all loads turned round changes signs only."""
    _mirror(axis, SHAFT)


@law(axes.axes(), random_shafts)
def test_mirror_image(axis, shafts):
    """As above, on any axis."""
    _mirror(axis, shafts)


def _mirror(axis, shafts):
    out, other = output_demand(axis), output_demand(axes.mirrored(axis))
    flipped = {"mean": -1.0}
    assert_same(figures(out, shafts), figures(other, shafts), rel=1e-7, **flipped)
    if out.torque.shape == other.torque.shape:
        top = out.peak_torque
        assert other.ends.torque == pytest.approx(-out.ends.torque, abs=1e-7 * top)


@examples
def test_cycle_told_twice(axis):
    """The same rms, means and equivalents; energies and time doubled."""
    doubled = dict.fromkeys(
        ("time", "motoring", "returned", "friction", "lost", "process", "motor_motoring",
         "motor_returned"), 2.0)  # fmt: skip
    shift = axis.train.chain.load.base
    if axis.cycle.net_travel and (shift.gravity_cos or shift.gravity_sin):
        turns = axis.cycle.net_travel / (2 * math.pi)
        assert turns == pytest.approx(round(turns))
    one, two = output_demand(axis), output_demand(axes.twice(axis))
    assert_same(figures(one, SHAFT), figures(two, SHAFT), rel=1e-9, **doubled)


@law(axes.axes(), random_shafts)
def test_any_cycle_told_twice(axis, shafts):
    """As above, on any axis."""
    doubled = dict.fromkeys(
        ("time", "motoring", "returned", "friction", "lost", "process", "motor_motoring",
         "motor_returned"), 2.0)  # fmt: skip
    one, two = output_demand(axis), output_demand(axes.twice(axis))
    assert_same(figures(one, shafts), figures(two, shafts), rel=1e-7, **doubled)


@pytest.mark.slow
@pytest.mark.parametrize("known", often(globals()), ids=lambda k: k.__name__[5:])
def test_on_many_inputs(known):
    """Every law of this module on many more inputs."""
    known.often()
