"""Whole cycles of bent mechanisms: closed forms, and dense integration by scipy."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
import pytest
from scipy.integrate import quad

from dutyline.demand.output import output_demand
from dutyline.train.bent_parameters import (
    CamParams,
    CamSectionParams,
    FeedRollsParams,
    RotaryLoadParams,
    ScotchYokeParams,
    SliderCrankParams,
    WinderParams,
)
from dutyline.train.parameters import (
    DirectParams,
    FieldRangeError,
    LoadParams,
)
from dutyline.train.records import Force
from support import lagrange
from support.axes import dwell, move, run, stage
from support.lagrange import Body
from support.mechanisms import driven

G = 9.80665
TURN = 2 * math.pi


def test_scotch_yoke_at_constant_speed_is_a_sine():
    """T = m r^2 w^2 sin q cos q: peak m r^2 w^2 / 2, half of the swing motors, half returns."""
    m, r, w = 12.0, 0.05, 20.0
    out = output_demand(driven(ScotchYokeParams(crank=r), LoadParams(mass=m),
                               [run(w, TURN / w)], endless=True))  # fmt: skip
    peak = m * r**2 * w**2 / 2
    assert out.peak_torque == pytest.approx(peak, rel=1e-12)
    assert out.rms_torque == pytest.approx(peak / math.sqrt(2), rel=1e-12)
    assert out.mean(out.torque) == pytest.approx(0.0, abs=1e-12 * peak)
    # kinetic energy m r^2 w^2 / 2 goes in and out twice a turn
    assert out.energy_motoring == pytest.approx(2 * peak, rel=1e-11)
    assert out.energy_regenerated == pytest.approx(2 * peak, rel=1e-11)
    assert out.inertia_max == pytest.approx(m * r**2, rel=1e-12)
    assert out.inertia_min == pytest.approx(0.0, abs=1e-12 * m * r**2)


def test_upright_yoke_carries_its_weight_round():
    """Weight torque -m g r sin q: held torque at 90 deg, no work over a turn."""
    m, r, w = 5.0, 0.04, 0.01
    out = output_demand(driven(ScotchYokeParams(crank=r), LoadParams(mass=m, incline=math.pi / 2),
                               [run(w, TURN / w)], endless=True))  # fmt: skip
    assert abs(out.static_torque) == pytest.approx(m * G * r, rel=1e-12)
    assert out.gravity_acts
    assert out.lifted == pytest.approx(0.0, abs=1e-9)


def test_yoke_with_friction_wears_four_strokes_of_it():
    """Coulomb friction F over a turn of the crank: work 4 F r."""
    out = output_demand(driven(ScotchYokeParams(crank=0.05), LoadParams(mass=2.0, drag=30.0),
                               [run(8.0, TURN / 8.0)], endless=True))  # fmt: skip
    assert out.friction_work == pytest.approx(4 * 30.0 * 0.05, rel=1e-11)


@pytest.mark.parametrize("law", ["quintic", "modified-sine", "trapezoid"])
def test_slider_crank_against_dense_integration(law):
    """Rms, energies and peak by scipy over Lagrange's equation by differences, with a gear."""
    r, rod, m, i, eta = 0.05, 0.16, 9.0, 12.0, 0.9
    params = SliderCrankParams(crank=r, rod=rod, offset=0.01, rod_mass=2.0, rod_cg=0.06,
                               rod_inertia=0.008, inertia=0.02)  # fmt: skip
    load = LoadParams(mass=m, incline=0.8, drag=25.0)
    gear = stage(1 / i, eta, eta, inertia_in=4e-4)
    axis = driven(params, load, [move(TURN, 0.7, law), dwell(0.3, hold="brake")], stages=[gear],
                  endless=True)  # fmt: skip
    out = output_demand(axis)
    bodies = [
        Body(m, 0.0, lambda q: lagrange.slider(q, r, rod, 0.01)[1]),
        Body(2.0, 0.008, lambda q: _between(lagrange.slider(q, r, rod, 0.01), 0.06 / rod),
             lambda q: _lean(lagrange.slider(q, r, rod, 0.01))),
        Body(0.0, 0.02, lambda q: 0j, lambda q: q),
    ]  # fmt: skip
    up = G * complex(math.sin(0.8), math.cos(0.8))

    def shaft(piece, t):
        q, w, a = (float(piece.derivative(k, t)) for k in range(3))
        way = lagrange.slope(lambda s: bodies[0].place(s).real, q)
        crank = lagrange.torque(bodies, up, q, w, a) + 25.0 * abs(way) * np.sign(w)
        gain = 1 / eta if crank * w > 0 else eta
        return crank * gain / i + 4e-4 * a * i, w * i

    square = peak = 0.0
    energy = {1: 0.0, -1: 0.0}
    for piece in (p for p in axis.cycle.pieces if not p.at_rest):
        for n in range(24):
            a, b = (piece.duration * k / 24 for k in (n, n + 1))
            square += quad(lambda t, p=piece: shaft(p, t)[0] ** 2, a, b, limit=60, epsrel=1e-7)[0]
            for way in (1, -1):
                power = partial(_one_way, shaft, piece, way)
                energy[way] += quad(power, a, b, limit=60, epsrel=1e-7)[0]
        peak = max(peak, *(abs(shaft(piece, t)[0]) for t in np.linspace(0, piece.duration, 600)))
    assert out.rms_torque == pytest.approx(math.sqrt(square / 1.0), rel=2e-6)
    assert out.energy_motoring == pytest.approx(energy[1], rel=1e-5)
    assert out.energy_regenerated == pytest.approx(energy[-1], rel=1e-4)
    assert peak == pytest.approx(out.peak_torque, rel=2e-3)
    assert peak <= out.peak_torque * (1 + 1e-6)


