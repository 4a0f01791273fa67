"""What a pneumatic cylinder can push and how much air it takes, to compare with a servo axis."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, above, at_least, numbers

ATMOSPHERE = 1.0e5
"""[Pa] to which free air is reckoned and above which gauges read, rounded as in the trade."""


def cylinder_thrust(bore: ArrayLike, pressure: ArrayLike) -> Array:
    """Force of the piston at rest, without friction and without a rod [N].

    It is what the cylinder could push when blocked, not what the task takes.

    Parameters
    ----------
    bore : array_like [m]
        More than zero.
    pressure : array_like [Pa]
        Gauge pressure. Zero or more.

    Source
    ------
    Definition of pressure.

    Examples
    --------
    >>> round(float(cylinder_thrust(0.05, 6e5)), 1)
    1178.1
    """
    area = np.pi / 4 * above("bore", bore, 0.0, "m") ** 2
    return numbers(area * at_least("pressure", pressure, 0.0, "Pa"))


def free_air(bore: ArrayLike, stroke: ArrayLike, pressure: ArrayLike) -> Array:
    """Air at the pressure of the atmosphere that one stroke takes [m^3].

    A double stroke of a double-acting cylinder takes it twice; the rod, dead volumes and leaks
    are left out.

    Parameters
    ----------
    bore, stroke : array_like [m]
        More than zero.
    pressure : array_like [Pa]
        Gauge pressure. Zero or more.

    Source
    ------
    Boyle's law.

    Examples
    --------
    >>> round(float(free_air(0.05, 0.1, 6e5)) * 1000, 3)
    1.374
    """
    area = np.pi / 4 * above("bore", bore, 0.0, "m") ** 2
    volume = area * above("stroke", stroke, 0.0, "m")
    return numbers(volume * (1.0 + at_least("pressure", pressure, 0.0, "Pa") / ATMOSPHERE))
