"""Cranks, linkages, cams, tables, rolls and driven loads: what holds for all of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import strategies as st

from dutyline.core import series
from dutyline.demand.instants import directions, instants
from dutyline.demand.output import output_demand
from dutyline.demand.points import MOVING
from support import mechanisms
from support.cycles import scale_of
from support.laws import law, often
from support.mechanisms import BENT, EVERY

pytestmark = pytest.mark.property


@law(EVERY, few=40)
def test_energy_balance_closes(axis):
    """Conservation of energy: work of inertia is the gain of kinetic energy, of weights height."""
    assert output_demand(axis).balance < 1e-9


@law(EVERY, few=20)
def test_shaft_work_is_what_the_causes_take(axis):
    """First law at the shaft; only a roll keeps what its web brings."""
    out = output_demand(axis)
    if axis.train.kind == "winder":
        return
    net = out.energy_motoring - out.energy_regenerated
    spent = float(out.lost.sum()) + out.friction_work + out.process_work + out.lifted
    assert net == pytest.approx(spent, abs=1e-9 * max(scale_of(out), 1e-12))


@law(EVERY, st.floats(-1, 1), few=40)
def test_series_hold_the_torque_between_the_nodes(axis, place):
    """Pieces are short enough: the series through the Gauss points is the torque everywhere."""
    out = output_demand(axis)
    z = np.array([place])
    facing = np.where(out.hold == MOVING, directions(list(out.pieces)), 0.0)
    state, _ = instants(list(out.pieces), axis.train, axis.cycle, z, facing)
    moving = out.hold == MOVING
    for known, direct in (
        (out.torque, state.effort.total),
        (out.speed, state.motion.speed),
        (out.acceleration, state.motion.acceleration),
    ):
        inside = series.at(series.coefficients(known), z[None, :])[:, 0]
        size = float(np.abs(known).max(initial=0.0))
        assert inside[moving] == pytest.approx(direct[moving], abs=1e-8 * size + 1e-12)


@law(EVERY, few=20)
def test_power_and_contacts_keep_their_sign_in_a_piece(axis):
    """Nothing has a kink inside a piece, and no contact ever gives energy (second law)."""
    out = output_demand(axis)
    power = out.torque * out.speed
    tiny = 1e-9 * float(np.abs(power).max(initial=0.0))
    assert np.all((power >= -tiny) | ~out.driving[:, None])
    assert np.all((power <= tiny) | out.driving[:, None])
    assert out.lost.min(initial=0.0) >= -1e-12 * scale_of(out)


@law(EVERY, few=20)
def test_peaks_are_not_exceeded_anywhere(axis):
    """Largest torque, speed and inertia against a dense row of instants."""
    out = output_demand(axis)
    z = np.linspace(-1, 1, 101)
    facing = np.where(out.hold == MOVING, directions(list(out.pieces)), 0.0)
    state, _ = instants(list(out.pieces), axis.train, axis.cycle, z, facing)
    moving = np.repeat(out.hold == MOVING, z.size)
    torque = np.abs(state.effort.total[moving]).max(initial=0.0)
    assert torque <= out.peak_torque * (1 + 1e-9)
    assert np.abs(state.motion.speed).max() <= out.peak_speed * (1 + 1e-9)
    assert state.effort.inertia.max() <= out.inertia_max * (1 + 1e-9) + 1e-15
    assert state.effort.inertia.min() >= out.inertia_min * (1 - 1e-9) - 1e-15


@law(EVERY, few=10, many=60)
def test_halved_pieces_change_no_figure(axis):
    """Splitting a segment changes nothing: every figure has converged."""
    out = output_demand(axis)
    halved = []
    for piece in axis.cycle.pieces:
        halved += piece.split(np.array([0.37]) * piece.duration)
    again = output_demand(replace(axis, cycle=replace(axis.cycle, pieces=tuple(halved))))
    for name in ("rms_torque", "peak_torque", "energy_motoring", "energy_regenerated",
                 "mean_speed", "inertia_max"):  # fmt: skip
        size = scale_of(out) if name.startswith("energy") else abs(getattr(out, name))
        assert getattr(again, name) == pytest.approx(getattr(out, name), abs=2e-9 * size + 1e-12)


@pytest.mark.parametrize("kind", BENT)
def test_every_kind_closes_its_balance(kind):
    """One axis of every kind, so that none is left out by chance."""

    @law(getattr(mechanisms, kind)(), few=3)
    def closes(axis):
        assert output_demand(axis).balance < 1e-9

    closes()


@pytest.mark.slow
@pytest.mark.parametrize("known", often(globals()), ids=lambda k: k.__name__[5:])
def test_on_many_inputs(known):
    """Every law of this module on many more inputs."""
    known.often()
