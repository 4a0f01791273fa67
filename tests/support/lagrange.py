"""Torque at the shaft of a mechanism from the places of its bodies alone, by differences.

A second way to the same figure: bodies are placed by complex numbers, derivatives are central
differences of five points, and Lagrange's equation is written out. Nothing of the package's
kinematics is used.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable
from dataclasses import dataclass

STEP = 2e-3


def slope(f: Callable[[float], float], q: float, h: float = STEP) -> float:
    """First derivative by five points, exact to the fourth power of the step."""
    return (f(q - 2 * h) - 8 * f(q - h) + 8 * f(q + h) - f(q + 2 * h)) / (12 * h)


@dataclass(frozen=True)
class Body:
    """A rigid body in a plane: place of its centre and its angle, over the input."""

    mass: float
    inertia: float
    place: Callable[[float], complex]
    """m; the real part along + travel of the load or along the ground line"""
    angle: Callable[[float], float] = lambda q: 0.0


def inertia(bodies: list[Body], q: float) -> float:
    """J(q) from the speeds of all bodies per speed of the input."""
    total = 0.0
    for b in bodies:
        x = slope(lambda s, b=b: b.place(s).real, q)
        y = slope(lambda s, b=b: b.place(s).imag, q)
        total += b.mass * (x * x + y * y) + b.inertia * slope(b.angle, q) ** 2
    return total


def torque(bodies: list[Body], up: complex, q: float, speed: float, acceleration: float) -> float:
    """``J q'' + J' q'^2 / 2 + dV/dq`` with gravity ``-up`` [m/s^2]."""
    height = lambda s: sum(  # noqa: E731
        b.mass * (up.real * b.place(s).real + up.imag * b.place(s).imag) for b in bodies
    )
    return (
        inertia(bodies, q) * acceleration
        + slope(lambda s: inertia(bodies, s), q) * speed**2 / 2
        + slope(height, q)
    )


def slider(q: float, crank: float, rod: float, offset: float) -> tuple[complex, complex]:
    """Crank pin and slider pin."""
    pin = crank * cmath.exp(1j * q)
    across = pin.imag + offset
    return pin, complex(pin.real + math.sqrt(rod * rod - across * across), -offset)


def four_bar(
    q: float, crank: float, coupler: float, rocker: float, ground: float, side: int
) -> tuple[complex, complex]:
    """Crank pin and rocker pin, by the meeting of two circles; side +1 is the open circuit."""
    pin = crank * cmath.exp(1j * q)
    sight = ground - pin
    far = abs(sight)
    along = (coupler**2 - rocker**2 + far**2) / (2 * far)
    across = math.sqrt(coupler**2 - along**2)
    return pin, pin + sight / far * complex(along, side * across)
