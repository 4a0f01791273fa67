"""Phases make one closed cycle, or every fault of it is told."""

from math import pi

import numpy as np
import pytest

from dutyline.motion.cycle import build_cycle
from dutyline.motion.extremes import extremes
from dutyline.motion.faults import MotionFaults
from dutyline.motion.specs import PhaseSpec


def move(**stated):
    return PhaseSpec(do="move", **stated)


def dwell(time=None, **stated):
    return PhaseSpec(do="dwell", time=time, **stated)


def run(speed, **stated):
    return PhaseSpec(do="run", speed=speed, **stated)


def faults(specs, **keywords):
    with pytest.raises(MotionFaults) as caught:
        build_cycle(specs, linear=True, **keywords)
    return caught.value.faults


LIFT = [
    move(name="up", by=0.3, time=0.6, law="s-curve", carry=("carton",)),
    dwell(0.4),
    move(to=0.0, time=0.6, force=20.0),
    dwell(hold="brake"),
]


def test_lift():
    cycle = build_cycle(LIFT, linear=True, cycle_time=2.0)
    assert cycle.duration == pytest.approx(2.0, rel=1e-14)
    assert cycle.net_travel == 0.0
    assert [p.name for p in cycle.phases] == ["up", "2", "3", "4"]
    assert [p.start for p in cycle.phases] == pytest.approx([0, 0.6, 1.0, 1.6])
    assert [p.distance for p in cycle.phases] == pytest.approx([0.3, 0, -0.3, 0])
    assert [p.hold for p in cycle.phases] == ["ideal", "ideal", "ideal", "brake"]
    assert cycle.phases[0].carry == ("carton",)
    assert cycle.phases[2].force == 20.0
    assert cycle.phases[3].duration == pytest.approx(0.4)
    assert "cycle leaves" in cycle.phases[3].note
    assert [p.phase for p in cycle.pieces] == [0] * 7 + [1] + [2] * 3 + [3]


def test_dwells_share_what_the_cycle_leaves():
    specs = [move(by=0.3, time=0.5), dwell(), move(to=0, time=0.5), dwell(0.2), dwell()]
    cycle = build_cycle(specs, linear=True, cycle_time=2.0)
    assert [p.duration for p in cycle.phases] == pytest.approx([0.5, 0.4, 0.5, 0.2, 0.4])


def test_index_table():
    """Four steps of 90 deg by the 3-4-5 law in 0.8 s with 0.7 s clamped: one turn in 6 s."""
    specs = [s for _ in range(4) for s in (move(by=pi / 2, time=0.8, law="quintic"), dwell(0.7))]
    cycle = build_cycle(specs, linear=False, endless=True, period=2 * pi)
    assert cycle.net_travel == pytest.approx(2 * pi)
    assert cycle.duration == pytest.approx(6.0)
    peak = max(extremes(p, 2)[1] for p in cycle.pieces)
    assert peak == pytest.approx(14.17, abs=5e-3)


def test_run_at_one_speed_is_one_piece():
    cycle = build_cycle([run(1.5, time=3.0)], linear=True, endless=True)
    assert len(cycle.pieces) == 1
    assert cycle.net_travel == pytest.approx(4.5)


def test_runs_with_ramps():
    """Up to 2 m/s in 0.5 s, 3 s there, down at 4 m/s^2: 0.5 + 6 + 0.5 m."""
    specs = [run(2.0, ramp=0.5, time=3.0), run(0.0, decel=4.0, accel=9.0), dwell(1.0)]
    cycle = build_cycle(specs, linear=True, endless=True)
    assert [p.duration for p in cycle.phases] == pytest.approx([3.5, 0.5, 1.0])
    assert cycle.net_travel == pytest.approx(0.5 + 6.0 + 0.5)
    assert cycle.phases[0].top_acceleration == pytest.approx(4.0)
    assert cycle.phases[0].top_speed == 2.0


