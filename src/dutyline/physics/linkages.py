"""Position of linkages over their input, with first and second derivatives; pressure of cams."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from dutyline.core.errors import RangeError
from dutyline.physics.ranges import Array, numbers


class Course(NamedTuple):
    """A coordinate over the input of a mechanism."""

    value: Array
    """[m or rad]"""
    slope: Array
    """First derivative by the input."""
    bend: Array
    """Second derivative by the input."""


def slider_crank(angle: ArrayLike, crank: float, rod: float, offset: float = 0.0) -> Course:
    """Place of the slider of a slider-crank from the crank axis, away from it.

    Parameters
    ----------
    angle : array_like [rad]
        Crank from the direction of + travel; 0 holds the slider farthest where offset is zero.
    crank, rod : float [m]
    offset : float [m]
        Line of the slider from the axis of the crank, where the crank pin is at 270 deg.

    Returns
    -------
    Course
        Of the slider [m, m/rad, m/rad^2].

    Raises
    ------
    RangeError
        The rod does not reach the line of the slider at some angle.

    Notes
    -----
    ``x = r cos q + sqrt(l^2 - (r sin q + e)^2)``.

    Source
    ------
    Plane geometry; Norton, *Design of Machinery*, from memory.

    Examples
    --------
    >>> slider_crank(np.pi / 3, 0.04, 0.2).slope.round(8).item()
    -0.03815828
    """
    across, along = _rod(angle, crank, rod, offset)
    q = numbers(angle)
    c, s = crank * np.cos(q), crank * np.sin(q)
    slope = -s - across * c / along
    bend = -c + (across * s - c**2) / along - (across * c) ** 2 / along**3
    return Course(c + along, slope, bend)


def _rod(angle: ArrayLike, crank: float, rod: float, offset: float) -> tuple[Array, Array]:
    """Extent of the rod across and along the line of the slider [m]."""
    across = crank * np.sin(numbers(angle)) + offset
    square = rod**2 - across**2
    if np.any(square <= 0):
        raise RangeError("the rod is too short to reach the line of the slider.")
    return across, np.sqrt(square)


def rod_centre(
    angle: ArrayLike, crank: float, rod: float, offset: float, centre: float
) -> tuple[Course, Course, Course]:
    """Centre of mass of the rod of a slider-crank, and its turning.

    Parameters
    ----------
    angle, crank, rod, offset :
        As :func:`slider_crank`.
    centre : float [m]
        Crank pin to the centre of mass, along the rod.

    Returns
    -------
    along, across, turned : Course
        Place along + travel and across it (left of it) [m], angle of the rod [rad].

    Raises
    ------
    RangeError
        As :func:`slider_crank`.

    Notes
    -----
    The centre lies at the share ``centre/rod`` between crank pin and slider pin;
    ``sin p = (r sin q + e)/l`` and ``p' = r cos q / (l cos p)``.

    Source
    ------
    Plane geometry; Norton, *Design of Machinery*, from memory.

    Examples
    --------
    >>> x, y, p = rod_centre(np.pi / 2, 0.04, 0.2, 0.0, 0.08)
    >>> y.value.round(6).item(), p.slope.round(6).item()
    (0.024, 0.0)
    """
    across, along = _rod(angle, crank, rod, offset)
    q = numbers(angle)
    c, s = crank * np.cos(q), crank * np.sin(q)
    turn = c / along
    turn_bend = -s / along + across * c**2 / along**3
    end = slider_crank(angle, crank, rod, offset)
    part = centre / rod
    x = Course(c + part * (end.value - c), -s + part * (end.slope + s), -c + part * (end.bend + c))
    y = Course(s - part * (s + offset), c * (1 - part), -s * (1 - part))
    return x, y, Course(np.arcsin(across / rod), turn, turn_bend)


def scotch_yoke(angle: ArrayLike, crank: float) -> Course:
    """Place of the yoke of a scotch yoke from the middle of its stroke.

    Parameters
    ----------
    angle : array_like [rad]
        Crank from the direction of + travel.
    crank : float [m]

    Returns
    -------
    Course
        Of the yoke [m, m/rad, m/rad^2].

    Source
    ------
    Plane geometry: ``x = r cos q``.

    Examples
    --------
    >>> scotch_yoke(np.pi / 2, 0.03).slope.round(6).item()
    -0.03
    """
    q = numbers(angle)
    c = crank * np.cos(q)
    return Course(c, -crank * np.sin(q), -c)


def toggle(knee: ArrayLike, link: float) -> Course:
    """Length of a toggle of two equal links over the place of its knee.

    Parameters
    ----------
    knee : array_like [m]
        Knee from the straight line.
    link : float [m]
        Length of one link.

    Returns
    -------
    Course
        Distance of the end pins [m, 1, 1/m].

    Raises
    ------
    RangeError
        The knee is farther from the line than a link is long.

    Notes
    -----
    ``x = 2 sqrt(l^2 - y^2)``; with ``y = l sin b`` the force ratio is ``1/(2 tan b)``.

    Source
    ------
    Plane geometry; Norton, *Design of Machinery*, from memory.

    Examples
    --------
    >>> round(-1 / toggle(0.1 * np.sin(np.radians(10)), 0.1).slope.item(), 4)
    2.8356
    """
    y = numbers(knee)
    square = link**2 - y**2
    if np.any(square <= 0):
        raise RangeError("the knee is farther from the line than a link is long.")
    half = np.sqrt(square)
    return Course(2 * half, -2 * y / half, -2 * link**2 / half**3)


class FourBar(NamedTuple):
    """Courses of a four-bar linkage over the angle of its crank."""

    coupler: Course
    """Angle of the coupler from the ground line [rad]."""
    rocker: Course
    """Angle of the rocker from the ground line [rad], continuous over a turn."""


def four_bar(
    angle: ArrayLike,
    crank: float,
    coupler: float,
    rocker: float,
    ground: float,
    crossed: bool = False,
) -> FourBar:
    """Coupler and rocker angles of a four-bar linkage.

    Parameters
    ----------
    angle : array_like [rad]
        Crank from the ground line, which points to the pivot of the rocker.
    crank, coupler, rocker, ground : float [m]
        Lengths.
    crossed : bool
        The circuit in which coupler and rocker lie on the other side of the line from the crank
        pin to the pivot of the rocker.

    Returns
    -------
    FourBar

    Raises
    ------
    RangeError
        Coupler and rocker do not meet, or stand in one line, at some angle.

    Notes
    -----
    Intersection of two circles. With ``t = sin(rocker - coupler)`` the slopes are
    ``a sin(q - coupler)/(c t)`` and ``-a sin(rocker - q)/(b t)``.

    Source
    ------
    Norton, *Design of Machinery*, from memory; slopes checked by differences in the tests.

    Examples
    --------
    >>> found = four_bar(np.radians(60), 0.05, 0.14, 0.12, 0.15)
    >>> found.coupler.value.round(5).item(), found.rocker.value.round(4).item()
    (0.57767, 1.6351)
    """
    q = numbers(angle)
    square = crank**2 + ground**2 - 2 * crank * ground * np.cos(q)
    far = np.sqrt(np.maximum(square, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        at_pin = (coupler**2 + square - rocker**2) / (2 * coupler * far)
        at_pivot = (rocker**2 + square - coupler**2) / (2 * rocker * far)
    if not np.all(np.abs(at_pin) < 1 - 1e-12) or not np.all(np.abs(at_pivot) < 1 - 1e-12):
        raise RangeError("coupler and rocker do not meet, or stand in one line.")
    side = -1.0 if crossed else 1.0
    base = _line_of_sight(q, crank, ground)
    pin = base + side * np.arccos(at_pin)
    out = base + np.pi - side * np.arccos(at_pivot)
    turn = np.sin(out - pin)
    pin_slope = crank * np.sin(out - q) / (-coupler * turn)
    out_slope = crank * np.sin(q - pin) / (rocker * turn)
    turn_slope = np.cos(out - pin) * (out_slope - pin_slope)
    pin_top = -crank * np.cos(out - q) * (out_slope - 1)
    out_top = crank * np.cos(q - pin) * (1 - pin_slope)
    pin_bend = (pin_top - pin_slope * coupler * turn_slope) / (coupler * turn)
    out_bend = (out_top - out_slope * rocker * turn_slope) / (rocker * turn)
    return FourBar(Course(pin, pin_slope, pin_bend), Course(out, out_slope, out_bend))


def _line_of_sight(angle: Array, crank: float, ground: float) -> Array:
    """Direction from the crank pin to the pivot of the rocker, continuous over turns [rad]."""
    share = min(crank, ground) / max(crank, ground)
    if crank <= ground:
        bent: Array = np.arctan2(-share * np.sin(angle), 1 - share * np.cos(angle))
        return bent
    bent = np.arctan2(share * np.sin(angle), 1 - share * np.cos(angle))
    return angle - np.pi + bent


def coupler_centre(
    angle: ArrayLike, crank: float, coupler: Course, centre: float
) -> tuple[Course, Course]:
    """Centre of mass of a coupler.

    Parameters
    ----------
    angle : array_like [rad]
        Crank from the ground line.
    crank : float [m]
    coupler : Course
        Its angle over that of the crank.
    centre : float [m]
        Crank pin to the centre of mass, along the coupler.

    Returns
    -------
    along, across : Course
        Place along the ground line and left of it, from the axis of the crank [m].

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> bars = four_bar(np.radians(60), 0.05, 0.14, 0.12, 0.15)
    >>> x, y = coupler_centre(np.radians(60), 0.05, bars.coupler, 0.07)
    >>> x.value.round(4).item(), y.value.round(4).item()
    (0.0836, 0.0815)
    """
    q = numbers(angle)
    p, w, b = coupler
    c, s = crank * np.cos(q), crank * np.sin(q)
    u, v = centre * np.cos(p), centre * np.sin(p)
    x = Course(c + u, -s - v * w, -c - u * w**2 - v * b)
    y = Course(s + v, c + u * w, -s - v * w**2 + u * b)
    return x, y


def pressure_angle(
    lift: ArrayLike, slope: ArrayLike, base_radius: float, offset: float = 0.0
) -> Array:
    """Angle between the force on a translating roller follower and its line of motion.

    Parameters
    ----------
    lift : array_like [m]
        Above the base circle of the pitch curve.
    slope : array_like [m/rad]
        Derivative of the lift by the angle of the cam.
    base_radius : float [m]
        Of the pitch curve. More than the offset.
    offset : float [m]
        Line of the follower from the axis of the cam.

    Returns
    -------
    ndarray [rad]
        Signed.

    Raises
    ------
    RangeError
        The line of the follower does not cut the base circle.

    Notes
    -----
    ``tan d = (s' - e)/(s + sqrt(r_b^2 - e^2))``; about 30 deg is the usual limit in a guide.

    Source
    ------
    Norton, *Cam Design and Manufacturing Handbook*, from memory.

    Examples
    --------
    >>> round(float(np.degrees(pressure_angle(0.01, 0.02, 0.03))), 2)
    26.57
    """
    if abs(offset) >= base_radius:
        raise RangeError("the line of the follower does not cut the base circle.")
    height = numbers(lift) + np.sqrt(base_radius**2 - offset**2)
    angle: Array = np.arctan((numbers(slope) - offset) / height)
    return angle
