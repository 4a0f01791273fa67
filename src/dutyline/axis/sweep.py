"""Products of a stated range, each a case of its own, so that the worst of each check is found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product

import numpy as np

from dutyline.axis.stated import Stated
from dutyline.core.numbers import stated_quantity
from dutyline.core.values import Value

ALONE, TOGETHER = 7, 3
"""Values of one range, both ends among them; of each where several are stated."""
MOST = 60
"""Products judged besides the file itself."""


def swept_ranges(phases: Sequence[Stated]) -> list[tuple[str, Value]]:
    """Paths and values of the stated ranges that are swept."""
    return [
        (f"{phase.path}.{name}", value)
        for phase in phases
        for name, value in phase.entries.items()
        if isinstance(value, Value)
        and value.low is not None
        and (field := phase.field(name)) is not None
        and field.swept
    ]


def sweeps(phases: Sequence[Stated]) -> Iterator[tuple[str, Mapping[str, str]]]:
    """Name and settings of every product to be judged besides the middle of the ranges."""
    ranges = swept_ranges(phases)
    if not ranges:
        return
    count = ALONE if len(ranges) == 1 else TOGETHER
    several = len({path.rpartition(".")[0] for path, _ in ranges}) > 1
    grids = [_values(value, count) for _, value in ranges]
    for numbers in product(*grids):
        if all(n == value.si for n, (_, value) in zip(numbers, ranges, strict=True)):
            continue
        pairs = list(zip(numbers, ranges, strict=True))
        name = ", ".join(_label(path, n, value, several) for n, (path, value) in pairs)
        yield name, {path: f"{n!r} {value.unit}" for n, (path, value) in pairs}


def sweep_size(phases: Sequence[Stated]) -> int:
    """Products of the stated ranges."""
    count = len(swept_ranges(phases))
    return 0 if count == 0 else ALONE - 1 if count == 1 else TOGETHER**count - 1


def _values(value: Value, count: int) -> list[float]:
    assert value.low is not None
    assert value.high is not None
    found = [float(v) for v in np.linspace(value.low, value.high, count)]
    return sorted({*found[: count // 2], value.si, *found[count // 2 + count % 2 :]})


def _label(path: str, number: float, value: Value, several: bool) -> str:
    """``length 300 mm``; with the name of the phase where several have a range."""
    owner, _, name = path.rpartition(".")
    whose = f"{owner.partition('.')[2]} " if several else ""
    said = stated_quantity(number, value.unit).replace("\u00a0", " ").replace("\u202f", " ")
    return f"{whose}{name.replace('_', ' ')} {said}"
