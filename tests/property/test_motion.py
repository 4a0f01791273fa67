"""What holds for every motion: closure, continuity, mirror images, splits and limits."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from dutyline.motion.cycle import build_cycle
from dutyline.motion.faults import MotionFaults
from dutyline.motion.laws import coefficients
from dutyline.motion.moves import complete_move
from dutyline.motion.ramps import Limits, fastest, jerk_limited, timed
from dutyline.motion.specs import LAWS, PhaseSpec

distances = st.floats(1e-3, 50.0)
times = st.floats(1e-2, 100.0)
signs = st.sampled_from([1.0, -1.0])
laws = st.sampled_from(LAWS)
limits = st.tuples(st.floats(1e-2, 10), st.floats(1e-1, 100), st.floats(1.0, 1e4))
smooth_laws = [law for law in LAWS if coefficients(law).jerk < 1e9]


@st.composite
def cycles(draw):
    """Moves there and back in any law, dwells between, closed by a last move to the start."""
    specs = []
    for _ in range(draw(st.integers(1, 4))):
        distance = draw(distances) * draw(signs)
        specs.append(PhaseSpec(do="move", by=distance, time=draw(times), law=draw(laws)))
        if draw(st.booleans()):
            specs.append(PhaseSpec(do="dwell", time=draw(times)))
    specs.append(PhaseSpec(do="move", to=0.0, time=draw(times), law=draw(laws)))
    return build_cycle(specs, linear=True)


def gaps(cycle, order):
    """Jumps between the pieces, the last one followed by the first."""
    ends = np.array([float(p.derivative(order, p.duration)) for p in cycle.pieces])
    starts = np.array([float(p.derivative(order, 0.0)) for p in cycle.pieces])
    return ends - np.roll(starts, -1)


@given(cycles())
def test_cycle_is_closed_and_continuous(cycle):
    places = [abs(float(p.position(0.0))) for p in cycle.pieces]
    speeds = [phase.top_speed for phase in cycle.phases]
    assert np.abs(gaps(cycle, 0)).max() <= 1e-9 * max(places)
    assert np.abs(gaps(cycle, 1)).max() <= 1e-9 * max(speeds)
    assert cycle.duration == pytest.approx(sum(p.duration for p in cycle.pieces), rel=1e-9)
    assert cycle.net_travel == 0.0


@given(cycles())
def test_distance_is_the_integral_of_the_speed(cycle):
    nodes, weights = np.polynomial.legendre.leggauss(24)
    for piece in cycle.pieces:
        tau = piece.duration * (nodes + 1) / 2
        covered = float(weights @ piece.speed(tau)) * piece.duration / 2
        gone = float(piece.position(piece.duration) - piece.position(0.0))
        largest = max(1e-3, *(abs(float(p.position(0.0))) for p in cycle.pieces))
        assert covered == pytest.approx(gone, abs=1e-10 * largest)


@given(distances, signs, times, laws)
def test_distance_and_time_are_kept(distance, sign, time, law):
    move = complete_move(
        PhaseSpec(do="move", time=time, law=law), sign * distance, 0.0, linear=True
    )
    last = move.pieces[-1]
    assert last.end == pytest.approx(time, rel=1e-9)
    assert float(last.position(last.duration)) == pytest.approx(sign * distance, rel=1e-9)
    assert abs(float(last.speed(last.duration))) <= 1e-9 * move.top_speed


@given(distances, times, laws, st.lists(st.floats(0, 1), min_size=1, max_size=9))
def test_forward_and_backward_are_mirror_images(distance, time, law, shares):
    spec = PhaseSpec(do="move", time=time, law=law)
    there, back = (complete_move(spec, s * distance, 0.0, linear=True) for s in (1.0, -1.0))
    for one, other in zip(there.pieces, back.pieces, strict=True):
        tau = np.array(shares) * one.duration
        for order in range(4):
            assert np.array_equal(one.derivative(order, tau), -other.derivative(order, tau))


@given(distances, times, laws, st.floats(0, 0.5))
def test_laws_are_symmetric_about_their_middle(distance, time, law, share):
    """x(T - t) = h - x(t): every law of the list has equal halves."""
    move = complete_move(PhaseSpec(do="move", time=time, law=law), distance, 0.0, linear=True)

    def place(t):
        piece = max((p for p in move.pieces if p.start <= t), key=lambda p: p.start)
        return float(piece.position(t - piece.start))

    t = share * time
    assert place(time - t) == pytest.approx(distance - place(t), abs=1e-9 * distance)


@given(cycles(), st.lists(st.floats(0, 1), min_size=1, max_size=4), st.floats(0, 1))
def test_splitting_a_piece_changes_nothing(cycle, cuts, where):
    for piece in cycle.pieces:
        parts = piece.split([c * piece.duration for c in cuts])
        assert parts[0].start == piece.start
        assert parts[-1].end == pytest.approx(piece.end, rel=1e-12)
        t = piece.start + where * piece.duration
        part = max((p for p in parts if p.start <= t), key=lambda p: p.start, default=parts[0])
        for order in range(3):
            whole = piece.derivative(order, t - piece.start)
            scale = max(np.abs(piece.derivative(order, np.linspace(0, piece.duration, 9))).max(), 1)
            assert part.derivative(order, t - part.start) == pytest.approx(
                float(whole), abs=1e-9 * scale
            )


@given(distances, limits)
def test_shortest_moves_stay_within_their_limits(distance, within):
    speed, accel, jerk = within
    profile = fastest(distance, Limits(accel, accel, jerk), speed)
    assert profile is not None
    assert profile.distance == pytest.approx(distance, rel=1e-9)
    for piece in profile.pieces():
        tau = np.linspace(0, piece.duration, 33)
        assert np.abs(piece.speed(tau)).max() <= speed * (1 + 1e-9)
        assert np.abs(piece.acceleration(tau)).max() <= accel * (1 + 1e-9)
        assert np.abs(piece.derivative(3, tau)).max() <= jerk * (1 + 1e-9)


@given(distances, limits)
def test_endless_jerk_gives_the_trapezoid(distance, within):
    speed, accel, _ = within
    plain = fastest(distance, Limits(accel, accel), speed)
    assert plain is not None
    t1, t2, t3 = jerk_limited(distance, speed, accel, 1e9 * accel**2 / speed)
    assert 4 * t1 + 2 * t2 + t3 == pytest.approx(plain.duration, rel=1e-3)
    t1, t2, t3 = jerk_limited(distance, speed, accel, 1e15 * accel / plain.duration)
    assert 4 * t1 + 2 * t2 + t3 == pytest.approx(plain.duration, rel=1e-9)


@given(distances, st.floats(1e-2, 10))
def test_endless_acceleration_and_jerk_give_the_mean_speed(distance, speed):
    rough = 1e15 * speed / (distance / speed) ** 2
    t1, t2, t3 = jerk_limited(distance, speed, float("inf"), rough)
    assert 4 * t1 + 2 * t2 + t3 == pytest.approx(distance / speed, rel=1e-6)


@given(limits)
def test_short_moves_take_the_cube_root_of_their_distance(within):
    """Only jerk counts for h -> 0: T = (32 h/j)^(1/3), derived."""
    speed, accel, jerk = within
    short = 1e-6 * min(2 * accel**3 / jerk**2, 2 * speed * (speed / jerk) ** 0.5)
    t1, t2, t3 = jerk_limited(short, speed, accel, jerk)
    assert t2 == pytest.approx(0, abs=1e-9 * t1)
    assert t3 == pytest.approx(0, abs=1e-9 * t1)
    assert 4 * t1 == pytest.approx((32 * short / jerk) ** (1 / 3), rel=1e-12)


@given(distances, limits, st.floats(1.0, 5.0), st.booleans())
def test_longer_times_are_met_with_a_lower_speed(distance, within, stretch, smooth):
    speed, accel, jerk = within
    ramps = Limits(accel, accel, jerk) if smooth else Limits(accel, accel / 2)
    quick = fastest(distance, ramps, speed)
    assert quick is not None
    slow = timed(distance, quick.duration * stretch, ramps)
    assert slow is not None
    assert slow.duration == pytest.approx(quick.duration * stretch, rel=1e-9)
    assert slow.distance == pytest.approx(distance, rel=1e-9)
    assert slow.speed <= quick.speed * (1 + 1e-9)


@given(distances, limits, st.floats(0, 1), st.floats(0, 1), st.floats(1.0, 2.0))
def test_end_speeds_are_kept(distance, within, first, last, stretch):
    speed, accel, jerk = within
    ramps = Limits(accel, accel, jerk)
    quick = fastest(distance, ramps, speed, first * speed, last * speed)
    assume(quick is not None)
    for profile in (
        quick,
        timed(distance, quick.duration * stretch, ramps, first * speed, last * speed),
    ):
        if profile is None:  # would have to stop on the way
            assert stretch > 1
            continue
        pieces = profile.pieces()
        assume(pieces)
        end = pieces[-1]
        assert float(pieces[0].speed(0.0)) == first * speed
        assert float(end.speed(end.duration)) == pytest.approx(last * speed, abs=1e-9 * speed)
        assert float(end.position(end.duration)) == pytest.approx(distance, rel=1e-7)


@given(distances, limits, st.floats(1.001, 4.0), st.sampled_from(["trapezoid", "s-curve"]))
def test_scaling_keeps_the_shape(distance, within, stretch, law):
    speed, accel, jerk = within
    stated = {"speed": speed, "accel": accel, "law": law}
    if law == "s-curve":
        stated["jerk"] = jerk
    quick = complete_move(PhaseSpec(do="move", **stated), distance, 0.0, linear=True)
    time = quick.duration * stretch
    slow = complete_move(
        PhaseSpec(do="move", time=time, fit="scale", **stated), distance, 0.0, linear=True
    )
    assert slow.top_speed == pytest.approx(quick.top_speed / stretch, rel=1e-9)
    assert slow.top_acceleration == pytest.approx(quick.top_acceleration / stretch**2, rel=1e-9)


@given(
    st.sampled_from(smooth_laws),
    distances,
    times,
    st.sets(st.sampled_from(["speed", "accel", "jerk"]), min_size=1),
)
def test_what_a_move_reports_completes_it_again(law, distance, time, names):
    """Any of its own peaks, given back beside the distance, leads to the same move."""
    stated = {"jerk_share": 0.1} if law == "s-curve" else {}
    first = complete_move(
        PhaseSpec(do="move", time=time, law=law, **stated), distance, 0.0, linear=True
    )
    peaks = {
        "speed": first.top_speed,
        "accel": first.top_acceleration,
        "jerk": coefficients(law).jerk * distance / time**3,
    }
    told = {name: peaks[name] for name in names}
    again = complete_move(
        PhaseSpec(do="move", time=time, law=law, **stated, **told), distance, 0.0, linear=True
    )
    assert again.top_acceleration == pytest.approx(first.top_acceleration, rel=1e-6)
    if law != "s-curve":
        open_time = complete_move(PhaseSpec(do="move", law=law, **told), distance, 0.0, linear=True)
        assert open_time.duration == pytest.approx(time, rel=1e-9)


numbers = st.one_of(st.none(), st.floats(allow_nan=True, allow_infinity=True), st.floats(0.01, 10))


@given(
    st.lists(
        st.builds(
            PhaseSpec,
            do=st.sampled_from(["move", "dwell", "run"]),
            by=numbers,
            to=st.one_of(st.none(), st.floats(-1, 1)),
            time=numbers,
            speed=numbers,
            accel=numbers,
            decel=numbers,
            jerk=numbers,
            law=st.one_of(st.none(), laws),
            accel_time=st.one_of(st.none(), st.floats(0.01, 1)),
            decel_share=st.one_of(st.none(), st.floats(0.01, 1)),
            fit=st.one_of(st.none(), st.sampled_from(["scale", "lower-speed", "shares"])),
            end_speed=st.one_of(st.none(), st.floats(-2, 2)),
            ramp=numbers,
        ),
        min_size=1,
        max_size=3,
    )
)
def test_whatever_is_stated_ends_in_a_cycle_or_in_faults(specs):
    try:
        cycle = build_cycle(specs, linear=True, endless=True)
    except MotionFaults as error:
        found = [fault.read for fault in error.faults]
    else:
        found = []
    if found:
        assert all(found)
        return
    assert cycle.duration > 0
    assert all(piece.duration > 0 for piece in cycle.pieces)
    values = [float(p.derivative(o, p.duration)) for p in cycle.pieces for o in range(3)]
    assert np.isfinite(values).all()
