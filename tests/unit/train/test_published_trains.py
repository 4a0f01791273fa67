"""Worked examples through the builders; numbers of tests/published/mechanics-examples.toml.

The examples were recomputed from their inputs by separate code, see the notes beside them.
"""

from __future__ import annotations

from math import pi, radians

import numpy as np
import pytest
from tests.unit.train.trial import example, run, torque

from dutyline.physics.friction import slewing_torque
from dutyline.physics.lifting import tackle_efficiencies
from dutyline.physics.screws import preload_drag, preloaded_forces
from dutyline.train.mechanisms import build_mechanism
from dutyline.train.parameters import (
    BallScrewParams,
    BeltParams,
    BodyParams,
    ConveyorParams,
    CounterweightParams,
    HoistParams,
    LeadScrewParams,
    LoadParams,
    PayloadParams,
    ReductionParams,
    RollerParams,
    RotaryTableParams,
    SwingArmParams,
)
from dutyline.train.stages import build_stage

UP = radians(90)


def gear(ratio: float, forward: float, back: float, **more: float) -> object:
    return build_stage(
        ReductionParams(ratio=ratio, efficiency=forward, efficiency_back=back, **more)
    )


def agrees(expected: dict[str, float], found: float, share: float = 1e-5) -> None:
    assert found == pytest.approx(expected["value"], rel=share)


def test_vertical_ball_screw_with_gearhead() -> None:
    given, expected = example("E01")
    screw, load = build_mechanism(
        BallScrewParams(
            lead=given["lead"],
            diameter=given["screw_d"],
            length=given["screw_L"],
            efficiency=given["eta_f_screw"],
            efficiency_back=given["eta_b_screw"],
            drag=given["screw_preload_drag"],
        ),
        LoadParams(mass=given["m"], incline=UP, friction=0.01, drag=given["guide_seal_drag"]),
    )
    assert screw is not None
    assert screw.inertia_parts[0][0] == "screw"
    agrees(expected["J_screw"], screw.inertia_in)
    head = gear(
        given["gear_i"],
        given["eta_gear_f"],
        given["eta_gear_b"],
        drag=given["gear_drag_input"],
        inertia=given["J_gear_input"] + given["J_motor"],
    )
    v, a = given["v"], given["v"] / given["t_acc"]
    for key, speed, acceleration in (
        ("T_up_acc", v, a),
        ("T_up_const", v, 0),
        ("T_up_dec", v, -a),
        ("T_dn_acc", -v, -a),
        ("T_dn_const", -v, 0),
        ("T_dn_dec", -v, a),
    ):
        found = torque(load, screw, head, speed=speed, acceleration=acceleration)
        agrees(expected[key], found)
    motor = run(load, screw, head, speed=v).motion.speed[0] * 30 / pi
    agrees(expected["n_max_rpm"], motor)


def test_tilted_table_with_eccentric_payload() -> None:
    given, expected = example("E04")
    table, load = build_mechanism(
        RotaryTableParams(
            tilt=radians(given["tilt_deg"]),
            friction=given["mu"],
            bearing_diameter=given["d_bearing"],
        ),
        LoadParams(
            inertia=given["J_table"],
            mass=given["m_table"],
            drag=given["T_seal"],
            payloads={
                "part": PayloadParams(
                    mass=given["m_ecc"], inertia=given["J_ecc_cg"], radius=given["e"], angle=UP
                )
            },
        ),
    )
    burden = load.total(("part",))
    agrees(expected["J_load"], burden.inertia)
    agrees(expected["T_friction_table"], burden.friction)
    assert burden.gravity_cos == pytest.approx(0.0, abs=1e-12)
    agrees(expected["T_gravity_max_table"], -burden.gravity_sin)
    gearhead = gear(given["gear_i"], given["eta_f"], given["eta_b"])
    state = run(load, table, gearhead, speed=1.0, position=UP, carry=("part",))
    agrees(expected["T_hold_90deg_motor"], state.effort.static[0])


def test_omega_belt_axis() -> None:
    given, expected = example("E07")
    belt, load = build_mechanism(
        BeltParams(
            teeth=given["z"],
            pitch=given["pitch"],
            layout="omega",
            inertia=expected["J_pulley"]["value"],
            efficiency=given["eta_belt_f"],
            efficiency_back=given["eta_belt_b"],
            rollers=(
                RollerParams(
                    count=given["n_rollers"],
                    inertia=given["J_roller"],
                    diameter=2 * given["r_roller"],
                ),
            ),
            belt_stiffness=given["belt_EA"],
            branches=(given["l1"], given["l2"]),
            belt_mass=0.2,
            belt_length=3.0,
        ),
        LoadParams(mass=given["m"], friction=given["mu"], drag=given["F_seal"]),
    )
    assert belt is not None
    agrees(expected["pulley_d"], 2 * (belt.ratio.constant or 0))
    agrees(expected["m_equiv"], load.base.inertia + belt.inertia_out)
    agrees(expected["k_belt"], belt.stiffness or 0)
    head = gear(
        given["gear_i"],
        given["eta_gear_f"],
        given["eta_gear_b"],
        inertia=given["J_gear_input"] + given["J_motor"],
    )
    top = 1.5 * given["stroke"] / given["t_move"]
    state = run(load, belt, head, speed=top, acceleration=top / (given["t_move"] / 3))
    agrees(expected["third.T_peak"], state.effort.total[0])
    agrees(expected["third.n_max_rpm"], state.motion.speed[0] * 30 / pi)


