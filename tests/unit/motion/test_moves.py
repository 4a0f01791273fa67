"""Any sufficient data make one move; contradictions are refused with the numbers named."""

from itertools import combinations
from math import isclose

import numpy as np
import pytest

from dutyline.motion.faults import MotionFault
from dutyline.motion.laws import coefficients
from dutyline.motion.moves import complete_move
from dutyline.motion.specs import LAWS, PhaseSpec


def move(by=None, before=0.0, **stated):
    return complete_move(PhaseSpec(do="move", **stated), by, before, linear=True)


def refused(by=None, before=0.0, **stated):
    with pytest.raises(MotionFault) as caught:
        move(by, before, **stated)
    return caught.value


# One trapezoid seen from every side: 0.6 m in 1 s with ramps of 0.25 s,
# v = h/(T - t_a) = 0.8 m/s, a = v/t_a = 3.2 m/s^2 (plain kinematics).
TRAPEZOID = {"by": 0.6, "time": 1.0, "speed": 0.8, "accel": 3.2}


@pytest.mark.parametrize("names", [*combinations(TRAPEZOID, 3), tuple(TRAPEZOID)])
def test_three_data_make_the_same_trapezoid(names):
    done = move(**{name: TRAPEZOID[name] for name in names})
    assert done.distance == pytest.approx(0.6, rel=1e-12)
    assert done.duration == pytest.approx(1.0, rel=1e-12)
    assert done.top_speed == pytest.approx(0.8, rel=1e-12)
    assert done.top_acceleration == pytest.approx(3.2, rel=1e-12)


# One s-curve seen from every side: v 1 m/s, a 5 m/s^2, j 50 m/s^3 over 1 m take 1.3 s.
S_CURVE = {"by": 1.0, "time": 1.3, "speed": 1.0, "accel": 5.0, "jerk": 50.0}


@pytest.mark.parametrize("names", [*combinations(S_CURVE, 4), tuple(S_CURVE)])
def test_four_data_make_the_same_s_curve(names):
    done = move(law="s-curve", **{name: S_CURVE[name] for name in names})
    assert done.distance == pytest.approx(1.0, rel=1e-9)
    assert done.duration == pytest.approx(1.3, rel=1e-9)
    assert done.top_speed == pytest.approx(1.0, rel=1e-9)
    assert done.top_acceleration == pytest.approx(5.0, rel=1e-9)
    assert float(done.pieces[0].derivative(3, 0.0)) == pytest.approx(50.0, rel=1e-9)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("names", [("by", "time"), ("by", "speed"), ("by", "accel"),
                                   ("time", "speed"), ("time", "accel")])  # fmt: skip
def test_pairs_take_the_published_shape(law, names):
    """h 0.3 m, T 0.6 s: v = C_v h/T, a = C_a h/T^2 with the coefficients of the law."""
    c = coefficients(law)
    whole = {
        "by": 0.3,
        "time": 0.6,
        "speed": c.speed * 0.3 / 0.6,
        "accel": c.acceleration * 0.3 / 0.36,
    }
    done = move(law=law, **{name: whole[name] for name in names})
    assert done.distance == pytest.approx(0.3, rel=1e-9)
    assert done.duration == pytest.approx(0.6, rel=1e-9)
    assert done.top_speed == pytest.approx(whole["speed"], rel=1e-9)
    assert done.top_acceleration == pytest.approx(whole["accel"], rel=1e-9)


@pytest.mark.parametrize("law", [law for law in LAWS if coefficients(law).jerk < 1e9])
def test_distance_and_jerk(law):
    jerk = coefficients(law).jerk * 0.3 / 0.6**3
    shape = {"jerk_share": 0.1} if law == "s-curve" else {}
    done = move(0.3, law=law, jerk=jerk, **shape)
    assert done.duration == pytest.approx(0.6, rel=1e-9)


def test_fixed_law_from_speed_and_acceleration_alone():
    c = coefficients("cycloid")
    done = move(law="cycloid", speed=c.speed * 0.5, accel=c.acceleration * 0.3 / 0.36)
    assert (done.distance, done.duration) == pytest.approx((0.3, 0.6), rel=1e-12)


def test_thirds_where_nothing_else_is_stated():
    """v = 1.5 h/T, a = 4.5 h/T^2 (servo design texts, from memory)."""
    done = move(-0.3, time=0.6)
    assert done.top_speed == pytest.approx(0.75)
    assert done.top_acceleration == pytest.approx(3.75)
    assert done.distance == -0.3
    assert "third" in done.note


