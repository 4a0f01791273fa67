"""One foreign cell as the text of ours, with the unit and conventions that were applied."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from dutyline.catalogue.columns import Column
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.reading import read_value
from dutyline.intake import units
from dutyline.intake.conventions import COIL, scale
from dutyline.intake.exact import ONE, Exact, exact
from dutyline.intake.mapping import Target
from dutyline.intake.numerals import Numerals
from dutyline.physics.continuous_duty import COPPER, REFERENCE

IN_CELL = "cell"
_NUMBER_END = re.compile(
    r"(?:[0-9]+[ -])?[0-9]+\s?/\s?[0-9]+|"
    r"[+\-\u2212]?\s?(?:[0-9][0-9.,' \u00a0\u202f\u2009\u2019]*|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?"
)
_DIGITS = {
    "": re.compile(r"(-?[0-9]{1,25})()"),
    ".": re.compile(r"(-?[0-9]{1,25})(?:\.([0-9]{1,25}))?"),
    ",": re.compile(r"(-?[0-9]{1,25})(?:,([0-9]{1,25}))?"),
}
"""Plain numbers by decimal mark."""
_RANGE = re.compile(r"(?<=[0-9])\s?(?:\.\.+|…|-|–|—|÷|\bto\b|\bbis\b|\ba\b|~)\s?(?=[0-9])")
_RATIO = re.compile(r"(?:i\s?=\s?)?([0-9.,]+)(?:\s?[:/]\s?([0-9.,]+))?")


@dataclass(frozen=True, slots=True)
class Figure:
    """What a cell gives."""

    text: str
    """For our cell; rounded only where the exact number has no end."""
    exact: Exact | None = None
    """The number in the unit of our column, where it is one."""


@dataclass(frozen=True, slots=True)
class Manner:
    """How the cells of one column are read."""

    target: Target
    column: Column
    numerals: Numerals
    unit: str = ""
    """As said; ``cell`` where each cell says its own."""
    answers: Mapping[str, str] | None = None
    """Every convention answered for this column."""

    def read(self, text: str, plain: bool) -> Figure:
        """The figure of a cell that is not empty.

        Raises
        ------
        ValueFault
            The cell is not what the column holds.
        """
        match self.column.kind:
            case "number" if self.target.factor is None:
                return self._number(self._part(text), plain)
            case "int":
                return _whole(self._counted(self.numerals.read(text, plain)[0], text), text)
            case "ratio":
                return self._ratio(text, plain)
            case "list":
                items = [self._number(item, False).text for item in self._items(text, plain)]
                return Figure(";".join(items))
            case "ints":
                read = [self.numerals.read(item, plain)[0] for item in self._items(text, plain)]
                return Figure(";".join(_whole(number, text).text for number in read))
            case "pairs":
                return self._pairs(text, plain)
        return Figure(text)

    def quick(self) -> Callable[[str, bool], str]:
        """As the text of :meth:`read`, with what is the same in every cell computed once.

        Digits with no more than a sign and a decimal mark are scaled here, to the same last digit:
        a quotient of whole numbers is rounded once. All other cells go the long way.
        """
        odd = self.target.part or self.unit == IN_CELL or self.target.factor is not None
        if self.column.kind != "number" or odd or self.column.unit == "degC":
            return lambda text, plain: self.read(text, plain).text
        size = self._size(self.unit)
        near, same = size.near(), size == ONE
        times, over = near.numerator, near.denominator
        marks = {True: _DIGITS["."], False: _DIGITS[self.numerals.decimal]}

        def text_of(text: str, plain: bool) -> str:
            found = marks[plain].fullmatch(text)
            if found is None:
                return self.read(text, plain).text
            whole, part = found.groups()
            if same:
                return f"{whole}.{part}" if part else whole
            if part:
                number = int(whole + part) * times / (over * 10 ** len(part))
            else:
                number = int(whole) * times / over
            return repr(number).removesuffix(".0")

        return text_of

    def check(self) -> None:
        """Nothing, where unit and conventions suit the column.

        Raises
        ------
        ValueFault
            The unit is unknown, of another kind, or has two meanings.
        """
        if self.column.kind == "pairs":
            units.factor(units.SECONDS, units.unit_text(self.unit).text)
        elif self.column.unit == "degC":
            self._temperature(units.WARM, "", units.unit_text(self.unit).text)
        else:
            self._size(self.unit)

    def _items(self, text: str, plain: bool) -> list[str]:
        mark = self.target.items or ";"
        return [text] if plain else [item.strip() for item in text.split(mark) if item.strip()]

    def _part(self, text: str) -> str:
        """One end of a range, where the mapping asks for one."""
        if not self.target.part:
            return text
        ends = _RANGE.split(text)
        if len(ends) > 2:
            raise ValueFault(f"read {quoted(text)}; a range of two numbers is needed.")
        if len(ends) == 2 and self.unit == IN_CELL:
            unit = _NUMBER_END.sub("", ends[1], count=1).strip()
            ends = [ends[0] if _NUMBER_END.sub("", ends[0]).strip() else f"{ends[0]} {unit}",
                    ends[1]]  # fmt: skip
        return ends[0] if self.target.part == "lower" else ends[-1]

    def _number(self, text: str, plain: bool) -> Figure:
        unit = self.unit
        if unit == IN_CELL:
            text, unit = _apart(text)
        if self._answer("play") == "plus-minus" or self.column.field == "mains_tolerance":
            text = text.lstrip("±").strip()
        number, digits = self.numerals.read(text, plain)
        if self.column.unit == "degC":
            return self._temperature(number, digits, units.unit_text(unit).text)
        size = self._size(unit)
        if size == ONE and digits:
            return Figure(digits, exact(number))
        value = exact(number) * size
        return Figure(value.text(), value)

    def _size(self, unit: str) -> Exact:
        """Unit and conventions together, without what needs the rest of the row."""
        said = units.unit_text(unit)
        gd2 = self._answer("inertia") == "GD2"
        size = ONE
        if units.needs_unit(self.column):
            size = units.factor(self.column, said.text, gd2)
        for key, answer in (self.answers or {}).items():
            size = size * scale(self.column.field, key, answer)
        if self._answer("at"):
            size = size / exact(_copper(self._answer("at")))
        return size

    def _answer(self, key: str) -> str:
        return (self.answers or {}).get(key, "")

    def _temperature(self, number: Fraction, digits: str, unit: str) -> Figure:
        if self._answer("temperature") != "rise":
            value = exact(units.celsius(number, unit))
        else:
            over = Fraction(str(read_value(self._answer("over"), "temperature").si))
            value = exact(units.kelvins(number, unit) + over)
        same = digits and value.fraction == number
        return Figure(digits if same else value.text(), value)

    def _counted(self, number: Fraction, text: str) -> Fraction:
        answer = self._answer("count")
        if answer == "poles":
            if number % 2:
                raise ValueFault(f"read {quoted(text)} poles; an even number is needed.")
            return number / 2
        if answer in ("counts", "lines"):
            counts = number * (4 if answer == "lines" else 1)
            bits = counts.numerator.bit_length() - 1
            if counts != 2**bits:
                raise ValueFault(
                    f"read {quoted(text)}; {counts} steps are no power of two, and whole bits are "
                    "needed.",
                    "Leave the column out, or state bits in a column of your own.",
                )
            return Fraction(bits)
        return number

    def _ratio(self, text: str, plain: bool) -> Figure:
        found = _RATIO.fullmatch(text)
        if not found:
            raise ValueFault(
                f"read {quoted(text)}; a ratio is needed, as a number or like 91/9 or 91:9."
            )
        above, below = (
            self.numerals.read(part, plain)[0] if part else Fraction(1) for part in found.groups()
        )
        if not above or not below:
            raise ValueFault(f"read {quoted(text)}; a ratio above 0 is needed.")
        ratio = above / below
        order = self._answer("order")
        if ratio < 1 and not order:
            raise ValueFault(
                f"read {quoted(text)}; the mapping does not say which speed stands first.",
                'Write order = "output:motor" where 1:10 slows down by ten.',
            )
        if order == "output:motor" and (found[2] or ratio < 1):
            ratio = 1 / ratio
        terminating = not _rest(ratio.denominator)
        return Figure(exact(ratio).text() if terminating else str(ratio), exact(ratio))

    def _pairs(self, text: str, plain: bool) -> Figure:
        """Load factors with their times; or one time of a column for a factor."""
        if self.target.factor is not None:
            over = exact(self.target.factor).text()
            return Figure(f"{over}:{self._time(text, plain)}")
        pairs = []
        for item in self._items(text, plain):
            halves = item.split(self.target.pair or ":")
            if len(halves) != 2:
                raise ValueFault(f"read {quoted(item)}; a load factor and its time are needed.")
            load = exact(self.numerals.read(halves[0].strip())[0])
            pairs.append(f"{load.text()}:{self._time(halves[1].strip(), False)}")
        return Figure(";".join(pairs))

    def _time(self, text: str, plain: bool) -> str:
        size = units.factor(units.SECONDS, units.unit_text(self.unit).text)
        return (exact(self.numerals.read(text, plain)[0]) * size).text()


def _apart(text: str) -> tuple[str, str]:
    """``3,2 Nm`` as number and unit."""
    found = _NUMBER_END.match(text)
    if not found:
        raise ValueFault(f"read {quoted(text)}; a number with its unit is needed.")
    return found[0].strip(), text[found.end() :].strip()


def _copper(text: str) -> Fraction:
    """Resistance of copper at a temperature over that at 20 degC."""
    kelvins = Fraction(str(read_value(text, "temperature").si)) - Fraction(str(REFERENCE))
    return 1 + Fraction(str(COPPER)) * kelvins


def _whole(number: Fraction, text: str) -> Figure:
    if number.denominator != 1:
        raise ValueFault(f"read {quoted(text)}; a whole number is needed.")
    return Figure(str(number.numerator), exact(number))


def _rest(denominator: int) -> bool:
    """Whether the digits of a fraction over it have no end."""
    for prime in (2, 5):
        while denominator % prime == 0:
            denominator //= prime
    return denominator != 1


def check_coil(field: str, answers: Mapping[str, str]) -> str:
    """What speaks against the answer on the coil, or an empty text."""
    answer = answers.get("coil")
    if answer is None or answer == COIL[field]:
        return ""
    other = next(name for name, coil in COIL.items() if coil == answer)
    return f'the coil switched {answer} is {other}; {field} is with coil = "{COIL[field]}".'
