"""Arithmetic in an entry, worked out: ``(12 + 3) kg``, ``2*(35 kg + 4 kg)``, ``90 m/min / 2``.

Terms of a sum are all of the kind that the field asks for, so each unit is read as it would be
alone. Of products only the whole has to be of that kind; a unit with several meanings counts as
the one that makes it so, and is refused where two do.
"""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import dataclass, replace
from fractions import Fraction

from dutyline.core import amounts
from dutyline.core.amounts import Amount, check_shares, no_unit
from dutyline.core.dimensions import ONE, Dimension, Vector, described
from dutyline.core.expressions import Chain, Group, Leaf, Node, parse
from dutyline.core.faults import ValueFault, listed, quoted
from dutyline.core.fitting import ENERGIES, idle_share
from dutyline.core.number_text import scan
from dutyline.core.unit_text import Reading, added, readings, unknown

_MOST_MEANINGS = 64
_OFFSET = frozenset({"degC", "degF"})
_TURNING = frozenset({"torque", "power"})
"""Kinds that come of a speed of rotation, of which ``1/min`` is a usual unit."""
_RATES = ((0, 0, -1, 0, 0, 0, 0), (0, 0, -2, 0, 0, 0, 0))


def amount(text: str, wanted: Dimension, typed: str, mark: int) -> Amount:
    """One amount, or the result of arithmetic with amounts.

    Parameters
    ----------
    text : str
        As :func:`dutyline.core.number_text.plain` spells it.
    wanted : Dimension
    typed : str
        The whole value, for the sentences of a fault.
    mark : int
        Of a flywheel moment, see :func:`dutyline.core.amounts.flywheel`.

    Raises
    ------
    ValueFault
        Nothing usable, a unit of another kind, two readings, or a division by zero.
    """
    try:
        return amounts.amount(text, wanted, typed, mark)
    except ValueFault as fault:
        tree = None if fault.meanings else parse(text, typed, numbers=wanted.name == "number")
        if tree is None:
            raise
    if wanted.name == "temperature":
        raise ValueFault(f"read {quoted(typed)}; one value is needed.", "Write the result.")
    try:
        return _Worker(wanted, typed, mark).value(tree)
    except OverflowError:
        return Amount(math.inf, False, 1.0)
    except ValueFault as fault:  # what a part may mean is not what the whole may mean
        raise ValueFault(fault.read, fault.remedy) from None


@dataclass(frozen=True, slots=True)
class _Meaning:
    """What a factor may be."""

    vector: Vector
    si: Fraction
    inch: bool
    units: frozenset[str] = frozenset()
    """``rate`` and ``energy``, where a unit of either is among its factors."""


