"""Stages between mechanism and gearhead: gears, belts, worms, couplings, shafts."""

from __future__ import annotations

from collections.abc import Callable
from math import atan
from typing import Any

from dutyline.core.errors import RangeError
from dutyline.physics.bodies import cylinder_inertia, cylinder_volume
from dutyline.physics.friction_drives import belt_length, belt_stiffness
from dutyline.physics.screws import sliding_efficiencies
from dutyline.physics.slender import torsion_stiffness
from dutyline.train.bodies import build_bodies
from dutyline.train.mechanism_stage import Part
from dutyline.train.parameters import (
    BeltReductionParams,
    CouplingParams,
    ReductionParams,
    ShaftParams,
    StageParams,
    WormParams,
)
from dutyline.train.records import ConstantRatio, Stage
from dutyline.train.stated import Stated
from dutyline.train.wheels import wheel_diameter


def build_stage(params: StageParams) -> Stage:
    """One stage from stated numbers.

    Parameters
    ----------
    params : StageParams
        The record of its kind. An efficiency not stated counts as 1, see
        :data:`dutyline.train.mechanisms.DEFAULT_EFFICIENCY`.

    Returns
    -------
    Stage

    Raises
    ------
    FieldRangeError
        A number is missing or impossible; ``field`` is its bare name.

    Notes
    -----
    The ratio of a file is speed in over speed out; that of the stage travel out over travel in.

    Examples
    --------
    >>> round(build_stage(ReductionParams(teeth=(20, 60), efficiency=0.97)).ratio.constant, 6)
    0.333333
    """
    return _BUILD[params.kind](params, Stated(params))


def _stage(
    stated: Stated,
    title: str,
    reduction: float,
    *,
    inner: tuple[Part, ...] = (),
    geometry: tuple[float, float] | None = None,
    stiffness: float | None = None,
) -> Stage:
    params: Any = stated.record
    forward, back = stated.efficiencies(geometry)
    own, out = stated.not_negative("inertia"), stated.not_negative("inertia_out")
    bodies = sum(body.inertia for body in build_bodies(params.body))
    parts = (*inner, ("motor side", own), ("bodies", bodies), ("load side", out))
    inside = sum(value for label, value in parts if label != "load side")
    if inside < 0:
        raise stated.fault("body", "The holes have more inertia than the parts.")
    return Stage(
        name=params.name or title,
        kind=params.kind,
        ratio=ConstantRatio(1 / reduction),
        efficiency=forward,
        efficiency_back=back,
        inertia_in=inside,
        inertia_out=out,
        drag_in=stated.not_negative("drag"),
        drag_out=stated.not_negative("drag_out"),
        viscous_in=stated.not_negative("viscous"),
        viscous_out=stated.not_negative("viscous_out"),
        stiffness=stated.optional_positive("stiffness") or stiffness,
        backlash=stated.not_negative("backlash"),
        inertia_parts=tuple((label, value) for label, value in parts if value),
        torque_limit=stated.optional_positive("torque_limit"),
        peak_torque_limit=stated.optional_positive("peak_torque_limit"),
        speed_limit=stated.optional_positive("speed_limit"),
    )


def _ratio(stated: Stated, usual: float | None = None) -> float:
    """Speed in over speed out; negative reverses."""
    if usual is not None and stated.optional("ratio") is None:
        return usual
    value = stated.needed("ratio")
    if value == 0:
        raise stated.fault("ratio", "ratio is 0; it must not be zero (negative reverses).")
    return value


def _ratio_of_wheels(stated: Stated, why: str) -> float:
    """From ``ratio``, ``teeth`` or ``diameters``, exactly one of them."""
    ways = [w for w in ("ratio", "teeth", "diameters") if getattr(stated.record, w) is not None]
    if len(ways) > 1:
        raise stated.fault(ways[0], f"{' and '.join(ways)} cannot stand together; give one.")
    if not ways:
        raise stated.fault("ratio", f"ratio is missing; {why}.")
    if ways == ["ratio"]:
        return _ratio(stated)
    first, second = stated.pair(ways[0]) or (1.0, 1.0)
    return second / first


def _reduction(params: ReductionParams, stated: Stated) -> Stage:
    title = "Right-angle stage" if params.kind == "right-angle" else "Reduction"
    return _stage(stated, title, _ratio_of_wheels(stated, "a gear needs ratio, or teeth"))