def test_triangle_peaks_at_twice_the_mean():
    done = move(0.3, time=0.6, law="triangle")
    assert (done.top_speed, done.top_acceleration) == pytest.approx((1.0, 4 * 0.3 / 0.36))
    assert len(done.pieces) == 2


def test_triangle_from_unequal_accelerations():
    """The speed rises over d/(a + d) of the time: h = v T/2 and v = a t_a = d t_d."""
    done = move(0.3, accel=2.0, decel=4.0, law="triangle")
    top = done.top_speed
    assert done.pieces[0].duration == pytest.approx(top / 2.0, rel=1e-9)
    assert done.pieces[1].duration == pytest.approx(top / 4.0, rel=1e-9)
    assert top * done.duration / 2 == pytest.approx(0.3, rel=1e-12)


def test_triangle_from_ramp_times():
    done = move(0.3, accel_time=0.2, decel_time=0.1, law="triangle")
    assert done.duration == pytest.approx(0.3)
    assert done.top_speed == pytest.approx(2.0)
    other = move(0.3, time=0.3, accel_time=0.2, law="triangle")
    assert [p.duration for p in other.pieces] == pytest.approx([0.2, 0.1])
    mixed = move(0.3, accel_time=0.2, decel_share=1 / 3, law="triangle")
    assert mixed.duration == pytest.approx(0.3)


def test_ramp_times_and_shares():
    done = move(0.6, time=1.0, accel_time=0.25)
    assert done.top_speed == pytest.approx(0.8)
    assert done.top_acceleration == pytest.approx(3.2)
    done = move(0.6, time=1.0, accel_share=0.1, decel_share=0.5)
    assert done.top_speed == pytest.approx(0.6 / 0.7)  # v = h/(T (1 - (p_a + p_d)/2))
    assert [p.duration for p in done.pieces] == pytest.approx([0.1, 0.4, 0.5])
    done = move(0.6, speed=0.8, accel_time=0.25)
    assert done.duration == pytest.approx(1.0)
    done = move(0.6, accel=3.2, accel_time=0.25)
    assert done.duration == pytest.approx(1.0)
    done = move(speed=0.8, accel=3.2, accel_share=0.25)
    assert (done.distance, done.duration) == pytest.approx((0.6, 1.0))


def test_unequal_accelerations_meet_speed_and_time():
    """T = h/v + (v/2)(1/a + 1/d)."""
    time = 0.6 / 0.8 + 0.4 * (1 / 3.2 + 1 / 6.4)
    done = move(0.6, time=time, speed=0.8, accel=3.2, decel=6.4)
    assert [p.duration for p in done.pieces] == pytest.approx([0.25, time - 0.375, 0.125])


def test_jerk_share_of_a_half_leaves_no_constant_acceleration():
    done = move(0.3, time=0.6, law="s-curve", jerk_share=0.5)
    assert len(done.pieces) == 5
    assert done.top_acceleration == pytest.approx(2 * 4.5 * 0.3 / 0.36)


def test_jerk_time_is_a_tenth_of_the_ramp_by_default():
    """Jerk of ten times acceleration over ramp time: common practice, no source."""
    done = move(0.3, time=0.6, law="s-curve")
    assert done.pieces[0].duration == pytest.approx(0.02)
    assert float(done.pieces[0].derivative(3, 0.0)) == pytest.approx(
        10 * done.top_acceleration / 0.2
    )


def test_speed_that_is_not_reached_is_told():
    done = move(0.1, speed=2.0, accel=5.0)
    assert done.top_speed == pytest.approx((5.0 * 0.1) ** 0.5)
    assert "not reached" in done.note


def test_scale():
    """1.3 s stretched to 2 s: v 0.65 m/s, a 2.1125 m/s^2 (1/k, 1/k^2)."""
    limits = {"speed": 1.0, "accel": 5.0, "jerk": 50.0, "law": "s-curve"}
    done = move(1.0, time=2.0, fit="scale", **limits)
    assert (done.top_speed, done.top_acceleration) == pytest.approx((0.65, 2.1125))
    assert done.duration == pytest.approx(2.0, rel=1e-14)


def test_lower_speed():
    limits = {"speed": 1.0, "accel": 5.0, "jerk": 50.0, "law": "s-curve"}
    done = move(1.0, time=2.0, fit="lower-speed", **limits)
    assert done.top_speed == pytest.approx(0.559236346, rel=1e-8)
    assert done.top_acceleration == pytest.approx(5.0)
    done = move(1.0, time=6.0, fit="lower-speed", **limits)
    assert done.top_speed == pytest.approx(0.169969998, rel=1e-8)
    assert done.top_acceleration == pytest.approx(2.91521867, rel=1e-8)


