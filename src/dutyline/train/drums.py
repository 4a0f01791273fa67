"""Racks, belts, conveyors and hoists: travel is a radius times the turning of a shaft."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from dutyline.core.errors import RangeError
from dutyline.physics.friction import feed_force
from dutyline.physics.friction_drives import belt_stiffness
from dutyline.physics.lifting import rope_speeds, tackle_efficiencies
from dutyline.train.burdens import UPRIGHT, added, incline_of, linear_load, straight_burden
from dutyline.train.mechanism_stage import Part, mechanism_stage, stated_mechanism
from dutyline.train.parameters import (
    BeltParams,
    ConveyorParams,
    HoistParams,
    LoadParams,
    RackParams,
    RollerParams,
)
from dutyline.train.records import Burden, Load, MemberState, Stage
from dutyline.train.stated import Stated
from dutyline.train.wheels import pitch_diameter

Array = NDArray[np.float64]
STEEPEST_HELIX = 1.3962634015954636
"""[rad] 80 deg"""


def rack(params: RackParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a pinion on a rack, or of a driven wheel: ``r = d / 2``."""
    stated = stated_mechanism(params)
    stated.alone(("diameter",), ("teeth", "module"))
    helix = stated.within("helix", -STEEPEST_HELIX, STEEPEST_HELIX, "from -80 to 80 deg")
    if params.diameter is None:
        teeth = stated.positive("teeth", "a rack needs diameter, or teeth and module")
        module = stated.positive("module", "a rack needs diameter, or teeth and module")
        diameter = teeth * module / cos(helix)
    else:
        diameter = stated.positive("diameter")
    stage = mechanism_stage(params, "Rack and pinion", diameter / 2)
    return stage, linear_load(load, gravity, rides=params.motor_rides)


