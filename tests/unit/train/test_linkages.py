"""Cranks, linkages, toggles, cams and tables against places and differences alone.

The second way is tests/support/lagrange.py: bodies placed by complex numbers, derivatives by five
points, Lagrange's equation for one degree of freedom. Splines are compared with scipy.
"""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from dutyline.train.bent_parameters import (
    CamParams,
    CamSectionParams,
    FourBarParams,
    RatioTableParams,
    ScotchYokeParams,
    SliderCrankParams,
    ToggleParams,
)
from dutyline.train.cams import PieceCourse, cam_pieces
from dutyline.train.courses import CourseRatio
from dutyline.train.mechanisms import build_mechanism, mechanism_stages
from dutyline.train.parameters import (
    CounterweightParams,
    FieldRangeError,
    LoadParams,
    SpringParams,
)
from dutyline.train.records import Chain, Train
from dutyline.train.recursion import Motion, inverse, load_motion
from dutyline.train.stated import Stated
from support import lagrange
from support.lagrange import Body

G = 9.80665
TURN = 2 * math.pi


def train_of(params, load, **more) -> Train:
    stages, built = mechanism_stages(params, load, **more)
    return Train(Chain(built, stages), kind=params.kind, input_stated=True)


def torque(train, place, speed, acceleration, way=None):
    """Torque at the shaft for one state of the input."""
    sense = np.sign(speed) if way is None else way
    stated = Motion(*(np.array([float(v)]) for v in (place, speed, acceleration, sense)))
    load, driven = load_motion(train, stated, stated.position)
    return inverse(train, train.chain.load.base, load, np.zeros(1), driven)


STATES = [
    (0.3, 4.0, 9.0),
    (1.7, -7.0, 20.0),
    (2.9, 12.0, -30.0),
    (4.4, 0.5, 0.0),
    (5.9, -3.0, -5.0),
]


@pytest.mark.parametrize("place, speed, acceleration", STATES)
@pytest.mark.parametrize("slope", [0.0, math.pi / 2, -0.7])
@pytest.mark.parametrize("offset", [0.0, 0.03, -0.02])
def test_slider_crank_is_lagranges_equation(place, speed, acceleration, slope, offset):
    r, rod, cg, start = 0.06, 0.21, 0.09, 0.4
    params = SliderCrankParams(crank=r, rod=rod, offset=offset, rod_mass=3.0, rod_cg=cg,
                               rod_inertia=0.02, inertia=0.15, start_angle=start)  # fmt: skip
    train = train_of(params, LoadParams(mass=11.0, incline=slope))
    bodies = [
        Body(11.0, 0.0, lambda q: lagrange.slider(q, r, rod, offset)[1]),
        Body(3.0, 0.02, lambda q: _along(lagrange.slider(q, r, rod, offset), cg / rod),
             lambda q: _lean(lagrange.slider(q, r, rod, offset))),
        Body(0.0, 0.15, lambda q: 0j, lambda q: q),
    ]  # fmt: skip
    up = G * complex(math.sin(slope), math.cos(slope))
    wanted = lagrange.torque(bodies, up, start + place, speed, acceleration)
    state = torque(train, place, speed, acceleration)
    assert float(state.effort.total[0]) == pytest.approx(wanted, rel=1e-7, abs=1e-6)
    wanted = lagrange.inertia(bodies, start + place)
    assert float(state.effort.inertia[0]) == pytest.approx(wanted, rel=1e-9)


def _along(pins, share):
    return pins[0] + share * (pins[1] - pins[0])


def _lean(pins):
    return cmath.phase(pins[1] - pins[0])


@pytest.mark.parametrize("place, speed, acceleration", STATES)
@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize("tilt", [0.0, 0.6, math.pi / 2])
def test_four_bar_is_lagranges_equation(place, speed, acceleration, side, tilt):
    a, b, c, d, cg, start = 0.05, 0.14, 0.12, 0.15, 0.06, 0.2
    params = FourBarParams(crank=a, coupler=b, rocker=c, ground=d, tilt=tilt, start_angle=start,
                           circuit="open" if side > 0 else "crossed", coupler_mass=2.0,
                           coupler_cg=cg, coupler_inertia=0.006)  # fmt: skip
    load = LoadParams(inertia=0.3, mass=4.0, arm=0.1, angle=0.5)
    train = train_of(params, load)

    def bars(q):
        return lagrange.four_bar(q, a, b, c, d, side)

    def rocker(q):
        return cmath.phase(bars(q)[1] - d)

    zero = rocker(start)
    bodies = [
        # the arm counts from its own angle at the start; its inertia holds its mass
        Body(0.0, 0.3, lambda q: 0j, lambda q: _near(rocker(q), zero)),
        Body(2.0, 0.006, lambda q: _along(bars(q), cg / b), lambda q: _lean(bars(q))),
    ]
    up = G * math.sin(tilt) * 1j
    wanted = lagrange.torque(bodies, up, start + place, speed, acceleration)
    arm = lambda q: 0.1 * math.sin(0.5 + _near(rocker(q), zero) - zero)  # noqa: E731
    wanted += 4.0 * G * math.sin(tilt) * lagrange.slope(arm, start + place)
    found = float(torque(train, place, speed, acceleration).effort.total[0])
    assert found == pytest.approx(wanted, rel=1e-6, abs=1e-6)


