"""A table of the file after reading: every field by its own word, with defaults behind them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import TypeAlias

from dutyline.axis.forms import Field, Section
from dutyline.core.dimensions import dimension
from dutyline.core.reading import read_value
from dutyline.core.toml_lines import Path as KeyPath
from dutyline.core.values import Status, Value

Entry: TypeAlias = (
    "Value | str | bool | tuple[Value, ...] | tuple[str, ...] | tuple[tuple[Value, Value], ...]"
    " | Stated | tuple[Stated, ...] | Mapping[str, Stated]"
)
"""What one field may hold."""


@dataclass(frozen=True, slots=True, eq=False)
class Stated:
    """One table: what it states, where, and what it leaves to defaults."""

    section: Section
    path: str
    """Address for people: ``load``, ``phase.up``."""
    keys: KeyPath
    """Address in the file."""
    kind: str | None
    linear: bool | None
    """Travel of the axis; None while it is not known."""
    entries: Mapping[str, Entry]
    """Stated fields in the order of the file."""
    raw: Mapping[str, object]
    """The same as plain data in canonical words."""
    spelled: Mapping[str, str]
    """Key in the file of each stated field."""
    spoilt: frozenset[str] = frozenset()
    """Fields at fault, already told."""
    kept: bool = False
    """True for a table that is this very object whenever it is read again: what is made of it may
    be remembered with it. Long tables are not."""

    def has(self, *names: str) -> bool:
        """Whether all these fields are stated, rightly or wrongly."""
        return all(name in self.entries or name in self.spoilt for name in names)

    def field(self, name: str) -> Field | None:
        """Definition of a field for the kind of this table; None where the kind has none."""
        return self.section.field(name, self.kind)

    def value(self, name: str) -> Value | None:
        """A quantity: stated, else its default, else None."""
        found = self.entries.get(name)
        if isinstance(found, Value):
            return found
        field = self.field(name)
        return None if field is None else default_of(field, bool(self.linear))

    def number(self, name: str) -> float | None:
        """A quantity in SI: stated, else its default, else None."""
        value = self.value(name)
        return None if value is None else value.si

    def numbers(self, name: str) -> tuple[float, ...] | None:
        """A list of quantities in SI, or None."""
        found = self.entries.get(name)
        if not isinstance(found, tuple):
            return None
        return tuple(v.si for v in found if isinstance(v, Value))

    def word(self, name: str) -> str | None:
        """A text or choice: stated, else its default, else None."""
        found = self.entries.get(name)
        if isinstance(found, str):
            return found
        field = self.field(name)
        return field.default if field is not None and field.default else None

    def names(self, name: str) -> tuple[str, ...]:
        """A list of names; empty where it is not stated."""
        found = self.entries.get(name)
        return tuple(n for n in found if isinstance(n, str)) if isinstance(found, tuple) else ()

    def flag(self, name: str) -> bool | None:
        """Yes or no: stated, else its default, else None."""
        found = self.entries.get(name)
        if isinstance(found, bool):
            return found
        field = self.field(name)
        return field.default == "yes" if field is not None and field.default else None

    def tables(self, name: str) -> tuple[Stated, ...]:
        """Nested tables of a list."""
        found = self.entries.get(name)
        return tuple(t for t in found if isinstance(t, Stated)) if isinstance(found, tuple) else ()

    def named(self, name: str) -> Mapping[str, Stated]:
        """Nested tables by name."""
        found = self.entries.get(name)
        return found if isinstance(found, Mapping) else {}


@cache
def default_of(field: Field, linear: bool) -> Value | None:
    """Default of a quantity with its status, or None where there is none."""
    if not field.default or field.count is not None:
        return None
    status: Status = "assumed" if field.assumed else "default"
    if field.takes in ("whole", "fraction", "efficiency"):
        kind = "number"
    elif field.quantity:
        kind = field.dimension(linear)
    else:
        return None
    if field.default == "0":
        return Value(0.0, dimension(kind).si, status=status)
    return replace(read_value(field.default, kind), typed="", status=status)


@dataclass(frozen=True, slots=True)
class Tree:
    """All tables of one file."""

    tables: Mapping[str, tuple[Stated, ...]]
    """By section, in the order of the file; sections that are not in the file are left out."""
    linear: bool | None
    """Travel of the axis; None while it is not known."""
    load_linear: bool | None = None
    """Travel of the load, which differs where the phases state a crank."""
    prefix: str = ""
    """Before the paths of fields: ``branch.counter.``; empty for the file itself."""

    def one(self, name: str) -> Stated | None:
        """A section that stands once, or None."""
        return next(iter(self.tables.get(name, ())), None)

    def many(self, name: str) -> tuple[Stated, ...]:
        """All tables of a list."""
        return self.tables.get(name, ())
