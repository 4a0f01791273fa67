"""Where a change begins to suffice, and the sensible number beyond that point."""

from __future__ import annotations

import math
from collections.abc import Callable

_STEPS = (1.0, 2.0, 5.0)
_SHARE = 0.02
"""A step is at most this share of the number it rounds."""
_MOST_HALVINGS = 40


def step_of(x: float) -> float:
    """The largest of 1, 2, 5 times a power of ten that is at most 2 % of a number.

    >>> step_of(0.64), step_of(28.0), step_of(110.0)
    (0.01, 0.5, 2.0)
    """
    if x == 0.0:
        return 1.0
    most = _SHARE * abs(x) * (1.0 + 1e-9)
    power = 10.0 ** math.floor(math.log10(most))
    return max(s * power for s in _STEPS if s * power <= most)


def outward(x: float, way: int, step: float) -> float:
    """The next multiple of a step above (``way`` 1) or below (-1) a number, itself if it is one.

    >>> outward(0.6437, 1, 0.01), outward(27.95, -1, 0.5), outward(0.65, 1, 0.01)
    (0.65, 27.5, 0.65)
    """
    count = x / step
    near = round(count)
    if not math.isclose(count, near, rel_tol=1e-9, abs_tol=1e-9):
        near = math.ceil(count) if way > 0 else math.floor(count)
    return float(f"{near * step:.12g}")


def crossing(
    left: Callable[[float], float], out: float, into: float, width: float
) -> tuple[float, float]:
    """Two places closer than a width, the first where ``left`` is negative, the other where not.

    Parameters
    ----------
    left : callable
        Slack at a place; minus infinity where there is none.
    out, into : float
        A place with negative slack and one without.
    width : float
        More than zero.

    Notes
    -----
    False position with the Illinois weight where both ends are finite and the last step shrank
    the bracket, halving otherwise. Where slack is not continuous the jump is enclosed.
    """
    low, high = left(out), left(into)
    kept = 0
    for k in range(_MOST_HALVINGS):
        if abs(into - out) <= width:
            break
        middle = 0.5 * (out + into)
        if k % 3 < 2 and math.isfinite(low) and math.isfinite(high) and high > low:
            middle = into - high * (into - out) / (high - low)
            edge = 0.3 * width if abs(into - out) > width else 0.0
            inner = sorted((out, into))
            middle = min(max(middle, inner[0] + edge), inner[1] - edge)
        found = left(middle)
        if found >= 0.0:
            into, high = middle, found
            low = 0.5 * low if kept == 1 else low
            kept = 1
        else:
            out, low = middle, found
            high = 0.5 * high if kept == -1 else high
            kept = -1
    return out, into
