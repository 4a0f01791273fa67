"""Ramped moves against worked values and against closed forms."""

from math import inf, sqrt

import pytest

from dutyline.core.errors import RangeError
from dutyline.motion.laws import ramped_coefficients
from dutyline.motion.ramps import Limits, Profile, Ramp, chain, fastest, jerk_limited, timed

# Rest to rest, every degenerate case: distance, speed, accel, jerk -> t1, t2, t3, v_p, a_p, T.
# Derived by hand from the phase equations; the same durations come from the ruckig package
# (tests/property/test_motion_against_ruckig.py).
CASES = {
    "all seven": ((1.0, 1.0, 5.0, 50.0), (0.1, 0.1, 0.7, 1.0, 5.0, 1.3)),
    "no cruise": ((0.25, 1.0, 5.0, 50.0), (0.1, 0.0791287847, 0, 0.895643924, 5.0, 0.558257569)),
    "jerk only": (
        (0.05, 1.0, 5.0, 50.0),
        (0.0793700526, 0, 0, 0.314980262, 3.96850263, 0.31748021),
    ),
    "accel not reached": (
        (0.2, 0.3, 5.0, 50.0),
        (0.0774596669, 0, 0.511747333, 0.3, 3.87298335, 0.821586001),
    ),
    "speed just reached": ((0.3, 1.0, 5.0, 50.0), (0.1, 0.1, 0, 1.0, 5.0, 0.6)),
    "accel just reached": ((0.1, 1.0, 5.0, 50.0), (0.1, 0, 0, 0.5, 5.0, 0.4)),
    "low speed, jerk only": (
        (0.04, 0.3, 5.0, 50.0),
        (0.07368063, 0, 0, 0.271441762, 3.6840315, 0.29472252),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_degenerate_cases(case):
    (distance, speed, accel, jerk), (t1, t2, t3, top, peak, whole) = CASES[case]
    assert jerk_limited(distance, speed, accel, jerk) == pytest.approx((t1, t2, t3), abs=1e-9)
    profile = fastest(distance, Limits(accel, accel, jerk), speed)
    assert profile is not None
    assert profile.speed == pytest.approx(top, rel=1e-8)
    assert profile.top_acceleration == pytest.approx(peak, rel=1e-8)
    assert profile.duration == pytest.approx(whole, rel=1e-8)
    assert profile.distance == pytest.approx(distance, rel=1e-12)
    assert profile.top_jerk == pytest.approx(jerk, rel=1e-9)


@pytest.mark.parametrize("case", CASES)
def test_time_identity(case):
    """T = h/v_p + v_p/a_p + a_p/j with the peaks reached (arXiv 2511.12615)."""
    (distance, speed, accel, jerk), _ = CASES[case]
    profile = fastest(distance, Limits(accel, accel, jerk), speed)
    assert profile is not None
    top, peak = profile.speed, profile.top_acceleration
    assert profile.duration == pytest.approx(distance / top + top / peak + peak / jerk, rel=1e-12)


@pytest.mark.parametrize(("case", "count"), [("all seven", 7), ("no cruise", 6), ("jerk only", 4)])
def test_negligible_pieces_are_left_out(case, count):
    (distance, speed, accel, jerk), _ = CASES[case]
    profile = fastest(distance, Limits(accel, accel, jerk), speed)
    assert profile is not None
    assert len(profile.pieces()) == count
    assert all(piece.duration > 1e-12 * profile.duration for piece in profile.pieces())


def test_start_speed_and_cruise():
    """Biagiotti and Melchiorri, Trajectory Planning, Springer 2008, example 3.9, from memory.

    h 10, v0 1, v1 0, v 5, a 10, j 30: T_a 0.7333, T_v 1.1433, T_d 0.8333, T_j 0.3333 s.
    """
    profile = fastest(10.0, Limits(10.0, 10.0, 30.0), 5.0, before=1.0)
    assert profile is not None
    assert profile.first.duration == pytest.approx(0.7333, abs=1e-4)
    assert profile.cruise == pytest.approx(1.1433, abs=1e-4)
    assert profile.last.duration == pytest.approx(0.8333, abs=1e-4)
    assert profile.first.jerk_share * profile.first.duration == pytest.approx(0.3333, abs=1e-4)
    assert profile.duration == pytest.approx(2.71, rel=1e-9)


def test_triangle_with_end_speeds():
    """v_p = sqrt((2 a d h + d v0^2 + a v1^2)/(a + d)), derived from both ramp distances."""
    profile = fastest(1.0, Limits(2.0, 4.0), inf, 0.3, 0.1)
    assert profile is not None
    assert profile.speed == pytest.approx(1.65227116, rel=1e-8)
    assert profile.cruise == pytest.approx(0, abs=1e-12)
    assert profile.distance == pytest.approx(1.0, rel=1e-12)


def test_trapezoid_time():
    """T = h/v + (v/2)(1/a + 1/d), derived."""
    profile = fastest(2.0, Limits(4.0, 8.0), 1.5)
    assert profile is not None
    assert profile.duration == pytest.approx(2 / 1.5 + 0.75 * (1 / 4 + 1 / 8), rel=1e-12)


def test_distance_too_short_for_the_speed_change():
    """Half a metre is the least for 1 m/s at 1 m/s^2: v^2/(2a)."""
    assert fastest(0.49, Limits(1.0, 1.0), inf, 1.0, 0.0) is None
    assert fastest(0.51, Limits(1.0, 1.0), inf, 1.0, 0.0) is not None
    assert timed(0.49, 2.0, Limits(1.0, 1.0), 1.0, 0.0) is None


def test_slower_middle_between_two_speeds():
    """Start and end at 0.5 m/s, 1 m in 3 s: the mean of 1/3 m/s needs a slower middle."""
    profile = timed(1.0, 3.0, Limits(2.0, 2.0), 0.5, 0.5)
    assert profile is not None
    assert profile.speed < 1 / 3
    assert profile.distance == pytest.approx(1.0, rel=1e-12)
    assert profile.duration == pytest.approx(3.0, rel=1e-12)
    # (0.5 - v)^2/a + v T = h, the lower root of a quadratic
    assert (0.5 - profile.speed) ** 2 / 2 + 3 * profile.speed == pytest.approx(1.0, rel=1e-12)


def test_lower_speed_keeps_acceleration():
    """v = (a/2)[B - sqrt(B^2 - 4 h/a)], B = T - a/j: full case stretched to 2 s, 0.55924 m/s."""
    accel, jerk, time, distance = 5.0, 50.0, 2.0, 1.0
    profile = timed(distance, time, Limits(accel, accel, jerk))
    assert profile is not None
    rest = time - accel / jerk
    closed = accel / 2 * (rest - sqrt(rest**2 - 4 * distance / accel))
    assert profile.speed == pytest.approx(closed, rel=1e-13)
    assert profile.speed == pytest.approx(0.55924, abs=5e-6)
    assert profile.top_acceleration == pytest.approx(5.0, rel=1e-12)


def test_lower_speed_without_reaching_acceleration():
    """1 m in 6 s at 5 m/s^2 and 50 m/s^3: the root of h/v + 2 sqrt(v/j) = T."""
    profile = timed(1.0, 6.0, Limits(5.0, 5.0, 50.0))
    assert profile is not None
    assert profile.speed == pytest.approx(0.169969998, rel=1e-8)
    assert profile.top_acceleration == pytest.approx(2.91521867, rel=1e-8)
    assert 1 / profile.speed + 2 * sqrt(profile.speed / 50) == pytest.approx(6.0, rel=1e-12)


def test_stretched_case_scales_the_peaks():
    """1.3 s stretched to 2 s: v 0.65, a 2.1125, j 13.731 (1/k, 1/k^2, 1/k^3)."""
    quick = fastest(1.0, Limits(5.0, 5.0, 50.0), 1.0)
    assert quick is not None
    slow = quick.stretched(2.0 / 1.3)
    assert slow.speed == pytest.approx(0.65, rel=1e-12)
    assert slow.top_acceleration == pytest.approx(2.1125, rel=1e-12)
    assert slow.top_jerk == pytest.approx(13.731, abs=5e-4)


def test_root_mean_square_of_the_full_case():
    """2 a^2 (2 t1/3 + t2)/T = 2.5318^2 for a 5, t1 = t2 = 0.1, T 1.3."""
    quick = fastest(1.0, Limits(5.0, 5.0, 50.0), 1.0)
    assert quick is not None
    square = 0.0
    for piece in quick.pieces():
        a, b = piece.acceleration([0.0, piece.duration])
        square += (a * a + a * b + b * b) / 3 * piece.duration  # linear acceleration, exact
    assert sqrt(square / quick.duration) == pytest.approx(2.5318, abs=5e-5)


def test_unequal_ramps_with_jerk():
    profile = fastest(2.0, Limits(4.0, 1.0, 20.0), 1.2)
    assert profile is not None
    assert abs(profile.first.acceleration) == pytest.approx(4.0, rel=1e-12)
    assert abs(profile.last.acceleration) == pytest.approx(1.0, rel=1e-12)
    assert profile.first.duration == pytest.approx(1.2 / 4 + 4 / 20, rel=1e-12)
    assert profile.last.duration == pytest.approx(1.2 / 1 + 1 / 20, rel=1e-12)
    assert profile.distance == pytest.approx(2.0, rel=1e-12)


def test_kept_shape_of_ramps():
    ramp = Limits(5.0, 5.0, inf, 0.25).ramp(0.0, 1.5)
    assert ramp.duration == pytest.approx(1.5 / (5 * 0.75), rel=1e-12)
    assert ramp.acceleration == pytest.approx(5.0, rel=1e-12)


def test_profile_pieces_reach_the_end():
    profile = Profile(Ramp(0.2, 1.0, 0.4, 0.2), 0.3, Ramp(1.0, 0.5, 0.1, 0.0))
    last = profile.pieces(-1.0)[-1]
    assert last.end == pytest.approx(0.8, rel=1e-12)
    assert float(last.position(last.duration)) == pytest.approx(-profile.distance, rel=1e-12)
    assert float(last.speed(last.duration)) == pytest.approx(-0.5, rel=1e-12)


@pytest.mark.parametrize(
    "arguments",
    [(0, 1, 1, 1), (1, 0, 1, 1), (1, 1, -1, 1), (1, 1, 1, inf), (float("nan"), 1, 1, 1)],
)
def test_numbers_out_of_range_are_refused(arguments):
    with pytest.raises(RangeError):
        jerk_limited(*arguments)


def test_speed_capped_copper_optimum():
    """Parabolic flanks of 1.5 (T - h/v) at a speed cap of 1.3 h/T: rms 3.6082 h/T^2.

    Calculus of variations, derived: the mean square is (8/3) v^2/(t_f T). Any trapezoid under
    the same cap needs more.
    """
    cap, flank = 1.3, 1.5 * (1 - 1 / 1.3)
    start = 2 * cap / flank
    sections = [
        (flank, start, -start / flank),
        (1 - 2 * flank, 0.0, 0.0),
        (flank, 0.0, -start / flank),
    ]
    pieces = chain(sections, 0.0)
    assert float(pieces[-1].position(pieces[-1].duration)) == pytest.approx(1.0, rel=1e-12)
    square = sum(start**2 * flank / 3 for _ in range(2))
    assert flank == pytest.approx(0.346153846, rel=1e-8)
    assert sqrt(square) == pytest.approx(3.60822107, rel=1e-8)
    share = 1 - 1 / cap
    assert ramped_coefficients(share, share).rms > sqrt(square)