@pytest.mark.parametrize("name", ["A", "B"])
def test_sliding_screw(name: str) -> None:
    given, expected = example("E08")
    thread = given[name]
    screw, load = build_mechanism(
        LeadScrewParams(
            lead=thread["lead"],
            mean_diameter=thread["d2"],
            friction=thread["mu"],
            flank=radians(thread["half_angle_deg"]),
            collar_friction=thread["mu_collar"],
            collar_diameter=thread["d_collar"],
            diameter=0.024,
            length=0.5,
        ),
        LoadParams(mass=given["F"] / 9.80665, incline=UP),
    )
    assert screw is not None
    agrees(expected[f"{name}.T_raise"], torque(load, screw, speed=0.01))
    agrees(expected[f"{name}.T_lower_required"], torque(load, screw, speed=-0.01))
    agrees(expected[f"{name}.eta_b_total"], screw.efficiency_back)
    assert screw.self_locking is (name == "A")


def test_mean_diameter_of_a_trapezoidal_thread_follows_from_its_pitch() -> None:
    given, expected = example("E08")
    screw, _ = build_mechanism(
        LeadScrewParams(
            pitch=0.005, starts=4, diameter=0.024, length=0.5, friction=given["B"]["mu"]
        ),
        LoadParams(mass=1.0),
    )
    assert screw is not None
    agrees(expected["B.eta_f_total"], screw.efficiency)


def test_hoist_with_counterweight() -> None:
    given, expected = example("E09")
    drum, load = build_mechanism(
        HoistParams(
            diameter=given["D_eff"],
            parts=given["parts"],
            efficiency=given["eta_f_load"],
            efficiency_back=given["eta_b_load"],
            inertia=given["J_drum"],
        ),
        LoadParams(mass=given["m_load"]),
        balances=(
            CounterweightParams(
                mass=given["m_cw"],
                ratio=2,
                efficiency=given["eta_f_cw"],
                efficiency_back=given["eta_b_cw"],
            ),
        ),
    )
    head = gear(given["gear_i"], given["eta_gear_f"], given["eta_gear_b"], inertia=given["J_motor"])
    v, a, stop = given["v_load"], given["a_load"], given["a_estop"]
    for key, speed, acceleration in (
        ("up_acc", v, a),
        ("up_const", v, 0),
        ("up_dec", v, -a),
        ("dn_acc", -v, -a),
        ("dn_const", -v, 0),
        ("dn_dec", -v, a),
        ("dn_estop", -v, stop),
    ):
        agrees(
            expected[f"{key}.T_motor"],
            torque(load, drum, head, speed=speed, acceleration=acceleration),
        )
        agrees(
            expected[f"{key}.T_drum"],
            torque(load, drum, speed=speed, acceleration=acceleration),
        )
    referred = run(load, drum, head, speed=v).effort.inertia[0] - given["J_motor"]
    agrees(expected["J_ref_motor"], referred)


def test_counterweight_helps_as_much_where_plus_is_down() -> None:
    up, down = (
        build_mechanism(
            HoistParams(diameter=0.4, parts=2),
            LoadParams(mass=300.0, incline=slope),
            balances=(CounterweightParams(mass=130.0, ratio=2, efficiency=0.98),),
        )
        for slope in (UP, -UP)
    )
    raising = torque(up[1], up[0], speed=0.5, acceleration=1.0)
    assert torque(down[1], down[0], speed=-0.5, acceleration=-1.0) == pytest.approx(-raising)


def test_tackle() -> None:
    given, expected = example("S03")
    raising, lowering = tackle_efficiencies(given["E"], given["n"])
    agrees(expected["eta_f"], raising)
    agrees(expected["eta_b"], lowering)
    agrees(expected["MA"], raising * given["n"])
    drum, _ = build_mechanism(
        HoistParams(diameter=0.4, parts=given["n"], sheave_efficiency=given["E"]),
        LoadParams(mass=1.0),
    )
    assert drum is not None
    assert (drum.efficiency, drum.efficiency_back) == (raising, lowering)


