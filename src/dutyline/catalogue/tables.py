"""The parts of a product line as arrays, one per field, for checks over many combinations."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from functools import cache
from operator import attrgetter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor, ProductLine, Resistor

Array = NDArray[np.float64]

_NUMERIC = ("float", "float | None", "int | None")


@cache
def _numeric(record: type) -> tuple[str, ...]:
    """Numeric fields of a kind of part."""
    return tuple(f.name for f in fields(record) if f.type in _NUMERIC)


@dataclass(frozen=True, slots=True)
class PartTable(Mapping[str, Array]):
    """Every numeric field of one kind of part as an array over the parts, SI units.

    ``table["inertia"][k]`` is the field of part ``k``, nan where it is not given. Arrays are made
    at first use, kept, and cannot be written to.
    """

    record: type
    parts: Sequence[Any]
    made: dict[str, Array] = field(default_factory=dict, repr=False)

    def __getitem__(self, name: str) -> Array:
        if name not in self.made:
            if name not in _numeric(self.record):
                raise KeyError(f"{self.record.__name__} has no number {name!r}")
            given = map(attrgetter(name), self.parts)
            numbers = [np.nan if value is None else float(value) for value in given]
            column = np.array(numbers, dtype=np.float64)
            column.setflags(write=False)
            self.made[name] = column
        return self.made[name]

    def at(self, name: str, index: NDArray[np.intp], none: float) -> Array:
        """A field of parts by index, ``none`` where the index is -1."""
        key = f"{name} or {none}"
        if key not in self.made:
            column = np.append(self[name], none)
            column.setflags(write=False)
            self.made[key] = column
        found: Array = self.made[key][index]
        return found

    def __iter__(self) -> Iterator[str]:
        return iter(_numeric(self.record))

    def __len__(self) -> int:
        return len(_numeric(self.record))

    def words(self, name: str) -> NDArray[np.str_]:
        """A field of words (``supply_class``) as an array over the parts."""
        return np.array([str(getattr(part, name)) for part in self.parts], dtype=np.str_)


@dataclass(frozen=True, slots=True)
class Tables:
    """Tables of all kinds of parts."""

    motors: PartTable
    gearheads: PartTable
    drives: PartTable
    brakes: PartTable
    resistors: PartTable


def tables(line: ProductLine) -> Tables:
    """The line's tables; made once and kept with the line."""
    if "tables" not in line.derived:
        line.derived["tables"] = Tables(
            PartTable(Motor, line.motors),
            PartTable(Gearhead, line.gearheads),
            PartTable(Drive, line.drives),
            PartTable(Brake, line.brakes),
            PartTable(Resistor, line.resistors),
        )
    found: Tables = line.derived["tables"]
    return found
