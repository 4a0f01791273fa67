"""``body`` tables: mass and inertia of plain solids, placed on an axis of rotation."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import cos, pi, sin
from typing import TypeVar

from dutyline.physics import bodies as relations
from dutyline.train.parameters import BodyParams, FieldRangeError
from dutyline.train.stated import Stated

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Body:
    """What one table adds."""

    mass: float
    """[kg] of all pieces; negative for holes"""
    inertia: float
    """[kg*m^2] about the axis of rotation"""
    level: float = 0.0
    """Mass times level distance of its centre from the axis at travel 0 [kg*m]."""
    height: float = 0.0
    """Mass times height of its centre above the axis at travel 0 [kg*m]."""


def build_body(params: BodyParams) -> Body:
    """Mass and inertia of one ``body`` table.

    Parameters
    ----------
    params : BodyParams
        A shape with mass, density or material; or mass and inertia without a shape. A rod is
        slender and turns across its length; a cuboid that turns ``axial`` has its length along the
        axis, ``transverse`` its height. A ring without bore is thin, its diameter the mean one.

    Returns
    -------
    Body
        All pieces together, moved to ``radius`` by the parallel axis theorem.

    Raises
    ------
    FieldRangeError
        A number is missing, impossible, or said twice.

    Examples
    --------
    >>> disc = BodyParams(shape="cylinder", mass=8.0, diameter=0.2, radius=0.5, count=2)
    >>> body = build_body(disc)
    >>> body.mass, round(body.inertia, 6)
    (16.0, 4.08)
    """
    stated = Stated(params)
    count = _count(stated)
    if params.shape is None:
        mass = stated.positive("mass", "a body without a shape needs mass and inertia")
        stated.needed("inertia", "a body without a shape needs mass and inertia")
        own = stated.not_negative("inertia")
    else:
        if params.inertia is not None:
            raise stated.fault("inertia", "inertia cannot stand together with a shape.")
        mass = _mass(stated)
        own = _own_inertia(stated, mass)
    radius = stated.needed("radius")
    angle = stated.needed("angle")
    total = count * mass
    return Body(
        mass=total,
        inertia=count * float(relations.offset_inertia(own, mass, radius)),
        level=total * radius * cos(angle),
        height=total * radius * sin(angle),
    )


def build_bodies(params: tuple[BodyParams, ...]) -> tuple[Body, ...]:
    """All tables of a list; errors name the table by its number from 1."""
    return tuple(_numbered(build_body, params))


def body_masses(params: tuple[BodyParams, ...]) -> float:
    """Mass of all tables of a list where nothing turns [kg]; their inertia is not asked for."""
    return sum(_numbered(_all_pieces, params))


def _numbered(build: Callable[[BodyParams], T], params: tuple[BodyParams, ...]) -> Iterator[T]:
    for number, one in enumerate(params, start=1):
        try:
            yield build(one)
        except FieldRangeError as error:
            raise FieldRangeError(f"body.{number}.{error.field}", str(error)) from error


def _count(stated: Stated) -> float:
    count = stated.needed("count")
    if count == 0 or count != int(count):
        raise stated.fault("count", f"count is {count:g}; it must be a whole number, not zero.")
    return count


def _all_pieces(params: BodyParams) -> float:
    stated = Stated(params)
    return _count(stated) * _mass(stated)


def _mass(stated: Stated) -> float:
    ways = [w for w in ("mass", "density", "material") if getattr(stated.record, w) is not None]
    if len(ways) != 1:
        said = " and ".join(ways) if ways else "none of them"
        raise stated.fault("mass", f"one of mass, density, material is needed; got {said}.")
    if ways == ["mass"]:
        return stated.positive("mass")
    density = stated.density() if ways == ["material"] else stated.positive("density")
    return density * _volume(stated)


def _volume(stated: Stated) -> float:
    shape = stated.choice("shape", tuple(_OWN))
    if shape == "point":
        raise stated.fault("mass", "mass is missing; a point has no volume.")
    if shape == "cuboid":
        return stated.positive("length") * stated.positive("width") * stated.positive("height")
    diameter = stated.positive("diameter")
    if shape == "sphere":
        return pi / 6 * diameter**3
    length = stated.positive("length")
    if shape == "cone":
        return pi / 12 * diameter**2 * length
    bore = stated.not_negative("bore")
    if shape == "ring" and bore == 0:
        raise stated.fault("bore", "bore is missing; a ring of stated density needs it.")
    with stated.asking("bore"):
        return float(relations.cylinder_volume(diameter, length, bore))


def _cylinder(stated: Stated, mass: float, across: bool) -> float:
    diameter, bore = stated.positive("diameter"), stated.not_negative("bore")
    with stated.asking("bore"):
        if across:
            length = stated.positive("length")
            return float(relations.cylinder_inertia_across(mass, diameter, length, bore))
        return float(relations.cylinder_inertia(mass, diameter, bore))


def _ring(stated: Stated, mass: float, across: bool) -> float:
    if stated.not_negative("bore") > 0:
        return _cylinder(stated, mass, across)
    thin = float(relations.ring_inertia(mass, stated.positive("diameter")))
    return thin / 2 if across else thin


def _cuboid(stated: Stated, mass: float, across: bool) -> float:
    other = stated.positive("length" if across else "height")
    return float(relations.cuboid_inertia(mass, stated.positive("width"), other))


def _rod(stated: Stated, mass: float, across: bool) -> float:
    return float(relations.rod_inertia(mass, stated.positive("length")))


def _sphere(stated: Stated, mass: float, across: bool) -> float:
    return float(relations.sphere_inertia(mass, stated.positive("diameter")))


def _cone(stated: Stated, mass: float, across: bool) -> float:
    diameter = stated.positive("diameter")
    if across:
        return float(relations.cone_inertia_across(mass, diameter, stated.positive("length")))
    return float(relations.cone_inertia(mass, diameter))


def _point(stated: Stated, mass: float, across: bool) -> float:
    return 0.0


_OWN: dict[str, Callable[[Stated, float, bool], float]] = {
    "cylinder": _cylinder,
    "ring": _ring,
    "cuboid": _cuboid,
    "rod": _rod,
    "sphere": _sphere,
    "cone": _cone,
    "point": _point,
}


def _own_inertia(stated: Stated, mass: float) -> float:
    shape = stated.choice("shape", tuple(_OWN))
    across = stated.choice("turn", ("axial", "transverse")) == "transverse"
    return _OWN[shape](stated, mass, across)