def test_slewing_ring_under_a_pure_moment() -> None:
    given, expected = example("S04")
    agrees(expected["T_friction"], float(slewing_torque(given["mu"], 0.0, given["M"], 0.4)))


@pytest.mark.parametrize("moment", [0.0, 40.0, 100.0, 150.0, 400.0, 5000.0])
def test_slewing_ring_against_the_integral(moment: float) -> None:
    """Magnitude of the force per angle, summed numerically over the ring."""
    axial, diameter, friction = 1000.0, 0.4, 0.01
    angle = (np.arange(200_000) + 0.5) * 2 * pi / 200_000
    per_angle = axial / (2 * pi) + 2 * moment / (pi * diameter) * np.cos(angle)
    assert np.sum(per_angle * np.cos(angle)) * (angle[1] - angle[0]) * diameter / 2 == (
        pytest.approx(moment, abs=1e-6)
    )
    summed = np.sum(np.abs(per_angle)) * (angle[1] - angle[0])
    found = slewing_torque(friction, axial, moment, diameter)
    assert float(found) == pytest.approx(friction * summed * diameter / 2, rel=1e-6)


def test_conveyor_with_held_goods() -> None:
    given, expected = example("S07")
    drum, load = build_mechanism(
        ConveyorParams(
            diameter=0.1,
            friction=given["mu_bed"],
            return_friction=given["mu_ret"],
            belt_mass=given["m_belt_upper"],
            return_mass=given["m_belt_lower"],
            held=given["m_acc"],
            goods_friction=given["mu_goods_belt"],
        ),
        LoadParams(mass=given["m_goods"], incline=radians(given["alpha_deg"])),
    )
    assert torque(load, drum, speed=0.5) == pytest.approx(expected["F"]["value"] * 0.05, rel=1e-6)
    moving = run(load, drum, speed=0.5).effort.inertia[0] / 0.05**2
    assert moving == pytest.approx(80 - 30 + 20)


def test_preloaded_nut() -> None:
    given, expected = example("S12")
    found = preload_drag(given["F_pr"], given["lead"], given["eta_f"], given["eta_b"])
    agrees(expected["T_pr"], float(found))
    agrees(expected["F1"], float(preloaded_forces(given["F"], given["F_pr"])[0]))
    screw, _ = build_mechanism(
        BallScrewParams(
            lead=given["lead"],
            inertia=1e-3,
            preload=given["F_pr"],
            efficiency=given["eta_f"],
            efficiency_back=given["eta_b"],
            drag=0.1,
        ),
        LoadParams(mass=1.0),
    )
    assert screw is not None
    agrees(expected["T_pr"], screw.drag_in - 0.1)


def test_swing_arm() -> None:
    given, expected = example("S18")
    arm, load = build_mechanism(
        SwingArmParams(),
        LoadParams(
            inertia=given["J_cg"] + given["m"] * given["l"] ** 2,
            mass=given["m"],
            arm=given["l"],
        ),
        gravity=given["g"],
    )
    found = torque(
        load, arm, speed=1.0, acceleration=given["qdd"], position=radians(given["q_deg"])
    )
    agrees(expected["T"], found)


def test_springs_of_a_ball_screw() -> None:
    """Axial and torsional spring of the screw, nut and bearing of example E11 in series."""
    parts = (1.1123e8, 3.9949e8, 3e8, 2.5e8)
    screw, _ = build_mechanism(
        BallScrewParams(
            lead=0.02,
            inertia=2.2e-3,
            root_diameter=0.0275,
            unsupported=1.1,
            nut_stiffness=3e8,
            bearing_stiffness=2.5e8,
        ),
        LoadParams(mass=220.0),
    )
    assert screw is not None
    assert screw.stiffness == pytest.approx(1 / sum(1 / k for k in parts), rel=1e-4)


def test_disc_with_hole_turning_off_centre() -> None:
    """Hibbeler, Engineering Mechanics: Dynamics, example 17.3: 1.20 kg*m^2 (from memory)."""
    disc = BodyParams(
        shape="cylinder", density=8000.0, diameter=0.5, bore=0.25, length=0.01, radius=0.25
    )
    plain = LoadParams(body=(disc,))
    _, load = build_mechanism(RotaryTableParams(), plain)
    assert load.base.inertia == pytest.approx(1.20, abs=0.005)
    full = BodyParams(shape="cylinder", density=8000.0, diameter=0.5, length=0.01, radius=0.25)
    hole = BodyParams(
        shape="cylinder", density=8000.0, diameter=0.25, length=0.01, radius=0.25, count=-1
    )
    _, cut = build_mechanism(RotaryTableParams(), LoadParams(body=(full, hole)))
    assert cut.base.inertia == pytest.approx(load.base.inertia, rel=1e-12)
