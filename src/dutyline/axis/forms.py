"""What a field and a section of the axis file are; the definitions themselves stand beside."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

LINEAR_KINDS = (
    "ball-screw",
    "lead-screw",
    "rack",
    "belt",
    "conveyor",
    "hoist",
    "winder",
    "feed-rolls",
    "toggle",
)
"""Mechanism kinds whose travel and load are linear; ``direct`` is by its load."""
ROTARY_KINDS = ("rotary-table", "swing-arm", "rotary-load", "four-bar")
"""Mechanism kinds whose travel and load turn."""
CRANK_KINDS = ("slider-crank", "scotch-yoke", "cam")
"""Mechanism kinds whose travel is that of a turning input while the load moves along."""
KINDS = (*LINEAR_KINDS, *ROTARY_KINDS, *CRANK_KINDS, "ratio-table", "direct")
"""Mechanism kinds."""
LINEAR_LOADS = (*LINEAR_KINDS, *CRANK_KINDS, "ratio-table", "direct")
"""Kinds of the load section, where the load moves along."""
ROTARY_LOADS = (*ROTARY_KINDS, "ratio-table rotary", "direct rotary")
"""Kinds of the load section, where the load turns."""
LOAD_KINDS = (*LINEAR_LOADS, *ROTARY_LOADS)
"""The kinds as the load sees them: direct and table axes are linear or rotary by their load."""
INPUT_KINDS = (*CRANK_KINDS, "toggle", "four-bar", "ratio-table")
"""Kinds of which the phases state the input: crank, cam, knee."""
OF_THE_LOAD = ("load", "force", "balance")
"""Sections that speak of the motion of the load, also where the phases state a crank."""
BARE_KINDS = ("winder", "feed-rolls", "rotary-load")
"""Kinds whose load may be left empty: what turns is stated with the mechanism."""
STAGES = ("reduction", "right-angle", "belt-reduction", "worm", "coupling", "shaft")
DOES = ("move", "dwell", "run", "follow", "table", "stop")
SHAPES = ("cylinder", "ring", "cuboid", "rod", "sphere", "cone", "point")

PLAIN_FORMS = (
    "text",  # any text
    "name",  # one of the choices
    "names",  # list of names
    "flag",  # yes or no
    "whole",  # whole number
    "fraction",  # number, or "24/7" kept exactly
    "phases",  # 1, 3 or dc
    "efficiency",  # share, or list of [speed, torque, efficiency]
    "points",  # list of [place, value]
    "pairs",  # list of pairs of quantities, their dimensions in Field.of
    "samples",  # list of [time or leader, place or speed]
    "table",  # one nested table, see Field.of
    "tables",  # list of nested tables
    "named",  # names to values or nested tables
    "changes",  # paths to what stands there
    "rows",  # list of plain tables, read later
)
"""Forms that are not quantities."""

TRAVEL_FORMS: dict[str, tuple[str, str]] = {
    "travel": ("length", "angle"),
    "effort": ("force", "torque"),
    "travel speed": ("speed", "angular speed"),
    "travel acceleration": ("acceleration", "angular acceleration"),
    "travel jerk": ("jerk", "angular jerk"),
    "travel viscous": ("viscous", "angular viscous"),
    "travel stiffness": ("stiffness", "angular stiffness"),
}
"""Dimensions that follow the travel of the load: (linear, rotary)."""


WIDE = 1e4
"""Ratio of the ends of a range beyond which it is no help to a reader."""


@dataclass(frozen=True, slots=True)
class Typical:
    """A range in which practice finds nearly all values of a field."""

    low: float
    high: float
    """Both in ``unit``."""
    unit: str
    """As it is typed; ``1`` for a bare number."""
    said: str = ""
    """What the words end in: ``rolling``, ``of the dynamic rating``."""
    of: str = ""
    """Field of the same table that both ends are shares of."""
    neutral: float | None = None
    """[SI] What stands for "none" and is never unusual."""
    linear: bool | None = None
    """Of linear or rotary travel alone; None: of both."""
    signed: bool = True
    """False: the sign says a direction, the size counts."""
    source: str = ""

    @property
    def wide(self) -> bool:
        """True where the range tells a slip, and a reader nothing."""
        return 0 < self.low * WIDE < self.high

    @property
    def words(self) -> str:
        """``5 to 30 N``, ``0.002 to 0.02 rolling``"""
        ends = f"{_plain(self.low)} to {_plain(self.high)}"
        return " ".join(t for t in (ends, "" if self.unit == "1" else self.unit, self.said) if t)


def _plain(number: float) -> str:
    """A number as it may be typed, thousands in groups."""
    text = f"{number:,.6f}".rstrip("0").rstrip(".")
    return text.replace(",", " ") if abs(number) >= 10000 else text.replace(",", "")


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """One field: everything the reader, the schema and the reference say of it."""

    name: str
    takes: str
    """A dimension, a key of :data:`TRAVEL_FORMS`, or one of :data:`PLAIN_FORMS`."""
    label: str
    """For people: ``Moving mass``"""
    meaning: str
    """One sentence."""
    symbol: str = ""
    default: str = ""
    """As it would be typed; empty: none."""
    assumed: bool = False
    """The default has status *assumed* and is told in the report."""
    typical: tuple[Typical, ...] = ()
    """Usual ranges, from the one table of them."""
    required: bool = False
    kinds: tuple[str, ...] = ()
    """Kinds of its section that have it; empty: all."""
    choices: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    above: float | None = None
    """Exclusive lower limit, SI."""
    least: float | None = None
    """Inclusive lower limit, SI."""
    most: float | None = None
    """Inclusive upper limit, SI."""
    count: tuple[int, int] | None = None
    """A list of at least and at most so many quantities."""
    of: str = ""
    """Section that describes nested tables; of pairs both dimensions, ``speed|force``."""
    used: bool = True
    """False: read and kept, but no calculation of this version uses it."""
    swept: bool = False
    """A stated range is swept: every product of it is judged."""

    @property
    def quantity(self) -> bool:
        """True for a value with a dimension or a bare number."""
        return self.takes not in PLAIN_FORMS

    def usual(self, linear: bool | None = None) -> str:
        """Usual ranges in words; of linear and of rotary travel where that is not told."""
        return _usual(self, linear) if self.typical else ""

    def ranges(self, linear: bool | None = None) -> tuple[Typical, ...]:
        """Usual ranges for linear or rotary travel; all where that is not told."""
        return tuple(t for t in self.typical if None in (linear, t.linear) or t.linear == linear)

    def dimension(self, linear: bool) -> str:
        """The dimension of a quantity on an axis of linear or rotary travel."""
        pair = TRAVEL_FORMS.get(self.takes)
        return self.takes if pair is None else pair[0 if linear else 1]


@cache
def _usual(field: Field, linear: bool | None) -> str:
    return ", ".join(t.words for t in field.ranges(linear))


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """One section of the file, or the form of a nested table."""

    name: str
    title: str
    """Heading for people: ``Load``"""
    meaning: str
    fields: tuple[Field, ...]
    many: bool = False
    """True for lists of tables."""
    selector: str = ""
    """Field that decides which fields belong (``kind``, ``do``, ``shape``); may be empty."""
    used: bool = True
    nested: bool = False
    """Not a section by itself, but a table inside others."""

    def fields_of(self, kind: str | None) -> tuple[Field, ...]:
        """Fields that belong to a kind; all when the kind is None."""
        return _fields_of(self, kind)

    def field(self, name: str, kind: str | None) -> Field | None:
        """The field of a name that belongs to a kind; None where the kind has none."""
        return _by_name(self, kind).get(name)

    def required_of(self, kind: str | None) -> tuple[Field, ...]:
        """Fields of a kind that have to be stated."""
        return _required_of(self, kind)

    def used_names(self, kind: str | None) -> frozenset[str]:
        """Names of the fields of a kind that a calculation uses."""
        return _used_names(self, kind)


@cache
def _fields_of(section: Section, kind: str | None) -> tuple[Field, ...]:
    return tuple(f for f in section.fields if kind is None or not f.kinds or kind in f.kinds)


@cache
def _by_name(section: Section, kind: str | None) -> dict[str, Field]:
    """The first field of each name."""
    return {f.name: f for f in reversed(_fields_of(section, kind))}


@cache
def _required_of(section: Section, kind: str | None) -> tuple[Field, ...]:
    return tuple(f for f in _fields_of(section, kind) if f.required)


@cache
def _used_names(section: Section, kind: str | None) -> frozenset[str]:
    return frozenset(f.name for f in _fields_of(section, kind) if f.used)
