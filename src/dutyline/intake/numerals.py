"""Numbers of foreign cells, by the decimal and thousands marks that the mapping states."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from dutyline.core.faults import ValueFault, quoted

LONGEST = 60
"""Characters of a number in a cell; more is none."""
_MOST_POWER = 60
_BLANKS = "\u00a0\u202f\u2009\u2007"
_APOSTROPHES = "\u2019\u02bc"
_MINUS = "\u2212\u2012"
_SPELLED = str.maketrans(
    {
        **dict.fromkeys(_BLANKS, " "),
        **dict.fromkeys(_APOSTROPHES, "'"),
        **dict.fromkeys(_MINUS, "-"),
    }
)
_POWER = re.compile(r"(?:[eE]|\s?[x*·×]\s?10\s?\^\s?)([+-]?[0-9]{1,4})$")
_OVER = re.compile(r"(?:([0-9]{1,6})[ -])?([0-9]{1,9})\s?/\s?([0-9]{1,9})")
DECIMALS = (".", ",")
THOUSANDS = ("", ".", ",", " ", "'")


@dataclass(frozen=True, slots=True)
class Numerals:
    """How a table writes its numbers."""

    decimal: str = ""
    """Point or comma; empty where the mapping does not say."""
    thousands: str = ""
    """Mark between groups of three; empty where there is none."""

    def read(self, text: str, plain: bool = False) -> tuple[Fraction, str]:
        """The number of a cell, and the same as plain digits with a point where it is decimal.

        Parameters
        ----------
        text : str
            Number alone, without unit.
        plain : bool
            True for a cell that a workbook holds as a number: its point is the decimal mark.

        Raises
        ------
        ValueFault
            No number, or one with a mark that the mapping does not state.

        Examples
        --------
        >>> Numerals(",", ".").read("1.250,5")
        (Fraction(2501, 2), '1250.5')
        """
        typed = text.translate(_SPELLED).strip()
        if len(typed) > LONGEST:
            raise ValueFault(f"read {len(typed)} characters; a number is needed.")
        over = None if plain else _OVER.fullmatch(typed)
        if over:
            return _divided(over, text)
        power = _POWER.search(typed)
        body = typed[: power.start()] if power else typed
        digits = self._digits(body, text, plain)
        number = Fraction(digits)
        if power:
            exponent = int(power[1])
            if abs(exponent) > _MOST_POWER:
                raise ValueFault(f"read {quoted(text)}; its power of ten is beyond any machine.")
            return number * Fraction(10) ** exponent, ""
        return number, digits

    def _digits(self, body: str, text: str, plain: bool) -> str:
        """Sign, digits and at most one point."""
        decimal, thousands = (".", "") if plain else (self.decimal, self.thousands)
        marked = [mark for mark in DECIMALS if mark in body]
        if any(c.isdigit() for c in body) and marked and not decimal and set(marked) != {thousands}:
            raise ValueFault(
                f"read {quoted(text)}; the mapping does not say whether its mark is a decimal "
                "mark or one between thousands.",
                f'Write decimal = "{marked[-1]}" for this table'
                + (f', thousands = "{marked[0]}".' if len(marked) > 1 else ', or thousands = "'
                   f'{marked[0]}".'),
            )  # fmt: skip
        sign = body[:1] if body[:1] in "+-" and body else ""
        rest = body[len(sign) :].strip()
        whole, mark, part = rest.partition(decimal) if decimal else (rest, "", "")
        if thousands and thousands in whole:
            groups = whole.split(thousands)
            if not re.fullmatch("[0-9]{1,3}", groups[0]) or any(
                not re.fullmatch("[0-9]{3}", group) for group in groups[1:]
            ):
                raise self._fault(text)
            whole = "".join(groups)
        if not re.fullmatch("[0-9]*", whole + part) or not whole + part:
            raise self._fault(text)
        plus = "" if sign == "+" else sign
        return f"{plus}{whole or '0'}" + (f".{part}" if mark and part else "")

    def _fault(self, text: str) -> ValueFault:
        marks = f'decimal mark "{self.decimal}"' if self.decimal else "no decimal mark"
        if self.thousands:
            marks += f' and "{self.thousands}" between thousands'
        return ValueFault(
            f"read {quoted(text)}; a number is needed ({marks}).",
            "Correct the cell or the marks of the table; a word that means not known stands in "
            "unknown.",
        )


def _divided(over: re.Match[str], text: str) -> tuple[Fraction, str]:
    """``3/8``, ``1 1/2`` and ``1-1/2``."""
    above, below = int(over[2]), int(over[3])
    if below == 0 or (over[1] and above >= below):
        raise ValueFault(f"read {quoted(text)}; a number is needed.", "Check the fraction.")
    return Fraction(above, below) + int(over[1] or 0), ""
