"""Forces that belts, tooth contacts and turning masses put on the shaft that carries them."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, at_least, numbers


def belt_branches(
    pretension: ArrayLike, effort: ArrayLike, tight_share: ArrayLike = 0.5
) -> tuple[Array, Array]:
    """Tensions of the tight and of the slack branch of a belt [N].

    Parameters
    ----------
    pretension : array_like [N]
        In one branch at rest; zero or more.
    effort : array_like [N]
        Circumferential force at the pulley.
    tight_share : array_like [1]
        Of the effort that adds to the pretension: 1/2 between two pulleys, up to 1 on an axis whose
        free branch is long. A branch that would be pushed is slack and carries nothing.

    Source
    ------
    Statics of an elastic belt of constant length.

    Examples
    --------
    >>> [float(f) for f in belt_branches(300.0, 200.0)]
    [400.0, 200.0]
    >>> [float(f) for f in belt_branches(50.0, 200.0)]
    [200.0, 0.0]
    """
    held, force = at_least("pretension", pretension, 0.0, "N"), np.abs(numbers(effort))
    tight = np.maximum(held + numbers(tight_share) * force, force)
    return numbers(tight), numbers(tight - force)


def belt_shaft_force(tight: ArrayLike, slack: ArrayLike, wrap: ArrayLike = np.pi) -> Array:
    """Resultant of the two branches of a belt on the shaft of its pulley [N].

    Parameters
    ----------
    tight, slack : array_like [N]
    wrap : array_like [rad]
        Half a turn where the branches run side by side; then the resultant is largest.

    Source
    ------
    Statics, vector sum.

    Examples
    --------
    >>> float(belt_shaft_force(400.0, 200.0))
    600.0
    >>> round(float(belt_shaft_force(300.0, 300.0, np.radians(120.0))), 3)
    519.615
    """
    a, b = numbers(tight), numbers(slack)
    square = a**2 + b**2 - 2.0 * a * b * np.cos(numbers(wrap))
    return numbers(np.sqrt(np.maximum(square, 0.0)))


def whirled_force(lever: ArrayLike, speed: ArrayLike, acceleration: ArrayLike) -> Array:
    """Radial force of a mass that turns off the axis, ``m r sqrt(w^4 + a^2)`` [N].

    Parameters
    ----------
    lever : array_like [kg*m]
        Mass times distance of its centre from the axis.
    speed : array_like [rad/s]
    acceleration : array_like [rad/s^2]

    Source
    ------
    Kinematics of a circle: centripetal and tangential acceleration at right angles.

    Examples
    --------
    >>> float(whirled_force(2.0, 2.0, 3.0))
    10.0
    """
    return numbers(np.abs(numbers(lever)) * np.hypot(numbers(speed) ** 2, numbers(acceleration)))
