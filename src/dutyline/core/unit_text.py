"""Unit expressions: ``lbf.in``, ``kg cm2``, ``oz-in-s2``, ``N*m/(r/min)^2``, ``1/min``.

Products are written with ``*``, ``·``, ``.``, ``-``, ``x`` or a space, powers as ``2``, ``^2`` or
``²``, quotients with ``/`` or ``per``. After a slash ``W/m K`` and ``a/b*c`` are read both ways
and the one that fits the field counts.
"""

from __future__ import annotations

import difflib
import itertools
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from dutyline.core.dimensions import ONE, Vector
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.spelling import nearest
from dutyline.core.unit_list import (
    EXACT,
    FOLDED,
    FOLDED_TOGETHER,
    RUN_TOGETHER,
    Size,
    Unit,
)

Factors = tuple[tuple[str, int], ...]
"""Spellings with their exponents."""

_MOST_FACTORS = 8
_HIGHEST = 12
_DEEPEST = 4
_MOST_READINGS = 128

_WORDS = (
    (r"\b(pound|ounce|gram|kilogram|tonne)s?[ -]?force\b", r"\1force"),
    (r"\b(lb|oz|kg|g|t)s?[ -]f\b", r"\1f"),
    (r"\barc[ -]?(min|sec)", r"arc\1"),
    (r"\bdeg(?:ree)?s?\.? ?(C|F|K)(?:elsius|ahrenheit|elvin)?\b", r"deg\1"),
    (r"° ?([CF])\b", r"deg\1"),
    (r"\b([VA]) ?(?:AC|ac)\b", r"\1AC"),
    (r"\b([VA]) ?(?:DC|dc)\b", r"\1DC"),
    (r"\b([VA]) (rms|eff)\b", r"\1\2"),
    (r"\bmetric (?:hp|horsepower)\b|\bhp ?\((?:metric|M)\)", "hp_metric"),
    (r"\bdegK\b", "K"),
    (r"\b(?:metric|m) ?tons?\b", "t"),
    (r"\b(short|long) tons?\b", r"\1_ton"),
    (r"\b(?:sq(?:uare)?)\.? ?([A-Za-z]+)", r"\1^2"),
    (r"\b(?:cu(?:bic)?)\.? ([A-Za-z]+)", r"\1^3"),
    (r"\bU/", "r/"),
    (r"\bA(?:\^?2|²)s\b", "A^2*s"),
    (r"\bper\b", "/"),
)

_TOKEN = re.compile(
    r"(?P<word>[A-Za-zΩ_]+|[%‰°'\"])(?P<dot>\.(?![A-Za-z]))?"
    r"|(?P<power>\^ ?\(?([+-]?[0-9]+)\)?)|(?P<whole>[0-9]+)|(?P<mark>[*·./()-]| )"
)


@dataclass(frozen=True, slots=True)
class Reading:
    """One meaning of a unit expression."""

    size: Size
    vector: Vector
    inch: bool
    units: tuple[tuple[Unit, int], ...]
    """The units it took, with their exponents."""

    def text(self) -> str:
        """The reading in the table's own spelling, products with ``*``."""
        above = [_written(u.name, e) for u, e in self.units if e > 0]
        below = [_written(u.name, -e) for u, e in self.units if e < 0]
        text = "*".join(above) or "1"
        return text + "".join(f"/{part}" for part in below)


def _written(name: str, exponent: int) -> str:
    inner = f"({name})" if "/" in name and exponent != 1 else name
    return inner if exponent == 1 else f"{inner}^{exponent}"


