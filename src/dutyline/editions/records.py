"""What differs between two product lines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from dutyline.catalogue.parts import Curve, ProductLine

Effect = Literal["less", "more", ""]
"""Whether a limit allows less or more than before; empty where neither can be said for certain."""
Nature = Literal["value", "stated", "unstated"]


@dataclass(frozen=True, slots=True)
class Item:
    """A part, pairing or curve that only one of the two lines has."""

    kind: str
    """``motors``, ``pairings``, ``curves`` and so on."""
    key: tuple[Any, ...]
    """What names it in its file: the name of a part; kind, left, right, mains and phases of a
    pairing; motor, mains, phases and kind of a curve."""
    record: Any


@dataclass(frozen=True, slots=True)
class Change:
    """One value that differs."""

    kind: str
    key: tuple[Any, ...]
    field: str
    column: str
    """Heading in the file, unit included."""
    before: Any
    """As the part holds it, SI."""
    after: Any
    old: str
    """In the unit of the heading; empty where it is not stated."""
    new: str
    ratio: float | None
    """After over before; None where one of them is no number above zero, and for temperatures."""
    nature: Nature
    effect: Effect


@dataclass(frozen=True, slots=True)
class CurveChange:
    """One tabulated curve that differs."""

    before: Curve
    after: Curve
    low: float | None
    """Least torque after over before at the speeds that both have; None where none is above 0."""
    high: float | None
    end: float
    """Highest speed after over before."""
    effect: Effect

    @property
    def key(self) -> tuple[Any, ...]:
        """Motor, mains, phases and kind."""
        return curve_key(self.before)


@dataclass(frozen=True, slots=True)
class Successor:
    """A part that is gone and a new one that is equal but for a few values."""

    gone: Item
    new: Item
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """Something that ``line.toml`` or ``audit.toml`` says otherwise."""

    what: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Group:
    """Changes of one column that are told together."""

    kind: str
    field: str
    column: str
    changes: tuple[Change, ...]
    low: float | None
    """Smallest ratio; None where there is none."""
    high: float | None
    nature: Nature
    effect: Effect
    of: int
    """Rows of the kind that both lines have."""

    @property
    def alike(self) -> bool:
        """True where the very same value gives way to the very same other one."""
        return len({(c.old, c.new) for c in self.changes}) == 1


@dataclass(frozen=True, slots=True)
class Difference:
    """Everything that differs, most tightening changes first."""

    before: ProductLine
    after: ProductLine
    same: bool
    """True where both say the same in the same order: one content hash."""
    said: tuple[Said, ...]
    gone: tuple[Item, ...]
    new: tuple[Item, ...]
    successors: tuple[Successor, ...]
    changes: tuple[Change, ...]
    """Of parts and pairings, in the order of the files."""
    groups: tuple[Group, ...]
    """The same, told together; what allows less first."""
    curves: tuple[CurveChange, ...]
    reordered: tuple[str, ...]
    """Files whose common rows stand in another order."""

    @property
    def empty(self) -> bool:
        """True where every row of the one is a row of the other; the order may differ."""
        return not (self.gone or self.new or self.changes or self.curves)


def curve_key(curve: Curve) -> tuple[Any, ...]:
    """What names a curve."""
    return (curve.motor, curve.mains, curve.phases, curve.kind)
