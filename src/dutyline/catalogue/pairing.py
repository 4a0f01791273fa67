"""Which parts of a line go together, and every combination of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal, cast

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.parts import Drive, Gearhead, Motor, ProductLine, Resistor
from dutyline.catalogue.patterns import alike
from dutyline.core.numbers import quantity

Index = NDArray[np.intp]
GearheadWish = Literal["allowed", "none", "needed"]

NONE = "none"
"""Pattern that stands for no part of its kind."""
_SAME_LENGTH = 1e-5
"""[m] two stated lengths closer than this are one."""


@dataclass(frozen=True, slots=True)
class Combos:
    """Combinations as indices into the parts of a line, -1 where there is none.

    In the order of the files: motor, gearhead, brake, drive, resistor, the last running fastest
    and none before any part.
    """

    motor: Index
    """(c,)"""
    gearhead: Index
    """(c,)"""
    drive: Index
    """(c,)"""
    brake: Index
    """(c,)"""
    resistor: Index
    """(c,)"""
    pair_motor: Index
    """(p,) distinct choices of motor, gearhead and brake"""
    pair_gearhead: Index
    """(p,)"""
    pair_brake: Index
    """(p,)"""
    pair_of: Index
    """(c,) index of each combination's choice of motor, gearhead and brake"""

    @property
    def size(self) -> int:
        """Number of combinations."""
        return int(self.motor.size)


def fits(motor: Motor, gearhead: Gearhead) -> str | None:
    """Why a motor does not go on a gearhead, as a sentence, or None.

    Only what both state is compared: flange and shaft.
    """
    reasons = []
    sides, most = gearhead.input_flanges, gearhead.shaft_in_max
    if motor.flange is not None and sides and not _among(motor.flange, sides):
        taken = " or ".join(quantity(side, "m", "si") for side in sides)
        reasons.append(
            f"{motor.name} has a {quantity(motor.flange, 'm', 'si')} flange; "
            f"{gearhead.name} takes {taken}."
        )
    if motor.shaft is not None and most is not None and motor.shaft > most + _SAME_LENGTH:
        reasons.append(
            f"{motor.name} has a {quantity(motor.shaft, 'm', 'si')} shaft; "
            f"{gearhead.name} takes {quantity(most, 'm', 'si')} at most."
        )
    return " ".join(reasons) or None


def _among(length: float, lengths: Sequence[float]) -> bool:
    return any(abs(length - other) <= _SAME_LENGTH for other in lengths)


def combinations(
    line: ProductLine,
    *,
    brake: bool | None = None,
    gearhead: GearheadWish = "allowed",
    motors: Sequence[str] = (),
    gearheads: Sequence[str] = (),
    drives: Sequence[str] = (),
    brakes: Sequence[str] = (),
    resistors: Sequence[str] = (),
) -> Combos:
    """Every combination of a line's parts that belong together.

    Parts belong together when a pairing says so. For a kind of which the line has no pairing,
    rules decide: flange and shaft for gearheads, supply class for drives, the brake that a motor
    names, supply class, least resistance and voltage for resistors. Data not stated never
    exclude a part.

    Parameters
    ----------
    line : ProductLine
    brake : bool, optional
        True only with, False only without, None both.
    gearhead : {"allowed", "none", "needed"}
    motors, gearheads, drives, brakes, resistors : sequence of str
        Names or patterns with ``*`` and ``?``, upper and lower case alike; empty means all.
        ``none`` stands for no part; where patterns are given without it, a part there must be.

    Returns
    -------
    Combos
        Possibly without any combination.
    """
    allowed_motors = matching(line.motors, motors)
    gear_of = _choices(line, "motor-gearhead", gearheads, without=gearhead != "needed")
    brake_of = _choices(line, "motor-brake", brakes, without=brake is not True)
    drive_of = _choices(line, "motor-drive", drives, without=not line.drives)
    resistor_of = _choices(line, "drive-resistor", resistors, without=True)
    pairs: list[NDArray[np.intp]] = []
    rows: list[NDArray[np.intp]] = []
    count = 0
    for motor in allowed_motors:
        gears = [-1] if gearhead == NONE else gear_of(motor)
        held = [-1] if brake is False else [b for b in brake_of(motor) if b >= 0 or brake is None]
        power = [
            (drive, resistor)
            for drive in drive_of(motor)
            for resistor in (resistor_of(drive) if drive >= 0 else [-1])
        ]
        if not gears or not held or not power:
            continue
        own = _product(np.array(gears), np.array(held))
        pairs.append(np.column_stack([np.full(len(own), motor), own]))
        places = _product(np.arange(count, count + len(own)), np.arange(len(power)))
        rows.append(np.column_stack([places[:, 0], np.array(power)[places[:, 1]]]))
        count += len(own)
    return _combos(pairs, rows)


