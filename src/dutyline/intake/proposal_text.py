"""A proposed mapping as the text of its file, each line with why, each question as a comment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dutyline.core.errors import legible
from dutyline.intake.propose import Proposed, Table

_HEAD = """\
# A mapping proposed from headings and cells. Nothing in it is certain: read every line.
# Lines that say OPEN ask something. Until a question of units or conventions is answered the
# tables cannot be read; a column that was not understood is left out, and told as such.
# Keys, fields and conventions: docs/reference/mapping.md

schema = 1

[line]
name = {name}

# Answers for all tables at once may stand here instead of at each column:
# [conventions]
# ampere = "rms"
"""


def mapping_text(tables: Sequence[Table], name: str) -> str:
    """The whole file.

    Parameters
    ----------
    tables : sequence of Table
    name : str
        Of the line.
    """
    lines = [_HEAD.format(name=quote(name))]
    for table in tables:
        lines += ["", *(_table(table) if table.kind else _nothing(table))]
    return "\n".join(lines).rstrip("\n") + "\n"


def quote(text: str) -> str:
    r"""A text as TOML writes it.

    >>> print(quote('2" shaft'))
    "2\" shaft"
    """
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    shown = (c if c.isprintable() else f"\\U{ord(c):08x}" for c in escaped)
    return '"' + "".join(shown) + '"'


def _nothing(table: Table) -> Iterator[str]:
    sheet = f", sheet {table.sheet}" if table.sheet else ""
    yield from _comment(f"{table.file}{sheet}: {' '.join(table.open)} Left out.")


def _table(table: Table) -> Iterator[str]:
    yield "[[table]]"
    yield f"into = {quote(table.kind)}"
    yield f"file = {quote(table.file)}"
    if table.sheet:
        yield f"sheet = {quote(table.sheet)}"
    rows = table.heading
    yield f"heading = {rows[0] if len(rows) == 1 else list(rows)}"
    if table.units is not None:
        yield f"units = {table.units}"
    if table.turned:
        yield "turned = true"
    if table.separator not in ("", ","):
        yield f"separator = {quote(table.separator)}"
    if table.encoding:
        yield f"encoding = {quote(table.encoding)}  # not UTF-8; read so, its letters look right?"
    if table.numerals.decimal:
        yield f"decimal = {quote(table.numerals.decimal)}  # as the cells show"
    if table.numerals.thousands:
        yield f"thousands = {quote(table.numerals.thousands)}  # as the cells show"
    if table.unknown:
        yield f"unknown = [{', '.join(map(quote, table.unknown))}]"
    for question in table.open:
        yield from _comment(f"OPEN: {question}")
    if table.wide:
        yield '# wide = { speed = "r/min", torque = "N*m" }'
    yield ""
    yield "[table.columns]"
    for column in table.columns:
        yield from _column(column)


def _column(column: Proposed) -> Iterator[str]:
    heading = quote(column.heading)
    if not column.field:
        told = " ".join(column.open) or "not understood: a field, or ignore."
        sample = f" First cell: {column.sample[:40]}" if column.sample else ""
        yield from _comment(f'{heading} = "ignore"  OPEN: {told}{sample}')
        return
    parts = [f"field = {quote(column.field)}"]
    if column.stated:
        parts.append(f"unit = {quote(column.stated)}")
    parts += [f"{key} = {quote(answer)}" for key, answer in column.answers]
    value = quote(column.field) if len(parts) == 1 else f"{{ {', '.join(parts)} }}"
    unit = f", unit {column.unit}" if column.unit and not column.stated else ""
    yield f"{heading} = {value}  # {legible(column.why + unit)}"
    for question in column.open:
        yield from _comment(f"  OPEN: {question}")


def _comment(text: str) -> Iterator[str]:
    yield f"# {legible(' '.join(text.split()))}"
