"""Builders against formulas written out by hand, and laws that every train obeys."""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, pi, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.train.trial import run, torque

from dutyline.train.mechanisms import DEFAULT_EFFICIENCY, build_mechanism, travels_straight
from dutyline.train.parameters import (
    BallScrewParams,
    BeltParams,
    BeltReductionParams,
    BodyParams,
    ConveyorParams,
    CounterweightParams,
    CouplingParams,
    DirectParams,
    HoistParams,
    LoadParams,
    MechanismParams,
    PayloadParams,
    RackParams,
    ReductionParams,
    RightAngleParams,
    RollerParams,
    RotaryTableParams,
    ShaftParams,
    SpringParams,
    SwingArmParams,
    WormParams,
)
from dutyline.train.stages import build_stage
from dutyline.train.stated import back_efficiency

G = 9.80665


def test_rack_from_module_with_helix() -> None:
    rack, load = build_mechanism(
        RackParams(teeth=20, module=0.003, helix=radians(19.5), efficiency=0.97, motor_rides=True),
        LoadParams(mass=400.0, friction=0.005, drag=60.0),
    )
    radius = 20 * 0.003 / cos(radians(19.5)) / 2
    force = 400 * 2.0 + 0.005 * 400 * G + 60
    found = torque(load, rack, speed=1.0, acceleration=2.0)
    assert found == pytest.approx(force * radius / 0.97, rel=1e-12)
    assert load.rider is not None
    assert (load.rider.inertia, load.rider.mass) == (1.0, 1.0)
    assert load.rider.friction == pytest.approx(0.005 * G)


def test_riding_motor_weighs_along_the_slope() -> None:
    _, load = build_mechanism(
        RackParams(diameter=0.1, motor_rides=True),
        LoadParams(mass=40.0, incline=radians(30), friction=0.1),
    )
    assert load.rider is not None
    assert load.rider.gravity == pytest.approx(G / 2)
    assert load.rider.friction == pytest.approx(0.1 * G * cos(radians(30)))


def test_belt_loop_moves_its_belt_and_rollers() -> None:
    params = BeltParams(
        teeth=32,
        pitch=0.008,
        belt_mass=0.3,
        belt_length=5.0,
        rollers=(RollerParams(inertia=2e-4, diameter=0.08),),
        efficiency=0.95,
    )
    belt, load = build_mechanism(params, LoadParams(mass=20.0))
    radius = 32 * 0.008 / pi / 2
    mass = 20 + 0.3 * 5 + 2e-4 / 0.04**2
    found = torque(load, belt, speed=1.0, acceleration=3.0)
    assert found == pytest.approx(mass * 3.0 * radius / 0.95, rel=1e-12)
    omega, _ = build_mechanism(replace(params, layout="omega"), LoadParams(mass=20.0))
    assert omega is not None
    assert omega.inertia_out == pytest.approx(2e-4 / 0.04**2)


def test_reeved_belt_by_kinetic_energy() -> None:
    """Half of the belt and the rollers at twice the speed of the load; energy as the second way."""
    belt, load = build_mechanism(
        BeltParams(
            diameter=0.06,
            layout="reeved",
            belt_mass=0.3,
            belt_length=5.0,
            rollers=(RollerParams(inertia=2e-4, diameter=0.08),),
            belt_stiffness=5e5,
            branches=(1.0, 3.0),
        ),
        LoadParams(mass=20.0),
    )
    assert belt is not None
    assert belt.ratio.constant == pytest.approx(0.06 / 4)
    energy = 0.5 * 20 * 1**2 + 0.5 * (0.3 * 2.5) * 2**2 + 0.5 * 2e-4 * (2 / 0.04) ** 2
    state = run(load, belt, speed=1.0)
    shaft = state.motion.speed[0]
    assert 0.5 * state.effort.inertia[0] * shaft**2 == pytest.approx(energy, rel=1e-12)
    assert belt.stiffness == pytest.approx(4 * 5e5 * (1 + 1 / 3))


