"""What a dwell asks of the shaft and of the motor by each policy, against formulas by hand.

For a weight torque G, load friction F, a stage of ratio r with drag c at its input, and a gearhead
of ratio i with mesh efficiency e and no-load torque d::

    ideal    G r                        /i
    worst    ((G + F) r / eta_f + c)    /(i e) + d
    credit   max(0, (G - F) r eta_b - c)   then max(0, T e/i - d)
    brake, off    0

(Statics of a stage at rest; friction and losses may help or hinder, by choice of the policy.)
"""

from __future__ import annotations

import numpy as np
import pytest

from dutyline.demand.motor import Shafts, end_torques, peak_torque, rms_torque, strips
from dutyline.demand.output import output_demand
from dutyline.demand.trace import load_trace, sample
from dutyline.train.records import Burden, Chain, Force, Load
from support import axes

FORWARD, BACKWARD, DRAG, FRICTION = 0.85, 0.7, 0.4, 3.0
GEAR, MESH, NO_LOAD, ROTOR = 5.0, 0.92, 0.06, 2e-4
HELD, MOVE = 1.0, 0.25
SHAFTS = Shafts(*(np.array([v]) for v in (GEAR, ROTOR, MESH, NO_LOAD)))


def axis_of(weight, hold, *, ratio=0.5, forward=FORWARD, backward=BACKWARD, forces=(), **stage):
    """A short move there and back, held for four times as long in between."""
    load = Load(False, Burden(inertia=1e-9, gravity=weight, friction=FRICTION))
    stages = [axes.stage(ratio, forward, backward, drag_in=DRAG, **stage)]
    return axes.make(load, stages, [
        axes.move(1.0, MOVE), axes.dwell(HELD, hold=hold), axes.move(-1.0, MOVE),
        axes.dwell(HELD, hold="off"),
    ], forces=forces)  # fmt: skip


def held(axis):
    """Torque in the first dwell at the output and at the motor, signed."""
    out = output_demand(axis)
    own = out.phase == 1
    torque = out.torque[own]
    assert np.ptp(torque) <= 1e-12 * max(np.abs(torque).max(), 1e-300)
    at_ends = end_torques(out, SHAFTS)[0][: 2 * out.start.size].reshape(-1, 2)[own]
    assert at_ends == pytest.approx(at_ends[0, 0], rel=1e-12)
    return float(torque[0, 0]), float(at_ends[0, 0])


def by_hand(weight, hold, ratio, forward=FORWARD, backward=BACKWARD):
    """The formulas above for a weight torque of either sign."""
    size, way = abs(weight * ratio), np.sign(weight * ratio)
    rub = FRICTION * abs(ratio)
    if hold == "ideal":
        return way * size, way * size / GEAR
    if hold == "worst":
        output = (size + rub) / forward + DRAG
        return way * output, way * (output / (GEAR * MESH) + NO_LOAD)
    if hold == "credit":
        output = max(0.0, (size - rub) * backward - DRAG) if size > rub else 0.0
        return way * output, way * max(0.0, output * MESH / GEAR - NO_LOAD)
    return 0.0, 0.0


