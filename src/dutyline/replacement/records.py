"""What a plate says, what a line offers in its place, and how they compare."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from dutyline.axis.model import Question
from dutyline.catalogue.boundaries import Array, Boundary
from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.checks.records import Combination, Severity, State, Verdict, VerdictWord
from dutyline.core.reader import PLAIN, Reader
from dutyline.core.values import Status


@dataclass(frozen=True, slots=True)
class Fact:
    """One figure of the old parts: stated, or worked out with the method told."""

    path: str
    """``motor.torque``"""
    label: str
    unit: str
    """SI"""
    si: float
    status: Status = "given"
    low: float | None = None
    high: float | None = None
    typed: str = ""
    method: str = ""
    """How it was worked out; empty where it was stated."""

    @property
    def most(self) -> float:
        """The upper end, where there is a range [unit]."""
        return self.si if self.high is None else self.high

    @property
    def least(self) -> float:
        """The lower end, where there is a range [unit]."""
        return self.si if self.low is None else self.low


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Figures of a plate that do not go together."""

    paths: tuple[str, ...]
    text: str
    """Both figures and their ratio, as a sentence."""
    ratio: float
    question: str = ""
    """The slip it may be, as a question; empty where none fits."""


@dataclass(frozen=True, slots=True)
class Supply:
    """What feeds the motor."""

    mains: float
    """[V] line to line, or the bus for ``dc``"""
    phases: int | str
    low: float
    """[1] deviation of the lowest mains"""
    text: str
    """``230 V, 3~``"""


@dataclass(frozen=True, slots=True)
class Plate:
    """A plate file, checked, in SI, with what could be worked out."""

    title: str
    facts: Mapping[str, Fact]
    """By path: ``motor.torque``, ``gearhead.efficiency``, ``keep.load_inertia``."""
    words: Mapping[str, str]
    """Texts and choices by path."""
    flags: Mapping[str, bool]
    ratio: Fraction | None = None
    """Of the old gearhead, exact; None without one."""
    ratio_text: str = ""
    supply: Supply | None = None
    feedbacks: tuple[str, ...] = ()
    """Kinds of feedback that the old drive reads; empty where it is not known."""
    offers: tuple[Motor, ...] = ()
    open_forms: tuple[str, ...] = ()
    """Paths of figures that are not used because their form is open."""
    contradictions: tuple[Contradiction, ...] = ()
    questions: tuple[Question, ...] = ()
    file: str = ""
    checksum: str = ""
    reader: Reader = PLAIN

    def fact(self, path: str) -> Fact | None:
        """The figure of a path, or None."""
        return self.facts.get(path)

    def si(self, path: str) -> float | None:
        """The figure of a path in SI, or None."""
        found = self.facts.get(path)
        return None if found is None else found.si

    def flag(self, path: str) -> bool | None:
        """A yes or no, or None where it is not known."""
        return self.flags.get(path)

    @property
    def braked(self) -> bool | None:
        """Whether the old motor has a brake; None where the file does not say."""
        return self.flags.get("brake.fitted")

    @property
    def keeps_gearhead(self) -> bool:
        """Whether there is an old gearhead and it stays."""
        return self.ratio is not None and self.flags.get("keep.gearhead", True)

    @property
    def keeps_drive(self) -> bool:
        """Whether the old drive stays."""
        return self.flags.get("keep.drive", False)


@dataclass(frozen=True, slots=True)
class Compared:
    """One property of the old and the new parts."""

    key: str
    group: str
    label: str
    old: str
    """As shown; empty where it is not known."""
    new: str
    tolerance: str
    """``97 % at least``"""
    state: State
    severity: Severity
    old_si: float | None = None
    new_si: float | None = None
    unit: str = ""
    assumed: bool = False
    """True where the old figure is an estimate or a default."""
    missing: tuple[str, ...] = ()
    source: str = ""

    @property
    def counts(self) -> bool:
        """True where it decides."""
        return self.severity == "must"


@dataclass(frozen=True, slots=True)
class Setting:
    """Something to set in the drive or the control."""

    name: str
    value: float
    unit: str
    also: tuple[str, ...] = ()
    """The same in other terms: ``329 % of the rated torque``."""
    limit: bool = False
    """True for a limit: text rounds it down."""


@dataclass(frozen=True, slots=True)
class Hurt:
    """Something that can hurt although the motor turns."""

    key: str
    text: str
    settings: tuple[Setting, ...] = ()


@dataclass(frozen=True, slots=True)
class MeasuredDuty:
    """What a measured trace demands of one motor."""

    torque_rms: float
    torque_peak: float
    speed_mean: float
    speed_peak: float
    speed_effective: float | None
    inertia_change: float
    """[kg*m^2] new rotor minus old; what the measured torque was corrected by"""
    rows: tuple[Compared, ...] = ()
    """How it is judged."""
    speed: Array = field(default_factory=lambda: np.empty(0), compare=False, repr=False)
    """(n,) [rad/s] of the new motor"""
    torque: Array = field(default_factory=lambda: np.empty(0), compare=False, repr=False)
    """(n,) [N*m] of the new motor"""
    peak: Boundary | None = None
    """What it gives for a short time at the supply."""
    continuous: Boundary | None = None
    """What it gives for any length of time."""


@dataclass(frozen=True, slots=True)
class Equivalent:
    """One choice of new parts beside the old ones."""

    combination: Combination
    motor: Motor
    state: VerdictWord
    offered: bool
    """True for a motor that the plate file brings along."""
    rows: tuple[Compared, ...]
    hurts: tuple[Hurt, ...]
    distance: float
    """[1] how far its figures are from the old ones, in logarithms"""
    verdict: Verdict | None = None
    """On the axis, where one was given."""
    duty: MeasuredDuty | None = None
    """Of the trace, where one was given."""

    @property
    def settings(self) -> tuple[Setting, ...]:
        """All that has to be set."""
        return tuple(s for hurt in self.hurts for s in hurt.settings)


@dataclass(frozen=True, slots=True)
class Replacement:
    """Equivalents for an old motor, the nearest first."""

    plate: Plate
    line: ProductLine
    equivalents: tuple[Equivalent, ...]
    compared: int
    """Choices of parts compared in full."""
    motors: int
    """Motors looked at."""
    left_out: int = 0
    """Motors whose torque and speed are too far to be compared in full."""
    cautions: tuple[str, ...] = ()
    old_verdict: Verdict | None = None
    """The old motor on the axis, as far as it is known."""
    old_gap: str = ""
    """Why the old motor was not judged on the axis; empty where it was or there is none."""
    notes: tuple[str, ...] = ()
    """What a reader must know of axis or trace."""

    @property
    def meets(self) -> bool:
        """Whether some equivalent meets."""
        return any(e.state == "meets" for e in self.equivalents)
