"""Torque-speed boundaries of a line's motors at a site: tabulated, between tables, or computed."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.catalogue.motor_constants import (
    ALTITUDE_RATED,
    Datum,
    ambient_of,
    heat_data,
    heat_limit,
    voltage_data,
    voltage_limit,
)
from dutyline.catalogue.parts import Curve, Motor, ProductLine
from dutyline.catalogue.polylines import Polyline, interpolated, lower, sampled
from dutyline.physics.continuous_torque import (
    ALTITUDE_END,
    AMBIENT_END,
    altitude_share,
    ambient_share,
    derated_torque,
    housing_resistance,
)

Array = NDArray[np.float64]
Phases = int | str

BRAKE_FACTOR = 0.95
"""[1] on continuous torque beside a released brake's coil heat; common practice 0.95 to 0.98."""
MOST_KEPT = 4096
"""Boundaries kept with a line before all are made anew."""
COMPUTED = "computed from motor constants"
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Place:
    """Surroundings of a motor."""

    ambient: float = 40.0
    """[degC]"""
    altitude: float = 1000.0
    """[m]"""
    plate_area: float | None = None
    """[m^2] of the mounting plate; None is the test plate"""
    enclosed: bool = False
    """True without convection around the motor"""
    brake_fitted: bool = False


@dataclass(frozen=True, slots=True)
class Boundary:
    """Torque that a motor has at each speed, straight between the knots.

    Beyond the last speed there is no torque.
    """

    speed: Array
    """[rad/s] strictly increasing from 0"""
    torque: Array
    """[N*m]"""
    origin: str
    """``table``, ``interpolated between 200 and 230 V`` or ``computed from motor constants``"""


def boundary_limit(boundary: Boundary, speed: ArrayLike) -> Array:
    """Torque of a boundary at the magnitude of speeds [N*m]; zero beyond its end, nan for nan.

    Parameters
    ----------
    boundary : Boundary
    speed : array_like [rad/s]
    """
    size = np.abs(np.asarray(speed, dtype=np.float64))
    inside = np.interp(size, boundary.speed, boundary.torque)
    return np.where(size > boundary.speed[-1] * (1 + 1e-12), 0.0, inside)


def peak_boundary(
    line: ProductLine, motor_index: int, mains: float, phases: Phases
) -> Boundary | None:
    """Short-time torque over speed on a supply, or None where a datum is missing.

    The table where one belongs to this supply; speeds at equal torque interpolated between the
    neighbours of a mains voltage that lies between two tables; else computed from the constants
    of the motor. For ``dc`` the mains voltage is the bus. :func:`peak_gap` says what is missing.
    Kept with the line.
    """
    found = _kept(line, "peak", motor_index, mains, phases, Place())
    return None if isinstance(found, str) else found


def peak_gap(line: ProductLine, motor_index: int, mains: float, phases: Phases) -> str:
    """Why :func:`peak_boundary` is None, in words; empty where it is not."""
    found = _kept(line, "peak", motor_index, mains, phases, Place())
    return found if isinstance(found, str) else ""


def continuous_boundary(
    line: ProductLine,
    motor_index: int,
    mains: float,
    phases: Phases,
    *,
    ambient: float = 40.0,
    altitude: float = 1000.0,
    plate_area: float | None = None,
    enclosed: bool = False,
    brake_fitted: bool = False,
) -> Boundary | None:
    """Torque for any length of time over speed at a site, or None where it cannot be told.

    Found like :func:`peak_boundary`, then reduced at its knots by the surroundings: ambient and
    altitude beyond the rated ones, a mounting plate smaller than the test plate, no convection,
    and the heat of a brake coil. Nothing is given back for milder surroundings.

    Parameters
    ----------
    ambient : float [degC]
    altitude : float [m]
    plate_area : float [m^2], optional
        The test plate when left out.
    enclosed, brake_fitted : bool
    """
    place = Place(ambient, altitude, plate_area, enclosed, brake_fitted)
    found = _kept(line, "continuous", motor_index, mains, phases, place)
    return None if isinstance(found, str) else found


def continuous_gap(
    line: ProductLine, motor_index: int, mains: float, phases: Phases, place: Place
) -> str:
    """Why :func:`continuous_boundary` is None, in words; empty where it is not."""
    found = _kept(line, "continuous", motor_index, mains, phases, place)
    return found if isinstance(found, str) else ""


def peak_boundary_data(
    line: ProductLine, motor_index: int, mains: float, phases: Phases
) -> list[Datum]:
    """Fields of the motor that :func:`peak_boundary` rests on; none where a table tells it."""
    motor = line.motors[motor_index]
    told = _tabulated(line, motor.name, "peak", mains, phases) is not None
    return [] if told else voltage_data(motor)


def continuous_boundary_data(
    line: ProductLine, motor_index: int, mains: float, phases: Phases, place: Place
) -> list[Datum]:
    """Fields of the motor that :func:`continuous_boundary` rests on."""
    motor = line.motors[motor_index]
    told = _tabulated(line, motor.name, "continuous", mains, phases) is not None
    computed = [] if told else [*voltage_data(motor), *heat_data(motor)]
    return [*computed, *_place_data(motor, place)]


def _place_data(motor: Motor, place: Place) -> list[Datum]:
    hot = place.ambient > ambient_of(motor)
    names = ["winding_limit"] if hot else []
    names += ["test_plate_side"] if place.plate_area is not None else []
    plate = _plate_share(motor, place)
    if place.enclosed or isinstance(plate, str) or plate < 1.0:
        names += ["rth_winding_housing", "rth_housing_ambient"]
    return [("motor", (name,)) for name in names]


