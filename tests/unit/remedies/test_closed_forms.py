"""Remedies, limits and ratios of a pure inertia, where all of it is known in closed form.

Peak torque goes with inertia over the square of the time (Newton's second law); over a lossless
ratio it is least at the square root of the inertias' ratio (Khurmi and Gupta, Theory of Machines,
ch. 3).
"""

import math

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import Gearhead
from dutyline.checks.verdict import verify
from dutyline.remedies.advice import advised
from dutyline.remedies.band import ratio_band, ratio_trials
from dutyline.remedies.levers import levers_of
from dutyline.remedies.probe import Goal, Probe
from dutyline.remedies.ranges import answers, effects
from support import pure_inertia as flywheel

pytestmark = pytest.mark.slow

LINE = demo_line()
WHOLE = Goal(whole=True)
BARE = Gearhead("", ratio=1.0, efficiency=1.0, inertia_in=0.0, no_load_torque=0.0, mass=0.0)


def probe_of(inertia: float, time: float) -> Probe:
    return Probe(flywheel.axis(inertia, time), LINE, flywheel.PARTS)


@pytest.mark.parametrize(("inertia", "time"), [(0.004, 0.3), (0.02, 0.3), (0.004, 0.12)])
def test_shortest_time_and_largest_inertia(inertia, time):
    """From either side: what meets is driven to its end, what fails is brought back to it."""
    probe = probe_of(inertia, time)
    found = {a.field: a for a in answers(probe, levers_of(probe.axis), WHOLE)}
    assert found["phase.turn.time"].value == pytest.approx(flywheel.shortest(inertia), rel=1e-6)
    assert found["load.inertia"].value == pytest.approx(flywheel.heaviest(time), rel=1e-6)
    assert {a.binds for a in found.values()} == {"Peak torque"}


def test_the_remedy_is_the_closed_form_rounded_outward():
    inertia, time = 0.004, 0.12
    verdict = verify(flywheel.axis(inertia, time), LINE, flywheel.PARTS)
    line = next(ln for ln in advised(verdict).ledger if ln.check == "peak-torque")
    assert line.state == "fails"
    found = {r.field: r.after for r in line.remedies}
    assert found["phase.turn.time"] == f"{math.ceil(flywheel.shortest(inertia) * 500) / 500:.3f} s"
    limit = flywheel.heaviest(time)
    assert found["load.inertia"] == f"{math.floor(limit / 5e-5) * 5e-5:.4f} kg*m^2"


def test_slopes_are_the_exponents():
    """Used share u = c J/T**2: du per share of T is -2u, per share of the wheel u J_L/J."""
    inertia, time = 0.02, 0.3
    probe = probe_of(inertia, time)
    used = flywheel.acceleration(time) * (inertia + flywheel.MOTOR.inertia)
    used /= flywheel.MOTOR.torque_peak
    found = {e.field: e.slope for e in effects(probe, levers_of(probe.axis), WHOLE)}
    slope = found["phase.turn.time"]
    assert (slope.less_check, slope.more_check) == ("Peak torque", "Peak torque")
    nudge = 0.005
    assert slope.more == pytest.approx(used * (1 - 1.005**-2) / nudge, rel=1e-6)
    assert slope.less == pytest.approx(used * (1 - 0.995**-2) / nudge, rel=1e-6)
    wheel = used * inertia / (inertia + flywheel.MOTOR.inertia)
    slope = found["load.inertia"]
    assert (slope.less, slope.more) == pytest.approx((wheel, -wheel), rel=1e-6)


@pytest.mark.parametrize("inertia", [0.004, 0.02, 0.1])
def test_the_analytic_optimum_is_where_torque_is_least(inertia):
    """Against a general minimiser over the very calculation."""
    probe = probe_of(inertia, 3.0)
    band = ratio_band(probe, [])
    assert band is not None
    expected = math.sqrt(inertia / flywheel.MOTOR.inertia)
    assert band.inertia_optimum == pytest.approx(expected, rel=1e-12)
    assert band.rms_optimum == pytest.approx(expected, rel=1e-9)

    def peak(log_ratio: float) -> float:
        trial = ratio_trials(probe, BARE, np.array([math.exp(log_ratio)]))[0]
        return float(trial.at_motor(trial.motor_side.peak[0])[0])

    def rms(log_ratio: float) -> float:
        trial = ratio_trials(probe, BARE, np.array([math.exp(log_ratio)]))[0]
        return float(trial.at_motor(trial.motor_side.rms_torque)[0])

    for torque in (peak, rms):
        best = minimize_scalar(torque, bracket=(0.0, 4.0), method="brent")
        assert math.exp(best.x) == pytest.approx(expected, rel=1e-5)


def test_the_band_ends_where_the_torque_does():
    """(J_M i + J_L/i) a = T has two roots; the lower one is inside of the curve's flat part."""
    inertia, time = 0.1, 0.3
    probe = probe_of(inertia, time)
    band = ratio_band(probe, [])
    assert band is not None
    a, rotor, allowed = flywheel.acceleration(time), flywheel.MOTOR.inertia, flywheel.allowed()
    root = math.sqrt(allowed**2 - 4 * rotor * inertia * a**2)
    lower = (allowed - root) / (2 * rotor * a)
    assert band.bands[0][0] == pytest.approx(lower, rel=1e-5)
    top = flywheel.MOTOR.speed_max * (1 - 0.05) / (1.5 * flywheel.ANGLE / time)
    assert band.bands[0][1] <= top * (1 + 1e-6)