def _one_way(shaft, piece, way, t):
    """Power in one direction alone."""
    return max(way * math.prod(shaft(piece, t)), 0.0)


def _between(pins, share):
    return pins[0] + share * (pins[1] - pins[0])


def _lean(pins):
    return math.atan2((pins[1] - pins[0]).imag, (pins[1] - pins[0]).real)


def test_force_on_the_way_out_only_does_its_work():
    """1 kN over the last 10 mm of 100 mm outward, nothing back: 10 J a turn."""
    bite = Force("bite", (1000.0, 1000.0), (0.09, 0.1), "travel", "step", only="forward")
    axis = driven(ScotchYokeParams(crank=0.05, start_angle=math.pi), LoadParams(mass=1.0),
                  [run(5.0, TURN / 5.0)], forces=[bite], endless=True)  # fmt: skip
    assert output_demand(axis).task_work == pytest.approx(10.0, rel=1e-9)


def test_cam_dwell_needs_no_torque():
    """While the follower rests nothing but the drag of the shaft is left."""
    sections = (CamSectionParams(angle=2.0, lift=0.02, law="septic"), CamSectionParams(angle=1.0),
                CamSectionParams(angle=2.0, lift=-0.02, law="septic"),
                CamSectionParams(angle=TURN - 5.0))  # fmt: skip
    params = CamParams(sections=sections, spring_force=200.0, drag=0.5)
    out = output_demand(driven(params, LoadParams(mass=3.0, friction=0.1), [run(6.0, TURN / 6.0)],
                               endless=True))  # fmt: skip
    middle = [k for k, p in enumerate(out.pieces)
              if 2.0 < float(p.position(p.duration / 2)) < 3.0]  # fmt: skip
    assert middle
    assert out.torque[middle] == pytest.approx(0.5, abs=1e-9)


def _fan(**own):
    params = RotaryLoadParams(inertia=0.2, **own)
    specs = [run(50.0, 2.0, ramp=1.0), run(0.0, 0.5, ramp=1.5)]
    return output_demand(driven(params, LoadParams(), specs, of_load=True, endless=True))


def test_fan_needs_its_power_with_the_cube_of_the_speed():
    """T = c w^2; work over ramps of speed v t: c v^3 t / 4; at full speed c v^3 t."""
    out = _fan(torque_per_speed2=0.004)
    assert out.task_work == pytest.approx(0.004 * 50**3 * (2.0 + 1.0 / 4 + 1.5 / 4), rel=1e-12)
    # at the end of the run-up the acceleration 50/1 comes on top
    assert out.peak_torque == pytest.approx(0.004 * 2500 + 0.2 * 50, rel=1e-12)


def test_spindle_keeps_its_power_above_the_base_speed():
    out = _fan(power=1000.0, base_speed=20.0)
    steady = (out.phase == 0) & (np.abs(out.acceleration).max(axis=1) < 1e-9)
    assert out.torque[steady] == pytest.approx(1000.0 / 50.0, rel=1e-12)
    assert out.peak_torque == pytest.approx(1000.0 / 20.0 + 0.2 * 50, rel=1e-12)


def test_points_are_joined_by_lines():
    out = _fan(points=((0.0, 4.0), (25.0, 10.0), (60.0, 3.0)))
    steady = (out.phase == 0) & (np.abs(out.acceleration).max(axis=1) < 1e-9)
    assert out.torque[steady] == pytest.approx(10.0 - 7.0 * 25 / 35, rel=1e-12)
    assert out.peak_torque == pytest.approx(10.0 + 10.0, rel=1e-12)


