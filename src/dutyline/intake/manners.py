"""Each column of a table with its unit and conventions, or the questions that are still open."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from dutyline.core.faults import ValueFault, quoted
from dutyline.core.spelling import nearest
from dutyline.intake import units
from dutyline.intake.conventions import ASKED, BY_KEY, CRESTS, answers_of, keys_of
from dutyline.intake.figures import IN_CELL, Manner, check_coil
from dutyline.intake.keys import POINTS
from dutyline.intake.mapping import Rule, TableRule, Target
from dutyline.intake.view import View

Ask = Callable[[str, str], None]
"""Takes what is not said, and what would help."""

_BRACKETS = re.compile(r"\[([^\[\]]{1,40})\]|\(([^()]{1,40}(?:\([^()]*\)[^()]*)?)\)")
_AROUND = re.compile(r"\[[^\[\]]*\]|\([^()]*\)")
_BEHIND = re.compile(r"(?:\s/\s?|\bin\s|,\s)([^\s].{0,30})$")


@dataclass(frozen=True, slots=True)
class Question:
    """What the mapping has to answer before the table can be read."""

    place: str
    """Of the heading."""
    field: str
    read: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Heading:
    """One column of a table as it calls itself."""

    column: int
    text: str
    """Rows of heading joined; empty where it has none."""
    units: str
    """Of the row of units."""


def headings(view: View, rule: TableRule, rows: Mapping[int, int]) -> list[Heading]:
    """Every column with its heading; ``rows`` gives the place of a row by its number."""
    lines = [rows[number] for number in rule.heading if number in rows]
    line_of_units = None if rule.units is None else rows.get(rule.units)
    found = []
    for column in range(view.columns()):
        parts: list[str] = []
        for line in lines:
            text = view.text(line, column)
            if text and (not parts or parts[-1] != text):
                parts.append(text)
        unit = "" if line_of_units is None else view.text(line_of_units, column)
        found.append(Heading(column, " ".join(parts), unit))
    return found


def place_of(view: View, rule: TableRule, heading: Heading, rows: Mapping[int, int]) -> str:
    """Where a heading stands; the first cell of its column where there is none."""
    last = rule.heading[-1] if rule.heading else 1
    return view.place(rows.get(last, 0), heading.column)


def column_of(view: View, rule: Rule, heads: list[Heading]) -> tuple[Heading | None, str, str]:
    """The column that a rule names; else what is wrong and what helps."""
    wanted = " ".join(rule.heading.split())
    same = [head for head in heads if head.text == wanted]
    if len(same) == 1:
        return same[0], "", ""
    word = "row" if view.turned else "column"
    if same:
        named = ", ".join(f'"{_named(view, head)}"' for head in same)
        return None, f"the heading stands {len(same)} times.", f"Write {word}s: {named}."
    place = view.column_named(wanted)
    if place is not None:
        found = next((head for head in heads if head.column == place), None)
        if found is not None:
            return found, "", ""
        return None, f"there is no {wanted}; there are {len(heads)}.", ""
    near = nearest(wanted, [head.text for head in heads if head.text])
    remedy = f'The nearest is "{near}".' if near else "Write the heading as it stands."
    return None, f"the table has no heading {quoted(wanted)}.", remedy


def _named(view: View, head: Heading) -> str:
    if view.turned:
        return f"row {head.column + 1}"
    return f"column {view.cell(0, head.column).rstrip('0123456789')}"


def manner(
    target: Target, rule: TableRule, general: Mapping[str, str], head: Heading, place: str
) -> tuple[Manner | None, list[Question]]:
    """How a column is read; questions where the mapping does not say enough."""
    column = target.column
    if column is None:
        if target.field == POINTS:
            return None, []
        raise AssertionError(target.field)
    asked: list[Question] = []

    def ask(read: str, remedy: str) -> None:
        asked.append(Question(place, target.field, read, remedy))

    unit, beside = _unit(target, head, ask)
    answers = _answers(target, rule, general, beside, ask)
    wrong = check_coil(target.field, answers)
    if wrong:
        ask(wrong, "Give the column the other field, or correct coil.")
    found = Manner(target, column, rule.numerals, unit, answers)
    if not asked and unit != IN_CELL:
        try:
            found.check()
        except ValueFault as fault:
            ask(fault.read, fault.remedy)
    return (None if asked else found), asked


def _unit(target: Target, head: Heading, ask: Ask) -> tuple[str, dict[str, str]]:
    """The unit of a column and the conventions that it carries."""
    assert target.column is not None
    if target.unit:
        return target.unit, dict(units.unit_text(target.unit).answers)
    if not units.needs_unit(target.column):
        return "", dict(units.unit_text(head.units or _bracket(head.text)).answers)
    if head.units:
        unit = without_brackets(head.units)
        return unit, dict(units.unit_text(unit).answers)
    unit, fault = unit_in_heading(target, head.text)
    if unit:
        return unit, dict(units.unit_text(unit).answers)
    noun = units.kind_of(target.column).noun
    examples = units.kind_of(target.column).examples
    if target.column.field in units.SHARES:
        noun, examples = "a share", '"1" or "%"'
    if fault is not None:
        ask(f"{fault.read}", fault.remedy or f"Write unit = ... for it: {examples}.")
    else:
        ask(f"the unit is not said; {noun} is needed.", f"Write unit = ... for it: {examples}.")
    return "", {}


def without_brackets(unit: str) -> str:
    """A unit without the brackets around it; brackets inside it stay."""
    text = unit.strip()
    return text[1:-1].strip() if _AROUND.fullmatch(text) else text


def _bracket(heading: str) -> str:
    found = _BRACKETS.search(heading)
    return (found[1] or found[2]) if found else ""


def unit_in_heading(target: Target, heading: str) -> tuple[str, ValueFault | None]:
    """The unit that a heading says in brackets or behind its name; else why none of it is one."""
    assert target.column is not None
    inside = [a or b for a, b in _BRACKETS.findall(heading)]
    behind = _BEHIND.search(heading)
    first: ValueFault | None = None
    for words in [*inside, *([behind[1]] if behind else [])]:
        text = words.strip()
        try:
            check_unit(target, text)
        except ValueFault as fault:
            doubt = "may be" in fault.read or "needed" in fault.read
            first = first or (fault if doubt and words in inside else None)
            continue
        return text, None
    return "", first


def check_unit(target: Target, unit: str) -> None:
    """Nothing, where a unit suits a column.

    Raises
    ------
    ValueFault
        Unknown, of another kind, or with two meanings.
    """
    assert target.column is not None
    text = units.unit_text(unit).text
    if target.column.unit == "degC":
        rise = target.answers.get("temperature") == "rise"
        (units.kelvins if rise else units.celsius)(units.WARM, text)
    elif target.column.kind == "pairs":
        units.factor(units.SECONDS, text)
    else:
        units.factor(target.column, text, target.answers.get("inertia") == "GD2")


def _answers(
    target: Target,
    rule: TableRule,
    general: Mapping[str, str],
    beside: Mapping[str, str],
    ask: Ask,
) -> dict[str, str]:
    """Every convention of a column: its own answer, else its unit's, its table's, the line's."""
    found: dict[str, str] = {}
    for key in keys_of(rule.kind, target.field):
        choices = answers_of(key, target.field)
        wider = {**general, **rule.answers}.get(key)
        if choices and wider not in choices:
            wider = None
        if key in target.answers:
            found[key] = target.answers[key]
        elif key in beside and wider is not None and wider != beside[key]:
            ask(
                f"its unit says {key} {beside[key]}, the mapping {wider}.",
                f'Write {key} = "{beside[key]}" or "{wider}" at this column.',
            )
        elif key in beside:
            found[key] = beside[key]
        elif key in ASKED.get((rule.kind, target.field), ()):
            if wider is not None:
                found[key] = wider
            else:
                ask(f"{key} is not said. {BY_KEY[key].question}", _choices(key, choices))
    for key in beside.keys() - set(keys_of(rule.kind, target.field)):
        if (beside[key] == "peak") != (target.field in CRESTS):
            ask(
                f"its unit says {key} {beside[key]}, which {target.field} does not take.",
                "Write unit = ... with the unit alone where the figure is what the field holds.",
            )
    if found.get("temperature") == "rise" and "over" not in found:
        wider = {**general, **rule.answers}.get("over")
        if wider:
            found["over"] = wider
        else:
            ask(f"over is not said. {BY_KEY['over'].question}", 'Write over = "40 degC".')
    return found


def _choices(key: str, choices: tuple[str, ...]) -> str:
    return f"Write {answered_by(key, choices)}, at the column or once in [conventions]."


def answered_by(key: str, choices: Iterable[str]) -> str:
    """What a mapping says for an answer: ``ampere = "rms" or "peak"``."""
    quoted_choices = [f'"{choice}"' for choice in choices]
    if not quoted_choices:
        return f'{key} = "20 degC", or the temperature that holds'
    return f"{key} = {', '.join(quoted_choices[:-1])} or {quoted_choices[-1]}"


def said(answers: Mapping[str, str]) -> str:
    """The conventions of a column in one line, as a trace keeps them."""
    return "; ".join(f"{key} {answer}" for key, answer in answers.items())
