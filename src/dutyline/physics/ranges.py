"""Guards of the physics functions: what is out of range, which element, what is needed.

A missing datum travels through every function as ``nan``; it is never refused here.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.core.errors import RangeError, ShapeError

Array = NDArray[np.float64]


def numbers(value: ArrayLike) -> Array:
    """The value as an array of floats; scalars become arrays without axes."""
    return np.asarray(value, dtype=np.float64)


def above(name: str, value: ArrayLike, floor: float, unit: str = "") -> Array:
    """The value as an array, refused where it is not more than ``floor``."""
    found = numbers(value)
    bad = found <= floor
    if bad.any():
        _refuse(name, found, bad, f"more than {floor:g}", unit)
    return found


def at_least(name: str, value: ArrayLike, floor: float, unit: str = "") -> Array:
    """The value as an array, refused where it is less than ``floor``."""
    found = numbers(value)
    bad = found < floor
    if bad.any():
        _refuse(name, found, bad, f"{floor:g} or more", unit)
    return found


def within(name: str, value: ArrayLike, low: float, high: float, unit: str = "") -> Array:
    """The value as an array, refused outside ``low`` < value <= ``high``."""
    found = numbers(value)
    bad = (found <= low) | (found > high)
    if bad.any():
        _refuse(name, found, bad, f"more than {low:g} and at most {high:g}", unit)
    return found


def segments(**values: ArrayLike) -> tuple[Array, ...]:
    """Arrays broadcast to one shape, the last axis counting the segments of a cycle.

    Raises
    ------
    ShapeError
        The shapes do not fit, or there is no segment.
    """
    found = {name: numbers(value) for name, value in values.items()}

    def got() -> str:
        return "got " + ", ".join(f"{name} {array.shape}" for name, array in found.items())

    try:
        shape = np.broadcast(*found.values()).shape
    except ValueError as error:
        raise ShapeError(f"{got()}; the last axes must be equally long") from error
    if not shape or shape[-1] == 0:
        raise ShapeError(f"{got()}; one segment or more is needed on the last axis")
    return tuple(np.array(np.broadcast_to(array, shape)) for array in found.values())


def _refuse(name: str, value: Array, bad: NDArray[np.bool_], need: str, unit: str) -> None:
    place = tuple(int(k) for k in np.argwhere(np.atleast_1d(bad))[0])
    first = float(np.atleast_1d(value)[place])
    label = name if value.ndim == 0 else f"{name}[{', '.join(map(str, place))}]"
    tail = f" {unit}" if unit else ""
    raise RangeError(f"{label} is {first:g}{tail}; it must be {need}{tail}")