@dataclass(frozen=True, slots=True)
class _Worker:
    wanted: Dimension
    typed: str
    mark: int

    def value(self, node: Node) -> Amount:
        """A part that has to be what the field asks for."""
        if node.bare and self.wanted.name == "number":
            return Amount(float(self.number(node)), False, 1.0)
        if isinstance(node, Leaf):
            return amounts.term(node.text, self.wanted, self.typed, self.mark)
        if isinstance(node, Group):
            if node.unit:
                number = self.number(node.inner)
                inner = amounts.single(number, node.unit, self.wanted, self.typed, self.mark)
            else:
                inner = self.value(node.inner)
            return replace(inner, si=-inner.si) if node.minus else inner
        if node.sums:
            terms = [(sign, self.value(part)) for sign, part in node.parts]
            total = sum(-_exact(a.si) if sign == "-" else _exact(a.si) for sign, a in terms)
            return Amount(float(total), any(a.inch for _, a in terms), terms[0][1].size)
        return self._product(node)

    def number(self, node: Node) -> Fraction:
        """A part without units, exactly."""
        if not node.bare:
            raise self._fault("a unit stands behind brackets that hold units", "Write it once.")
        if isinstance(node, Leaf):
            return self._leaf(node.text)
        if isinstance(node, Group):
            inner = self.number(node.inner) * (-1 if node.minus else 1)
            return inner / 100 if node.unit else inner
        numbers = [(sign, self.number(part)) for sign, part in node.parts]
        if node.sums:
            check_shares((_share(part) for _, part in node.parts), self.typed)
            return sum((-n if sign == "-" else n for sign, n in numbers), Fraction(0))
        return self._factors(numbers)

    def _leaf(self, text: str) -> Fraction:
        """A bare number, a share, or a product of bare numbers (``3*4``)."""
        if _DOUBTFUL.search(text):
            raise self._fault(
                f"{quoted(text)} may be a mixed number or a difference",
                'Write "1 1/2" or "1 - 1/2".',
            )
        number, end = scan(text)
        rest = text[end:].strip()
        if rest in ("", "%"):
            return number / 100 if rest else number
        tree = parse(text, self.typed, numbers=True)
        if tree is None:
            raise self._fault(f"{quoted(text)} is no number", 'Multiply with "*".')
        return self.number(tree)

    def _product(self, node: Chain) -> Amount:
        """A quantity times and by bare numbers; else a product of several kinds."""
        full = [(sign, part) for sign, part in node.parts if not part.bare]
        if not full:
            raise no_unit(self.typed, self.wanted)
        if len(full) > 1 or full[0][0] == "/":
            return self._of_kinds(node)
        first, (_, quantity) = node.parts[0][1], full[0]
        plain = isinstance(first, Leaf) and isinstance(quantity, Leaf) and first.bare
        if plain and not self.wanted.adds:  # 1.5*35 mm may be two sides
            raise self._fault("it may be a product or two sizes", "Put the value in brackets.")
        scale = self.number(Chain(tuple((s, p) for s, p in node.parts if p.bare) or _UNITY))
        one = self.value(quantity)
        return replace(one, si=float(_exact(one.si) * scale))

    def _of_kinds(self, node: Chain) -> Amount:
        """``10 kg * 9.81 m/s^2``: the kinds have to make the one that is asked for."""
        if self.mark:
            raise self._fault("GD2 or WR2 stands alone", "Write the result.")
        found = self._meanings(node)
        vectors = {self.wanted.vector, *(t.vector for t in self.wanted.twins if t.rule == "plain")}
        fit = [m for m in found if m.vector in vectors]
        if not fit:
            kind = described(found[0].vector) if any(found[0].vector) else "a bare number"
            raise self._fault(f"it makes {kind}; {self.wanted.noun} is needed", _bracketed(node))
        if self.wanted.name in _TURNING and any(m.units == {"rate"} for m in fit):
            read = 'a unit like "1/min" may count turns or events here'
            raise self._fault(read, "Write the result.")
        several = [float(m.si) for m in fit]
        if any(not math.isclose(si, several[0], rel_tol=1e-12) for si in several):
            told = " or ".join(f"{listed(si)} {self.wanted.si}" for si in several)
            raise self._fault(f"it may be {told}", "Write the result.")
        return Amount(several[0], fit[0].inch, 1.0)

    def _meanings(self, node: Node) -> list[_Meaning]:
        """Everything that a part of any kind may be."""
        if node.bare:
            return [_Meaning(ONE, self.number(node), False)]
        if isinstance(node, Leaf):
            number, end = scan(node.text)
            return self._in_unit(number, node.text[end:].strip())
        if isinstance(node, Group):
            inner = (
                self._in_unit(self.number(node.inner), node.unit)
                if node.unit
                else self._meanings(node.inner)
            )
            return [replace(m, si=-m.si) for m in inner] if node.minus else inner
        each = [self._meanings(part) for _, part in node.parts]
        signs = [sign for sign, _ in node.parts]
        ways = itertools.islice(itertools.product(*each), _MOST_MEANINGS)
        made = [self._sum(signs, w) if node.sums else self._times(signs, w) for w in ways]
        found = list(dict.fromkeys(m for m in made if m is not None))
        if not found:
            raise self._fault("it adds up what is not of one kind", "Check the units.")
        return found

    def _in_unit(self, number: Fraction, unit: str) -> list[_Meaning]:
        found: tuple[Reading, ...] = ()
        for exact in (True, False):
            found = found or readings(unit, self.typed, exact)
        if not found:
            raise unknown(unit, self.typed)
        known = [r for r in found if not _unfit(r)]
        if not known:
            raise self._fault(f"{quoted(unit)} is no factor", "Write the result.")
        return [_Meaning(r.vector, _exact(r.size.of(number)), r.inch, _kinds(r)) for r in known]

    def _sum(self, signs: list[str], parts: tuple[_Meaning, ...]) -> _Meaning | None:
        if len({m.vector for m in parts}) > 1:
            return None
        pairs = zip(signs, parts, strict=True)
        total = sum((-m.si if sign == "-" else m.si for sign, m in pairs), Fraction(0))
        units = frozenset().union(*(m.units for m in parts))
        return _Meaning(parts[0].vector, total, any(m.inch for m in parts), units)

    def _times(self, signs: list[str], parts: tuple[_Meaning, ...]) -> _Meaning:
        pairs = list(zip(signs, parts, strict=True))
        vector = ONE
        for sign, part in pairs:
            vector = added(vector, part.vector, -1 if sign == "/" else 1)
        result = self._factors([(sign, part.si) for sign, part in pairs])
        units = frozenset().union(*(m.units for m in parts))
        return _Meaning(vector, result, any(m.inch for m in parts), units)

    def _factors(self, numbers: list[tuple[str, Fraction]]) -> Fraction:
        """Factors and divisors from left to right."""
        result = Fraction(1)
        for sign, number in numbers:
            if sign == "/" and number == 0:
                raise self._by_zero()
            result = result / number if sign == "/" else result * number
        return result

    def _by_zero(self) -> ValueFault:
        return self._fault("it divides by zero", "Check what stands behind the slash.")

    def _fault(self, what: str, remedy: str) -> ValueFault:
        return ValueFault(f"read {quoted(self.typed)}; {what}.", remedy)


_UNITY: tuple[tuple[str, Node], ...] = (("*", Leaf("1")),)
_DOUBTFUL = re.compile(r"[0-9]-[0-9]+ ?/ ?[0-9]")


def _exact(si: float) -> Fraction:
    """The number as it is printed, so that 0.1 counts as a tenth."""
    if not math.isfinite(si):
        raise OverflowError
    return Fraction(repr(si))


def _unfit(reading: Reading) -> bool:
    """True for degrees of temperature, of which the zero is not nothing, and for ``% kg``."""
    return idle_share(reading) or any(u.name in _OFFSET for u, _ in reading.units)


def _kinds(reading: Reading) -> frozenset[str]:
    energy = any(u.name in ENERGIES for u, _ in reading.units)
    found = {"rate": reading.vector in _RATES, "energy": energy}
    return frozenset(kind for kind, there in found.items() if there)


def _share(node: Node) -> bool:
    text = node.text if isinstance(node, Leaf) else node.unit if isinstance(node, Group) else ""
    return text.rstrip().endswith("%")


def _bracketed(node: Chain) -> str:
    """What helps where a unit at the end was meant for the result: ``(12 + 3)/2 kg``."""
    *numbers, (sign, last) = node.parts
    if sign == "/" and isinstance(last, Leaf) and all(part.bare for _, part in numbers):
        unit = last.text[scan(last.text)[1] :].strip()
        return f'If "{unit}" is the unit of the whole, put the numbers in brackets before it.'
    return "Check the units."