def test_first_run_starts_with_the_speed_of_the_last():
    specs = [run(1.0, ramp=0.5, time=1.0), run(3.0, accel=2.0, time=1.0)]
    cycle = build_cycle(specs, linear=True, endless=True)
    assert float(cycle.pieces[0].speed(0.0)) == pytest.approx(3.0)
    assert [p.duration for p in cycle.phases] == pytest.approx([1.5, 2.0])


def test_length_of_runs():
    """Turns and ``by`` count the constant part; ``to`` is the place at the end."""
    turns = [run(2 * pi, ramp=1.0, turns=5), run(0, ramp=1.0), dwell(1.0)]
    cycle = build_cycle(turns, linear=False, endless=True, period=2 * pi)
    assert cycle.phases[0].duration == pytest.approx(6.0)
    assert cycle.net_travel == pytest.approx(6 * 2 * pi)
    place = [run(1.0, ramp=1.0, to=3.0), run(0.0, ramp=1.0), move(to=0.0, time=4.0)]
    cycle = build_cycle(place, linear=True)
    assert [p.duration for p in cycle.phases] == pytest.approx([3.5, 1.0, 4.0])
    distance = [run(1.0, ramp=1.0, by=3.0), run(0.0, ramp=1.0), move(to=0.0, time=4.0)]
    assert build_cycle(distance, linear=True).phases[0].duration == pytest.approx(4.0)


def test_ramp_with_jerk():
    """2 m/s at 4 m/s^2 and 20 m/s^3 takes v/a + a/j = 0.7 s; a 0.8 s ramp needs less."""
    specs = [run(2.0, accel=4.0, jerk=20.0, time=1.0), run(0.0, ramp=0.8, jerk=20.0), dwell(1)]
    cycle = build_cycle(specs, linear=True, endless=True)
    assert cycle.phases[0].duration == pytest.approx(1.7)
    jerks = [abs(float(p.derivative(3, 0.0))) for p in cycle.pieces if len(p.poly) > 3]
    assert jerks == pytest.approx([20.0] * 4)


def test_end_speed_goes_on_into_the_next_phase():
    specs = [
        move(by=0.2, end_speed=0.5, speed=0.5, accel=5.0),
        run(0.5, time=0.3),
        move(by=0.2, speed=1.0, accel=5.0),
        move(to=0.0, time=0.6),
    ]
    cycle = build_cycle(specs, linear=True)
    for one, other in zip(cycle.pieces[:-1], cycle.pieces[1:], strict=True):
        for order in (0, 1):
            before = float(one.derivative(order, one.duration))
            assert before == pytest.approx(float(other.derivative(order, 0.0)), abs=1e-12)


def test_reversing_run_passes_its_turning_point():
    """From +1 to -1 m/s in 2 s: the turning point lies 0.5 m on, derived."""
    specs = [run(-1.0, ramp=2.0, time=1.0), run(1.0, ramp=2.0, time=1.0)]
    cycle = build_cycle(specs, linear=True, travel=2.01)
    assert cycle.net_travel == pytest.approx(0.0, abs=1e-12)
    assert extremes(cycle.pieces[0])[1] == pytest.approx(0.5)
    (fault,) = faults(specs, travel=1.9)
    assert fault.phase_index is not None
    assert "2 m" in fault.read


def test_all_faults_at_once():
    found = faults(
        [
            move(by=0.3, time=0.1, accel=2.0),
            dwell(-1.0),
            move(by=0.3, time=0.6, speed=0.2),
            move(to=0.0),
        ]
    )
    assert [(f.phase_index, f.field) for f in found] == [
        (0, "time"), (1, "time"), (2, "speed"), (3, "time"),
    ]  # fmt: skip
    assert "phase 1: time: time 0.1 s is too short" in str(found[0])


def test_faults_that_only_follow_are_not_told():
    found = faults([move(time=1.0), move(to=0.0, time=1.0), dwell(1.0)])
    assert [f.phase_index for f in found] == [0]


def test_open_cycle():
    (fault,) = faults([move(by=0.3, time=1.0), move(by=-0.2, time=1.0)])
    assert fault.phase_index is None
    assert "0.1 m" in fault.read


