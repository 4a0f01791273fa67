"""A unit in a field: the field decides which meaning of the unit counts, or that none does."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from dutyline.core.dimensions import (
    FORCE_AREA,
    MASS_LENGTH,
    ONE,
    TABLE,
    Dimension,
    Twin,
    Vector,
    described,
)
from dutyline.core.faults import ValueFault, listed, quoted
from dutyline.core.unit_list import GRAVITY, Size
from dutyline.core.unit_text import Reading, readings, unknown

_TWO_PI = Size(Fraction(2), 1)
_PER_TWO_PI = Size(Fraction(1, 2), -1)
_MASS: Vector = TABLE["mass"].vector
_FORCE: Vector = TABLE["force"].vector
_TORQUE: Vector = TABLE["torque"].vector
ENERGIES = frozenset({"J", "mJ", "kJ", "MJ", "Wh", "kWh", "cal", "kcal", "BTU"})


@dataclass(frozen=True, slots=True)
class Fit:
    """How a number in a unit becomes SI."""

    size: Size
    inch: bool
    text: str
    """The unit as understood, in the table's spelling."""
    inverse: bool = False
    """True when SI is ``size`` over the number."""

    def si(self, number: Fraction) -> float:
        """The SI value of a number in this unit."""
        if self.inverse and number == 0:
            raise ValueFault("read zero, of which the inverse is needed.", "Check the value.")
        result = self.size.of(1 / number if self.inverse else number)
        if number != 0 and result == 0.0:
            raise ValueFault("read a number too small for any machine.", "Check its unit.")
        return result


def fit(unit: str, dimension: Dimension, number: Fraction, typed: str) -> Fit:
    """The one meaning of a unit text in a field of this dimension.

    ``number`` and ``typed`` serve the sentences of a fault only.

    Raises
    ------
    ValueFault
        Unknown unit, unit of another kind, or two meanings.
    """
    settled = _settled(unit, dimension)
    return settled if settled is not None else _search(unit, dimension, number, typed)


@lru_cache(maxsize=2048)
def _settled(unit: str, dimension: Dimension) -> Fit | None:
    """The meaning, or None where a fault has to be worded."""
    try:
        return _search(unit, dimension, Fraction(1), unit)
    except ValueFault:
        return None


def _search(unit: str, dimension: Dimension, number: Fraction, typed: str) -> Fit:
    """Spellings as typed first, then without regard to capitals.

    Capitals that make a unit are kept: ``Nm`` is no nanometre. Without any, ``nm`` may be one
    or, in the field of a torque, a newton metre.
    """
    seen: tuple[Reading, ...] = ()
    for exact in (True, False):
        if seen and unit != unit.casefold():
            break
        found = readings(unit, typed, exact)
        fits = _fits(found, dimension, number, typed)
        if len(fits) > 1:
            raise _double(fits, dimension, number, typed)
        if fits:
            return fits[0]
        seen = seen or found
    if not seen:
        raise unknown(unit, typed)
    raise _other_kind(seen, dimension, number, typed)


def _fits(
    choice: tuple[Reading, ...], dimension: Dimension, number: Fraction, typed: str
) -> list[Fit]:
    """The distinct sizes among the readings that suit the dimension."""
    found: dict[tuple[Size, bool], Fit] = {}
    for reading in choice:
        one = _suits(reading, dimension, number, typed)
        if one is not None:
            found.setdefault((one.size, one.inverse), one)
    return list(found.values())


def _suits(reading: Reading, dimension: Dimension, number: Fraction, typed: str) -> Fit | None:
    names = {u.name for u, _ in reading.units}
    if dimension.name == "torque" and names & ENERGIES:
        return None
    if idle_share(reading) and not dimension.shares:
        return None
    if reading.vector == dimension.vector:
        return Fit(reading.size, reading.inch, reading.text())
    for twin in dimension.twins:
        if reading.vector == twin.vector:
            return _twin(reading, twin, dimension, number, typed)
    return None


def idle_share(reading: Reading) -> bool:
    """True for ``% kg`` and ``/%``: a share that does not stand alone."""
    shares = any(u.vector == ONE for u, _ in reading.units)
    return shares and (len(reading.units) > 1 or reading.units[0][1] != 1)


def _twin(reading: Reading, twin: Twin, dimension: Dimension, number: Fraction, typed: str) -> Fit:
    size, text = reading.size, reading.text()
    turned = (_TWO_PI if twin.turns > 0 else _PER_TWO_PI) ** abs(twin.turns)
    if twin.rule == "turn":
        size = size * _TWO_PI
    elif twin.rule == "per-turn":
        size = size * _PER_TWO_PI
    elif twin.rule == "inverse":
        return Fit(size**-1, reading.inch, text, inverse=True)
    elif twin.rule == "inverse-turn":
        return Fit(size**-1 * _TWO_PI, reading.inch, text, inverse=True)
    elif twin.rule == "doubt":
        raise _plain_or_turned(size, size * turned, dimension, number, typed)
    elif twin.rule == "per-minute":
        minutes = any(u.name in ("min", "h") for u, _ in reading.units)
        if minutes:
            size = size * turned
        elif twin.seconds == "doubt":
            raise _plain_or_turned(size, size * turned, dimension, number, typed)
    return Fit(size, reading.inch, text)