@pytest.mark.parametrize("hold", axes.HOLDS)
@pytest.mark.parametrize("ratio", [0.5, -0.5])
@pytest.mark.parametrize("weight", [20.0, -20.0, 3.5, 0.5])
def test_hold_policy_against_the_hand(hold, ratio, weight):
    """Output and motor torque; 3.5 and 0.5 N m are held by friction alone when it is credited."""
    output, motor = held(axis_of(weight, hold, ratio=ratio))
    wanted = by_hand(weight, hold, ratio)
    assert output == pytest.approx(wanted[0], rel=1e-12, abs=1e-12)
    assert motor == pytest.approx(wanted[1], rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("hold", axes.HOLDS)
def test_hold_counts_in_the_rms_for_its_time(hold):
    """rms^2 t_cycle grows by T^2 t against the same cycle with the load off the shaft."""
    out, free = output_demand(axis_of(20.0, hold)), output_demand(axis_of(20.0, "off"))
    output, motor = by_hand(20.0, hold, 0.5)
    for found, bare, torque in (
        (out.rms_torque, free.rms_torque, output),
        (float(rms_torque(out, SHAFTS)[0]), float(rms_torque(free, SHAFTS)[0]), motor),
    ):
        more = (found**2 - bare**2) * out.cycle_time
        assert more == pytest.approx(torque**2 * HELD, rel=1e-9, abs=1e-9)
    assert out.hold_torque == pytest.approx(abs(output), rel=1e-12)


@pytest.mark.parametrize("hold", axes.HOLDS)
def test_hold_moves_no_energy(hold):
    """Nothing turns, so no work is done and none is lost."""
    out, free = output_demand(axis_of(20.0, hold)), output_demand(axis_of(20.0, "off"))
    assert out.energy_motoring == free.energy_motoring
    assert out.energy_regenerated == free.energy_regenerated
    assert out.lost == pytest.approx(free.lost, rel=1e-12)


@pytest.mark.parametrize("hold", axes.HOLDS)
def test_strips_hold_what_the_rms_holds(hold):
    """The pieces cut for currents and protection carry the same torque at rest."""
    out = output_demand(axis_of(20.0, hold))
    cut = strips(out, SHAFTS, np.zeros((1, 1)))
    square = float(cut.integral(cut.torque**2).sum() / out.cycle_time)
    assert square == pytest.approx(float(rms_torque(out, SHAFTS)[0]) ** 2, rel=1e-12)
    assert np.abs(cut.torque).max() == pytest.approx(float(peak_torque(out, SHAFTS)[0][0]))


@pytest.mark.parametrize("hold", axes.HOLDS)
@pytest.mark.parametrize("ratio", [0.5, -0.5])
@pytest.mark.parametrize("weight", [20.0, -20.0, 3.5])
def test_trace_shows_what_is_held(hold, ratio, weight):
    """Both shafts of the trace carry the torques of the formulas, and its causes add up to them."""
    out = output_demand(axis_of(weight, hold, ratio=ratio))
    trace = sample(
        load_trace(out),
        SHAFTS,
        peak_time=0.0,
        rms_torque=0.0,
        effective_speed=0.0,
        energies=(0.0, 0.0),
    )
    own = trace.phase == 1
    output, motor = by_hand(weight, hold, ratio)
    assert trace.output_torque[own] == pytest.approx(output, rel=1e-12, abs=1e-12)
    assert trace.torque[own] == pytest.approx(motor, rel=1e-12, abs=1e-12)
    assert sum(trace.causes.values())[own] == pytest.approx(motor, rel=1e-12, abs=1e-12)


def test_order_of_the_policies():
    """Pessimism in order: worst, ideal, credit, brake."""
    torques = [abs(held(axis_of(20.0, hold))[1]) for hold in ("worst", "ideal", "credit", "brake")]
    assert torques == sorted(torques, reverse=True)
    assert torques[2] > torques[3] == 0.0


@pytest.mark.parametrize("backward", [0.0, -0.8])
def test_self_locking_stage_holds_alone(backward):
    """eta_b <= 0: nothing is left to hold when friction is credited, never a reversed torque."""
    axis = axis_of(20.0, "credit", forward=0.4, backward=backward)
    assert held(axis) == (0.0, 0.0)
    worst = held(axis_of(20.0, "worst", forward=0.4, backward=backward))
    assert worst == pytest.approx(by_hand(20.0, "worst", 0.5, 0.4), rel=1e-12)


def test_hold_behind_two_stages_and_a_counterweight():
    """worst: every contact as if the load were about to be lifted; the counterweight helps less.

    Load 100 N on a drum of 0.1 m; 60 N hang on the other side through a contact of 0.9 each way.
    About to be lifted, the drum gives 100 0.1/0.95; the counterweight comes down and drives, so
    its contact passes 60 0.1 0.9.
    """
    counter = Chain(Load(True, Burden(inertia=1e-9, gravity=60.0)),
                    (axes.stage(-0.1, 0.9, 0.9, linear_out=True),))  # fmt: skip
    drum = axes.stage(0.1, 0.95, 0.95, joined=(counter,), linear_out=True)
    load = Load(True, Burden(inertia=1e-9, gravity=100.0))
    phases = [axes.move(0.5, 0.5), axes.dwell(1.0, hold="worst"), axes.move(-0.5, 0.5)]
    output, _ = held(axes.make(load, [drum], phases))
    assert output == pytest.approx(10.0 / 0.95 - 6.0 * 0.9, rel=1e-12)


@pytest.mark.parametrize("hold", axes.HOLDS)
def test_opposing_force_is_nothing_at_rest(hold):
    """A force that always opposes the motion has no direction in a dwell: it neither loads the
    motor nor helps it to hold."""
    rub = (Force("wiper", (6.0,), sense="opposing"),)
    loaded = held(axis_of(20.0, hold, forces=rub))
    assert loaded == pytest.approx(held(axis_of(20.0, hold)), rel=1e-12)


@pytest.mark.parametrize("hold", axes.HOLDS)
@pytest.mark.parametrize("only", ["forward", "backward"])
def test_force_of_one_direction_is_nothing_at_rest(hold, only):
    """A force that acts in one direction of motion acts in none at rest."""
    push = (Force("forming", (6.0,), only=only),)
    loaded = held(axis_of(20.0, hold, forces=push))
    assert loaded == pytest.approx(held(axis_of(20.0, hold)), rel=1e-12)


def test_phase_force_is_held():
    """A constant force of the phase acts at rest like a weight."""
    load = Load(False, Burden(inertia=1e-9, gravity=4.0))
    phases = [axes.move(1.0, 0.25), axes.dwell(1.0, force=10.0), axes.move(-1.0, 0.25)]
    out = output_demand(axes.make(load, [axes.stage(0.5)], phases))
    assert out.hold_torque == pytest.approx(7.0, rel=1e-12)
