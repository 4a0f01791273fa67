"""What surrounds a verdict: how far inputs may go, smaller parts, ratios, open questions."""

from __future__ import annotations

from dataclasses import dataclass

from dutyline.checks.records import Combination, VerdictWord


@dataclass(frozen=True, slots=True)
class Slope:
    """What a little less or more of an input does to the least slack of the must checks."""

    less: float | None
    """[1] change of the least slack per share of the input (temperatures: per kelvin), towards
    less; None where the input cannot go there."""
    more: float | None
    """[1] the same towards more; the two differ at a kink, or where another check takes over."""
    less_check: str
    """Title of the check that binds with a little less."""
    more_check: str
    """Title of the check that binds with a little more."""


@dataclass(frozen=True, slots=True)
class Range:
    """How far one input may go until a must check is not met any more."""

    field: str
    """Path, or several joined by commas where moves are stretched alike."""
    name: str
    """In a sentence: ``the moving mass``."""
    way: int
    """1 towards more, -1 towards less"""
    before: str
    """As stated: ``12 kg``."""
    after: str
    """Last sensible value that still meets; empty where the end of the range was reached."""
    value: float
    """[unit] the last value itself, of the first path; the end of the range where all meets"""
    unit: str
    end: str
    """End of the range that was looked at, as text."""
    binds: str
    """Title of the check that is not met beyond; empty where all meets up to the end."""


@dataclass(frozen=True, slots=True)
class Effect:
    """How the verdict answers to one input."""

    field: str
    name: str
    before: str
    slope: Slope
    ranges: tuple[Range, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """The reverse question: the most that this combination carries."""

    field: str
    text: str
    value: float
    """[unit] shortest time or largest mass, of the first path"""
    unit: str
    before: str
    after: str
    """The sensible number this side of it."""
    binds: str
    """Title of the check that binds there."""


@dataclass(frozen=True, slots=True)
class Smaller:
    """One size smaller in the place of one part."""

    field: str
    before: str
    after: str
    meets: bool
    """Whether it would do as things are."""
    text: str
    """The whole sentence: it would do, would do if, or does not."""


@dataclass(frozen=True, slots=True)
class RatioRow:
    """One gearhead of the line that fits, with everything else as chosen."""

    gearhead: str
    ratio: float
    verdict: VerdictWord
    tightest: str
    """Title of the tightest measured must check."""
    used: float
    """[1] its used share"""
    shares: dict[str, float]
    """[1] used share of every measured must check by its title; of several alike the largest"""


@dataclass(frozen=True, slots=True)
class RatioBand:
    """Used share of each must check over the gear ratio."""

    ideal: str
    """What the continuous ratio stands for, as a sentence."""
    ratio: tuple[float, ...]
    used: dict[str, tuple[float, ...]]
    """Check and part to used shares over ``ratio``; nan where not checked."""
    titles: dict[str, str]
    bands: tuple[tuple[float, float], ...]
    """Ratios between which every must check is met with its reserve."""
    chosen: float
    inertia_optimum: float
    """[1] least peak and rms torque of a pure inertia, ``sqrt(J_load/J_motor)``"""
    rms_optimum: float
    """[1] least rms torque of this very motion without losses; infinite where nothing speeds up"""
    listed: tuple[RatioRow, ...]


@dataclass(frozen=True, slots=True)
class Doubt:
    """A missing or assumed fact and what hangs on it."""

    field: str
    text: str
    """The question in plain words."""
    used: str
    """Default or assumption used; empty where there is none."""
    effect: str
    """What the answer may change, as a sentence."""
    influence: float
    """[1] largest share of a must check's slack that the plausible span eats; one or more: that
    check is not met any more. Infinite where a must check cannot be made without it, zero where
    nothing that is computed moves"""


@dataclass(frozen=True, slots=True)
class Reach:
    """Everything around one verdict."""

    combination: Combination
    effects: tuple[Effect, ...]
    answers: tuple[Answer, ...]
    smaller: tuple[Smaller, ...]
    band: RatioBand | None
    doubts: tuple[Doubt, ...]