def _plain_or_turned(
    plain: Size, turned: Size, dimension: Dimension, number: Fraction, typed: str
) -> ValueFault:
    one, two = listed(plain.of(number)), listed(turned.of(number))
    return ValueFault(
        f"read {quoted(typed)}; it does not say whether radians or whole turns are counted: "
        f"{one} {dimension.si} or {two} {dimension.si}.",
        f'Write "{one} {dimension.si}" or "{two} {dimension.si}", or use {dimension.examples}.',
        (f"{one} {dimension.si}", f"{two} {dimension.si}"),
    )


def _double(fits: list[Fit], dimension: Dimension, number: Fraction, typed: str) -> ValueFault:
    """Two units of one spelling."""
    meant = [f"{f.text} ({listed(f.si(number))} {dimension.si})" for f in fits]
    return ValueFault(
        f"read {quoted(typed)}; the unit may be {' or '.join(meant)}.",
        "Write " + " or ".join(f'"{listed(float(number))} {f.text}"' for f in fits) + ".",
        tuple(f"{listed(float(number))} {f.text}" for f in fits),
    )


def _other_kind(
    choice: tuple[Reading, ...], dimension: Dimension, number: Fraction, typed: str
) -> ValueFault:
    """A unit of another kind, with what was probably meant where a rule of the trade knows it."""
    for reading in choice:
        if dimension.name == "inertia":
            meant = _meant_inertia(reading, number, typed)
            if meant is not None:
                return meant
    reading = choice[0]
    return ValueFault(
        f"read {quoted(typed)}, {_noun(reading)}; {dimension.noun} is needed.",
        _advice(reading, dimension, number),
    )


def _noun(reading: Reading) -> str:
    """What the reading is; units tell kinds of equal exponents apart."""
    if idle_share(reading) or not any(reading.vector):
        return "a share"
    if {u.name for u, _ in reading.units} & ENERGIES:
        return described(reading.vector).replace("a torque", "an energy")
    if reading.vector == TABLE["viscous"].vector:
        masses = any(u.vector == _MASS for u, _ in reading.units)
        return TABLE["mass-flow" if masses else "viscous"].noun
    return described(reading.vector)


def _meant_inertia(reading: Reading, number: Fraction, typed: str) -> ValueFault | None:
    """Inertia units that lack a power: ``lb-in``, ``oz-in``, and ``kgf m2`` without GD2."""
    if reading.vector in (MASS_LENGTH, _TORQUE) and len(reading.units) == 2:
        return _no_power(reading, number, typed)
    if reading.vector == FORCE_AREA:
        gd2 = Size(Fraction(1, 4) / GRAVITY) * reading.size
        weight = Size(1 / GRAVITY) * reading.size
        return ValueFault(
            f"read {quoted(typed)}; it may be GD2, that is J = {listed(gd2.of(number))} kg*m^2, "
            f"or J itself = {listed(weight.of(number))} kg*m^2.",
            f'Write "GD2 {typed}", or the inertia in kg*m^2.',
            (f"GD2 {typed}", f"{listed(weight.of(number))} kg*m^2"),
        )
    return None


def _no_power(reading: Reading, number: Fraction, typed: str) -> ValueFault | None:
    """``lb-in``: a mass times length squared, or a torque times time squared."""
    lengths = [u for u, _ in reading.units if u.vector == TABLE["length"].vector]
    weights = [u for u, _ in reading.units if u.vector in (_MASS, _FORCE)]
    if len(lengths) != 1 or len(weights) != 1 or weights[0].name not in _WEIGHTS:
        return None
    mass, force = _WEIGHTS[weights[0].name]
    size = weights[0].size if weights[0].vector == _MASS else weights[0].size * _BY_GRAVITY
    as_mass = size * lengths[0].size ** 2
    as_force = size * Size(GRAVITY) * lengths[0].size
    one, two = f"{mass}*{lengths[0].name}^2", f"{force}*{lengths[0].name}*s^2"
    count = listed(float(number))
    return ValueFault(
        f"read {quoted(typed)}, which is no inertia; it may be {one} "
        f"({listed(as_mass.of(number))} kg*m^2) or {two} "
        f"({listed(as_force.of(number))} kg*m^2).",
        f'Write "{count} {one}" or "{count} {two}".',
        (f"{count} {one}", f"{count} {two}"),
    )


_BY_GRAVITY = Size(1 / GRAVITY)
_WEIGHTS = {
    "lb": ("lb", "lbf"), "lbf": ("lb", "lbf"), "oz": ("oz", "ozf"), "ozf": ("oz", "ozf"),
    "kg": ("kg", "kgf"), "kgf": ("kg", "kgf"), "g": ("g", "gf"), "gf": ("g", "gf"),
}  # fmt: skip


def _advice(reading: Reading, dimension: Dimension, number: Fraction) -> str:
    """What would help when a unit is of another kind."""
    weighed = Size(GRAVITY) * reading.size
    if dimension.name == "force" and reading.vector == _MASS:
        return f"If the weight of that mass is meant, write {_count(weighed, number)} N."
    if dimension.name == "torque" and reading.vector == MASS_LENGTH:
        return f"If kgf or gf is meant, write {_count(weighed, number)} N*m."
    if dimension.name == "mass" and reading.vector == _FORCE:
        return f"If a weight is meant, its mass is {_count(_BY_GRAVITY * reading.size, number)} kg."
    if dimension.name == "torsional-stiffness" and reading.vector == _TORQUE:
        return "Say the torque for which angle: N*m/rad, N*m/deg or N*m/arcmin."
    return f"Units of {dimension.noun.split(' ', 1)[1]}: {dimension.examples}."


def _count(size: Size, number: Fraction) -> str:
    return listed(size.of(number))