def test_shares_keep_the_shape_below_the_limits():
    done = move(0.6, time=2.0, fit="shares", speed=1.0, accel=5.0, accel_share=0.25)
    assert [p.duration for p in done.pieces] == pytest.approx([0.5, 1.0, 0.5])


@pytest.mark.parametrize("fit", ["scale", "lower-speed"])
def test_shortest_time_is_quoted(fit):
    """1 m within 1 m/s, 5 m/s^2 and 50 m/s^3 takes 1.3 s at least."""
    limits = {"speed": 1.0, "accel": 5.0, "jerk": 50.0, "law": "s-curve"}
    fault = refused(1.0, time=1.2, fit=fit, **limits)
    assert fault.field == "time"
    assert "1.3 s" in fault.read


def test_shortest_time_of_a_kept_shape_is_quoted():
    """h 0.6 m, thirds: v = 1.5 h/T <= 0.6 m/s needs 1.5 s."""
    fault = refused(0.6, time=1.0, fit="shares", speed=0.6, accel=50.0)
    assert "1.5 s" in fault.read
    fault = refused(0.6, time=1.0, fit="scale", speed=0.6, law="quintic")
    assert "1.875 s" in fault.read


def test_time_too_short_quotes_time_and_acceleration():
    """a T^2 >= 4 h: 0.3 m at 2 m/s^2 needs 0.775 s; 0.5 s needs 4.8 m/s^2."""
    fault = refused(0.3, time=0.5, accel=2.0)
    assert fault.field == "time"
    assert "0.774597 s" in fault.read
    assert "4.8 m/s^2" in fault.remedy


def test_contradiction_names_all_numbers():
    fault = refused(0.6, time=1.0, speed=0.8, accel=3.3)
    assert fault.field == "accel"
    for number in ("by 0.6 m", "time 1 s", "speed 0.8 m/s", "accel 3.3 m/s^2", "3.2 m/s^2"):
        assert number in fault.read
    fault = refused(0.6, time=1.0, speed=0.5)
    assert "0.6 m/s" in fault.read  # the mean speed
    fault = refused(0.6, time=1.0, speed=1.3)
    assert "by 0.6 m, time 1 s and speed 1.3 m/s" in fault.read
    fault = refused(0.3, time=0.6, accel=4.0, law="quintic")
    for number in ("by 0.3 m", "time 0.6 s", "accel 4 m/s^2", "4.81125 m/s^2"):
        assert number in fault.read


def test_agreement_up_to_a_millionth():
    assert isclose(move(0.6, time=1.0, speed=0.8, accel=3.2 * (1 + 5e-7)).duration, 1.0)
    assert refused(0.6, time=1.0, speed=0.8, accel=3.2 * (1 + 5e-6)).field == "accel"


def test_rotary_faults_speak_of_radians():
    spec = PhaseSpec(do="move", time=1.0, speed=0.5)
    with pytest.raises(MotionFault, match=r"rad/s"):
        complete_move(spec, 1.0, 0.0, linear=False)


