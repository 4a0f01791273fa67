"""Arithmetic in an entry, taken apart: brackets, sums, products and quotients of amounts.

Only what cannot be anything else counts as a sign of arithmetic. A fraction (``1/2 in``), equal
parts (``2x35 kg``), a power of ten, a unit with its own products, slashes and brackets
(``um/(m*K)``), a range and a date are left in one piece.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from dutyline.core.faults import ValueFault, quoted

DEEPEST = 8
"""Brackets inside one another."""
MOST_PARTS = 20
"""Terms of a sum, or factors of a product."""

_GROUP = re.compile(r"\((?= ?(?:[+-] ?)?[(0-9.,])")
_PLUS = re.compile(r" ?\+ ?(?=[0-9.,(])")
_MINUS = re.compile(r" - (?=[0-9.,(])| ?- ?(?=\( ?[(0-9.,])")
_MINUS_BEHIND = re.compile(r" ?- ?(?=[0-9.,(])")
_TIMES = re.compile(r" ?\* ?(?=[0-9.,(])(?!10 ?\^)")
_TIMES_GROUP = re.compile(r" ?[x*] ?(?=\( ?(?:[+-] ?)?[(0-9.,])")
_TIMES_BEHIND = re.compile(r" ?[x*] ?(?=[0-9.,(])")
_OVER = re.compile(r" ?/ ?(?=[0-9.,])")
_OVER_GROUP = re.compile(r" ?/ ?(?=\( ?(?:[+-] ?)?[(0-9.,])")
_NUMBER = re.compile(r"[+-]? ?[0-9.,' ]*(?:[eE][+-]?[0-9]+| ?[x*] ?10 ?\^ ?[+-]?[0-9]+)?")
_DASH = re.compile(r"-(?![0-9]+ ?/ ?[0-9])(?=[0-9.,])")
_COUNT = re.compile("[0-9]{1,4} ?")
_WHOLE = re.compile(r"[+-]? ?(?:[0-9]+[ -])?[0-9]+(?: ?/ ?[0-9]+)?")


@dataclass(frozen=True, slots=True)
class Leaf:
    """One amount as typed."""

    text: str

    @property
    def bare(self) -> bool:
        """Whether it is a number without a unit; a share in percent is one."""
        return re.search("[A-Za-zΩ°'\"‰]", re.sub("[0-9.,][eE][+-]?[0-9]", "", self.text)) is None


@dataclass(frozen=True, slots=True)
class Group:
    """What stands in brackets, with the unit behind them; empty: none."""

    inner: Node
    unit: str
    minus: bool = False

    @property
    def bare(self) -> bool:
        """Whether no unit stands inside or behind."""
        return not self.unit.strip("% ") and self.inner.bare


@dataclass(frozen=True, slots=True)
class Chain:
    """Terms with ``+`` and ``-``, or factors with ``*`` and ``/``, each with the mark before it."""

    parts: tuple[tuple[str, Node], ...]

    @property
    def sums(self) -> bool:
        """True for terms, false for factors."""
        return self.parts[-1][0] in "+-"

    @property
    def bare(self) -> bool:
        """Whether no part has a unit."""
        return all(node.bare for _, node in self.parts)


Node: TypeAlias = Leaf | Group | Chain


def parse(text: str, typed: str, *, numbers: bool) -> Node | None:
    """The parts of a :func:`~dutyline.core.number_text.plain` text; None for a single amount.

    ``numbers`` says that bare numbers are multiplied (``3*4``): no unit follows.

    Raises
    ------
    ValueFault
        A bracket too many or too few, nothing where an amount belongs, or too many parts.
    """
    parser = _Parser(text, typed, numbers)
    if text[-1:] in tuple("+-*/("):
        parser.at = len(text)
        raise parser.fault("an amount is missing")
    try:
        found = parser.terms(0)
        if parser.at < len(text):
            raise parser.fault('a sign of arithmetic is missing, or there is a ")" too many')
    except ValueFault:
        if parser.signs:
            raise
        return None
    return None if isinstance(found, Leaf) else found


class _Parser:
    def __init__(self, text: str, typed: str, numbers: bool) -> None:
        self.text, self.typed, self.numbers = text, typed, numbers
        self.at = self.signs = self.inside = 0

    def fault(self, what: str) -> ValueFault:
        before = self.text[: self.at].strip()
        where = f"behind {quoted(before[-24:])}" if before else "at the beginning"
        return ValueFault(
            f"read {quoted(self.typed)}; {where} {what}.",
            'Arithmetic is written like "2*(35 kg + 4 kg)" or "90 m/min / 2".',
        )

    def terms(self, depth: int) -> Node:
        return self._chain(depth, self.factors, (("+", _PLUS), ("-", _MINUS_BEHIND)))

    def factors(self, depth: int) -> Node:
        marks = (("*", _TIMES_BEHIND), ("/", _OVER), ("/", _OVER_GROUP))
        return self._chain(depth, self.factor, marks)

    def _chain(
        self,
        depth: int,
        inner: Callable[[int], Node],
        marks: tuple[tuple[str, re.Pattern[str]], ...],
    ) -> Node:
        parts: list[tuple[str, Node]] = [(marks[0][0], inner(depth))]
        while found := next(
            ((m, hit) for m, sign in marks if (hit := sign.match(self.text, self.at))), None
        ):
            self.at = found[1].end()
            self.signs += 1
            parts.append((found[0], inner(depth)))
            if len(parts) > MOST_PARTS:
                raise self.fault("there are too many parts")
        return parts[0][1] if len(parts) == 1 else Chain(tuple(parts))

    def factor(self, depth: int) -> Node:
        sign = re.compile(r" ?([+-]?) ?(?=\()").match(self.text, self.at)
        if sign and _GROUP.match(self.text, sign.end()):
            self.at = sign.end()
            return self._group(depth, sign[1] == "-")
        start, self.at = self.at, self._end(self.at)
        leaf = self.text[start : self.at].strip()
        if not re.match("[+-]? ?[0-9.,]", leaf):
            self.at = start
            raise self.fault("an amount is needed")
        return Leaf(leaf)

    def _group(self, depth: int, minus: bool) -> Group:
        if depth >= DEEPEST:
            raise self.fault(f"brackets stand more than {DEEPEST} deep")
        self.at += 1
        self.signs += 1
        self.inside += 1
        inner = self.terms(depth + 1)
        self.inside -= 1
        close = re.compile(r" ?\)").match(self.text, self.at)
        if not close:
            raise self.fault('a ")" is missing')
        self.at = close.end()
        start, self.at = self.at, self._end(self.at, behind=True)
        unit = self.text[start : self.at].strip()
        if re.match(r"[(0-9.,]", unit):
            self.at = start
            raise self.fault("a sign of arithmetic is missing")
        return Group(inner, unit, minus)

    def _end(self, start: int, *, behind: bool = False) -> int:
        """Where the amount (behind a group: the unit) that begins here ends."""
        text, place, inside = self.text, start, 0
        while place < len(text):
            if text[place] == ")":
                if not inside:
                    break
                inside -= 1
            elif text[place] == "(":
                inside += 1
            elif not inside and (place > start or behind) and self._sign(start, place, behind):
                break
            place += 1
        return place

    def _sign(self, start: int, place: int, behind: bool) -> bool:
        """Whether a sign of arithmetic stands here."""
        text, left = self.text, self.text[start:place]
        if behind and not left.strip():
            signs = (_PLUS, _MINUS_BEHIND, _TIMES_BEHIND, _OVER, _OVER_GROUP)
            return any(sign.match(text, place) for sign in signs)
        if _PLUS.match(text, place) and not re.search("[0-9.,][eE]$", left):
            return True
        if _MINUS.match(text, place) or _OVER_GROUP.match(text, place):
            return True
        whole = _WHOLE.fullmatch(left.strip())
        number = not behind and (whole or _NUMBER.fullmatch(left)) is not None
        if _TIMES_GROUP.match(text, place):
            return number or text[place:].lstrip()[0] == "*"
        if number and self.inside and _DASH.match(text, place):
            return left[-1] in "0123456789.,"
        if number and _OVER.match(text, place):
            return not whole
        if number and not self.numbers and _COUNT.fullmatch(left):
            return False
        if re.search("[A-Za-z]1$", left):  # 33 lb1/2
            return False
        return bool(_TIMES.match(text, place) or _OVER.match(text, place))