def _near(angle, other):
    """The angle without a jump of a whole turn from another."""
    return other + math.remainder(angle - other, TURN)


@pytest.mark.parametrize("knee", [-0.12, 0.01, 0.1])
def test_toggle_with_its_screw(knee):
    link, lead, start = 0.2, 0.01, 0.3
    params = ToggleParams(link=link, lead=lead, start_angle=start, inertia=2e-4)
    train = train_of(params, LoadParams(mass=40.0, incline=math.pi / 2))
    y = link * math.sin(start) + knee
    per = lead / TURN
    speed, acceleration = 0.3, 2.0
    bodies = [
        Body(40.0, 0.0, lambda t: complex(2 * math.sqrt(link**2 - (per * t) ** 2))),
        Body(0.0, 2e-4, lambda t: 0j, lambda t: t),
    ]
    h = per  # one radian of the screw is a small way of the knee
    wanted = lagrange.torque(bodies, G + 0j, y / h, speed / h, acceleration / h)
    found = float(torque(train, knee, speed, acceleration).effort.total[0])
    assert found == pytest.approx(wanted, rel=1e-6, abs=1e-8)


def test_force_ratio_of_a_toggle_is_half_the_cotangent():
    params = ToggleParams(link=0.2, lead=TURN, start_angle=math.radians(10))
    train = train_of(params, LoadParams(mass=1.0, incline=math.pi / 2))
    knee = float(torque(train, 0.0, 1e-9, 0.0).effort.total[0])  # lead of one metre per radian
    assert -G / knee == pytest.approx(1 / (2 * math.tan(math.radians(10))), rel=1e-12)


SECTIONS = (
    CamSectionParams(angle=2.0, lift=0.03, law="quintic"),
    CamSectionParams(angle=0.5),
    CamSectionParams(angle=1.5, lift=-0.01, law="modified-sine"),
    CamSectionParams(angle=1.0, lift=-0.02, law="cycloid"),
    CamSectionParams(angle=TURN - 5.0),
)


@pytest.mark.parametrize("place", [0.4, 1.9, 2.2, 3.1, 4.5, 5.6, 7.0, -2.0])
def test_cam_follower_by_the_formula(place):
    """T = (m (s'' w^2 + s' a) + F + c s + m g sin) s' + J a (mechanics of a cam)."""
    path = PieceCourse(cam_pieces(SECTIONS, Stated(CamParams(sections=SECTIONS))))
    params = CamParams(sections=SECTIONS, spring_force=80.0, spring_stiffness=4000.0, inertia=0.01)
    train = train_of(params, LoadParams(mass=2.0, incline=0.5))
    w, a = 15.0, 40.0

    def lift(q):
        return float(path(np.array(q)).value)

    h = 1e-3
    s = lagrange.slope(lift, place, h)
    bend = lagrange.slope(lambda q: lagrange.slope(lift, q, h), place, h)
    force = 2.0 * (bend * w**2 + s * a) + 80.0 + 4000.0 * lift(place) + 2.0 * G * math.sin(0.5)
    found = float(torque(train, place, w, a).effort.total[0])
    assert found == pytest.approx(force * s + 0.01 * a, rel=1e-6, abs=1e-6)


def test_cam_laws_meet_their_lifts_and_close():
    path = PieceCourse(cam_pieces(SECTIONS, Stated(CamParams(sections=SECTIONS))))
    lifts = path(np.array([0.0, 2.0, 2.5, 4.0, 5.0, TURN - 1e-12, TURN])).value
    assert lifts == pytest.approx([0, 0.03, 0.03, 0.02, 0, 0, 0], abs=1e-12)
    assert path(np.array([1.0 + TURN])).value == pytest.approx(path(np.array([1.0])).value)


@pytest.mark.parametrize(
    "sections, said",
    [
        ((), "missing"),
        ((CamSectionParams(angle=3.0, lift=0.01),), "a turn has 360 deg"),
        ((CamSectionParams(angle=TURN, lift=0.01),), "from where it began"),
        ((CamSectionParams(angle=TURN, lift=0.01, law="bang"),), "one of cubic"),
    ],
)
def test_sections_that_make_no_cam_are_refused(sections, said):
    with pytest.raises(FieldRangeError, match=said):
        build_mechanism(CamParams(sections=sections), LoadParams(mass=1.0))