def unmatched(line: ProductLine, kind: str, patterns: Iterable[str]) -> tuple[str, ...]:
    """Patterns that no part of a kind (``motors``, ``drives``) matches; ``none`` always does."""
    names = [part.name for part in getattr(line, kind)]
    return tuple(
        p for p in patterns if p.casefold() != NONE and not any(alike(n, p) for n in names)
    )


def _product(first: Index, second: Index) -> Index:
    return np.column_stack([np.repeat(first, second.size), np.tile(second, first.size)])


def _combos(pairs: list[Index], rows: list[Index]) -> Combos:
    pair = np.concatenate(pairs) if pairs else np.empty((0, 3))
    row = np.concatenate(rows) if rows else np.empty((0, 3))
    pair, row = pair.astype(np.intp), row.astype(np.intp)
    of = row[:, 0]
    return Combos(
        motor=pair[of, 0],
        gearhead=pair[of, 1],
        drive=row[:, 1].copy(),
        brake=pair[of, 2],
        resistor=row[:, 2].copy(),
        pair_motor=pair[:, 0].copy(),
        pair_gearhead=pair[:, 1].copy(),
        pair_brake=pair[:, 2].copy(),
        pair_of=of.copy(),
    )


def matching(parts: Sequence[Any], patterns: Sequence[str]) -> list[int]:
    """Indices of the parts whose names match any of the patterns; all where there is none."""
    return [
        k
        for k, part in enumerate(parts)
        if not patterns or any(alike(part.name, p) for p in patterns)
    ]


def _choices(
    line: ProductLine, kind: str, patterns: Sequence[str], without: bool
) -> Callable[[int], list[int]]:
    """Indices of the right parts that go with a left part, -1 first where none is allowed."""
    table = partners(line, kind)
    right = getattr(line, kind.split("-")[1] + "s")
    wanted = set(matching(right, patterns))
    bare = without and (not patterns or any(p.casefold() == NONE for p in patterns))

    def of(left: int) -> list[int]:
        own = [k for k in table.get(left, ()) if k in wanted]
        return [-1, *own] if bare else own

    return of


def partners(line: ProductLine, kind: str) -> dict[int, list[int]]:
    """Right parts that go with each left part, ascending; made once and kept with the line.

    ``kind`` as in pairings: ``motor-gearhead``, ``motor-drive``, ``motor-brake`` or
    ``drive-resistor``.
    """
    kept = cast("dict[str, dict[int, list[int]]]", line.derived.setdefault("partners", {}))
    if kind not in kept:
        kept[kind] = _paired(line, kind) or _ruled(line, kind)
    return kept[kind]


def _paired(line: ProductLine, kind: str) -> dict[int, list[int]]:
    left, right = (getattr(line, f"{side}_index") for side in kind.split("-"))
    found: dict[int, set[int]] = {}
    for pairing in line.pairings:
        if pairing.kind == kind:
            found.setdefault(left[pairing.left], set()).add(right[pairing.right])
    return {key: sorted(partners) for key, partners in found.items()}


def _ruled(line: ProductLine, kind: str) -> dict[int, list[int]]:
    left, right = (getattr(line, f"{side}s") for side in kind.split("-"))
    rule = _RULES[kind]
    return {
        k: [n for n, other in enumerate(right) if rule(part, other)] for k, part in enumerate(left)
    }


def _same_class(part: Motor | Drive, other: Drive | Resistor) -> bool:
    stated = part.supply_class and other.supply_class
    return not stated or part.supply_class == other.supply_class


def _resistor_fits(drive: Drive, resistor: Resistor) -> bool:
    return (
        _same_class(drive, resistor)
        and not _less(resistor.resistance, drive.resistor_min)
        and not _less(resistor.voltage_max, drive.overvoltage_trip)
    )


def _less(value: float | None, least: float | None) -> bool:
    return value is not None and least is not None and value < least


_RULES: dict[str, Callable[[Any, Any], bool]] = {
    "motor-gearhead": lambda motor, gearhead: fits(motor, gearhead) is None,
    "motor-drive": _same_class,
    "motor-brake": lambda motor, brake: motor.brake == brake.name,
    "drive-resistor": _resistor_fits,
}
