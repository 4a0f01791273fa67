"""What a check returns, a ledger line, and the verdict over a ledger."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.assumptions import Assumption

if TYPE_CHECKING:
    from dutyline.checks.trial import Trial

Array = NDArray[np.float64]
Severity = Literal["must", "caution", "note"]
State = Literal["meets", "short", "fails", "not-checked"]
VerdictWord = Literal["meets", "short", "fails", "incomplete"]


@dataclass(frozen=True, slots=True)
class Outcome:
    """Demand and limit of one check for every combination of a trial.

    Arrays have one element per combination. ``nan`` means that a datum is missing.
    The margin is always ``(limit - demand) / limit``; checks never compute it themselves.
    """

    demand: Array
    limit: Array
    applies: NDArray[np.bool_] | bool = True
    """Where False there is no ledger line."""
    needs: tuple[str, ...] = ()
    """Data of the parts, as in :mod:`dutyline.checks.lacking`; those that are not stated are told
    where demand or limit is nan."""
    missing: tuple[str, ...] = ()
    """What is missing there, in words, where no datum of a part could help."""
    severity: NDArray[np.str_] | Severity | None = None
    """Where it departs from the check's own severity."""
    at: Array | None = None
    """[s] instant where it is worst; None when the whole cycle counts."""
    at_speed: Array | None = None
    """[rad/s] motor speed at that instant."""
    unit: NDArray[np.str_] | None = None
    """Where the unit departs from the check's own (a time instead of a current)."""
    text: Callable[[int], str] | None = None
    """What stands in place of demand and limit, or explains them, for one combination."""


@lru_cache(maxsize=8)
def no_line(size: int) -> Outcome:
    """The outcome of a check that applies to none of so many combinations."""
    empty = np.full(size, np.nan)
    empty.setflags(write=False)
    return Outcome(empty, empty, applies=False)


@dataclass(frozen=True, slots=True)
class Check:
    """One entry of the explicit list in :mod:`dutyline.checks.ledger`."""

    id: str
    part: str
    """``motor``, ``drive``, ``gearhead``, ``brake``, ``resistor``, ``supply`` or ``axis``"""
    title: str
    """As printed: ``Peak torque``."""
    group: str
    """Heading under which it is printed: ``Motor``, ``Drive``, ``Gearhead``, ..."""
    unit: str
    """SI unit of demand and limit (``N*m``, ``rad/s``, ``1``)."""
    severity: Severity
    reserve: float
    """Required reserve by default."""
    formula: str
    """In plain text with symbols, ``|T(t)| <= T_peak(n(t)) at every instant``."""
    source: str
    """Where the rule comes from, with ``common practice`` or ``from memory`` said."""
    uses: tuple[str, ...]
    """Path prefixes of the axis inputs it depends on (``load``, ``site.ambient``); ``!*.drag`` and
    the like leave some of them out."""
    run: Callable[[Trial], Outcome]
    subject: str = ""
    """How a sentence begins: ``the peak torque``."""


@dataclass(frozen=True, slots=True)
class Ask:
    """An empty cell of the product line that a check needs."""

    kind: str
    """``motor``"""
    part: str
    """Its name."""
    field: str
    """Field of its record."""
    file: str
    """``motors.csv``"""
    column: str
    """Heading of the column: ``resistance_ll_ohm_20c``."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """A change of one input that was found, and re-run, to make a check pass."""

    field: str
    """Path of the input: ``phase.up.time``, or a part: ``gearhead``. Several paths are joined by
    commas where moves are stretched alike, and so are their values. Empty where nothing of the
    kind helps."""
    before: str
    """As it is, as it would stand in the file: ``0.6 s``."""
    after: str
    """As it would have to be, as it would stand in the file: ``0.66 s``."""
    text: str
    """The whole sentence: ``Raising the time of “up” from 0.6 s to 0.66 s would do.``"""


@dataclass(frozen=True)
class Line:
    """One line of the ledger for one combination."""

    check: str
    part: str
    title: str
    group: str
    unit: str
    demand: float | None
    limit: float | None
    margin: float | None
    """(limit - demand) / limit; None when not checked."""
    required: float
    severity: Severity
    state: State
    at: float | None = None
    at_speed: float | None = None
    phase: str | None = None
    case: str = "main"
    assumed: tuple[str, ...] = ()
    """Paths of assumed or default inputs it used, those of ``leans`` among them."""
    leans: tuple[Assumption, ...] = ()
    """Data of the parts that nobody stated and for which something else was taken."""
    missing: tuple[str, ...] = ()
    """Words for what it would need."""
    asks: tuple[Ask, ...] = ()
    """The empty cells of the product line among that."""
    formula: str = ""
    source: str = ""
    text: str = ""
    remedies: tuple[Remedy, ...] = ()

    @cached_property
    def used(self) -> float | None:
        """Used share, demand over limit."""
        return None if self.margin is None else 1.0 - self.margin

    @cached_property
    def on_assumed_data(self) -> bool:
        """True where data of the parts were assumed and it might be otherwise with their own."""
        return any(not lean.safe for lean in self.leans)

    @cached_property
    def estimated(self) -> bool:
        """True where it rests on estimates that were asked for."""
        return any(lean.estimate for lean in self.leans)

    @cached_property
    def yes_no(self) -> bool:
        """True where nothing is measured: demand and limit only say whether it is so."""
        said = self.limit == 0 or (self.demand == 0 and self.limit == 1 and bool(self.text))
        return self.unit == "1" and said


@dataclass(frozen=True, slots=True)
class Combination:
    """Names of the chosen parts; None where there is none."""

    motor: str
    gearhead: str | None = None
    drive: str | None = None
    brake: str | None = None
    resistor: str | None = None

    def text(self) -> str:
        """``XM72-0450H with XG72-6``"""
        return f"{self.motor} with {self.gearhead}" if self.gearhead else self.motor


@dataclass(frozen=True, slots=True)
class Verdict:
    """The ledger of one combination on one axis, and what it says."""

    axis: Any
    """The :class:`dutyline.axis.model.Axis` judged."""
    line: Any
    """The product line the parts come from."""
    combination: Combination
    verdict: VerdictWord
    binding: str | None
    """Id of the check with the least slack (margin minus required) among the must lines."""
    demand: dict[str, dict[str, float | None]]
    """Figures by place: ``motor``, ``output``, ``bus``, ``winding``, ``overload``, ``tool``; SI."""
    ledger: tuple[Line, ...]
    cautions: tuple[str, ...] = ()
    trace: Any = None
    """Motor-side trace for plots (:class:`dutyline.demand.trace.MotorTrace`), or None."""
    cases: tuple[Verdict, ...] = ()
    """With several cases or stops: the verdict on each case, the file itself first."""
    extra: Mapping[str, Any] = field(default_factory=dict)
