"""Balances that every axis keeps, at every instant and over the cycle."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import strategies as st

from dutyline.core import series
from dutyline.demand.instants import directions, instants
from dutyline.demand.motor import end_torques, peak_torque
from dutyline.demand.output import output_demand
from dutyline.demand.points import FREE, MOVING
from dutyline.demand.trace import load_trace, sample
from support import axes
from support.cycles import (
    motor_energies,
    random_shafts,
    scale_of,
)
from support.laws import law, often

pytestmark = pytest.mark.property


@law(axes.axes())
def test_energy_balance_closes(axis):
    """Conservation of energy over a closed cycle: residue below 1e-9 of the energy moved."""
    assert output_demand(axis).balance < 1e-9


@law(axes.axes())
def test_motor_work_is_losses_friction_process_and_lifted_weight(axis):
    """First law at the output shaft, from the integrals a reader sees."""
    out = output_demand(axis)
    net = out.energy_motoring - out.energy_regenerated
    spent = float(out.lost.sum()) + out.friction_work + out.process_work + out.lifted
    assert net == pytest.approx(spent, abs=1e-9 * max(scale_of(out), 1e-12))


@law(axes.axes(), st.floats(-1, 1))
def test_power_balances_at_every_instant(axis, place):
    """Power at the shaft is what the causes take, and no contact ever gives any (second law)."""
    out = output_demand(axis)
    pieces = list(out.pieces)
    state, _ = instants(pieces, axis.train, axis.cycle, np.array([place]))
    power = state.effort.total * state.motion.speed
    taken = (state.effort.causes[:4] * state.motion.speed).sum(axis=0) + state.lost.sum(axis=0)
    scale = float(np.abs(state.effort.causes * state.motion.speed).sum(axis=0).max())
    assert power == pytest.approx(taken, abs=1e-9 * scale + 1e-300)
    assert state.lost.min(initial=0.0) >= -1e-12 * scale


@law(axes.axes())
def test_nothing_creates_energy(axis):
    """Second law: every contact, and all friction together, take energy over a cycle."""
    out = output_demand(axis)
    scale = scale_of(out) + float(np.abs(out.lost).sum()) + abs(out.friction_work)
    assert out.lost.min(initial=0.0) >= -1e-12 * scale
    assert out.friction_work >= -1e-12 * scale


@law(axes.axes(), random_shafts)
def test_gearhead_takes_energy_in_both_directions(axis, shafts):
    """Second law at the gearhead: it takes, never gives; the rotor takes nothing over a cycle."""
    out = output_demand(axis)
    motoring, returned = motor_energies(out, shafts)
    scale = motoring + returned
    own = (motoring - returned) - (out.energy_motoring - out.energy_regenerated)
    assert own >= -1e-9 * scale
    eta = float(shafts.efficiency[0])
    turned = float((out.weight * np.abs(out.speed)).sum() * shafts.ratio[0])
    tooth = out.energy_motoring * (1 / eta - 1) + out.energy_regenerated * (1 - eta)
    drag = float(shafts.drag[0]) * turned
    assert own == pytest.approx(tooth + drag, abs=1e-8 * max(scale, own))


@law(axes.axes(), random_shafts)
def test_causes_add_up_to_the_motor_torque(axis, shafts):
    """The parts of the plotted trace are the whole, and the trace has the peak and the rms."""
    out = output_demand(axis)
    peak, at = peak_torque(out, shafts)
    trace = sample(load_trace(out), shafts, peak_time=float(at[0]), rms_torque=0.0,
                   effective_speed=0.0, energies=(0.0, 0.0))  # fmt: skip
    total = sum(trace.causes.values())
    assert trace.torque == pytest.approx(total, abs=1e-12 * float(peak[0]) + 1e-300)
    breakaway = axis.train.chain.load.breakaway != 1.0
    if not breakaway:
        assert np.abs(trace.torque).max() <= float(peak[0]) * (1 + 1e-9) + 1e-300


@law(axes.axes(), random_shafts)
def test_no_instant_exceeds_the_peak(axis, shafts):
    """The peak is the largest of all instants, also of those that are no node."""
    out = output_demand(axis)
    peak = float(peak_torque(out, shafts)[0][0])
    z = np.linspace(-1, 1, 41)
    coefficient = np.einsum("f,fkn->kn", shafts.vector[0], out.moments.coefficients)
    inside = series.at(coefficient[:, None, :], z[None, :])
    moving = out.hold == MOVING
    assert np.abs(inside[moving]).max(initial=0.0) <= peak * (1 + 1e-9) + 1e-300
    assert np.abs(end_torques(out, shafts)).max() <= peak * (1 + 1e-12)


@law(axes.axes())
def test_driving_and_direction_hold_through_every_piece(axis):
    """After the cuts neither speed nor power changes its sign inside a piece."""
    out = output_demand(axis)
    power = out.torque * out.speed
    tiny = 1e-9 * float(np.abs(power).max(initial=0.0))
    assert np.all((power >= -tiny) | ~out.driving[:, None])
    assert np.all((power <= tiny) | out.driving[:, None])
    facing = directions(list(out.pieces))
    assert np.array_equal(facing == 0, out.hold != MOVING)
    assert not np.any(out.torque[out.hold == FREE])


@pytest.mark.slow
@pytest.mark.parametrize("known", often(globals()), ids=lambda k: k.__name__[5:])
def test_on_many_inputs(known):
    """Every law of this module on many more inputs."""
    known.often()
