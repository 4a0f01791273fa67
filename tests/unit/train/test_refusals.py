"""Impossible numbers are refused with the name of their field."""

from __future__ import annotations

from typing import Any

import pytest

from dutyline.train.bodies import build_body
from dutyline.train.mechanisms import build_mechanism
from dutyline.train.parameters import (
    BallScrewParams,
    BeltParams,
    BeltReductionParams,
    BodyParams,
    ConveyorParams,
    CounterweightParams,
    DirectParams,
    FieldRangeError,
    HoistParams,
    LeadScrewParams,
    LoadParams,
    PayloadParams,
    RackParams,
    ReductionParams,
    RollerParams,
    RotaryTableParams,
    ShaftParams,
    WormParams,
)
from dutyline.train.stages import build_stage

MASS = LoadParams(mass=10.0)
SPIN = LoadParams(inertia=1.0)
SCREW = BallScrewParams(lead=0.01, inertia=1e-4)


@pytest.mark.parametrize(
    ("params", "load", "field"),
    [
        (BallScrewParams(lead=0.0, inertia=1e-4), MASS, "mechanism.lead"),
        (BallScrewParams(inertia=1e-4), MASS, "mechanism.pitch"),
        (BallScrewParams(lead=0.02, pitch=0.005, starts=2, inertia=1e-4), MASS, "mechanism.lead"),
        (BallScrewParams(lead=0.01), MASS, "mechanism.diameter"),
        (BallScrewParams(lead=0.01, diameter=0.02), MASS, "mechanism.length"),
        (BallScrewParams(lead=0.01, inertia=-1e-4), MASS, "mechanism.inertia"),
        (BallScrewParams(lead=0.01, inertia=1e-4, efficiency=1.1), MASS, "mechanism.efficiency"),
        (BallScrewParams(lead=0.01, inertia=1e-4, efficiency=0.0), MASS, "mechanism.efficiency"),
        (
            BallScrewParams(lead=0.01, inertia=1e-4, efficiency_back=1.01),
            MASS,
            "mechanism.efficiency_back",
        ),
        (BallScrewParams(lead=0.01, inertia=1e-4, ends="loose"), MASS, "mechanism.ends"),
        (
            BallScrewParams(lead=0.01, diameter=0.02, length=0.5, material="cheese"),
            MASS,
            "mechanism.material",
        ),
        (LeadScrewParams(lead=0.01, inertia=1e-4), MASS, "mechanism.friction"),
        (
            LeadScrewParams(lead=0.01, inertia=1e-4, efficiency=0.5, friction=0.1),
            MASS,
            "mechanism.efficiency",
        ),
        (
            LeadScrewParams(lead=0.01, inertia=1e-4, friction=0.1),
            MASS,
            "mechanism.diameter",
        ),
        (
            LeadScrewParams(lead=0.4, inertia=1e-4, mean_diameter=0.02, friction=0.5),
            MASS,
            "mechanism.friction",
        ),
        (RackParams(), MASS, "mechanism.teeth"),
        (RackParams(teeth=20), MASS, "mechanism.module"),
        (RackParams(diameter=0.1, teeth=20), MASS, "mechanism.diameter"),
        (RackParams(teeth=20, module=0.002, helix=1.5), MASS, "mechanism.helix"),
        (BeltParams(diameter=0.1, belt_mass=0.2), MASS, "mechanism.belt_length"),
        (BeltParams(teeth=2, pitch=0.01, element="chain"), MASS, "mechanism.teeth"),
        (BeltParams(diameter=0.1, layout="spiral"), MASS, "mechanism.layout"),
        (
            BeltParams(diameter=0.1, rollers=(RollerParams(inertia=1e-4, diameter=0.0),)),
            MASS,
            "mechanism.rollers.1.diameter",
        ),
        (ConveyorParams(diameter=0.1), MASS, "mechanism.friction"),
        (ConveyorParams(diameter=0.1, friction=0.3, held=11.0), MASS, "mechanism.held"),
        (
            ConveyorParams(diameter=0.1, friction=0.3, held=5.0),
            MASS,
            "mechanism.goods_friction",
        ),
        (RotaryTableParams(friction=0.01), SPIN, "mechanism.bearing_diameter"),
        (RotaryTableParams(tilting_moment=5.0), SPIN, "mechanism.friction"),
        (RotaryTableParams(motor_rides=True), SPIN, "mechanism.motor_rides"),
        (HoistParams(), MASS, "mechanism.diameter"),
        (HoistParams(diameter=0.3, parts=0), MASS, "mechanism.parts"),
        (HoistParams(diameter=0.3, sheave_efficiency=1.2), MASS, "mechanism.sheave_efficiency"),
        (HoistParams(diameter=0.3, rope_mass=1.0), MASS, "mechanism.rope_length"),
        (DirectParams(drag=1.0), MASS, "mechanism.drag"),
        (DirectParams(magnet_force=100.0), SPIN, "mechanism.magnet_force"),
        (SCREW, LoadParams(mass=-1.0), "load.mass"),
        (SCREW, LoadParams(mass=float("nan")), "load.mass"),
        (SCREW, LoadParams(mass=1.0, incline=2.0), "load.incline"),
        (SCREW, LoadParams(mass=1.0, friction=-0.1), "load.friction"),
        (SCREW, LoadParams(mass=1.0, drag=-1.0), "load.drag"),
        (SCREW, LoadParams(mass=1.0, arm=0.2), "load.arm"),
        (SCREW, LoadParams(mass=1.0, breakaway=0.8), "load.breakaway"),
        (
            SCREW,
            LoadParams(mass=1.0, payloads={"box": PayloadParams(mass=-1.0)}),
            "load.payloads.box.mass",
        ),
        (
            SCREW,
            LoadParams(mass=1.0, payloads={"box": PayloadParams(mass=1.0, radius=0.1)}),
            "load.payloads.box.radius",
        ),
        (SCREW, LoadParams(mass=1.0, body=(BodyParams(shape="point"),)), "load.body.1.mass"),
        (RotaryTableParams(), LoadParams(mass=1.0), "load.inertia"),
        (RotaryTableParams(), LoadParams(inertia=1.0, friction=0.1), "load.friction"),
    ],
)
def test_mechanism_or_load(params: Any, load: LoadParams, field: str) -> None:
    with pytest.raises(FieldRangeError) as caught:
        build_mechanism(params, load)
    assert caught.value.field == field
    name = field.rsplit(".", 1)[-1]
    assert name in str(caught.value)
    assert str(caught.value).endswith(".")


