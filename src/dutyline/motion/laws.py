"""Laws of fixed shape from rest to rest, as exact pieces, with their published coefficients.

A law is ``x = h f(z)`` with ``z = t/T``. Its peaks scale as ``C_v h/T`` (speed), ``C_a h/T^2``
(acceleration), ``C_j h/T^3`` (jerk), ``C_M h^2/T^3`` (speed times acceleration) and
``C_rms h/T^2`` (root mean square of the acceleration).

Source: VDI 2143 Part 1:1980 and Norton, *Cam Design and Manufacturing Handbook*, both from
memory; every coefficient below is the closed form derived from the law itself.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf, isfinite, pi, sqrt

from dutyline.core.errors import RangeError
from dutyline.motion.pieces import Piece, Wave


@dataclass(frozen=True, slots=True)
class Coefficients:
    """Peaks of a law for unit stroke and unit time [1]."""

    speed: float
    """C_v"""
    acceleration: float
    """C_a, the larger of both ramps"""
    jerk: float
    """C_j, infinite where the acceleration jumps"""
    power: float
    """C_M, largest product of speed and acceleration"""
    rms: float
    """C_rms"""


@dataclass(frozen=True, slots=True)
class _Swing:
    """A stretch of ``f'' = level + sum(height * sin(rate * z + phase))``."""

    length: float
    level: float = 0.0
    waves: tuple[tuple[float, float, float], ...] = ()  # height, rate, phase


def _integrate(swings: Iterable[_Swing]) -> tuple[Piece, ...]:
    """Position over unit time from stretches of acceleration, starting at rest at 0."""
    start, place, speed = 0.0, 0.0, 0.0
    pieces = []
    for swing in swings:
        waves = tuple(Wave(-a / w**2, w, p) for a, w, p in swing.waves)
        shed = Piece(start, swing.length, (0.0, 0.0), waves)
        poly = (
            place - float(shed.position(0.0)),
            speed - float(shed.speed(0.0)),
            swing.level / 2,
        )
        piece = Piece(start, swing.length, poly, waves)
        pieces.append(piece)
        start += swing.length
        place, speed = float(piece.position(swing.length)), float(piece.speed(swing.length))
    return tuple(pieces)


def _polynomial(*poly: float) -> tuple[Piece, ...]:
    return (Piece(0.0, 1.0, poly),)


_TRAPEZOID = 8 * pi / (pi + 2)  # C_a of the modified trapezoid
_SINE = 4 * pi**2 / (pi + 4)  # C_a of the modified sine
_QUARTER = pi / 2

SHAPES: dict[str, tuple[Piece, ...]] = {
    "cubic": _polynomial(0, 0, 3, -2),
    "quintic": _polynomial(0, 0, 0, 10, -15, 6),
    "septic": _polynomial(0, 0, 0, 0, 35, -84, 70, -20),
    "simple-sine": _integrate([_Swing(1, 0, ((pi**2 / 2, pi, _QUARTER),))]),
    "cycloid": _integrate([_Swing(1, 0, ((2 * pi, 2 * pi, 0),))]),
    "modified-trapezoid": _integrate(
        [
            _Swing(1 / 8, 0, ((_TRAPEZOID, 4 * pi, 0),)),
            _Swing(1 / 4, _TRAPEZOID),
            _Swing(1 / 4, 0, ((_TRAPEZOID, 4 * pi, _QUARTER),)),
            _Swing(1 / 4, -_TRAPEZOID),
            _Swing(1 / 8, 0, ((_TRAPEZOID, 4 * pi, 3 * _QUARTER),)),
        ]
    ),
    "modified-sine": _integrate(
        [
            _Swing(1 / 8, 0, ((_SINE, 4 * pi, 0),)),
            _Swing(3 / 4, 0, ((_SINE, 4 * pi / 3, _QUARTER),)),
            _Swing(1 / 8, 0, ((_SINE, 4 * pi, 3 * _QUARTER),)),
        ]
    ),
    "gutman": _integrate([_Swing(1, 0, ((15 * pi / 8, 2 * pi, 0), (3 * pi / 8, 6 * pi, 0)))]),
}
"""Laws of fixed shape over unit stroke and unit time. Ramped laws are in :mod:`.ramps`."""


def _modified_trapezoid_power() -> float:
    # f' f'' = 16 pi c^2 (pi + 1 + s) sqrt(1 - s^2) beyond z = 3/8, s = sin 4 pi (z - 3/8)
    s = (-(pi + 1) + sqrt((pi + 1) ** 2 + 8)) / 4
    return 16 * pi / (pi + 2) ** 2 * (pi + 1 + s) * sqrt(1 - s**2)


def _modified_sine_power() -> float:
    # f' f'' = 4 pi k^2 (1 - 3 c) sqrt(1 - c^2) in the middle; the peak solves 6 c^2 - c - 3 = 0
    c = (1 - sqrt(73)) / 12
    return 4 * pi * (pi / (pi + 4)) ** 2 * (1 - 3 * c) * sqrt(1 - c**2)


_COEFFICIENTS: dict[str, Coefficients] = {
    "cubic": Coefficients(1.5, 6.0, inf, 2 * sqrt(3), 2 * sqrt(3)),
    "quintic": Coefficients(
        15 / 8, 10 / sqrt(3), 60.0, 3600 * (3 / 14) ** 3 / sqrt(28), sqrt(120 / 7)
    ),
    "septic": Coefficients(
        35 / 16, 84 / sqrt(125), 52.5, 117600 * (5 / 22) ** 5 / sqrt(44), sqrt(280 / 11)
    ),
    "simple-sine": Coefficients(pi / 2, pi**2 / 2, inf, pi**3 / 8, pi**2 / sqrt(8)),
    "cycloid": Coefficients(2.0, 2 * pi, 4 * pi**2, 1.5 * sqrt(3) * pi, sqrt(2) * pi),
    "modified-trapezoid": Coefficients(
        2.0, _TRAPEZOID, 4 * pi * _TRAPEZOID, _modified_trapezoid_power(), _TRAPEZOID * sqrt(0.75)
    ),
    "modified-sine": Coefficients(
        4 * pi / (pi + 4), _SINE, 4 * pi * _SINE, _modified_sine_power(), _SINE / sqrt(2)
    ),
    # C_M has no short closed form: numeric maximum of f' f''
    "gutman": Coefficients(
        2.0, 2 * pi * sqrt(2 / 3), 6 * pi**2, 8.124857839, 3 * pi / 8 * sqrt(13)
    ),
}


def coefficients(law: str) -> Coefficients:
    """Published coefficients of a law; ramped laws with their usual shares.

    ``trapezoid`` stands for ramps of a third each, ``triangle`` for halves, ``s-curve`` for
    thirds with a tenth of each ramp as jerk time. Other shares: :func:`ramped_coefficients`.

    Raises
    ------
    RangeError
        The law is unknown.

    Examples
    --------
    >>> round(coefficients("modified-sine").acceleration, 4)
    5.528
    """
    ramped = {"trapezoid": (1 / 3, 0.0), "triangle": (1 / 2, 0.0), "s-curve": (1 / 3, 0.1)}
    if law in ramped:
        share, jerk_share = ramped[law]
        return ramped_coefficients(share, share, jerk_share)
    if law not in _COEFFICIENTS:
        raise RangeError(f"{law} is no motion law; known are {', '.join([*ramped, *SHAPES])}")
    return _COEFFICIENTS[law]


def ramped_coefficients(
    accel_share: float, decel_share: float, jerk_share: float = 0.0
) -> Coefficients:
    """Coefficients of a ramped law from its shares of the time [1].

    ``jerk_share`` is the jerk time over the ramp time: 0 for constant acceleration, at most 0.5.
    Derived here; thirds give the well-known 1.5, 4.5 and 3.6742.

    Raises
    ------
    RangeError
        A share is not above 0, both ramps take more than the whole time, or ``jerk_share``
        leaves 0..0.5.

    Examples
    --------
    >>> third = ramped_coefficients(1 / 3, 1 / 3)
    >>> round(third.speed, 4), round(third.acceleration, 4), round(third.rms, 4)
    (1.5, 4.5, 3.6742)
    """
    if not (accel_share > 0 and decel_share > 0 and accel_share + decel_share <= 1 + 1e-12):
        raise RangeError(f"ramp shares {accel_share} and {decel_share} need a sum of at most 1")
    if not 0 <= jerk_share <= 0.5:
        raise RangeError(f"jerk share {jerk_share} lies outside 0..0.5")
    speed = 1 / (1 - (accel_share + decel_share) / 2)
    shortest = min(accel_share, decel_share)
    peaks = [speed / (share * (1 - jerk_share)) for share in (accel_share, decel_share)]
    squares = sum(
        peak**2 * share * (1 - 4 * jerk_share / 3)
        for peak, share in zip(peaks, (accel_share, decel_share), strict=True)
    )
    acceleration = max(peaks)
    jerk = acceleration / (jerk_share * shortest) if jerk_share > 0 else inf
    rounding = acceleration * jerk_share * shortest
    height = min(1.0, sqrt(2 * speed / (3 * rounding))) if rounding > 0 else 1.0
    power = acceleration * height * (speed - rounding * height**2 / 2)
    return Coefficients(speed, acceleration, jerk, power, sqrt(squares))


def law_pieces(law: str, distance: float, time: float) -> tuple[Piece, ...]:
    """A law of fixed shape over a distance [m or rad] and a time [s], from time 0 and place 0.

    Raises
    ------
    RangeError
        The law has no fixed shape, or the time is not a finite number above 0.

    Examples
    --------
    >>> piece, = law_pieces("quintic", 0.3, 0.6)
    >>> round(float(piece.speed(0.3)), 6)  # 15/8 * 0.3/0.6
    0.9375
    """
    if law not in SHAPES:
        raise RangeError(f"{law} is no law of fixed shape; known are {', '.join(SHAPES)}")
    if not (time > 0 and isfinite(time) and isfinite(distance)):
        raise RangeError(f"distance {distance} and time {time} need finite numbers, time above 0")
    return tuple(
        replace(
            shape,
            start=shape.start * time,
            duration=shape.duration * time,
            poly=tuple(c * distance / time**k for k, c in enumerate(shape.poly)),
            waves=tuple(Wave(w.amplitude * distance, w.rate / time, w.phase) for w in shape.waves),
        )
        for shape in SHAPES[law]
    )


def quintic_between(
    start: tuple[float, float, float], end: tuple[float, float, float], time: float
) -> Piece:
    """Polynomial of fifth degree between two states (place, speed, acceleration).

    The motion may overshoot between its ends: look for its extremes before trusting it.

    Parameters
    ----------
    start, end : (3,) tuple
        Place [m or rad], speed [m/s or rad/s], acceleration [m/s^2 or rad/s^2].
    time : float [s]
        More than 0.

    Raises
    ------
    RangeError
        The time is not a finite number above 0.

    Notes
    -----
    Source: Biagiotti and Melchiorri, *Trajectory Planning for Automatic Machines and Robots*,
    Springer 2008, from memory; derived again from the six end conditions.

    Examples
    --------
    >>> piece = quintic_between((0, 0.5, 1), (0.4, 0.2, -1), 0.6)
    >>> round(float(piece.position(0.3)), 6)
    0.228125
    """
    if not (time > 0 and isfinite(time)):
        raise RangeError(f"time {time} needs a finite number above 0")
    (x0, v0, a0), (x1, v1, a1) = start, end
    stroke, t = x1 - x0, time
    cubic = 10 * stroke - (6 * v0 + 4 * v1) * t - (3 * a0 - a1) * t**2 / 2
    quartic = -15 * stroke + (8 * v0 + 7 * v1) * t + (3 * a0 - 2 * a1) * t**2 / 2
    fifth = 6 * stroke - 3 * (v0 + v1) * t - (a0 - a1) * t**2 / 2
    return Piece(0.0, t, (x0, v0, a0 / 2, cubic / t**3, quartic / t**4, fifth / t**5))