def _tokens(text: str) -> list[tuple[str, str]]:
    """Words, powers, whole numbers and marks; a space that is no product is left out."""
    for pattern, spelled in _WORDS:
        text = re.sub(pattern, spelled, text)
    tokens: list[tuple[str, str]] = []
    place = 0
    while place < len(text):
        found = _TOKEN.match(text, place)
        if not found:
            raise ValueFault(f"no unit has {quoted(text[place])} in it.")
        place = found.end()
        if found["word"]:
            tokens.append(("word", found["word"]))
        elif found["power"]:
            tokens.append(("power", found[4]))
        elif found["whole"]:
            after = bool(tokens) and tokens[-1][0] == "word" and text[found.start() - 1] != "."
            tokens.append(("power" if after else "whole", found["whole"]))
        elif found["mark"] == "-" and re.match(r"[0-9](?![0-9])", text[place:]):
            tokens.append(("power", "-" + text[place]))
            place += 1
        else:
            tokens.append(("mark", found["mark"]))
    return _without_idle_spaces(tokens)


def _without_idle_spaces(tokens: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Spaces stay only where they stand for a product."""
    kept: list[tuple[str, str]] = []
    space = ("mark", " ")
    for k, token in enumerate(tokens):
        if token == ("word", "x"):
            token = ("mark", "*")
        if token == space:
            follows = tokens[k + 1] if k + 1 < len(tokens) else space
            starts = follows[0] in ("word", "whole") and follows[1] != "x"
            if not kept or kept[-1][1] in "*·./(- " or not (starts or follows[1] == "("):
                continue
        kept.append(token)
    return kept


class _Expression:
    """Recursive descent over the tokens; ``wide`` keeps every product after a slash below it."""

    def __init__(self, tokens: list[tuple[str, str]], wide: bool, text: str) -> None:
        self.tokens = tokens
        self.wide = wide
        self.text = text
        self.place = 0

    def _fault(self) -> ValueFault:
        return ValueFault(
            f"{quoted(self.text)} is no unit.",
            'Units are written like "N*m", "kg*cm^2" or "lbf*in/rad".',
        )

    def _next(self) -> tuple[str, str]:
        return self.tokens[self.place] if self.place < len(self.tokens) else ("end", "")

    def whole(self) -> tuple[Factors, Fraction]:
        found = self.product(0)
        if self._next()[0] != "end":
            raise self._fault()
        return found

    def product(self, depth: int) -> tuple[Factors, Fraction]:
        factors: list[tuple[str, int]] = []
        number = Fraction(1)
        sign = 1
        if self._next() == ("mark", "/"):
            sign, self.place = -1, self.place + 1
        mark = "/" if sign < 0 or depth else ""
        while True:
            inner, scale = self.factor(depth, mark)
            factors += [(name, sign * e) for name, e in inner]
            number *= scale**sign
            kind, mark = self._next()
            if kind != "mark" or mark in "()":
                return tuple(factors), number
            self.place += 1
            if mark == "/":
                sign = -1
            elif not self.wide:
                sign = 1

    def factor(self, depth: int, mark: str) -> tuple[Factors, Fraction]:
        kind, text = self._next()
        self.place += 1
        if kind == "whole" and self._counts(text, mark):
            return (), Fraction(int(text))
        if kind == "word":
            return ((text, self.exponent()),), Fraction(1)
        if (kind, text) == ("mark", "(") and depth < _DEEPEST:
            inner, number = self.product(depth + 1)
            if self._next() != ("mark", ")"):
                raise self._fault()
            self.place += 1
            power = self.exponent()
            return tuple((name, e * power) for name, e in inner), number**power
        raise self._fault()

    def _counts(self, text: str, mark: str) -> bool:
        """Whole numbers stand below a slash (``V/1000 rpm``) or as the one of ``1/min``."""
        if mark == "/":
            return text in ("1", "10", "100", "1000")
        return text == "1" and not mark and self._next() == ("mark", "/")

    def exponent(self) -> int:
        kind, text = self._next()
        if kind != "power":
            return 1
        self.place += 1
        if len(text) > 2 or not 1 <= abs(int(text)) <= 4:
            raise self._fault()
        return int(text)


def _monomials(text: str) -> list[tuple[Factors, Fraction]]:
    """The expression as products of powers; two of them where a slash can be read two ways."""
    tokens = _tokens(text)
    found = [_Expression(tokens, wide, text).whole() for wide in (False, True)]
    for factors, _ in found:
        if len(factors) > _MOST_FACTORS or any(abs(e) > _HIGHEST for _, e in factors):
            raise ValueFault("no unit has so many parts.")
    return found if found[0] != found[1] else found[:1]


def _expanded(
    factors: Factors, together: Mapping[str, tuple[str, ...]], index: Mapping[str, object]
) -> Factors:
    """Run-together products taken apart; a power belongs to the last of them (``kgcm2``)."""
    out: list[tuple[str, int]] = []
    for name, exponent in factors:
        parts = together.get(name)
        if name in index or parts is None:
            out.append((name, exponent))
            continue
        sign = 1 if exponent > 0 else -1
        out += [(part, sign) for part in parts[:-1]]
        out.append((parts[-1], exponent))
    return tuple(out)


def _combined(factors: Factors, number: Fraction, units: tuple[Unit, ...]) -> Reading:
    size = Size(number)
    vector = ONE
    for unit, (_, exponent) in zip(units, factors, strict=True):
        size = size * unit.size**exponent
        vector = added(vector, unit.vector, exponent)
    taken = tuple((u, e) for u, (_, e) in zip(units, factors, strict=True))
    return Reading(size, vector, any(u.inch for u in units), taken)


def added(a: Vector, b: Vector, exponent: int) -> Vector:
    """Exponents of ``a`` times ``b`` to a power."""
    return (
        a[0] + exponent * b[0], a[1] + exponent * b[1], a[2] + exponent * b[2],
        a[3] + exponent * b[3], a[4] + exponent * b[4], a[5] + exponent * b[5],
        a[6] + exponent * b[6],
    )  # fmt: skip


def _read(text: str, strict: bool) -> Iterator[Reading]:
    index = EXACT if strict else FOLDED
    together = RUN_TOGETHER if strict else FOLDED_TOGETHER
    for factors, number in _monomials(text):
        if not strict:
            factors = tuple((name.casefold(), e) for name, e in factors)
        for apart in _apart(factors, strict, together, index):
            if not all(name in index for name, _ in apart):
                continue
            choices = [index[name] for name, _ in apart]
            for units in itertools.islice(itertools.product(*choices), _MOST_READINGS):
                yield _combined(apart, number, units)


def _apart(
    factors: Factors,
    strict: bool,
    together: Mapping[str, tuple[str, ...]],
    index: Mapping[str, tuple[Unit, ...]],
) -> list[Factors]:
    """Ways to take run-together products apart; without capitals ``nm`` is also newton metre."""
    ways = [_expanded(factors, together, index)]
    if not strict:
        ways.append(_expanded(factors, together, {}))
    return list(dict.fromkeys(way for way in ways if len(way) <= 2 * _MOST_FACTORS))


def readings(text: str, typed: str, exact: bool) -> tuple[Reading, ...]:
    """Every meaning of a unit text, with its capitals as typed or without regard to them.

    None where the table does not hold a unit of it. ``typed`` is the whole value, for the
    sentences of a fault.

    Raises
    ------
    ValueFault
        No unit expression.
    """
    try:
        return tuple(_read(text, exact))
    except ValueFault as fault:
        raise ValueFault(f"read {quoted(typed)}; {fault.read}", fault.remedy) from None


def unknown(text: str, typed: str) -> ValueFault:
    """The fault for a unit that the table does not hold, with the nearest spelling."""
    words = [name for factors, _ in _monomials(text) for name, _ in factors]
    strange = next(
        (w for w in words if w.casefold() not in FOLDED and w.casefold() not in FOLDED_TOGETHER),
        text,
    )
    near = difflib.get_close_matches(strange[:20], (*EXACT, *RUN_TOGETHER), n=1, cutoff=0.5)
    near = near or [nearest(strange[:20], (*EXACT, *RUN_TOGETHER))]
    help_text = f'The nearest unit known is "{near[0]}".' if near[0] else ""
    if f" {strange}" in text:
        help_text = f"{help_text} Words beside a value belong into its note.".strip()
    return ValueFault(f"read {quoted(typed)}; there is no unit {quoted(strange, 20)}.", help_text)
