"""Estimates from the other products of the same line."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import ShapeError
from dutyline.estimates.records import Guess
from dutyline.physics.power_laws import PowerLaw, power_law

LEAST = 5
"""Sizes without which no law is drawn (as in the audit; common practice)."""
MOST_SCATTER = 0.35
"""[1] departure of a size from the law of the others, as a logarithm, above which the law says too
little: 42 % (own choice)."""
BEYOND = 1.05
"""How far a size may lie outside the sizes of the law."""

Find = Callable[[Any, ProductLine], Guess | None]


def by_law(kind: str, field: str, sizes: tuple[str, ...], alike: tuple[str, ...] = (),
           scale: str = "") -> Find:  # fmt: skip
    """A finder by the power law of a field over some sizes, through parts alike in some fields.

    Parameters
    ----------
    kind, field : str
        ``motor``, ``inertia``.
    sizes : tuple of str
        Fields that are the sizes.
    alike : tuple of str
        Fields in which the members of a family are equal.
    scale : str
        Field by whose square the value is divided, where that leaves what grows with size.
    """

    def find(part: Any, line: ProductLine) -> Guess | None:
        here = _sizes(part, sizes)
        unit = _scale(part, scale)
        if here is None or unit is None:
            return None
        found = _law(line, kind, field, sizes, scale, tuple(getattr(part, name) for name in alike),
                     alike)  # fmt: skip
        if found is None:
            return None
        law, count, low, high = found
        if (here < low / BEYOND).any() or (here > high * BEYOND).any():
            return None
        middle, factor = law.at(here) * unit, math.exp(law.scatter)
        how = (
            f"by the power law through {count} {kind}s of the line, "
            f"{100 * math.expm1(law.scatter):.0f}\u202f% off at most"
        )
        return Guess(middle, middle / factor, middle * factor, how)

    return find


def by_extreme(kind: str, field: str, alike: tuple[str, ...]) -> Find:
    """A finder by the range that the parts alike in some fields state."""

    def find(part: Any, line: ProductLine) -> Guess | None:
        given = [
            getattr(other, field)
            for other in _alike(line, kind, tuple(getattr(part, n) for n in alike), alike)
            if getattr(other, field) is not None
        ]
        if len(given) < LEAST or not all(getattr(part, n) for n in alike):
            return None
        how = f"as the worst of {len(given)} {kind}s alike in the line"
        return Guess(float(np.median(given)), min(given), max(given), how)

    return find


def _sizes(part: Any, names: tuple[str, ...]) -> np.ndarray | None:
    values = [getattr(part, name) for name in names]
    return None if any(not v or v <= 0 for v in values) else np.array(values, dtype=float)


def _scale(part: Any, name: str) -> float | None:
    if not name:
        return 1.0
    value = getattr(part, name)
    return None if not value else float(value) ** 2


def _alike(line: ProductLine, kind: str, key: tuple[Any, ...], names: tuple[str, ...]) -> list[Any]:
    parts = getattr(line, f"{kind}s")
    return [p for p in parts if tuple(getattr(p, name) for name in names) == key]


def _law(
    line: ProductLine, kind: str, field: str, sizes: tuple[str, ...], scale: str,
    key: tuple[Any, ...], names: tuple[str, ...],
) -> tuple[PowerLaw, int, np.ndarray, np.ndarray] | None:  # fmt: skip
    """Law, number of sizes, and the range that they span; made once and kept with the line."""
    kept = line.derived.setdefault("power laws", {})
    own = (kind, field, sizes, scale, key)
    if own not in kept:
        kept[own] = _drawn(_alike(line, kind, key, names), field, sizes, scale)
    found: tuple[PowerLaw, int, np.ndarray, np.ndarray] | None = kept[own]
    return found


def _drawn(
    parts: list[Any], field: str, sizes: tuple[str, ...], scale: str
) -> tuple[PowerLaw, int, np.ndarray, np.ndarray] | None:
    """Through the distinct sizes: windings of one size are one product."""
    points: dict[tuple[float, ...], float] = {}
    for part in parts:
        here, unit, value = _sizes(part, sizes), _scale(part, scale), getattr(part, field)
        if here is not None and unit is not None and value:
            points.setdefault(tuple(here), value / unit)
    if len(points) < LEAST:
        return None
    table = np.array(list(points))
    try:
        law = power_law(table, np.array(list(points.values())))
    except ShapeError:
        return None
    if not law.scatter <= MOST_SCATTER:
        return None
    return law, len(points), table.min(axis=0), table.max(axis=0)
