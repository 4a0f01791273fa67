"""Places where a cycle has to be cut: each against what a hand or a dense sampling finds."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from dutyline.demand.currents import Windings, rms_current
from dutyline.demand.motor import Shafts, rms_torque
from dutyline.demand.output import output_demand
from dutyline.motion.specs import LAWS
from dutyline.train.records import Burden, Chain, Force, Load
from support import axes, dense


def turning(phases, forces=(), stages=(), **burden):
    load = Load(False, Burden(**{"inertia": 1.0, **burden}))
    return axes.make(load, list(stages), phases, forces=forces)


def there_and_back(by=2.0, law="trapezoid"):
    return [axes.move(by, 1.0, law), axes.move(-by, 1.0, law), axes.dwell(0.5)]


def test_contact_is_cut_where_the_power_turns_round():
    """Deceleration against friction: the mesh turns from driving to driven where m a = F_f.

    A cubic move has a(t) = (6 h/T^2)(1 - 2 t/T), so the sign changes at
    t = T/2 (1 + F_f T^2/(6 J h)).
    """
    friction, by = 4.0, 2.0
    axis = turning(there_and_back(by, "cubic"), stages=[axes.stage(1.0, 0.8)], friction=friction)
    out = output_demand(axis)
    at = 0.5 * (1 + friction / (6 * by))
    assert np.abs(out.start - at).min() < 1e-12


def test_force_over_travel_is_cut_at_its_places():
    """A trapezoid passes 0.7 of 1 at a time that its own equation of motion gives."""
    load = Load(True, Burden(inertia=1.0))
    forces = (Force("f", (0.0, 50.0, 0.0), (0.0, 0.7, 2.0), "travel"),)
    axis = axes.make(load, [], [axes.move(1.0, 1.0), axes.move(-1.0, 1.0)], forces=forces)
    third, speed = 1 / 3, 1.5
    at = third + (0.7 - speed * third / 2) / speed
    out = output_demand(axis)
    for place in (at, 2.0 - at):
        assert np.abs(out.start - place).min() < 1e-12
    assert out.peak_torque == pytest.approx(50.0, rel=1e-12)


def test_step_force_has_two_sides():
    """At a step both one-sided values count: 30 N before, 80 N after, on top of 4.5 m/s^2."""
    load = Load(True, Burden(inertia=2.0))
    forces = (Force("f", (30.0, 80.0, 0.0), (0.0, 0.1, 5.0), "time", "step"),)
    axis = axes.make(load, [], [axes.move(1.0, 1.0), axes.move(-1.0, 1.0)], forces=forces)
    out = output_demand(axis)
    before = out.ends.torque[np.abs(out.ends.time - 0.1) < 1e-9]
    assert sorted(before) == pytest.approx([30.0 + 9.0, 80.0 + 9.0], rel=1e-12)


def test_breakaway_counts_for_the_peak_alone():
    """Static friction is seen at the start from rest and in no integral."""

    def carriage(factor):
        load = Load(True, Burden(inertia=10.0, friction=40.0), breakaway=factor)
        return output_demand(axes.make(load, [], there_and_back(1.0, "cycloid")))

    plain, sticking = carriage(1.0), carriage(5.0)
    assert sticking.rms_torque == plain.rms_torque
    assert sticking.energy_motoring == plain.energy_motoring
    assert sticking.peak_torque == pytest.approx(5 * 40.0, rel=1e-9)  # a cycloid starts at a = 0
    assert plain.peak_torque < 5 * 40.0


def test_friction_turns_round_inside_a_ramp_through_standstill():
    """A ramp from + to - speed: J a + F_f before, J a - F_f after, both seen."""
    load = Load(False, Burden(inertia=0.5, friction=3.0))
    axis = axes.make(load, [], [
        axes.run(10.0, 0.5, ramp=0.4), axes.run(-10.0, 0.5, ramp=0.4), axes.run(0.0, 0.1, ramp=0.2),
    ], endless=True)  # fmt: skip
    out = output_demand(axis)
    ramp = (out.start >= 0.9 - 1e-9) & (out.start < 1.3 - 1e-9)
    assert sorted(set(np.round(out.torque[ramp].ravel(), 9))) == [-28.0, -22.0]


def test_hold_torque_over_time_changes_in_a_dwell():
    """A force that grows while the axis stands: int F^2 of a straight line is (a^2+ab+b^2)/3."""
    load = Load(True, Burden(inertia=1.0))
    forces = (Force("f", (10.0, 40.0), (0.0, 1.0), "time", phases=(1,)),)
    phases = [axes.move(1.0, 1.0), axes.dwell(1.0), axes.move(-1.0, 1.0)]
    alone = output_demand(axes.make(load, [], phases))
    held = output_demand(axes.make(load, [], phases, forces=forces))
    more = held.rms_torque**2 - alone.rms_torque**2
    assert more * 3.0 == pytest.approx((100 + 400 + 1600) / 3, rel=1e-12)
    assert held.hold_torque == pytest.approx(40.0, rel=1e-12)


@pytest.mark.parametrize("law", LAWS)
def test_no_piece_runs_against_its_move(law):
    """A law never turns back, so no piece of a move may."""
    axis = axes.make(Load(True, axes.weight(20.0)), [], there_and_back(0.7, law))
    out = output_demand(axis)
    for k, phase in enumerate(axis.cycle.phases):
        own = out.direction[out.phase == k]
        assert np.all(own == np.sign(phase.distance))


def test_no_piece_runs_against_a_move_that_is_cut():
    """The same with the point of a force table late in the move."""
    for late in np.linspace(0.8, 0.99, 39):
        forces = (Force("f", (1.0, 1.0, 1.0), (0.0, float(late), 2.0), "time"),)
        out = output_demand(turning(there_and_back(1.0, "septic"), forces))
        assert np.all(out.direction[out.phase == 0] >= 0)


@pytest.mark.parametrize("by", [0.8, 1.2, 1.5])
def test_static_torque_at_the_end_of_travel(by):
    """M g r sin x is largest at the end of a swing that stays short of level."""
    out = output_demand(turning(there_and_back(by), gravity_sin=10.0))
    assert out.static_torque == pytest.approx(10.0 * math.sin(by), rel=1e-12)


@pytest.mark.parametrize("by", [1.6, 1.75, 2.2, 2.9])
def test_static_torque_inside_the_travel(by):
    """An arm that passes its level place carries the whole m g r there: what a brake must hold."""
    out = output_demand(turning(there_and_back(by), gravity_sin=10.0))
    assert out.static_torque == pytest.approx(10.0, rel=1e-9)


def test_static_torque_inside_the_travel_is_nearly_found():
    """The same within a thousandth, over many ends of travel."""
    for by in np.linspace(1.6, 3.0, 15):
        out = output_demand(turning(there_and_back(float(by)), gravity_sin=10.0))
        assert out.static_torque == pytest.approx(10.0, rel=1e-3)


def test_opposing_table_through_zero():
    """|F| of a table from +20 to -20 has a kink in the middle: against dense sampling."""
    forces = (Force("f", (20.0, -20.0), (0.0, 1.9), "time", sense="opposing"),)
    axis = turning(there_and_back(), forces)
    found, fine = output_demand(axis), dense.output_samples(axis, 4000)
    assert found.rms_torque == pytest.approx(fine.rms, rel=1e-7)


@pytest.mark.parametrize("hold", axes.HOLDS)
def test_force_changes_its_sign_in_a_dwell(hold):
    """Held torque of a force from +10 to -30 N m behind losses and drag: against dense sampling."""
    forces = (Force("f", (10.0, -30.0), (0.0, 1.0), "time", phases=(1,)),)
    phases = [axes.move(1.0, 1.0), axes.dwell(1.0, hold=hold), axes.move(-1.0, 1.0)]
    axis = turning(phases, forces, [axes.stage(0.5, 0.7, drag_in=1.0)])
    out, fine = output_demand(axis), dense.output_samples(axis, 4000)
    assert out.rms_torque == pytest.approx(fine.rms, rel=1e-6)
    i, eta, drag = 3.0, 0.8, 0.2
    shafts = Shafts(*(np.array([v]) for v in (i, 1e-3, eta, drag)))
    motor = dense.motor_samples(fine, i, 1e-3, eta, drag)
    assert float(rms_torque(out, shafts)[0]) == pytest.approx(motor.rms, rel=1e-6)


@pytest.mark.parametrize("hold", axes.HOLDS)
def test_contact_turns_round_in_a_dwell(hold):
    """The same force beside a counterweight that keeps the shaft on one side: the mesh behind the
    force changes from driving to driven while the torque at the shaft keeps its sign."""
    forces = (Force("f", (10.0, -30.0), (0.0, 1.0), "time", phases=(1,)),)
    counter = Chain(Load(False, Burden(inertia=1e-3, gravity=40.0)), (axes.stage(1.0, 0.9),))
    stage = axes.stage(0.5, 0.7, joined=(counter,))
    phases = [axes.move(1.0, 1.0), axes.dwell(1.0, hold=hold), axes.move(-1.0, 1.0)]
    axis = turning(phases, forces, [stage], friction=2.0)
    out, fine = output_demand(axis), dense.output_samples(axis, 4000)
    assert out.rms_torque == pytest.approx(fine.rms, rel=1e-7)


def test_current_where_friction_begins_to_hold_alone():
    """A held force that falls to nothing: T = max(0, t F e/i - d), I^2 of a straight line.

    With F e/i = 4 N m at first, d = 1 and 1 N m/A: int (4 (1 - t) - 1)^2 dt up to t = 3/4 is 9/4.
    """
    forces = (Force("f", (25.0, 0.0), (0.0, 1.0), "time", phases=(1,)),)
    phases = [axes.move(1.0, 1.0), axes.dwell(1.0, hold="credit"), axes.move(-1.0, 1.0)]
    out = output_demand(turning(phases, forces, inertia=1e-9))
    shafts = Shafts(*(np.array([v]) for v in (5.0, 0.0, 0.8, 1.0)))
    bent = Windings(*(np.array([v]) for v in (1.0, 2.0, 4.0, 0.9)))
    straight = replace(bent, saturation_peak=np.ones(1))
    moves = 2 * (1.0 + 1e-9)
    square = float(rms_torque(out, shafts)[0]) ** 2 * out.cycle_time
    assert square == pytest.approx(9 / 4 + moves, rel=1e-6)
    assert float(rms_current(out, shafts, straight)[0]) ** 2 * 3.0 == pytest.approx(square)
    below = bent.current(np.linspace(3.0, 0.0, 200_001)[None, :])[0]
    mean = float((below[1:] ** 2 + below[:-1] ** 2).mean() / 2)
    more = float(rms_current(out, shafts, bent)[0]) ** 2 * 3.0 - moves
    assert more == pytest.approx(0.75 * mean, rel=1e-6)


@pytest.mark.parametrize("law", LAWS)
def test_ramps_reach_the_peak(law):
    """Speeding up and braking, each once per move, each to its own largest torque.

    Without friction they are alike, and that torque is the peak of the cycle.
    """
    out = output_demand(turning(there_and_back(2.0, law)))
    ramps = out.ramps()
    assert ramps.size == 4
    assert ramps == pytest.approx(out.peak_torque, rel=1e-12)
