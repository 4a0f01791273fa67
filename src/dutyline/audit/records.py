"""What a rule measures, and what the audit finds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.trace import Trace

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Band = tuple[float, float]
Severity = Literal["caution", "note"]


class Cell(NamedTuple):
    """One value of a line."""

    kind: str
    """``motors``, ``gearheads``, ``drives``, ``brakes``, ``resistors``, ``curves``, ``pairings``"""
    row: int
    """Index into the parts of this kind; into all points, one curve after another, for curves."""
    field: str


@dataclass(frozen=True, slots=True)
class Side:
    """The values of one column that the tests of a rule use."""

    kind: str
    field: str
    rows: Index
    """(n,) which part each test uses"""
    power: float = 0.0
    """The measure grows with this power of the value; 0 where it is no power law."""
    expected: Array | None = None
    """(n,) what the value would have to be, where no power law tells it. SI."""


@dataclass(frozen=True, slots=True)
class Tested:
    """One rule, one threshold, over all rows that state what it needs."""

    measure: Array
    """(n,) what is held against the band; nan where a datum is missing"""
    sides: tuple[Side, ...]
    """In the order in which they are suspected."""
    band: str = "ratio"
    """Name of the threshold."""
    nominal: float | Array | None = None
    """Measure of faultless data; None where only the rest of the line can tell."""
    usual: tuple[tuple[Array, str], ...] = ()
    """(n,) factors of mistakes of this very rule, each with the question that names it."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One entry of ``data/rules.toml``."""

    id: str
    title: str
    """As a sentence without its full stop: ``Power is torque times speed``."""
    group: str
    formula: str
    source: str
    """Where the relation comes from, with ``common practice`` or ``from memory`` said."""
    why: str
    """Why the threshold stands where it does."""
    needs: tuple[str, ...]
    """Columns without which nothing can be asked: ``motors.power_rated``."""
    bands: dict[str, Band]
    """Thresholds by name; a measure inside, ends included, passes."""
    severity: Severity
    weight: float
    """How much it says when it speaks for or against a figure: 1 for a relation that has to hold,
    less for a usual range."""
    near: float
    """How close a ratio has to come to a known slip to be named after it, relative."""
    few: str
    """What the rule says where there are too few parts to compare; empty where one is enough."""
    run: Callable[[Any], Iterator[Tested]]
    """Of a :class:`dutyline.audit.look.Look`."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One figure that the audit doubts."""

    rule: str
    """Id of the rule that says most about it."""
    title: str
    severity: Severity
    part: str
    """``XM72-0450H``, or ``XM72-0450H with XG72-4`` for a pairing"""
    file: str
    row: int | None
    column: str
    raw: str
    """The cell as written."""
    value: float | str
    """SI, or the word."""
    unit: str
    """SI unit of the value."""
    expected: float | None
    """SI; None where nothing tells it."""
    ratio: float | None
    """Value over what is expected."""
    slip: str
    """Name of the mistake that leaves this ratio; empty where none is known."""
    question: str
    """The slip as a question; empty where none is known."""
    proposal: str
    """The cell as it would have to be, in the unit of the column; empty where nothing tells it."""
    text: str
    """What speaks against the figure, as sentences."""
    also: tuple[str, ...]
    """Ids of the other rules that this figure breaks."""
    doubt: tuple[str, ...]
    """Figures in words that could be wrong as well as this one, nothing telling which."""
    parts: tuple[tuple[str, str], ...]
    """Kind and name of the parts that all have to be chosen for it to matter."""
    point: tuple[str, float, int, str] | None = None
    """Motor, mains, phases and kind of the curve on which a curve point lies."""
    source: Trace | None = None
    """The foreign cell behind the figure, where the line came through a mapping."""


@dataclass(frozen=True, slots=True)
class Asked:
    """How often a rule could be asked."""

    rule: Rule
    count: int
    """Comparisons made."""
    outside: int
    """Comparisons outside the threshold."""
    silent: str = ""
    """Why nothing could be compared; empty where something was."""


@dataclass(frozen=True, slots=True)
class Audit:
    """What the audit of a line found. The line itself is never changed."""

    line: object
    """The :class:`dutyline.catalogue.parts.ProductLine` audited."""
    findings: tuple[Finding, ...]
    """In the order of the files and their rows."""
    confirmed: tuple[Finding, ...]
    """Found as well, but confirmed in the line's ``audit.toml``."""
    asked: tuple[Asked, ...]
    """Every rule, in the order of the list."""
    rows: int
    """Rows of all files."""
    idle: tuple[tuple[tuple[str, str, str, str], str], ...] = ()
    """Confirmed, but not found: file, part, column and cell, and why it is of no use."""
    fired: tuple[tuple[str, Cell], ...] = field(default=(), repr=False)
    """Rule and first suspect of every comparison outside its threshold."""