@pytest.mark.parametrize(
    ("params", "field"),
    [
        (ReductionParams(), "ratio"),
        (ReductionParams(ratio=0.0), "ratio"),
        (ReductionParams(ratio=3.0, teeth=(20, 60)), "ratio"),
        (ReductionParams(teeth=(20, 0)), "teeth"),
        (ReductionParams(ratio=3.0, efficiency=-0.5), "efficiency"),
        (ReductionParams(ratio=3.0, drag_out=-0.5), "drag_out"),
        (WormParams(ratio=30.0), "friction"),
        (WormParams(ratio=30.0, lead_angle=0.1), "friction"),
        (WormParams(ratio=30.0, friction=0.1), "lead_angle"),
        (WormParams(ratio=30.0, efficiency=0.7, lead_angle=0.1), "efficiency"),
        (ShaftParams(diameter=0.02, bore=0.02, length=0.1), "bore"),
        (BeltReductionParams(teeth=(20, 40), belt_mass=0.1), "pitch"),
        (BeltReductionParams(diameters=(0.1, 0.2), belt_mass=0.1), "centre_distance"),
        (
            BeltReductionParams(diameters=(0.1, 0.2), belt_mass=0.1, centre_distance=0.1),
            "centre_distance",
        ),
    ],
)
def test_stage(params: Any, field: str) -> None:
    with pytest.raises(FieldRangeError) as caught:
        build_stage(params)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("params", "field"),
    [
        (BodyParams(shape="cylinder", mass=1.0), "diameter"),
        (BodyParams(shape="cylinder", mass=1.0, diameter=0.1, bore=0.1), "bore"),
        (BodyParams(shape="cylinder", diameter=0.1, length=0.1), "mass"),
        (BodyParams(shape="cube", mass=1.0), "shape"),
        (BodyParams(mass=1.0), "inertia"),
        (BodyParams(shape="point", mass=1.0, count=0), "count"),
        (BodyParams(shape="point", mass=1.0, density=5.0), "mass"),
        (BodyParams(shape="ring", density=5.0, diameter=0.1, length=0.1), "bore"),
    ],
)
def test_body(params: BodyParams, field: str) -> None:
    with pytest.raises(FieldRangeError) as caught:
        build_body(params)
    assert caught.value.field == field


def test_balance() -> None:
    with pytest.raises(FieldRangeError) as caught:
        build_mechanism(SCREW, MASS, balances=(CounterweightParams(mass=0.0),))
    assert caught.value.field == "balance.1.mass"


def test_a_counterweight_has_no_travel_on_a_turning_load() -> None:
    """Its ratio would be metres per radian: one metre, silently, where it is left out."""
    with pytest.raises(FieldRangeError, match="turning load") as found:
        build_mechanism(RotaryTableParams(), SPIN, balances=[CounterweightParams(mass=5.0)])
    assert found.value.field == "balance.1.kind"