def test_feed_rolls_pull_against_the_difference_of_tensions():
    """T = r (F1 - F2 + 2 f N / r * count) and count times the inertia of one."""
    params = FeedRollsParams(diameter=0.12, count=3, tension_in=180.0, tension_out=60.0,
                             nip_force=400.0, roll_resistance=3e-4, inertia=0.01)  # fmt: skip
    specs = [run(1.2, 2.0, ramp=0.6), run(0.0, 0.4, ramp=0.6)]
    out = output_demand(driven(params, LoadParams(), specs, of_load=True, endless=True))
    steady = 0.06 * 120.0 + 3 * 2 * 3e-4 * 400.0
    assert out.peak_torque == pytest.approx(steady + 0.03 * 1.2 / 0.6 / 0.06, rel=1e-12)
    assert out.inertia_max == pytest.approx(0.03, rel=1e-12)


def test_rolls_that_are_pulled_return_energy():
    params = FeedRollsParams(diameter=0.1, tension_in=20.0, tension_out=120.0)
    out = output_demand(driven(params, LoadParams(), [run(2.0, 3.0)], of_load=True, endless=True))
    assert out.energy_motoring == 0.0
    assert out.energy_regenerated == pytest.approx(100.0 * 2.0 * 3.0, rel=1e-12)


ROLL = {"core": 0.1, "full": 0.8, "width": 0.6, "thickness": 1e-4, "density": 900.0,
        "tension": 200.0}  # fmt: skip


@pytest.mark.parametrize("mode, sign", [("wind", 1), ("unwind", -1)])
@pytest.mark.parametrize("drive", ["centre", "surface"])
def test_web_takes_its_tension_times_its_length(mode, sign, drive):
    """Work on the web of constant tension is F times length, whatever the roll does."""
    params = WinderParams(**ROLL, start=0.4, mode=mode, drive=drive,
                          drum_diameter=0.25 if drive == "surface" else None)  # fmt: skip
    specs = [run(4.0, 20.0, ramp=2.0), run(0.0, 1.0, ramp=3.0)]
    out = output_demand(driven(params, LoadParams(), specs, of_load=True, endless=True))
    length = 4.0 * (20.0 + 1.0 + 1.5)
    assert out.process_work == pytest.approx(sign * 200.0 * length, rel=1e-9)


def test_roll_follows_its_web():
    """Speed at constant line speed falls as 1/R with R^2 = R0^2 + h l / pi."""
    params = WinderParams(**ROLL, start=0.2)
    out = output_demand(driven(params, LoadParams(), [run(5.0, 60.0)], of_load=True, endless=True))
    last = float(out.ends.speed[2 * out.start.size - 1])
    radius = math.sqrt(0.1**2 + 1e-4 * 300.0 / math.pi)
    assert last == pytest.approx(5.0 / radius, rel=1e-12)
    assert out.peak_speed == pytest.approx(5.0 / 0.1, rel=1e-12)


def test_surface_winder_feels_the_roll_as_a_mass():
    """Inertia at the drum: J_roll / R^2 times the square of the drum's radius."""
    params = WinderParams(**ROLL, start=0.8 - 1e-9, drive="surface", drum_diameter=0.3)
    axis = driven(params, LoadParams(), [run(1.0, 0.1, ramp=0.1), run(0.0, 0.1, ramp=0.1)],
                  of_load=True, endless=True)  # fmt: skip
    roll = math.pi / 2 * 900.0 * 0.6 * (0.4**4 - 0.05**4)
    assert output_demand(axis).inertia_max == pytest.approx(roll * (0.15 / 0.4) ** 2, rel=1e-3)


def test_static_friction_acts_at_starts_and_fades():
    """Peak at the start F_s + m a; work by scipy over the curve of Stribeck on a ramp."""
    mass, rub, factor, slow = 8.0, 30.0, 1.7, 0.02
    load = LoadParams(mass=mass, drag=rub, breakaway=factor, stribeck_speed=slow)
    params = DirectParams(efficiency=1.0)
    axis = driven(params, load, [move(0.3, 0.6, "triangle"), move(-0.3, 0.6, "triangle")],
                  of_load=True)  # fmt: skip
    out = output_demand(axis)
    a = 4 * 0.3 / 0.6**2
    assert out.peak_torque == pytest.approx(factor * rub + mass * a, rel=1e-12)

    def friction(v):
        return rub + (factor - 1) * rub * math.exp(-((v / slow) ** 2))

    ramp = quad(lambda t: friction(a * t) * a * t, 0.0, 0.3, points=[0.01, 0.03], epsabs=1e-12)[0]
    assert out.friction_work == pytest.approx(4 * ramp, rel=1e-9)


def test_fading_friction_needs_its_static_value():
    with pytest.raises(FieldRangeError, match="breakaway is missing"):
        driven(DirectParams(), LoadParams(mass=1.0, stribeck_speed=0.01), [move(0.1, 1.0)],
               of_load=True)  # fmt: skip
