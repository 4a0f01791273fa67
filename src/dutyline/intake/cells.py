"""Cells of one foreign column as texts of ours: each different one is read one time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Protocol

from dutyline.catalogue.columns import Column
from dutyline.core.faults import ValueFault, quoted
from dutyline.intake import units
from dutyline.intake.exact import exact
from dutyline.intake.figures import Manner
from dutyline.intake.mapping import TableRule, Target
from dutyline.intake.view import View

_WHOLE = units.SHARES | {"mains_tolerance"}
"""Fields of which no product states one percent or less."""
AS_PERCENT = "shown as percent by the workbook"
"""Said beside the conventions of a cell that was read as it is shown."""


class Told(Protocol):
    """What takes faults."""

    def fault(self, place: str, field: str, read: str, remedy: str = "") -> None:
        """Keep one fault."""


@dataclass(frozen=True, slots=True)
class Source:
    """One column of a table that gives a field."""

    target: Target
    manner: Manner | None
    """None for points."""
    column: int
    told: tuple[str, str] = ("", "")
    """Unit and conventions for the trace."""


class _Cleared(dict[str, str]):
    """Cells cleared of marks by what stands in them; empty where nothing is known."""

    def __init__(self, rule: TableRule, target: Target) -> None:
        super().__init__()
        self._rule, self._target = rule, target

    def __missing__(self, raw: str) -> str:
        text = " ".join(raw.split())
        for mark in self._rule.strip:
            text = text.removesuffix(mark).removeprefix(mark).strip()
        word = text.casefold()
        text = "" if word in self._rule.unknown else self._target.values.get(word, text)
        self[raw] = text
        return text


def cleared(
    view: View, at: Sequence[int], source: Source, rule: TableRule, found: Told
) -> list[str]:
    """(n,) cells of a column in some rows; empty where a cell says that nothing is known."""
    raws = view.column(at, source.column)
    if view.grid.formulas:
        for k, row in enumerate(at):
            if view.formula(row, source.column):
                read = f"holds the formula {quoted(' '.join(raws[k].split()))}; its result is "
                found.fault(view.place(row, source.column), source.target.field, f"{read}needed.",
                            "Write the value into the cell.")  # fmt: skip
                raws[k] = ""
    if source.target.repeat:
        for k in range(1, len(raws)):
            raws[k] = raws[k] or raws[k - 1]
    known = _Cleared(rule, source.target)
    return [known[raw] for raw in raws] if raws else []


def translated(
    view: View, at: Sequence[int], column: int, cells: Sequence[str], manner: Manner, found: Told
) -> list[str]:
    """(n,) texts for our column; what is wrong is told with its cell."""
    known: dict[tuple[str, bool, bool], str | ValueFault] = {}
    read = manner.quick()
    texts: list[str] = []
    numbers = bool(view.grid.numbers)
    shown = bool(view.grid.percents)
    for k, text in enumerate(cells):
        if not text:
            texts.append("")
            continue
        plain = numbers and view.number(at[k], column)
        percent = shown and plain and view.percent(at[k], column)
        key = (text, plain, percent)
        done = known.get(key)
        if done is None:
            done = known[key] = _one(read, text, plain, percent, manner)
        if isinstance(done, ValueFault):
            place = view.place(at[k], column)
            found.fault(place, manner.target.field, done.read, done.remedy)
            done = ""
        texts.append(done)
    return texts


def _one(
    read: Callable[[str, bool], str], text: str, plain: bool, percent: bool, manner: Manner
) -> str | ValueFault:
    try:
        figure = read(as_seen(text, manner) if percent else text, plain)
        if not percent and manner.unit.strip() == "%" and manner.column.field in _WHOLE:
            _require_whole(text, figure, manner.column)
        return figure
    except ValueFault as fault:
        return fault


def _require_whole(text: str, figure: str, column: Column) -> None:
    """A column of percent in which a share stands would be read a hundred times too small."""
    percents = float(figure) * (1.0 if column.unit == "%" else 100.0)
    if 0.0 < percents <= 1.0:
        raise ValueFault(
            f"read {quoted(text)} in a column of %; 1 % or less is taken for a share of one.",
            'Write unit = "1" where the column holds shares, or correct the cell.',
        )


def as_seen(text: str, manner: Manner) -> str:
    """A number that a workbook shows as percent, as the unit of its column asks for it.

    Raises
    ------
    ValueFault
        The column measures what nobody states in percent.
    """
    measured = units.kind_of(manner.column)
    if manner.column.kind != "number" or not (measured.shares or measured.name == "number"):
        shown = exact(Fraction(text) * 100).text()
        raise ValueFault(
            f"the workbook shows {shown} %; {measured.noun} is needed.",
            "Show the cell as a plain number, or give the column the right field.",
        )
    if "%" not in manner.unit:
        return text
    return exact(Fraction(text) * 100).text()