def test_open_cycle_of_an_endless_axis():
    specs = [move(by=0.3, time=1.0), dwell(1.0)]
    assert build_cycle(specs, linear=True, endless=True).net_travel == pytest.approx(0.3)
    assert build_cycle(specs, linear=True, endless=True, period=0.1).net_travel > 0
    (fault,) = faults(specs, endless=True, period=0.2)
    assert "whole number of periods" in fault.read
    (fault,) = faults(specs, period=0.1)
    assert "from where it started" in fault.read


def test_travel():
    specs = [move(by=0.3, time=1.0), move(by=-0.5, time=1.0), move(to=0, time=1.0)]
    assert build_cycle(specs, linear=True, travel=0.5).duration == 3.0
    (fault,) = faults(specs, travel=0.45)
    assert fault.phase_index == 1
    assert "0.5 m" in fault.read
    assert "0.45 m" in fault.read


def test_cycle_time_that_does_not_fit():
    (fault,) = faults([move(by=0.3, time=1.0), move(to=0, time=1.0), dwell()], cycle_time=1.8)
    assert "2 s" in fault.read
    (fault,) = faults([move(by=0.3, time=1.0), move(to=0, time=1.0)], cycle_time=3.0)
    assert "1 s" in fault.read
    (fault,) = faults([move(by=0.3, time=1.0), move(to=0, time=1.0)], cycle_time=-3.0)
    assert "above 0" in fault.read


@pytest.mark.parametrize(
    ("specs", "index", "field"),
    [
        ([dwell(), move(by=0.1, time=1.0)], 0, "time"),
        ([run(1.0, time=1.0), dwell(1.0)], 0, "ramp"),
        ([run(1.0, ramp=1.0, time=1.0), dwell(1.0)], 1, "do"),
        ([move(by=1.0, time=2.0, end_speed=1.0), dwell(1.0)], 1, "do"),
        ([run(1.0, time=1.0), run(1.0, time=1.0, carry=("box",))], 0, "carry"),
        ([run(1.0, ramp=0.0, time=1.0), run(2.0, ramp=1.0)], 0, "ramp"),
        ([run(1.0, ramp=1.0, accel=3.0), run(0.0, ramp=1.0)], 0, "ramp"),
        ([run(1.0, ramp=0.1, jerk=10.0), run(0.0, ramp=1.0)], 0, "ramp"),
        ([run(1.0, ramp=-1.0), run(0.0, ramp=1.0)], 0, "ramp"),
        ([run(1.0, accel=-1.0), run(0.0, ramp=1.0)], 0, "accel"),
        ([PhaseSpec(do="run", time=1.0)], 0, "speed"),
        ([run(1.0)], 0, "time"),
        ([run(1.0, turns=1.0)], 0, "turns"),
        ([run(1.0, by=-1.0)], 0, "by"),
        ([run(1.0, by=1.0, to=1.0)], 0, "to"),
        ([run(1.0, by=1.0, time=2.0)], 0, "time"),
        ([move(by=1.0, to=1.0, time=1.0)], 0, "to"),
        ([move(by=float("nan"), time=1.0)], 0, "by"),
        ([move(by=1.0, time=0.0)], 0, "time"),
        ([move(by=1.0, time=1e-200)], 0, "time"),
        ([move(by=1e300, time=1.0)], 0, "by"),
    ],
)
def test_what_makes_no_cycle_is_refused_at_its_field(specs, index, field):
    found = faults(specs, endless=True)
    assert (index, field) in [(f.phase_index, f.field) for f in found]


def test_no_phase():
    (fault,) = faults([])
    assert fault.phase_index is None


def test_places_and_times_run_on():
    cycle = build_cycle(LIFT, linear=True, cycle_time=2.0)
    starts = np.array([p.start for p in cycle.pieces])
    ends = np.array([p.end for p in cycle.pieces])
    assert starts[1:] == pytest.approx(ends[:-1], abs=1e-15)
    assert float(cycle.pieces[7].position(0.0)) == pytest.approx(0.3, abs=1e-15)