@pytest.mark.parametrize(
    ("by", "stated", "field"),
    [
        (0.3, {}, "time"),
        (None, {"time": 1.0}, "by"),
        (None, {"speed": 1.0, "accel": 2.0}, "by"),
        (0.3, {"law": "s-curve"}, "time"),
        (0.3, {"law": "quintic"}, "time"),
        (None, {"time": 1.0, "law": "quintic"}, "by"),
        (0.3, {"time": 1.0, "law": "bang"}, "law"),
        (0.3, {"time": 1.0, "fit": "tight"}, "fit"),
        (0.3, {"time": 1.0, "accel": -1.0}, "accel"),
        (0.3, {"time": 1.0, "decel": 0.0}, "decel"),
        (0.3, {"time": 1.0, "accel": float("nan")}, "accel"),
        (0.3, {"time": 1.0, "jerk": float("inf"), "law": "s-curve"}, "jerk"),
        (0.3, {"time": 1.0, "speed": 0.0}, "speed"),
        (0.3, {"accel": 1.0, "speed": -1.0}, "speed"),
        (0.3, {"time": 1.0, "accel_share": 1.0}, "accel_share"),
        (0.3, {"time": 1.0, "accel_share": 0.7}, "accel_share"),
        (0.3, {"time": 1.0, "accel_time": 0.3, "accel_share": 0.5}, "accel_share"),
        (0.3, {"time": 1.0, "accel_time": 0.6}, "accel_time"),
        (0.3, {"time": 1.0, "accel_time": 1.2, "law": "triangle"}, "accel_time"),
        (
            0.3,
            {"time": 1.0, "accel_share": 0.3, "decel_share": 0.3, "law": "triangle"},
            "decel_share",
        ),
        (0.3, {"time": 1.0, "accel_time": 0.3, "decel_time": 0.3, "law": "triangle"}, "decel_time"),
        (0.3, {"time": 1.0, "jerk_share": 0.6, "law": "s-curve"}, "jerk_share"),
        (0.3, {"time": 1.0, "jerk_share": 0.1}, "jerk_share"),
        (0.3, {"time": 1.0, "jerk": 10.0}, "jerk"),
        (0.3, {"time": 1.0, "jerk": 10.0, "law": "cubic"}, "jerk"),
        (0.3, {"time": 1.0, "accel_time": 0.1, "law": "cycloid"}, "accel_time"),
        (0.3, {"time": 1.0, "end_speed": 0.1, "law": "cycloid"}, "law"),
        (0.3, {"end_speed": 0.1, "speed": 1.0, "law": "quintic"}, "time"),
        (0.3, {"time": 1.0, "end_speed": -0.1}, "end_speed"),
        (0.3, {"time": 1.0, "accel": 5.0, "end_speed": 0.1, "fit": "scale"}, "fit"),
        (0.3, {"time": 1.0, "speed": 1.0, "fit": "lower-speed"}, "fit"),
        (0.1, {"accel": 1.0, "end_speed": 1.0}, "by"),
        (0.3, {"time": 3.0, "accel_share": 0.5, "end_speed": 1.0}, "time"),
        (0.0, {}, "by"),
        (0.0, {"time": 1.0, "end_speed": 0.5}, "by"),
        (None, {"time": 0.3, "speed": 1.0, "accel": 2.0}, "time"),
    ],
)
def test_what_cannot_be_made_is_refused_at_its_field(by, stated, field):
    fault = refused(by, **stated)
    assert fault.field == field
    assert fault.read.endswith(".")


def test_no_distance_stands_still():
    done = move(0.0, time=0.4)
    assert done.duration == 0.4
    assert done.pieces[0].at_rest


def test_quintic_between_speeds_turns_back_where_it_must():
    done = move(0.1, before=-0.2, time=1.0, end_speed=0.3, law="quintic")
    (piece,) = done.pieces
    assert float(piece.speed(0.0)) == pytest.approx(-0.2)
    assert float(piece.speed(1.0)) == pytest.approx(0.3)
    assert float(piece.position(1.0)) == pytest.approx(0.1)
    assert refused(0.1, before=-0.2, time=1.0, end_speed=0.3, accel=0.1, law="quintic").field


def test_end_speeds_of_ramped_moves():
    done = move(1.0, before=0.3, accel=2.0, decel=4.0, end_speed=0.1)
    # without a speed the ramps are thirds only from rest to rest; here the limits decide
    assert done.top_speed == pytest.approx(1.65227116, rel=1e-8)
    done = move(-1.0, before=-0.3, accel=2.0, decel=4.0, end_speed=-0.1)
    assert done.top_speed == pytest.approx(1.65227116, rel=1e-8)
    assert float(done.pieces[0].speed(0.0)) == -0.3
    done = move(1.0, before=0.5, time=3.0, accel=2.0, end_speed=0.5)
    assert float(done.pieces[1].speed(0.0)) < 0.5


def test_only_what_is_stated_is_held_against_the_move():
    """Ramps of 0.2 and 0.4 of the time: accel 4 m/s^2 makes decel 2, which nobody stated."""
    done = move(0.7, accel=4.0, accel_share=0.2, decel_share=0.4)
    peaks = [abs(float(p.acceleration(0.0))) for p in done.pieces]
    assert peaks == pytest.approx([4.0, 0.0, 2.0])
    fault = refused(0.7, accel=4.0, decel=4.0, accel_share=0.2, decel_share=0.4)
    assert "decel would be 2 m/s^2" in fault.read
    done = move(0.7, decel=2.0, accel_share=0.2, decel_share=0.4)
    assert done.top_acceleration == pytest.approx(4.0)


