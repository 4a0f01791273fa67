"""A cycle against boundaries over speed: cases that a hand can solve."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from dutyline.catalogue.boundaries import Boundary
from dutyline.demand.limits import continuous_limit, limit_at_mean_speed, worst_point
from dutyline.demand.output import output_demand
from dutyline.train.records import Burden, Load
from support import axes
from support.cycles import shaft

ONE = np.zeros(1, dtype=np.intp)


def spun(friction: float = 0.0):
    """A flywheel of 0.05 kg m^2 up to 100 rad/s in 1 s and down again: 5 N m either way."""
    load = Load(False, Burden(inertia=0.05, friction=friction))
    phases = [axes.move(100.0, 2.0, "triangle"), axes.move(-100.0, 2.0, "triangle")]
    return output_demand(axes.make(load, [], phases))


def boundary(*points):
    speed, torque = zip(*points, strict=True)
    return [Boundary(np.array(speed, dtype=float), np.array(torque, dtype=float), "made up")]


def use(out, shelf, shafts=None):
    point = worst_point(out, shaft() if shafts is None else shafts, shelf, ONE)
    return float(point.torque[0] / point.limit[0]) if point.limit[0] else np.inf


def test_flat_boundary():
    """5 N m of 8."""
    assert use(spun(), boundary((0, 8), (200, 8))) == pytest.approx(5 / 8, rel=1e-12)


def test_falling_boundary_counts_at_the_top_speed():
    """At 100 rad/s a line from 10 to 4 N m over 150 rad/s has 6 left."""
    out = spun()
    assert use(out, boundary((0, 10), (150, 4))) == pytest.approx(5 / 6, rel=1e-9)
    point = worst_point(out, shaft(), boundary((0, 10), (150, 4)), ONE)
    assert float(point.speed[0]) == pytest.approx(100.0, rel=1e-9)


def test_nothing_is_left_beyond_the_end():
    """A curve that ends at 90 rad/s carries no torque at 100."""
    assert use(spun(), boundary((0, 10), (90, 9))) == np.inf


def test_end_of_the_curve_itself_still_carries():
    """At exactly the last speed the last torque counts."""
    assert use(spun(), boundary((0, 10), (100, 8))) == pytest.approx(5 / 8, rel=1e-9)


def test_ratio_divides_torque_and_multiplies_speed():
    """Behind 2:1 without inertia or loss: 2.5 N m at 200 rad/s."""
    point = worst_point(spun(), shaft(2.0), boundary((0, 10), (300, 4)), ONE)
    assert float(point.torque[0]) == pytest.approx(2.5, rel=1e-12)
    assert float(point.speed[0]) == pytest.approx(200.0, rel=1e-9)
    assert float(point.limit[0]) == pytest.approx(6.0, rel=1e-9)


def test_friction_moves_the_worst_point_to_the_drive_side():
    """5 + 1 N m while speeding up, 5 - 1 while braking."""
    assert use(spun(1.0), boundary((0, 8), (200, 8))) == pytest.approx(6 / 8, rel=1e-12)


def test_notch_of_a_boundary_is_found():
    """5 N m pass a knot of 5.2 N m at 50 rad/s between knots of 10: the share there is 0.96."""
    shelf = boundary((0, 10), (49.5, 10), (50, 5.2), (50.5, 10), (200, 10))
    assert use(spun(), shelf) == pytest.approx(5 / 5.2, rel=1e-6)


@pytest.mark.parametrize("at", [5.0, 17.3, 49.99, 77.7, 99.9])
@pytest.mark.parametrize("width", [1e-6, 0.01, 3.0])
def test_any_notch_of_a_boundary_is_found(at, width):
    """However narrow and wherever: the lowest knot counts, at its own speed."""
    out = spun()
    shelf = boundary((0, 10), (at - width, 10), (at, 5.2), (at + width, 10), (200, 10))
    point = worst_point(out, shaft(), shelf, ONE)
    assert float(point.torque[0] / point.limit[0]) == pytest.approx(5 / 5.2, rel=1e-6)
    assert float(point.speed[0]) == pytest.approx(at, rel=1e-9)


@pytest.mark.parametrize("slope", [-0.05, 0.03])
def test_nearest_point_between_knots(slope):
    """J a(t) over p + q w(t) of a cubic move, largest in its midst: against scipy.

    The speed is 6 h t (T - t)/T^3 and the acceleration 6 h (T - 2 t)/T^3, h = 100 rad, T = 2 s.
    """
    load = Load(False, Burden(inertia=0.05, viscous=0.08))
    out = output_demand(
        axes.make(load, [], [axes.move(100.0, 2.0, "cubic"), axes.dwell(1.0)], endless=True)
    )

    def shared(t):
        speed, rise = 75.0 * t * (2 - t), 75.0 * (2 - 2 * t)
        return (0.05 * rise + 0.08 * speed) / (12.0 + slope * speed)

    best = minimize_scalar(lambda t: -shared(t), bounds=(0, 2), method="bounded",
                           options={"xatol": 1e-10})  # fmt: skip
    assert shared(0) < -best.fun
    found = use(out, boundary((0, 12), (100, 12 + 100 * slope)))
    assert found == pytest.approx(-best.fun, rel=1e-9)


def test_missing_boundary_is_no_number():
    """nan, never a share."""
    point = worst_point(spun(), shaft(), [None], ONE)
    assert np.isnan(point.torque[0])
    assert np.isnan(point.limit[0])
    assert np.isnan(continuous_limit(spun(), shaft(), [None], ONE)[0])


def test_continuous_limit_of_a_straight_line():
    """Speeds from 0 to 100 all last equally long, so mean T_c^2 = (a^2 + ab + b^2)/3."""
    found = continuous_limit(spun(), shaft(), boundary((0, 4), (100, 2)), ONE)
    assert float(found[0]) ** 2 == pytest.approx((16 + 8 + 4) / 3, rel=1e-12)


def test_continuous_limit_with_a_knee():
    """4 N m up to 60 rad/s, then down to 1 at 100: 0.6 at 16 and 0.4 at (16 + 4 + 1)/3."""
    found = continuous_limit(spun(), shaft(), boundary((0, 4), (60, 4), (100, 1)), ONE)
    assert float(found[0]) ** 2 == pytest.approx(0.6 * 16 + 0.4 * 7, rel=1e-12)


def test_continuous_limit_at_rest_is_that_of_standstill():
    """A pause counts with the torque at speed zero."""
    load = Load(False, Burden(inertia=0.05))
    phases = [
        axes.move(100.0, 2.0, "triangle"),
        axes.dwell(2.0),
        axes.move(-100.0, 2.0, "triangle"),
    ]
    out = output_demand(axes.make(load, [], phases))
    found = continuous_limit(out, shaft(), boundary((0, 4), (100, 2)), ONE)
    assert float(found[0]) ** 2 == pytest.approx((4 * 28 / 3 + 2 * 16) / 6, rel=1e-12)


def test_limit_at_mean_speed():
    """The mean of a triangle is half its top: 50 rad/s, 3 N m; optimistic, as it must be."""
    out, shelf = spun(), boundary((0, 4), (60, 4), (100, 1))
    plain = float(limit_at_mean_speed(out, shaft(), shelf, ONE)[0])
    assert plain == pytest.approx(4.0, rel=1e-12)
    assert plain > float(continuous_limit(out, shaft(), shelf, ONE)[0])
