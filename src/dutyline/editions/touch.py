"""Which differences concern a combination of parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from dutyline.editions.records import Change, CurveChange, Difference, Item


@dataclass(frozen=True, slots=True)
class Touched:
    """What differs of the parts of one combination, and between them."""

    gone: tuple[Item, ...] = ()
    """Its parts that the second line does not have."""
    changes: tuple[Change, ...] = ()
    curves: tuple[CurveChange, ...] = ()
    fewer: tuple[Item, ...] = ()
    """Pairings of its parts, and curves of its motor, that are gone."""
    more: tuple[Item, ...] = ()
    """Likewise those that are new."""
    wide: tuple[str, ...] = ()
    """Kinds of pairings that only one of the lines has: where there is none, rules decide."""

    def __bool__(self) -> bool:
        return bool(
            self.gone or self.changes or self.curves or self.fewer or self.more or self.wide
        )


def touched(found: Difference, parts: Mapping[str, str | None]) -> Touched:
    """What of a difference concerns the parts of a combination.

    Parameters
    ----------
    found : Difference
    parts : mapping of str to str or None
        Name by kind: ``{"motors": "XM72-0450H", "gearheads": None, ...}``.
    """
    names = {(kind, name) for kind, name in parts.items() if name}
    motor = parts.get("motors")

    def among(item: Item | Change) -> bool:
        """A pairing whose two sides are parts of the combination, or a part of it."""
        if item.kind == "pairings":
            left, right = str(item.key[0]).split("-")
            return {(f"{left}s", item.key[1]), (f"{right}s", item.key[2])} <= names
        if item.kind == "curves":
            return str(item.key[0]) == motor
        return (item.kind, str(item.key[0])) in names

    beside = ("pairings", "curves")
    kinds = [{p.kind for p in line.pairings} for line in (found.before, found.after)]
    return Touched(
        gone=tuple(i for i in found.gone if i.kind not in beside and among(i)),
        changes=tuple(c for c in found.changes if among(c)),
        curves=tuple(c for c in found.curves if c.before.motor == motor),
        fewer=tuple(i for i in found.gone if i.kind in beside and among(i)),
        more=tuple(i for i in found.new if i.kind in beside and among(i)),
        wide=tuple(sorted(kinds[0] ^ kinds[1])),
    )