def belt(params: BeltParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a carriage on a belt.

    A reeved belt runs over a pulley on the carriage: half of it stands still, half moves at twice
    the speed of the load, as do the rollers, and the force in it is half (derived here).
    """
    stated = stated_mechanism(params)
    layout = stated.choice("layout", ("loop", "omega", "reeved"))
    diameter = pitch_diameter(stated)
    fold = 2.0 if layout == "reeved" else 1.0
    moving: tuple[Part, ...] = (("rollers", fold**2 * roller_mass(params.rollers)),)
    if layout != "omega":
        share = 0.5 if layout == "reeved" else 1.0
        moving = (("belt", share * fold**2 * _belt_mass(stated)), *moving)
    stage = mechanism_stage(
        params,
        "Belt drive",
        diameter / 2 / fold,
        moving=moving,
        stiffness=_belt_spring(stated, fold),
    )
    return stage, linear_load(load, gravity, rides=params.motor_rides)


def _belt_mass(stated: Stated) -> float:
    per_length = stated.not_negative("belt_mass")
    if per_length == 0:
        return 0.0
    return per_length * stated.positive("belt_length", "belt_mass is given per length")


def _belt_spring(stated: Stated, fold: float) -> float | None:
    branches, specific = stated.pair("branches"), stated.optional_positive("belt_stiffness")
    if branches is None or specific is None:
        return None
    return fold**2 * float(belt_stiffness(specific, *branches))


def roller_mass(rollers: tuple[RollerParams, ...]) -> float:
    """Mass at belt speed that stands for turning rollers, ``sum J / r^2`` [kg]."""
    total = 0.0
    for number, roller in enumerate(rollers, start=1):
        stated = Stated(roller, f"mechanism.rollers.{number}.")
        radius = stated.positive("diameter") / 2
        total += stated.whole("count") * stated.not_negative("inertia") / radius**2
    return total


def conveyor(params: ConveyorParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a conveyor belt on a slider or roller bed.

    The belt is closed, so only goods weigh along an incline. Goods held by a stop neither move nor
    weigh along it, but rub on the belt, and the belt under them on the bed. Without
    ``return_friction`` the return side rubs like the bed. Feed takes ``m' (v - v_in)``.
    """
    stated = stated_mechanism(params)
    stated.choice("bed", ("slider", "roller"))
    radius = (stated.positive("diameter") + stated.not_negative("thickness")) / 2
    stated.needed("friction")
    bed = stated.not_negative("friction")
    slope = incline_of(load, 0.0)
    carrying, back = stated.not_negative("belt_mass"), stated.not_negative("return_mass")
    under = bed if params.return_friction is None else stated.not_negative("return_friction")
    rubbing = [
        straight_burden(carrying, slope, gravity, bed).friction,
        straight_burden(back, slope, gravity, under).friction,
    ]
    extra = added(
        Burden(friction=sum(rubbing)),
        _held(params, load, stated, slope, gravity),
        _feed(stated),
    )
    stage = mechanism_stage(
        params,
        "Conveyor",
        radius,
        moving=(("belt", carrying + back), ("rollers", roller_mass(params.rollers))),
    )
    guides = Stated(load, "load.").not_negative("friction")
    return stage, linear_load(
        load, gravity, friction=bed + guides, extra=extra, rides=params.motor_rides
    )


def _held(
    params: ConveyorParams, load: LoadParams, stated: Stated, slope: float, gravity: float
) -> Burden:
    held = stated.not_negative("held")
    if held == 0:
        return Burden()
    if held > (load.mass or 0.0):
        raise stated.fault("held", f"held is {held:g} kg, more than load.mass of which it is part.")
    stated.needed("goods_friction", "held goods rub on the belt")
    rub = straight_burden(held, slope, gravity, stated.not_negative("goods_friction"))
    return Burden(inertia=-held, gravity=-rub.gravity, friction=rub.friction, mass=-held)


def _feed(stated: Stated) -> Burden:
    rate, arrival = stated.not_negative("feed"), stated.needed("feed_speed")
    return Burden(steady=float(feed_force(rate, 0.0, arrival)), viscous=rate)


def hoist(params: HoistParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a rope drum: ``r = D / (2 n)`` with n rope parts.

    The rope that hangs weighs on the load and gets shorter as the load rises. Each part counts at
    its own speed, and what the drum takes up goes on at that of the lead line; rope that is on the
    drum at travel 0 belongs to its ``inertia`` (derived here).
    """
    stated = stated_mechanism(params)
    parts = stated.whole("parts")
    slope = incline_of(load, UPRIGHT)
    factors = (1.0, 1.0)
    if params.sheave_efficiency is not None:
        try:
            factors = tackle_efficiencies(stated.positive("sheave_efficiency"), parts)
        except RangeError as error:
            raise stated.fault("sheave_efficiency", str(error)) from error
    rope, inertia = _rope(stated, parts, slope, gravity)
    stage = mechanism_stage(
        params,
        "Hoist",
        stated.positive("diameter") / (2 * parts),
        moving=(("rope", inertia),),
        factors=factors,
    )
    gained = _gained(stated, parts)
    if gained:
        own = PaidRope(gained * (stage.ratio.constant or 0.0) ** 3)
        stage = replace(stage, members=own)
    return stage, linear_load(load, gravity, incline=UPRIGHT, extra=rope, rides=params.motor_rides)


def _rope(stated: Stated, parts: int, slope: float, gravity: float) -> tuple[Burden, float]:
    per_length = stated.not_negative("rope_mass")
    if per_length == 0:
        return Burden(), 0.0
    stated.needed("rope_length", "rope_mass is given per length")
    length = stated.not_negative("rope_length")
    weight = per_length * gravity * sin(slope)
    burden = Burden(gravity=weight * length, gravity_rise=-parts * abs(weight))
    return burden, per_length * length * float((rope_speeds(parts) ** 2).mean())


def _gained(stated: Stated, parts: int) -> float:
    """Mass at the speed of the load that a rise adds, per length of it [kg/m].

    A rise takes ``n`` times its length from parts that move at ``s_k`` times the speed of the load,
    up to ``n`` times on the lead line, on which the drum takes it up.
    """
    speeds = rope_speeds(parts)
    added = parts * (parts**2 - float((speeds**2).mean()))
    return stated.not_negative("rope_mass") * added


@dataclass(frozen=True, slots=True)
class PaidRope:
    """What the inertia of the rope changes by as a drum takes it up over several parts."""

    per_radian: float
    """[kg*m^2/rad] at the shaft, of the drum"""

    def at(self, position: Array) -> MemberState:
        """Inertia more than at travel 0, and half its change per radian."""
        none = np.zeros_like(position)
        inertia = self.per_radian * position
        return MemberState(inertia, none + self.per_radian / 2, none, none, none)

    def height(self, position: Array) -> Array:
        """None: the weight of the rope is that of the load."""
        return np.zeros_like(position)

    def gained(self, position: Array, speed: Array) -> Array:
        """Nothing: its kinetic energy comes from the shaft."""
        return np.zeros_like(speed)

    def drift(self, position: Array, speed: Array) -> Array:
        """None."""
        return np.zeros_like(speed)