def polygon_travel(teeth: int, pitch: float, steps: int = 7200) -> float:
    """Length that passes a straight run while a polygon of pins turns once, added up by steps.

    The pin that leads is at the radius r = p/(2 sin(pi/z)); the run moves at w r cos(angle).
    """
    radius = pitch / (2 * sin(pi / teeth))
    angle = (np.arange(steps) + 0.5) * 2 * pi / steps
    half = pi / teeth
    return float((radius * np.cos((angle + half) % (2 * half) - half)).sum() * 2 * pi / steps)


@pytest.mark.parametrize("teeth", [6, 15, 17, 40])
def test_a_turn_of_a_sprocket_moves_its_links(teeth: int) -> None:
    chain, _ = build_mechanism(
        BeltParams(teeth=teeth, pitch=0.0127, element="chain"), LoadParams(mass=1.0)
    )
    assert chain is not None
    per_turn = 2 * pi * chain.ratio.constant
    assert per_turn == pytest.approx(teeth * 0.0127, rel=1e-12)
    assert per_turn == pytest.approx(polygon_travel(teeth, 0.0127), rel=1e-5)


def test_conveyor_feed_takes_momentum() -> None:
    drum, load = build_mechanism(
        ConveyorParams(diameter=0.198, thickness=0.002, friction=0.0, feed=25.0, feed_speed=0.4),
        LoadParams(mass=0.0),
    )
    assert torque(load, drum, speed=1.2) == pytest.approx(25 * (1.2 - 0.4) * 0.1, rel=1e-12)


def test_return_side_rubs_like_the_bed_unless_stated() -> None:
    params = ConveyorParams(diameter=0.1, friction=0.3, return_mass=10.0)
    _, load = build_mechanism(params, LoadParams(mass=0.0))
    assert load.base.friction == pytest.approx(0.3 * 10 * G)
    _, eased = build_mechanism(replace(params, return_friction=0.0), LoadParams(mass=0.0))
    assert eased.base.friction == 0.0


def test_payload_on_a_conveyor_rubs_with_its_own_friction() -> None:
    _, load = build_mechanism(
        ConveyorParams(diameter=0.1, friction=0.3),
        LoadParams(
            mass=0.0,
            payloads={
                "crate": PayloadParams(mass=5.0, count=3),
                "tray": PayloadParams(mass=2.0, friction=0.1),
            },
        ),
    )
    assert load.payloads["crate"].friction == pytest.approx(0.3 * 15 * G)
    assert load.payloads["tray"].friction == pytest.approx(0.1 * 2 * G)


@pytest.mark.parametrize("parts", [1, 2, 3, 4])
def test_rope_weight_is_the_slope_of_its_potential(parts: int) -> None:
    """Rope of all parts hanging from the drum: potential -m' g n l^2 / 2 with l per part."""
    per_length, total = 2.0, 12.0
    drum, load = build_mechanism(
        HoistParams(diameter=0.3, parts=parts, rope_mass=per_length, rope_length=total),
        LoadParams(mass=100.0),
    )
    length = total / parts

    def potential(x: float) -> float:
        return 100 * G * x - per_length * G * parts * (length - x) ** 2 / 2

    for x in (0.0, 1.0, 2.5):
        slope = (potential(x + 1e-4) - potential(x - 1e-4)) / 2e-4
        force = load.base.gravity + load.base.gravity_rise * x
        assert force == pytest.approx(slope, rel=1e-7)
    assert drum is not None
    if parts == 1:
        assert drum.inertia_out == pytest.approx(per_length * total)


def test_rope_where_plus_is_down() -> None:
    """Lowering by y is raising by -y: the efforts are mirrored."""
    params = HoistParams(diameter=0.3, parts=2, rope_mass=2.0, rope_length=12.0)
    up = build_mechanism(params, LoadParams(mass=100.0))[1].base
    down = build_mechanism(params, LoadParams(mass=100.0, incline=-pi / 2))[1].base
    for y in (0.0, 1.0, 3.0):
        assert down.gravity + down.gravity_rise * y == pytest.approx(
            -(up.gravity + up.gravity_rise * -y)
        )