def _kept(line: ProductLine, *key: Hashable) -> Boundary | str:
    """The boundary of a key, made at first use, or why there is none."""
    shelf = cast("dict[Hashable, Boundary | str]", line.derived.setdefault("boundaries", {}))
    if key not in shelf:
        if len(shelf) >= MOST_KEPT:
            shelf.clear()
        kind, motor_index, mains, phases, place = cast("tuple[str, int, float, Phases, Place]", key)
        motor = line.motors[motor_index]
        table = _tabulated(line, motor.name, kind, mains, phases)
        shelf[key] = (
            _peak(motor, table, mains, phases)
            if kind == "peak"
            else _continuous(motor, table, mains, phases, place)
        )
    return shelf[key]


def _boundary(curve: Polyline, origin: str) -> Boundary:
    for array in (curve.speed, curve.torque):
        array.setflags(write=False)
    return Boundary(curve.speed, curve.torque, origin)


def _peak(motor: Motor, table: Boundary | None, mains: float, phases: Phases) -> Boundary | str:
    if table is not None:
        return table
    limit = voltage_limit(motor, mains, phases)
    if isinstance(limit, str):
        return limit
    return _boundary(sampled(limit.torque, limit.kinks), COMPUTED)


def _continuous(
    motor: Motor, table: Boundary | None, mains: float, phases: Phases, place: Place
) -> Boundary | str:
    """Heat and voltage apart where they are known apart: surroundings reduce what heat limits."""
    surroundings = _surroundings(motor, place)
    if isinstance(surroundings, str):
        return surroundings
    if table is not None:
        torque = surroundings.torque(table.torque, float(table.torque[0]))
        return _boundary(Polyline(table.speed, torque), table.origin)
    voltage, heat = voltage_limit(motor, mains, phases), heat_limit(motor)
    if isinstance(voltage, str) or isinstance(heat, str):
        return ", ".join(reason for reason in (voltage, heat) if isinstance(reason, str))

    def hot(speed: Array) -> Array:
        return surroundings.torque(heat.torque(speed), heat.torque_stall)

    allowed = sampled(hot, [0.0, voltage.end])
    return _boundary(lower(allowed, sampled(voltage.torque, voltage.kinks)), COMPUTED)


def _tabulated(
    line: ProductLine, motor: str, kind: str, mains: float, phases: Phases
) -> Boundary | None:
    """The curve of this mains voltage, or one between its neighbours."""
    curves = sorted(_curves(line).get((motor, kind, phases), ()), key=lambda c: c.mains)
    below = [c for c in curves if c.mains <= mains * (1 + _SAME)]
    above = [c for c in curves if c.mains >= mains * (1 - _SAME)]
    if not below or not above:
        return None
    low, high = below[-1], above[0]
    if abs(low.mains - mains) <= _SAME * mains or low.mains >= high.mains:
        return _boundary(_points(low), "table")
    share = (mains - low.mains) / (high.mains - low.mains)
    origin = f"interpolated between {low.mains:g} and {high.mains:g} V"
    return _boundary(interpolated(_points(low), _points(high), share), origin)


def _points(curve: Curve) -> Polyline:
    return Polyline(np.array(curve.speed), np.array(curve.torque))


def _curves(line: ProductLine) -> dict[tuple[str, str, Phases], list[Curve]]:
    if "curves" not in line.derived:
        found: dict[tuple[str, str, Phases], list[Curve]] = {}
        for curve in line.curves:
            found.setdefault((curve.motor, curve.kind, curve.phases), []).append(curve)
        line.derived["curves"] = found
    return cast("dict[tuple[str, str, Phases], list[Curve]]", line.derived["curves"])


@dataclass(frozen=True, slots=True)
class _Surroundings:
    """What a place makes of a motor's continuous torque."""

    rise_share: float
    factor: float
    winding: float = 0.0
    housing: float = 1.0
    housing_here: float = 1.0

    def torque(self, torque: Array, torque_stall: float) -> Array:
        reduced = derated_torque(
            torque, torque_stall, self.rise_share, self.winding, self.housing, self.housing_here
        )
        return self.factor * np.minimum(reduced, torque)


def _surroundings(motor: Motor, place: Place) -> _Surroundings | str:
    """The place seen from the motor's ratings, or why the motor cannot be rated there."""
    if place.ambient > AMBIENT_END:
        return (
            f"{place.ambient:g} degC is above the {AMBIENT_END:g} degC up to which motors are rated"
        )
    if place.altitude > ALTITUDE_END:
        return f"{place.altitude:g} m is above the {ALTITUDE_END:g} m up to which motors are rated"
    rated = ambient_of(motor)
    height = ALTITUDE_RATED if motor.altitude_max is None else motor.altitude_max
    share = float(altitude_share(place.altitude, height))
    if place.ambient > rated:
        if motor.winding_limit is None or motor.winding_limit <= rated:
            return "winding limit temperature, for an ambient above the rated one"
        share *= float(ambient_share(place.ambient, motor.winding_limit, rated))
    factor = 1.0
    if place.brake_fitted:
        factor = BRAKE_FACTOR if motor.brake_factor is None else motor.brake_factor
    plate = _plate_share(motor, place)
    if isinstance(plate, str):
        return plate
    if plate >= 1.0 and not place.enclosed:
        return _Surroundings(share, factor)
    winding, housing = motor.rth_winding_housing, motor.rth_housing_ambient
    if winding is None or housing is None:
        return "thermal resistances, for mounting unlike the test"
    here = float(housing_resistance(housing, plate, place.enclosed))
    return _Surroundings(share, factor, winding, housing, here)


def _plate_share(motor: Motor, place: Place) -> float | str:
    if place.plate_area is None:
        return 1.0
    if motor.test_plate_side is None:
        return "side of the test plate, for a stated mounting plate"
    return place.plate_area / motor.test_plate_side**2
