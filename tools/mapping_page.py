"""The page of the mapping file: its keys, the fields of every kind of part, the conventions."""

from __future__ import annotations

from collections.abc import Callable

from dutyline.catalogue.column_words import meaning
from dutyline.catalogue.columns import Column
from dutyline.catalogue.origins import KINDS
from dutyline.intake.conventions import ALLOWED, ASKED, CONVENTIONS
from dutyline.intake.fields import names
from dutyline.intake.keys import COLUMN, LINE, TABLE, TOP, Key
from dutyline.intake.units import needs_unit

Table = Callable[[list[str], list[list[str]]], str]

_INTRO = (
    "A mapping file says what the columns of foreign tables are "
    "([how to write one](../how-to/bring-your-data.md)). Unknown keys are faults. What is not "
    "said, of which tables differ, is a question and not a default."
)
_HOLDS = {"ratio": "ratio", "ints": "numbers in one cell", "pairs": "load factors with times",
          "list": "numbers in one cell", "int": "whole number", "name": "name",
          "text": "text"}  # fmt: skip


def mapping_page(made: str, table: Table) -> str:
    """The whole page; ``table`` writes one in Markdown."""
    parts = [made, "", "# The mapping file", "", _INTRO]
    for title, keys in (
        ("The file", TOP),
        ("`[line]`", LINE),
        ("`[[table]]`", TABLE),
        ("A column", COLUMN),
    ):
        parts += [
            "",
            f"## {title}",
            "",
            table(["key", "takes", "meaning"], [_key(k) for k in keys]),
        ]
    parts += ["", "## Conventions", "", _CONVENTIONS, ""]
    parts.append(table(["key", "question", "answers"], [_convention(c.key) for c in CONVENTIONS]))
    for kind, form in KINDS.items():
        columns = {c.field: c for c in form.columns}
        held = [_field(kind, name, columns.get(name)) for name in names(kind)]
        heads = ["field", "what it is", "holds", "stands in ours as", "must be answered", "may be"]
        parts += ["", f"## Fields of {kind}", "", table(heads, held)]
    return "\n".join(parts) + "\n"


_CONVENTIONS = (
    "An answer stands at the column, in `[table.conventions]` or in `[conventions]`; the nearest "
    "holds. A unit that says it (`Nm/Arms`, `A pk`, `V LL`) answers too; where it and a wider "
    "answer differ, the column has to say which."
)


def _key(key: Key) -> list[str]:
    takes = ", ".join(f"`{c}`" for c in key.choices) if key.choices else key.takes
    return [f"`{key.name}`" + (" (needed)" if key.required else ""), takes, key.meaning]


def _convention(key: str) -> list[str]:
    found = next(c for c in CONVENTIONS if c.key == key)
    answers = "; ".join(f"`{name}`: {meaning}" for name, meaning in found.answers.items())
    return [f"`{key}`", found.question, answers or 'a temperature, `"20 degC"`']


def _field(kind: str, name: str, column: Column | None) -> list[str]:
    if column is None:
        served = "serves to convert others" if name != "points" else "speeds and torques"
        held = "polyline in one cell" if name == "points" else "number"
        return [f"`{name}`", "", held, served, "", ""]
    unit = column.unit or ("share" if needs_unit(column) and column.kind == "number" else "")
    holds = _HOLDS.get(column.kind, "number")
    asked = ", ".join(f"`{key}`" for key in ASKED.get((kind, name), ()))
    allowed = ", ".join(f"`{key}`" for key in ALLOWED.get((kind, name), ()))
    needed = " (needed)" if column.required else ""
    ours = f"`{column.name}`" + (f", {unit}" if unit else "")
    return [f"`{name}`{needed}", meaning(kind, name), holds, ours, asked, allowed]