@given(
    tilt=st.floats(0, pi),
    angle=st.floats(-pi, pi),
    x=st.floats(-7, 7),
    spot=st.floats(-pi, pi),
)
@settings(max_examples=60, deadline=None)
def test_weight_torque_is_the_slope_of_the_height(
    tilt: float, angle: float, x: float, spot: float
) -> None:
    _, load = build_mechanism(
        RotaryTableParams(tilt=tilt),
        LoadParams(
            inertia=3.0,
            mass=20.0,
            arm=0.3,
            angle=angle,
            payloads={"part": PayloadParams(mass=4.0, radius=0.5, angle=spot, count=2)},
            body=(BodyParams(shape="point", mass=6.0, radius=0.2, angle=spot / 2),),
        ),
    )
    burden = load.total(("part",))

    def height(q: float) -> float:
        inner = 20 * 0.3 * sin(angle + q) + 8 * 0.5 * sin(spot + q) + 6 * 0.2 * sin(spot / 2 + q)
        return G * sin(tilt) * inner

    slope = (height(x + 1e-5) - height(x - 1e-5)) / 2e-5
    found = burden.gravity_cos * cos(x) + burden.gravity_sin * sin(x)
    assert found == pytest.approx(slope, abs=1e-5)
    assert burden.inertia == pytest.approx(3.0 + 8 * 0.25 + 6 * 0.04)


def test_bearing_friction_counts_payloads_and_tilting_moment() -> None:
    params = RotaryTableParams(friction=0.01, bearing_diameter=0.4)
    payload = {"part": PayloadParams(mass=30.0)}
    load = LoadParams(inertia=1.0, mass=50.0, payloads=payload)
    _, plain = build_mechanism(params, load)
    assert plain.total(("part",)).friction == pytest.approx(0.01 * 80 * G * 0.2)
    _, light = build_mechanism(replace(params, tilting_moment=50 * G * 0.4 / 4), load)
    assert light.base.friction == pytest.approx(plain.base.friction)
    _, heavy = build_mechanism(replace(params, tilting_moment=1e5), load)
    assert heavy.base.friction == pytest.approx(4 * 0.01 * 1e5 / pi, rel=1e-5)


def test_direct_drives() -> None:
    stage, load = build_mechanism(
        DirectParams(magnet_force=2000.0),
        LoadParams(mass=30.0, friction=0.005, normal_force=100.0, drag=5.0),
    )
    assert stage is None
    assert load.linear
    force = 30 * 10.0 + 0.005 * (30 * G + 2100) + 5
    assert torque(load, speed=1.0, acceleration=10.0) == pytest.approx(force)
    turning, round_load = build_mechanism(DirectParams(), LoadParams(inertia=0.2, mass=3.0))
    assert turning is None
    assert not round_load.linear
    assert build_mechanism(DirectParams(efficiency=1.0), LoadParams(mass=1.0))[0] is None
    assert build_mechanism(DirectParams(efficiency=1.0), LoadParams(inertia=1.0))[0] is None
    geared, _ = build_mechanism(DirectParams(drag=0.5, reverse=True), LoadParams(inertia=0.2))
    assert geared is not None
    assert not geared.linear_out
    assert torque(round_load, geared, speed=1.0) == pytest.approx(-0.5)


def test_direct_vertical_axis_with_counterweight() -> None:
    stage, load = build_mechanism(
        DirectParams(),
        LoadParams(mass=30.0, incline=pi / 2),
        balances=(CounterweightParams(mass=30.0),),
    )
    assert torque(load, stage, speed=1.0) == pytest.approx(0.0, abs=1e-9)
    assert torque(load, stage, speed=1.0, acceleration=2.0) == pytest.approx(120.0)


def test_spring_relieves_along_the_travel() -> None:
    spring = SpringParams(force=300.0, force_end=200.0, travel=0.5, hysteresis=0.05, mass=2.0)
    _, up = build_mechanism(
        BallScrewParams(lead=0.01, inertia=1e-4),
        LoadParams(mass=40.0, incline=pi / 2),
        balances=(spring,),
    )
    base = up.base
    assert base.gravity + base.gravity_rise * 0.0 == pytest.approx(40 * G - 300)
    assert base.gravity + base.gravity_rise * 0.5 == pytest.approx(40 * G - 200)
    assert base.friction == pytest.approx(15.0)
    assert base.inertia == 42.0
    _, down = build_mechanism(
        BallScrewParams(lead=0.01, inertia=1e-4),
        LoadParams(mass=40.0, incline=-pi / 2),
        balances=(spring,),
    )
    assert down.base.gravity == pytest.approx(-(40 * G - 300))


