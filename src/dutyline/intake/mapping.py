"""What a mapping file says, as records."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from dataclasses import field as made
from fractions import Fraction
from pathlib import Path

from dutyline.catalogue.columns import Column, FileForm
from dutyline.core.errors import Fault
from dutyline.core.toml_lines import Path as KeyPath
from dutyline.core.toml_text import Document
from dutyline.intake.numerals import Numerals

PLAIN = Numerals()


@dataclass(frozen=True, slots=True)
class Target:
    """What one column, or one constant, gives."""

    field: str
    column: Column | None
    """Our column; None for figures that serve others of their row only, and for points."""
    keys: KeyPath
    unit: str = ""
    part: str = ""
    values: Mapping[str, str] = made(default_factory=dict)
    answers: Mapping[str, str] = made(default_factory=dict)
    """Conventions answered at this very place."""
    repeat: bool = False
    items: str = ""
    pair: str = ""
    factor: Fraction | None = None
    speed: str = ""
    torque: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """One line of ``columns``: a heading and what it gives; nothing where it is left out."""

    heading: str
    targets: tuple[Target, ...]
    keys: KeyPath


@dataclass(frozen=True, slots=True)
class TableRule:
    """One ``[[table]]``."""

    kind: str
    """``motors``, ``curves`` and so on."""
    form: FileForm
    keys: KeyPath
    file: str
    sheet: str = ""
    heading: tuple[int, ...] = (1,)
    units: int | None = None
    first: int | None = None
    last: int | None = None
    skip: frozenset[int] = frozenset()
    separator: str | None = None
    encoding: str | None = None
    numerals: Numerals = PLAIN
    unknown: frozenset[str] = frozenset()
    strip: tuple[str, ...] = ()
    turned: bool = False
    join: bool = False
    sort: bool = False
    zero_below: float | None = None
    """[r/min]"""
    wide: tuple[str, str] | None = None
    """Units of speed and torque."""
    rules: tuple[Rule, ...] = ()
    constants: tuple[tuple[Target, str], ...] = ()
    answers: Mapping[str, str] = made(default_factory=dict)


@dataclass(frozen=True, slots=True)
class LineMap:
    """A whole mapping."""

    document: Document
    folder: Path | None
    """Where the files lie that it names."""
    tables: tuple[TableRule, ...]
    line: Mapping[str, str] = made(default_factory=dict)
    answers: Mapping[str, str] = made(default_factory=dict)
    ours: tuple[str, ...] = ()
    """Files beside it that are read as they are."""
    faults: tuple[Fault, ...] = ()
    """What is wrong with it; tables are read all the same, so that everything is told at once."""