def test_jerk_share_follows_from_a_stated_ramp():
    """Ramps of 0.3 s to 1 m/s: a = v/(t_r - t_j), j = a/t_j; 5 m/s^2 leaves t_j 0.1 s."""
    stated = {"time": 1.3, "accel_time": 0.3, "law": "s-curve"}
    for more in ({"accel": 5.0}, {"jerk": 50.0}, {"accel": 5.0, "jerk": 50.0}):
        done = move(1.0, **stated, **more)
        assert done.top_speed == pytest.approx(1.0)
        assert done.pieces[0].duration == pytest.approx(0.1)
    assert refused(1.0, **stated, jerk=5.0).field == "jerk"  # needs 4 v/t^2 = 44.4
    done = move(time=1.3, accel_time=0.3, accel=5.0, jerk=50.0, law="s-curve")
    assert (done.distance, done.top_speed) == pytest.approx((1.0, 1.0))
    done = move(time=1.3, accel_time=0.3, jerk=50.0, jerk_share=1 / 3, law="s-curve")
    assert (done.distance, done.top_speed) == pytest.approx((1.0, 1.0))


def test_jerk_that_speed_and_time_do_not_allow():
    """1 m in 1.3 s at 1 m/s has ramps of 0.3 s: at least 4 v/t^2 = 44.4 m/s^3."""
    stated = {"time": 1.3, "speed": 1.0, "law": "s-curve"}
    assert move(1.0, **stated, jerk=44.45).top_speed == pytest.approx(1.0)
    assert refused(1.0, **stated, jerk=44.4).field == "jerk"


def test_time_that_end_speeds_do_not_allow():
    """From 1 to 1 m/s at 1 m/s^2 over 2 m: stopping on the way takes 1 m and waits."""
    fault = refused(0.9, before=1.0, time=9.0, accel=1.0, end_speed=1.0)
    assert (fault.field, "too long" in fault.read) == ("time", True)
    fault = refused(0.2, before=1.0, time=9.0, accel=1.0)
    assert (fault.field, "0.5 m" in fault.read) == ("by", True)
    assert refused(0.9, before=1.0, time=0.5, accel=1.0, fit="lower-speed").field == "time"


def test_constant_speed_between_two_moves():
    done = move(1.0, before=0.5, time=2.0, speed=0.5, end_speed=0.5)
    assert len(done.pieces) == 1
    assert refused(1.0, before=0.5, time=1.9, speed=0.5, end_speed=0.5).field == "speed"


def test_shares_between_end_speeds():
    limits = {"accel": 5.0, "end_speed": 0.5, "fit": "shares"}
    assert move(1.0, before=0.5, time=1.0, **limits).duration == pytest.approx(1.0)
    assert refused(1.0, before=0.5, time=0.4, **limits).field == "time"


def test_a_cubic_move_below_a_speed_is_the_one_of_least_copper_loss():
    """Against a search over 48 steps of the speed by scipy: no other way to go takes less."""
    from scipy.optimize import minimize

    done = move(-0.5, time=0.8, speed=0.8, law="cubic", fit="lower-speed")
    ends = [float(piece.position(piece.duration)) for piece in done.pieces]
    assert ends[-1] == pytest.approx(-0.5, rel=1e-12)
    for before, after in zip(done.pieces, done.pieces[1:], strict=False):
        for order in (0, 1):
            end = float(before.derivative(order, before.duration))
            assert float(after.derivative(order, 0.0)) == pytest.approx(end, abs=1e-12)
    nodes, weights = np.polynomial.legendre.leggauss(6)
    loss = sum(
        float(weights @ piece.acceleration(piece.duration * (nodes + 1) / 2) ** 2)
        * piece.duration / 2
        for piece in done.pieces
    )  # fmt: skip
    count, step = 48, 0.8 / 48
    rise = lambda v: np.diff(np.concatenate([[0.0], v, [0.0]]))  # noqa: E731
    found = minimize(
        lambda v: float(rise(v) @ rise(v)) / step,
        np.full(count - 1, 0.6),
        jac=lambda v: -2 * np.diff(rise(v)) / step,
        bounds=[(0.0, 0.8)] * (count - 1),
        constraints={"type": "eq", "fun": lambda v: v.sum() * step - 0.5},
        method="SLSQP",
        options={"maxiter": 400, "ftol": 1e-12},
    )
    assert found.success
    assert loss == pytest.approx(found.fun, rel=5e-3)


def test_a_speed_that_does_not_bind_leaves_the_cubic_move():
    free = move(0.5, time=0.8, law="cubic")
    assert move(0.5, time=0.8, speed=0.95, law="cubic", fit="lower-speed").pieces == free.pieces
    with pytest.raises(MotionFault, match="at least"):
        move(0.5, time=0.8, speed=0.6, law="cubic", fit="lower-speed")
    with pytest.raises(MotionFault):
        move(0.5, time=0.8, speed=0.8, accel=2.0, law="cubic", fit="lower-speed")