def test_screw_inertia_adds_what_is_stated() -> None:
    params = BallScrewParams(lead=0.01, diameter=0.02, length=0.6, inertia=3e-5)
    screw, _ = build_mechanism(params, LoadParams(mass=1.0))
    assert screw is not None
    own = pi / 32 * 7850 * 0.6 * 0.02**4
    assert screw.inertia_in == pytest.approx(own + 3e-5)
    assert [label for label, _ in screw.inertia_parts] == ["screw", "own inertia"]
    light, _ = build_mechanism(
        replace(params, material="aluminium", inertia=0.0), LoadParams(mass=1.0)
    )
    assert light is not None
    assert light.inertia_in == pytest.approx(own * 2700 / 7850)
    nut, _ = build_mechanism(replace(params, rotating="nut"), LoadParams(mass=1.0))
    assert nut is not None
    assert nut.inertia_in == pytest.approx(3e-5)


def test_stages_by_hand() -> None:
    gear = build_stage(ReductionParams(teeth=(17, 51), efficiency=0.97))
    assert gear.ratio.constant == pytest.approx(1 / 3)
    assert gear.efficiency_back == pytest.approx(2 - 1 / 0.97)
    crossed = build_stage(RightAngleParams(ratio=-2.0))
    assert (crossed.kind, crossed.ratio.constant) == ("right-angle", -0.5)
    coupling = build_stage(
        CouplingParams(name="clutch", inertia=3e-5, stiffness=6000.0, backlash=1e-4)
    )
    assert (coupling.name, coupling.ratio.constant) == ("clutch", 1.0)
    assert (coupling.inertia_in, coupling.stiffness) == (3e-5, 6000.0)
    shaft = build_stage(ShaftParams(diameter=0.03, bore=0.01, length=0.4))
    assert shaft.inertia_in == pytest.approx(pi / 32 * 7850 * 0.4 * (0.03**4 - 0.01**4))
    assert shaft.stiffness == pytest.approx(7.93e10 * pi * (0.03**4 - 0.01**4) / 32 / 0.4)


def test_worm_by_its_force_triangle() -> None:
    """Tangential over axial force of the worm: tan(l + r) driving, tan(l - r) driven."""
    lean, rub = radians(10), 0.06
    worm = build_stage(WormParams(ratio=20.0, lead_angle=lean, friction=rub))
    assert worm.efficiency == pytest.approx(tan(lean) / tan(lean + atan(rub)))
    assert worm.efficiency_back == pytest.approx(tan(lean - atan(rub)) / tan(lean))
    assert not worm.self_locking
    assert build_stage(WormParams(ratio=60.0, lead_angle=0.05, friction=0.06)).self_locking


def test_belt_reduction_counts_its_belt() -> None:
    """Length 0.84486 m for 24 and 72 teeth of 5 mm at 0.3 m (worked in the examples, S13)."""
    belt = build_stage(
        BeltReductionParams(
            teeth=(24, 72),
            pitch=0.005,
            centre_distance=0.3,
            belt_mass=0.12,
            belt_stiffness=2e5,
            inertia=1e-4,
            inertia_out=2e-3,
        )
    )
    first, second = 24 * 0.005 / pi, 72 * 0.005 / pi
    assert belt.ratio.constant == pytest.approx(1 / 3)
    assert belt.inertia_in == pytest.approx(1e-4 + 0.12 * 0.844863417 * (first / 2) ** 2, rel=1e-8)
    free = np.sqrt(0.3**2 - ((second - first) / 2) ** 2)
    assert belt.stiffness == pytest.approx(2 * 2e5 / free * (second / 2) ** 2)


