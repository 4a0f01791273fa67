"""Ball screws and sliding screws."""

from __future__ import annotations

from math import atan, pi, tan

from dutyline.physics.bodies import cylinder_inertia, cylinder_volume
from dutyline.physics.oscillation import referred_stiffness, series_stiffness
from dutyline.physics.screws import (
    lead_angle,
    preload_drag,
    sliding_back_efficiency,
    sliding_efficiencies,
    thread_friction_angle,
)
from dutyline.physics.slender import axial_stiffness, torsion_stiffness
from dutyline.train.burdens import linear_load
from dutyline.train.mechanism_stage import Part, mechanism_stage, stated_mechanism
from dutyline.train.parameters import (
    BallScrewParams,
    LeadScrewParams,
    LoadParams,
    ScrewParams,
)
from dutyline.train.records import Load, Stage
from dutyline.train.stated import Stated

ENDS = ("fixed-free", "supported-supported", "fixed-supported", "fixed-fixed")


def ball_screw(params: BallScrewParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a ball screw; see :func:`dutyline.train.mechanisms.build_mechanism`."""
    return _screw(params, "Ball screw", None, load, gravity)


def lead_screw(params: LeadScrewParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a sliding screw, its efficiencies from friction where that is stated."""
    return _screw(params, "Lead screw", sliding(params), load, gravity)


def _screw(
    params: ScrewParams,
    name: str,
    geometry: tuple[float, float] | None,
    load: LoadParams,
    gravity: float,
) -> tuple[Stage, Load]:
    stated = stated_mechanism(params)
    lead = screw_lead(params)
    stage = mechanism_stage(
        params,
        name,
        lead / (2 * pi),
        shaft=_turning(params, stated),
        geometry=geometry,
        drag=_preload_drag(stated, lead, geometry),
        stiffness=_springs(params, stated, lead),
    )
    return stage, linear_load(load, gravity, rides=params.motor_rides)


def screw_lead(params: ScrewParams) -> float:
    """Travel per turn, stated or from pitch and starts [m]."""
    stated = stated_mechanism(params)
    if params.lead is not None and params.pitch is not None:
        product = stated.positive("pitch") * stated.whole("starts")
        if abs(product - stated.positive("lead")) > 1e-6 * product:
            raise stated.fault(
                "lead", f"lead is {params.lead:g}, pitch times starts is {product:g} (SI)."
            )
    if params.lead is not None:
        return stated.positive("lead")
    return stated.positive("pitch", "a screw needs lead, or pitch and starts") * stated.whole(
        "starts"
    )


def _turning(params: ScrewParams, stated: Stated) -> tuple[Part, ...]:
    """Inertia of a turning screw as a solid cylinder on its nominal diameter."""
    rotating = stated.choice("rotating", ("screw", "nut"))
    diameter, length = stated.optional_positive("diameter"), stated.optional_positive("length")
    if rotating == "nut":
        return ()
    if diameter is None or length is None:
        if stated.has("inertia", "body"):
            return ()
        missing = "diameter" if diameter is None else "length"
        raise stated.fault(
            missing, f"{missing} is missing; a screw needs diameter and length, or inertia."
        )
    mass = stated.density() * float(cylinder_volume(diameter, length))
    return (("screw", float(cylinder_inertia(mass, diameter))),)


def _preload_drag(stated: Stated, lead: float, geometry: tuple[float, float] | None) -> float:
    preload = stated.not_negative("preload")
    return float(preload_drag(preload, lead, *stated.efficiencies(geometry)))


def _springs(params: ScrewParams, stated: Stated, lead: float) -> float | None:
    """Springs of a screw in series at the load, softest place; None if one is unknown."""
    nut, bearing = (stated.optional_positive(f"{s}_stiffness") for s in ("nut", "bearing"))
    root = stated.optional_positive("root_diameter")
    length = stated.optional_positive("unsupported") or stated.optional_positive("length")
    ends = stated.choice("ends", ENDS)
    if nut is None or bearing is None or root is None or length is None:
        return None
    if ends == "fixed-fixed":
        axial = axial_stiffness(root, length / 2, length)
    else:
        axial = axial_stiffness(root, length)
    twist = referred_stiffness(torsion_stiffness(root, length), 2 * pi / lead)
    return float(series_stiffness(nut, bearing, axial, twist))


def sliding(params: LeadScrewParams) -> tuple[float, float] | None:
    """Efficiencies both ways from lead and friction; None where an efficiency is stated."""
    stated = stated_mechanism(params)
    stated.alone(("efficiency",), ("friction",))
    if params.friction is None:
        if params.efficiency is None:
            raise stated.fault(
                "friction", "friction is missing; a lead screw needs friction, or efficiency."
            )
        return _efficient(params, stated)
    mean = _mean_diameter(params, stated)
    collar = 0.0
    if stated.not_negative("collar_friction") > 0:
        collar = params.collar_friction * stated.positive("collar_diameter") / mean
    with stated.asking("flank"):
        lean = lead_angle(screw_lead(params), mean)
        rub = thread_friction_angle(stated.not_negative("friction"), params.flank, lean)
    with stated.asking("friction"):
        forward, back = sliding_efficiencies(lean, rub, collar)
    return float(forward), float(back)


def _efficient(params: LeadScrewParams, stated: Stated) -> tuple[float, float] | None:
    """Both efficiencies of a thread whose forward one is stated; None where its lean is unknown."""
    forward = params.efficiency
    if not stated.has("mean_diameter", "diameter") or forward is None or not 0 < forward <= 1:
        return None
    lean = lead_angle(screw_lead(params), _mean_diameter(params, stated))
    return forward, float(sliding_back_efficiency(lean, forward))


def thread_angles(params: LeadScrewParams, back: float) -> tuple[float, float] | None:
    """Lead angle and effective friction angle of a sliding screw [rad].

    Parameters
    ----------
    params : LeadScrewParams
    back : float [1]
        Efficiency load to motor, from which the friction follows, that of a collar included.

    Returns
    -------
    (float, float) or None
        None where no diameter is stated.
    """
    stated = stated_mechanism(params)
    if not stated.has("mean_diameter", "diameter"):
        return None
    lean = float(lead_angle(screw_lead(params), _mean_diameter(params, stated)))
    return lean, lean - atan(back * tan(lean))


def _mean_diameter(params: LeadScrewParams, stated: Stated) -> float:
    """Stated, else nominal minus half a pitch as trapezoidal threads have it (ISO 2904)."""
    stated_mean = stated.optional_positive("mean_diameter")
    if stated_mean is not None:
        return stated_mean
    outer = stated.positive("diameter", "a thread with friction needs mean_diameter or diameter")
    mean = outer - screw_lead(params) / stated.whole("starts") / 2
    if mean <= 0:
        raise stated.fault("diameter", "diameter is smaller than half of the pitch.")
    return mean
