"""Judging stated numbers: every refusal names its field and says what is needed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields
from math import isfinite

from dutyline.core.errors import RangeError
from dutyline.train.materials import densities
from dutyline.train.parameters import FieldRangeError


def back_efficiency(efficiency: float) -> float:
    """Efficiency from load to motor when only the one from motor to load is known.

    Parameters
    ----------
    efficiency : float [1]
        Motor to load, above 0 and at most 1.

    Returns
    -------
    float [1]
        ``2 - 1/efficiency``: the same loss torque in both directions. Negative below one half.

    Raises
    ------
    RangeError
        Efficiency outside its range.

    Source
    ------
    Derived here: a loss in proportion to the load is taken from what comes through.

    Examples
    --------
    >>> round(back_efficiency(0.90), 4), back_efficiency(0.5)
    (0.8889, 0.0)
    """
    if not 0 < efficiency <= 1:
        raise RangeError(f"efficiency is {efficiency:g}; it must be more than 0 and at most 1.")
    return 2 - 1 / efficiency


@dataclass(frozen=True, slots=True)
class Stated:
    """A record of parameters, read with judgement."""

    record: object
    prefix: str = ""
    """Put before the name of the field in errors: ``load.``, ``mechanism.``."""

    def fault(self, name: str, text: str) -> FieldRangeError:
        """The error for a field; ``text`` is a whole sentence."""
        return FieldRangeError(self.prefix + name, text)

    def optional(self, name: str) -> float | None:
        """A number, or None where it is not stated."""
        value = getattr(self.record, name)
        if value is None:
            return None
        if not isfinite(value):
            raise self.fault(name, f"{name} is {value:g}; it must be a finite number.")
        return float(value)

    def needed(self, name: str, why: str = "") -> float:
        """A number that has to be stated."""
        value = self.optional(name)
        if value is None:
            raise self.fault(name, f"{name} is missing{'; ' if why else ''}{why}.")
        return value

    def positive(self, name: str, why: str = "") -> float:
        """A number that has to be stated and more than zero."""
        value = self.needed(name, why)
        if value <= 0:
            raise self.fault(name, f"{name} is {value:g} (SI); it must be more than zero.")
        return value

    def optional_positive(self, name: str) -> float | None:
        """A number that is more than zero where it is stated."""
        return None if self.optional(name) is None else self.positive(name)

    def not_negative(self, name: str) -> float:
        """A number that is zero or more; zero where it is not stated."""
        value = self.optional(name) or 0.0
        if value < 0:
            raise self.fault(name, f"{name} is {value:g} (SI); it must be zero or more.")
        return value

    def within(self, name: str, low: float, high: float, words: str) -> float:
        """A number from ``low`` to ``high``; ``words`` says so to people."""
        value = self.needed(name)
        if not low <= value <= high:
            raise self.fault(name, f"{name} is {value:g} (SI); it must be {words}.")
        return value

    def whole(self, name: str) -> int:
        """A whole number of 1 or more."""
        value = self.positive(name)
        if value != int(value):
            raise self.fault(name, f"{name} is {value:g}; it must be a whole number.")
        return int(value)

    def choice(self, name: str, among: tuple[str, ...]) -> str:
        """One of some words."""
        word = getattr(self.record, name)
        if word not in among:
            raise self.fault(name, f"{name} is {word!r}; it must be one of {', '.join(among)}.")
        return str(word)

    def pair(self, name: str) -> tuple[float, float] | None:
        """Two numbers, both more than zero, or None."""
        value = getattr(self.record, name)
        if value is None:
            return None
        first, second = (float(v) for v in value)
        if not (first > 0 and second > 0 and isfinite(first + second)):
            raise self.fault(name, f"{name} is {first:g}, {second:g}; both must be above zero.")
        return first, second

    def efficiencies(self, geometry: tuple[float, float] | None = None) -> tuple[float, float]:
        """Efficiency motor to load and load to motor; ``geometry`` where they are not stated."""
        forward = self.optional("efficiency")
        if forward is not None and not 0 < forward <= 1:
            raise self.fault(
                "efficiency", f"efficiency is {forward:g}; it must be more than 0 and at most 1."
            )
        back = self.optional("efficiency_back")
        if back is not None and back > 1:
            raise self.fault(
                "efficiency_back", f"efficiency_back is {back:g}; it must be at most 1."
            )
        if forward is None:
            forward = 1.0 if geometry is None else geometry[0]
        usual = back_efficiency(forward) if geometry is None else geometry[1]
        return forward, usual if back is None else back

    def density(self) -> float:
        """Density of the stated material, steel where none is stated [kg/m^3]."""
        name = getattr(self.record, "material", None) or "steel"
        table = densities()
        if name not in table:
            raise self.fault(
                "material", f"material {name!r} is not known; known are {', '.join(table)}."
            )
        return table[name]

    def alone(self, first: tuple[str, ...], second: tuple[str, ...]) -> None:
        """Refuse two ways of saying one thing at once."""
        if self.has(*first) and self.has(*second):
            raise self.fault(
                first[0],
                f"{' and '.join(first)} cannot stand together with {' and '.join(second)}; "
                "give one of the two.",
            )

    def has(self, *names: str) -> bool:
        """Whether any of the fields differs from what it is when left out."""
        blank = {f.name: f.default for f in fields(self.record)}  # type: ignore[arg-type]
        return any(getattr(self.record, name) != blank[name] for name in names)

    @contextmanager
    def asking(self, name: str) -> Iterator[None]:
        """Errors of a physics function inside count as errors of this field."""
        try:
            yield
        except FieldRangeError:
            raise
        except RangeError as error:
            raise self.fault(name, str(error)) from error