@pytest.mark.parametrize("turn", [False, True])
def test_table_is_scipys_spline(turn):
    places = np.array([0.0, 0.7, 1.5, 2.9, 4.0, 5.5, TURN if turn else 6.0])
    values = np.array([0.0, 0.1, 0.35, 0.5, 0.4, 0.15, 0.0])
    params = RatioTableParams(points=tuple(zip(places.tolist(), values.tolist(), strict=True)))
    stage, _ = build_mechanism(params, LoadParams(mass=1.0))
    assert stage is not None
    other = CubicSpline(places, values, bc_type="periodic" if turn else "not-a-knot")
    x = np.linspace(0.0, places[-1], 97)
    ratio, change = stage.ratio.at(x)
    assert stage.ratio.output_of(x) == pytest.approx(other(x), abs=1e-12)
    assert ratio == pytest.approx(other(x, 1), abs=1e-12)
    assert change == pytest.approx(other(x, 2), abs=1e-11)


def test_table_that_gains_with_every_turn_goes_on():
    points = tuple((n * TURN / 4, v) for n, v in enumerate((0.0, 0.1, 0.5, 0.9, 1.0)))
    stage, _ = build_mechanism(RatioTableParams(points=points, load_travel="rotary"),
                               LoadParams(inertia=1.0))  # fmt: skip
    assert stage is not None
    q = np.array([0.3, 0.3 + TURN, 0.3 - TURN])
    assert stage.ratio.output_of(q) - stage.ratio.output_of(q[:1]) == pytest.approx([0, 1, -1])
    assert stage.ratio.at(q)[0] == pytest.approx(np.full(3, stage.ratio.at(q)[0][0]))


def test_a_long_rod_makes_a_scotch_yoke():
    """With l >> r the slider moves as r cos q; the rest falls with r/l."""
    far = train_of(SliderCrankParams(crank=0.05, rod=500.0), LoadParams(mass=3.0))
    yoke = train_of(ScotchYokeParams(crank=0.05), LoadParams(mass=3.0))
    for place, speed, acceleration in STATES:
        one, other = (float(torque(t, place, speed, acceleration).effort.total[0])
                      for t in (far, yoke))  # fmt: skip
        assert one == pytest.approx(other, rel=1e-3, abs=1e-4)


def test_a_parallelogram_has_a_ratio_of_one():
    params = FourBarParams(crank=0.1, coupler=0.3, rocker=0.1, ground=0.3, start_angle=0.5)
    stage, _ = build_mechanism(params, LoadParams(inertia=1.0))
    assert stage is not None
    ratio, change = stage.ratio.at(np.linspace(0.0, 2.2, 9))
    assert ratio == pytest.approx(np.ones(9), abs=1e-12)
    assert change == pytest.approx(np.zeros(9), abs=1e-12)


def test_drag_link_turns_its_rocker_round():
    """Both neighbours of the shortest bar turn when that is the ground (Grashof)."""
    params = FourBarParams(crank=0.12, coupler=0.14, rocker=0.13, ground=0.05)
    stage, _ = build_mechanism(params, LoadParams(inertia=1.0))
    assert stage is not None
    assert float(stage.ratio.output_of(np.array(TURN))) == pytest.approx(TURN, rel=1e-12)


def test_load_motion_and_its_inversion_agree():
    params = SliderCrankParams(crank=0.05, rod=0.18, start_angle=-1.2, motion="load")
    stage, _ = build_mechanism(params, LoadParams(mass=1.0))
    assert stage is not None
    assert isinstance(stage.ratio, CourseRatio)
    assert stage.ratio.branch == pytest.approx((-math.pi, 0.0), abs=1e-9)
    q = np.linspace(-1.5, 1.0, 11)
    assert stage.ratio.input_of(stage.ratio.output_of(q)) == pytest.approx(q, abs=1e-12)


def test_load_stated_from_a_dead_point_is_refused():
    with pytest.raises(FieldRangeError, match="at a dead point"):
        build_mechanism(SliderCrankParams(crank=0.05, rod=0.18, motion="load"),
                        LoadParams(mass=1.0))  # fmt: skip


def test_a_rod_that_does_not_reach_is_refused():
    with pytest.raises(FieldRangeError, match="rod is too short"):
        build_mechanism(
            SliderCrankParams(crank=0.1, rod=0.05, start_angle=math.pi / 2), LoadParams(mass=1.0)
        )


def test_a_spring_and_a_counterweight_relieve_the_slider():
    """Relief of 200 N by a spring, a weight of 5 kg hung 1:1: what is left at the crank."""
    params = SliderCrankParams(crank=0.05, rod=0.2, start_angle=math.pi / 2)
    load = LoadParams(mass=30.0, incline=math.pi / 2)
    helps = [SpringParams(force=200.0), CounterweightParams(mass=5.0)]
    train = train_of(params, load, balances=helps)
    state = torque(train, 0.0, 0.0, 0.0, way=1.0)
    slope = float(train.chain.stages[0].ratio.at(np.zeros(1))[0][0])
    left = (30.0 - 5.0) * G - 200.0
    assert float(state.effort.static[0]) == pytest.approx(left * slope, rel=1e-12)
    assert float(state.effort.inertia[0]) == pytest.approx(35.0 * slope**2, rel=1e-12)
    with pytest.raises(FieldRangeError, match="without a loss"):
        build_mechanism(params, load, balances=[CounterweightParams(mass=5.0, efficiency=0.9)])
