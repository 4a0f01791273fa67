"""Rope tackles: efficiencies raising and lowering, speeds of the rope parts."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.core.errors import RangeError


def _parts(parts: int) -> int:
    if parts < 1 or parts != int(parts):
        raise RangeError(f"parts is {parts:g}; it must be a whole number of 1 or more.")
    return int(parts)


def tackle_efficiencies(sheave_efficiency: float, parts: int) -> tuple[float, float]:
    """Efficiencies of a tackle whose lead line leaves the fixed block, raising and lowering.

    Parameters
    ----------
    sheave_efficiency : float [1]
        Of one sheave, above 0 and at most 1.
    parts : int
        Rope parts that carry the load, 1 or more.

    Returns
    -------
    raising, lowering : float [1]

    Raises
    ------
    RangeError
        An efficiency outside 0 to 1, or less than one part.

    Notes
    -----
    Each sheave leaves ``E`` of the pull. Raising, the load carried per pull is
    ``E + E^2 + ... + E^n`` instead of n; lowering it is ``1/E + ... + 1/E^n``.

    Source
    ------
    Pipeline Rules of Thumb Handbook, p. 6 (raising); lowering derived here the same way.

    Examples
    --------
    >>> raising, lowering = tackle_efficiencies(0.96, 4)
    >>> round(raising, 5), round(lowering, 5), round(4 * raising, 4)
    (0.90392, 0.90204, 3.6157)
    """
    if not 0 < sheave_efficiency <= 1:
        raise RangeError(
            f"sheave_efficiency is {sheave_efficiency:g}; it must be above 0 and at most 1."
        )
    count = _parts(parts)
    powers = sheave_efficiency ** np.arange(1, count + 1)
    return float(powers.sum()) / count, count / float((1 / powers).sum())


def rope_speeds(parts: int) -> NDArray[np.float64]:
    """Speed of the rope in each carrying part, per speed of the load.

    Parameters
    ----------
    parts : int
        Rope parts that carry the load, 1 or more.

    Returns
    -------
    (parts,) ndarray [1]
        From the dead end to the lead line. An even number has its dead end on the fixed block
        (at rest), an odd one on the load.

    Raises
    ------
    RangeError
        Less than one part.

    Source
    ------
    Derived here: each moving sheave adds twice the speed of the load.

    Examples
    --------
    >>> rope_speeds(4).tolist(), rope_speeds(3).tolist()
    ([0.0, 2.0, 2.0, 4.0], [1.0, 1.0, 3.0])
    """
    count = _parts(parts)
    places = np.arange(count)
    return (2 * ((places + 1) // 2) if count % 2 == 0 else 2 * (places // 2) + 1).astype(float)
