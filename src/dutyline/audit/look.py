"""The numbers of a line as the rules see them: columns over parts, curve points and pairings."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from dutyline.audit.records import Array, Index, Side
from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.catalogue.tables import PartTable, tables

PARTS = ("motors", "gearheads", "drives", "brakes", "resistors")


class Look:
    """A product line as columns."""

    def __init__(self, line: ProductLine) -> None:
        self.line = line
        own = tables(line)
        self._tables: dict[str, PartTable] = {kind: getattr(own, kind) for kind in PARTS}
        self._pairs: dict[str, tuple[Index, Index, Index]] = {}

    def column(self, kind: str, field: str) -> Array:
        """A numeric column, nan where it is not stated."""
        if kind == "curves":
            return self.points[field]
        if kind == "pairings":
            return self._pairing_column(field)
        return self._tables[kind][field]

    def fields(self, kind: str) -> list[str]:
        """Numeric columns of a kind of part."""
        return list(self._tables[kind])

    def size(self, kind: str) -> int:
        """Number of parts, points or pairings."""
        if kind == "curves":
            return int(self.points["speed"].size)
        return len(getattr(self.line, kind))

    def every(self, kind: str) -> Index:
        """All rows of a kind."""
        return np.arange(self.size(kind))

    def stating(self, kind: str, *fields: str) -> Index:
        """Rows that state all of some columns."""
        known = np.ones(self.size(kind), dtype=bool)
        for field in fields:
            known &= ~np.isnan(self.column(kind, field))
        return np.nonzero(known)[0]

    def states(self, kind: str, field: str) -> bool:
        """Whether any row of a kind states a datum, number or word."""
        if kind == "curves":
            return bool(self.line.curves)
        if kind == "pairings" or field not in self._tables[kind]:
            return any(getattr(p, field) not in (None, "", ()) for p in getattr(self.line, kind))
        return not bool(np.isnan(self.column(kind, field)).all())

    def side(
        self, kind: str, field: str, power: float = 0.0, rows: Index | None = None,
        expected: Array | None = None,
    ) -> Side:  # fmt: skip
        """A side of a test; all rows of the kind where none are named."""
        return Side(kind, field, self.every(kind) if rows is None else rows, power, expected)

    def at(self, kind: str, field: str, rows: Index) -> Array:
        """Values of some rows; nan where a row is -1."""
        column = self.column(kind, field)
        if column.size == 0:
            return np.full(rows.size, np.nan)
        return np.where(rows >= 0, column[rows], np.nan)

    @cached_property
    def points(self) -> Mapping[str, Array]:
        """Speed and torque of all curve points, one curve after another."""
        return {
            "speed": np.array([s for c in self.line.curves for s in c.speed], dtype=np.float64),
            "torque": np.array([t for c in self.line.curves for t in c.torque], dtype=np.float64),
        }

    @cached_property
    def curve_starts(self) -> Index:
        """(c + 1,) first point of each curve, and one past the last."""
        return np.concatenate([[0], np.cumsum([len(c.speed) for c in self.line.curves])]).astype(
            np.intp
        )

    def _pairing_column(self, field: str) -> Array:
        given = (getattr(p, field) for p in self.line.pairings)
        return np.array([np.nan if v is None else float(v) for v in given], dtype=np.float64)

    def pairs(self, kind: str) -> tuple[Index, Index, Index]:
        """Rows of the pairings of a kind, and of their left and right parts."""
        if kind not in self._pairs:
            left, right = (getattr(self.line, f"{side}_index") for side in kind.split("-"))
            own = [(k, p) for k, p in enumerate(self.line.pairings) if p.kind == kind]
            self._pairs[kind] = (
                np.array([k for k, _ in own], dtype=np.intp),
                np.array([left[p.left] for _, p in own], dtype=np.intp),
                np.array([right[p.right] for _, p in own], dtype=np.intp),
            )
        return self._pairs[kind]

    @cached_property
    def motor_brakes(self) -> tuple[Index, Index]:
        """Motors and the brakes that go on them, by the motor's own word and by the pairings."""
        own = {
            (k, self.line.brake_index[m.brake])
            for k, m in enumerate(self.line.motors)
            if m.brake in self.line.brake_index
        }
        _, left, right = self.pairs("motor-brake")
        every = sorted(own | {(int(a), int(b)) for a, b in zip(left, right, strict=True)})
        both = np.array(every, dtype=np.intp).reshape(-1, 2)
        return both[:, 0], both[:, 1]

    @cached_property
    def sizes(self) -> list[Index]:
        """Motors of one size and series, in the order of their first; alone where none is named."""
        return groups([(_series(m), m.size or f"\0{m.name}") for m in self.line.motors])

    @cached_property
    def series(self) -> list[list[Index]]:
        """The sizes of each series."""
        found: dict[str, list[Index]] = {}
        for group in self.sizes:
            found.setdefault(_series(self.line.motors[int(group[0])]), []).append(group)
        return list(found.values())

    @cached_property
    def frames(self) -> list[Index]:
        """Gearheads of one style and frame; those that do not state both are left out."""
        keys = [
            None if g.frame is None or not g.style else (g.style, g.frame)
            for g in self.line.gearheads
        ]
        return [g for g in groups(keys) if keys[int(g[0])] is not None]


def _series(motor: Motor) -> str:
    return motor.series


def groups(keys: Sequence[Hashable]) -> list[Index]:
    """Places of equal keys, in the order of their first."""
    found: dict[Hashable, list[int]] = {}
    for k, key in enumerate(keys):
        found.setdefault(key, []).append(k)
    return [np.array(rows, dtype=np.intp) for rows in found.values()]


def beside(values: NDArray[np.float64]) -> Array:
    """Median of the other values, for every value; nan are no values.

    >>> beside(np.array([1.0, 5.0, 3.0, np.nan])).tolist()
    [4.0, 2.0, 3.0, nan]
    """
    known = np.sort(values[~np.isnan(values)])
    others = known.size - 1
    if others < 1:
        return np.full(values.shape, np.nan)
    place = np.searchsorted(known, values)
    low, high = (np.where(k < place, known[k], known[k + 1])
                 for k in ((others - 1) // 2, others // 2))  # fmt: skip
    return np.where(np.isnan(values), np.nan, 0.5 * (low + high))