KINDS: list[tuple[MechanismParams, LoadParams]] = [
    (
        BallScrewParams(lead=0.02, inertia=1e-3, efficiency=0.9, drag=0.2, viscous=0.01),
        LoadParams(mass=85.0, incline=0.7, friction=0.02, drag=30.0, viscous=5.0),
    ),
    (
        BeltParams(diameter=0.05, efficiency=0.96, belt_mass=0.2, belt_length=4.0),
        LoadParams(mass=20.0, friction=0.05, drag=3.0),
    ),
    (
        RackParams(diameter=0.06, efficiency=0.97, inertia=1e-4),
        LoadParams(mass=200.0, incline=-0.4, friction=0.01),
    ),
    (
        SwingArmParams(friction=0.01, bearing_diameter=0.1, efficiency=0.95),
        LoadParams(inertia=4.0, mass=12.0, arm=0.5, drag=1.0),
    ),
    (
        HoistParams(diameter=0.4, parts=2, sheave_efficiency=0.96, inertia=1.2),
        LoadParams(mass=300.0),
    ),
]


@pytest.mark.parametrize("pair", KINDS, ids=lambda pair: pair[0].kind)
@given(
    speed=st.floats(-3, 3).filter(lambda v: abs(v) > 1e-6),
    acceleration=st.floats(-10, 10),
    position=st.floats(-2, 2),
)
@settings(max_examples=30, deadline=None)
def test_reversed_mechanism_mirrors_the_torque(
    pair: tuple[MechanismParams, LoadParams], speed: float, acceleration: float, position: float
) -> None:
    params, load_params = pair
    state = {"speed": speed, "acceleration": acceleration, "position": position}
    stage, load = build_mechanism(params, load_params)
    turned, same = build_mechanism(replace(params, reverse=True), load_params)
    forward, mirrored = run(load, stage, **state), run(same, turned, **state)
    assert mirrored.effort.total[0] == pytest.approx(-forward.effort.total[0], rel=1e-12)
    assert mirrored.motion.speed[0] == pytest.approx(-forward.motion.speed[0], rel=1e-12)
    assert np.all(forward.lost >= -1e-9)


@pytest.mark.parametrize("pair", KINDS[:3], ids=lambda pair: pair[0].kind)
@given(speed=st.floats(0.01, 3), acceleration=st.floats(-10, 10))
@settings(max_examples=30, deadline=None)
def test_turning_the_slope_and_the_motion_round_mirrors_the_torque(
    pair: tuple[MechanismParams, LoadParams], speed: float, acceleration: float
) -> None:
    params, load_params = pair
    stage, load = build_mechanism(params, load_params)
    _, other = build_mechanism(params, replace(load_params, incline=-(load_params.incline or 0)))
    there = torque(load, stage, speed=speed, acceleration=acceleration)
    back = torque(other, stage, speed=-speed, acceleration=-acceleration)
    assert back == pytest.approx(-there, rel=1e-12)


@given(scale=st.floats(0.1, 10), speed=st.floats(-3, 3).filter(lambda v: abs(v) > 1e-6))
@settings(max_examples=30, deadline=None)
def test_torque_grows_with_everything_that_resists(scale: float, speed: float) -> None:
    params = BallScrewParams(lead=0.02, inertia=1e-3, efficiency=0.9, drag=0.2)
    load_params = LoadParams(mass=85.0, incline=0.7, friction=0.02, drag=30.0)
    stage, load = build_mechanism(params, load_params)
    more, heavier = build_mechanism(
        replace(params, inertia=scale * 1e-3, drag=scale * 0.2),
        replace(load_params, mass=scale * 85.0, drag=scale * 30.0),
    )
    once = torque(load, stage, speed=speed, acceleration=1.0)
    assert torque(heavier, more, speed=speed, acceleration=1.0) == pytest.approx(
        scale * once, rel=1e-9
    )


def test_back_efficiency_takes_the_same_loss_torque() -> None:
    for forward in (0.97, 0.9, 0.7, 0.5, 0.3):
        loss = 1 / forward - 1
        assert back_efficiency(forward) == pytest.approx(1 - loss)
    assert set(DEFAULT_EFFICIENCY.values()) <= {0.90, 0.95, 0.96, 0.97}


def test_a_direct_drive_is_linear_by_its_load() -> None:
    assert travels_straight(DirectParams(), LoadParams(mass=1.0))
    assert not travels_straight(DirectParams(), LoadParams(mass=1.0, inertia=0.1))
    assert travels_straight(RackParams(), LoadParams())
    assert not travels_straight(SwingArmParams(), LoadParams(mass=1.0))