def _belt_reduction(params: BeltReductionParams, stated: Stated) -> Stage:
    """Belt mass counts at the input radius; both branches are tight for the stiffness."""
    stated.choice("element", ("belt", "chain"))
    reduction = _ratio_of_wheels(stated, "a belt reduction needs ratio, teeth or diameters")
    wheels = _wheels(params, stated)
    inner: tuple[Part, ...] = ()
    stiffness = None
    per_length = stated.not_negative("belt_mass")
    specific = stated.optional_positive("belt_stiffness")
    if per_length > 0:
        length = _length(stated, wheels, "belt_mass is given per length")
        inner = (("belt", per_length * length * _known(stated, wheels, "belt_mass")[0] ** 2 / 4),)
    if specific is not None and wheels is not None and params.centre_distance is not None:
        free = _free_length(stated, wheels)
        stiffness = float(belt_stiffness(specific, free, free)) * (wheels[1] / 2) ** 2
    return _stage(stated, "Belt reduction", reduction, inner=inner, stiffness=stiffness)


def _wheels(params: BeltReductionParams, stated: Stated) -> tuple[float, float] | None:
    """Pitch diameters in and out, where they are known [m]."""
    diameters = stated.pair("diameters")
    if diameters is not None:
        return diameters
    teeth, pitch = stated.pair("teeth"), stated.optional_positive("pitch")
    if teeth is None:
        return None
    if params.element == "chain" and min(teeth) < 3:
        raise stated.fault("teeth", f"teeth is {min(teeth):g}; a sprocket needs 3 or more.")
    if pitch is None:
        return None
    first, second = (wheel_diameter(z, pitch) for z in teeth)
    return first, second


def _known(stated: Stated, wheels: tuple[float, float] | None, asking: str) -> tuple[float, float]:
    if wheels is None:
        raise stated.fault(
            "pitch",
            f"pitch is missing; with {asking} the wheels must be known: "
            "teeth and pitch, or diameters.",
        )
    return wheels


def _gap(stated: Stated, wheels: tuple[float, float], why: str) -> float:
    """Centre distance, far enough that the wheels do not touch [m]."""
    gap = stated.positive("centre_distance", why)
    if gap < sum(wheels) / 2:
        raise stated.fault("centre_distance", f"centre_distance is {gap:g} m; the wheels touch.")
    return gap


def _length(stated: Stated, wheels: tuple[float, float] | None, why: str) -> float:
    known = _known(stated, wheels, "belt_mass")
    gap = _gap(stated, known, why)
    return float(belt_length(min(known), max(known), gap))


def _free_length(stated: Stated, wheels: tuple[float, float]) -> float:
    gap = _gap(stated, wheels, "the free branches follow from it")
    return float((gap**2 - ((wheels[1] - wheels[0]) / 2) ** 2) ** 0.5)


def _worm(params: WormParams, stated: Stated) -> Stage:
    """Efficiencies in tangent form where lead angle and friction are stated."""
    stated.alone(("efficiency",), ("lead_angle", "friction"))
    geometry = None
    if params.efficiency is None:
        stated.needed("friction", "a worm needs lead_angle and friction, or efficiency")
        rub = stated.not_negative("friction")
        lean = stated.positive("lead_angle", "a worm needs lead_angle and friction, or efficiency")
        try:
            forward, back = sliding_efficiencies(lean, atan(rub))
        except RangeError as error:
            raise stated.fault("lead_angle", str(error)) from error
        geometry = float(forward), float(back)
    return _stage(stated, "Worm gear", _ratio(stated), geometry=geometry)


def _coupling(params: CouplingParams, stated: Stated) -> Stage:
    return _stage(stated, "Coupling", _ratio(stated, 1.0))


def _shaft(params: ShaftParams, stated: Stated) -> Stage:
    """Steel or stated material for the inertia; steel for the stiffness."""
    inner: tuple[Part, ...] = ()
    stiffness = None
    diameter, length = stated.optional_positive("diameter"), stated.optional_positive("length")
    bore = stated.not_negative("bore")
    if diameter is not None and bore >= diameter:
        raise stated.fault(
            "bore", f"bore is {bore:g} m, diameter {diameter:g} m; the bore must be smaller."
        )
    if diameter is not None and length is not None:
        mass = stated.density() * float(cylinder_volume(diameter, length, bore))
        inner = (("shaft", float(cylinder_inertia(mass, diameter, bore))),)
        if params.material in (None, "steel"):
            stiffness = float(torsion_stiffness(diameter, length, bore))
    return _stage(stated, "Shaft", _ratio(stated, 1.0), inner=inner, stiffness=stiffness)


_BUILD: dict[str, Callable[[Any, Stated], Stage]] = {
    "reduction": _reduction,
    "right-angle": _reduction,
    "belt-reduction": _belt_reduction,
    "worm": _worm,
    "coupling": _coupling,
    "shaft": _shaft,
}
