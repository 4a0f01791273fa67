"""What every mechanism has in common: efficiencies, drag, own inertia, direction, play."""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol

from dutyline.train.bodies import build_bodies
from dutyline.train.parameters import FieldRangeError, MechanismParams
from dutyline.train.records import ConstantRatio, Members, Ratio, Stage
from dutyline.train.stated import Stated


class Directed(Ratio, Protocol):
    """A ratio that depends on the place, as a record with its direction."""

    @property
    def sign(self) -> float:
        """-1 where + at the input is - at the load."""
        ...


Part = tuple[str, float]
"""Label and inertia or mass, for the report."""


def stated_mechanism(params: MechanismParams) -> Stated:
    """The record with errors that name ``mechanism.`` fields."""
    return Stated(params, "mechanism.")


def own_parts(params: MechanismParams) -> tuple[Part, ...]:
    """Stated inertia and bodies on the shaft of a mechanism [kg*m^2]."""
    own = stated_mechanism(params).not_negative("inertia")
    try:
        bodies = sum(body.inertia for body in build_bodies(params.body))
    except FieldRangeError as error:
        raise FieldRangeError("mechanism." + error.field, str(error)) from error
    return (("own inertia", own), ("bodies", bodies))


def mechanism_stage(
    params: MechanismParams,
    name: str,
    ratio: float | Directed,
    *,
    shaft: tuple[Part, ...] = (),
    moving: tuple[Part, ...] = (),
    geometry: tuple[float, float] | None = None,
    factors: tuple[float, float] = (1.0, 1.0),
    drag: float = 0.0,
    stiffness: float | None = None,
    members: Members | None = None,
) -> Stage:
    """The stage of a mechanism.

    Parameters
    ----------
    params : MechanismParams
    name : str
        Label for people.
    ratio : float [m/rad or 1] or Directed
        Load travel per shaft travel, before ``reverse``.
    shaft, moving : tuple of (label, value)
        What geometry gives on the shaft [kg*m^2] and with the load [kg or kg*m^2].
    geometry : (float, float), optional [1]
        Efficiencies to and from the load of a sliding contact.
    factors : (float, float) [1]
        Further efficiencies in series (sheaves), to and from the load.
    drag : float [N*m]
        On the shaft, besides the stated one.
    stiffness : float, optional
        Of the springs of the kind at the load [N/m or N*m/rad]; the stated one goes first.
    members : Members, optional
        Bodies whose share depends on the place.

    Returns
    -------
    Stage

    Raises
    ------
    FieldRangeError
        An impossible number.
    """
    stated = stated_mechanism(params)
    forward, back = stated.efficiencies(geometry)
    inner = (*shaft, *own_parts(params))
    total_in, total_out = sum(j for _, j in inner), sum(j for _, j in moving)
    if total_in < 0:
        raise stated.fault("body", "The holes have more inertia than the parts on the shaft.")
    return Stage(
        name=name,
        kind=params.kind,
        ratio=_directed(ratio, params.reverse),
        efficiency=forward * factors[0],
        efficiency_back=back * factors[1],
        inertia_in=total_in,
        inertia_out=total_out,
        drag_in=stated.not_negative("drag") + drag,
        viscous_in=stated.not_negative("viscous"),
        stiffness=stated.optional_positive("stiffness") or stiffness,
        backlash=stated.not_negative("backlash"),
        linear_out=params.linear,
        members=members,
        inertia_parts=tuple((label, value) for label, value in (*inner, *moving) if value),
    )


def _directed(ratio: float | Directed, reverse: bool) -> Ratio:
    if isinstance(ratio, int | float):
        return ConstantRatio(-ratio if reverse else ratio)
    turned: Ratio = replace(ratio, sign=-ratio.sign) if reverse else ratio  # type: ignore[type-var]
    return turned
