"""What one page shows; every number is text as printed, every place a plain name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from dutyline.core.once import Once


@dataclass(frozen=True, slots=True)
class Wrong:
    """A value that cannot be used."""

    typed: str
    """As it stands in the file."""
    said: str
    """What is wrong with it and what helps."""
    meanings: tuple[str, ...] = ()
    """What may have been meant, each as it would be typed."""
    gone: bool = False
    """True where the file does not state it any more."""


@dataclass(frozen=True, slots=True)
class FieldView:
    """One field of the axis file."""

    path: str
    label: str
    symbol: str
    typed: str
    """As it stands in the file; empty where nothing does."""
    shown: str
    """SI echo, or the default used meanwhile."""
    status: str
    """``given``, ``measured``, ``calculated``, ``assumed``, ``default`` or empty."""
    note: str
    hint: str
    """Typical range and meaning."""
    choices: tuple[str, ...] = ()
    fault: str = ""
    meanings: tuple[str, ...] = ()
    """Readings to choose from where there are two."""
    stated: bool = True
    measurable: bool = False
    """True for a value that has a status and a note of its own."""
    odd: str = ""
    """The caution on a value outside of its usual range."""

    @property
    def key(self) -> str:
        """Name of the field's elements in the page."""
        return self.path.replace(".", "-").replace(" ", "_")


@dataclass(frozen=True, slots=True)
class PartView:
    """One part of the train."""

    key: str
    """``load``, ``mechanism``, ``stage-1``, ``gearhead``, ``motor`` ..."""
    name: str
    said: str
    """What it is in one line."""
    drawing: str
    """SVG."""
    inertia: str = ""
    inertia_share: float = 0.0
    torque: str = ""
    torque_share: float = 0.0
    electric: bool = False
    fields: tuple[FieldView, ...] = ()
    more: tuple[FieldView, ...] = ()
    """Fields that the file does not state."""
    options: tuple[str, ...] = ()
    """Names of parts that may stand here."""
    chosen: str = ""

    @property
    def open(self) -> bool:
        """True where a stated value cannot be used."""
        return any(f.fault for f in (*self.fields, *self.more))


@dataclass(frozen=True, slots=True)
class RowView:
    """One line of the ledger."""

    key: str
    mark: str
    title: str
    used: str
    share: float | None
    reserve: float
    demand: str
    limit: str
    when: str
    at: float | None
    """[s] where the cursor goes."""
    state: str
    said: str
    """What is missing, found, or short."""
    remedies: tuple[RemedyView, ...] = ()
    formula: str = ""
    source: str = ""
    inputs: tuple[tuple[str, str, str], ...] = ()
    """Label, value and status of the inputs it rests on."""


@dataclass(frozen=True, slots=True)
class RemedyView:
    """A change that would make a line pass."""

    field: str
    after: str
    text: str


@dataclass(frozen=True, slots=True)
class GroupView:
    """Lines of the ledger under one heading."""

    title: str
    rows: tuple[RowView, ...]


@dataclass(frozen=True, slots=True)
class PhaseView:
    """One phase of the cycle, as stated and, where it could be computed, as it runs."""

    place: int
    """From 1, in the file."""
    own: str
    """Its address: the name, else the place."""
    label: str
    """Number and name."""
    name: str
    do: str
    kinds: tuple[str, ...]
    """Kinds it may become, its own among them."""
    time: FieldView | None
    distance: FieldView | None
    law: FieldView | None
    carry: FieldView
    hold: FieldView | None
    also: tuple[FieldView, ...]
    """What else the file states of it."""
    more: tuple[tuple[str, str], ...]
    """Paths and labels of what might be stated."""
    start: float = 0.0
    """[s]"""
    duration: float | None = None
    """[s]; None where the cycle as it stands could not be computed."""
    moving: bool = False
    top: str = ""
    held: str = ""
    first: bool = False
    last: bool = False
    fault: str = ""
    """Why it cannot be used as it stands."""

    @property
    def told(self) -> tuple[FieldView, ...]:
        """Fields of which something has to be said under the row."""
        every = (self.time, self.distance, self.carry, *self.also)
        return tuple(f for f in every if f is not None and (f.odd or f.fault))

    @property
    def asked(self) -> bool:
        """Whether an entry of it has two readings."""
        return any(f.meanings for f in self.told)


@dataclass(frozen=True, slots=True)
class CourseView:
    """The plots over time with what the cursor reads, all in the units of the plot."""

    svg: str
    alt: str
    frame: dict[str, Any]
    """Places in the drawing and samples for the cursor."""
    motion: dict[str, Any]
    """Those samples that follow from the cycle alone: time and speed."""


@dataclass(frozen=True, slots=True)
class PlaneView:
    """Torque over speed."""

    svg: str
    alt: str
    frame: dict[str, Any]
    motion: dict[str, Any]
    """As of the plots over time."""


@dataclass(frozen=True, slots=True)
class QuestionView:
    """Something still open."""

    text: str
    effect: str
    path: str
    used: str
    typed: str = ""
    """An answer that cannot be used, as it stands in the file."""
    fault: str = ""
    """Why it cannot."""
    meanings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CandidateView:
    """One candidate of the shortlist."""

    key: str
    motor: str
    gearhead: str
    marks: tuple[str, ...]
    shares: tuple[tuple[str, str, float, str], ...]
    """Family, share as printed, share, mark."""
    mass: str
    mass_kg: float
    """NaN where a mass is not stated."""
    here: bool
    names: dict[str, str | None]


@dataclass(frozen=True, slots=True)
class RejectedView:
    """A pair that does not work."""

    name: str
    why: str
    near: str


@dataclass(frozen=True, slots=True)
class ShortlistView:
    """Candidates and rejections."""

    said: str
    order: str
    candidates: tuple[CandidateView, ...]
    rejected: tuple[RejectedView, ...]
    more: int = 0
    """Pairs of motor and gearhead that are rejected besides."""
    none: str = ""
    """That nothing carries the axis, and what the drives take where that is why."""


@dataclass(frozen=True, slots=True)
class CompareView:
    """Combinations side by side; one cell per combination in every row."""

    heads: tuple[tuple[str, tuple[str, ...]], ...]
    """Name and marks of each."""
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    """Kind of part and its name in each, where they differ."""
    rows: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    """Check, and in each its mark and what it uses, where they differ."""
    alike: int
    """Checks that say the same in all."""


@dataclass(frozen=True, slots=True)
class VariantView:
    """One variant of the file, or the file itself under no name."""

    name: str
    here: bool
    """True for the one that is shown."""
    marks: tuple[str, ...] = ()
    """Of its verdict; empty where it cannot be judged."""
    duty: str = ""
    """Ghosts on the duty line of the marks that stand elsewhere than those shown, path letters."""
    bars: dict[str, float] = field(default_factory=dict)
    """Where their bars end, by the key of the row."""
    loop: str = ""
    """Its duty trace in the plane that is shown, path letters."""


@dataclass(frozen=True, slots=True)
class DifferenceView:
    """Variants side by side, differences only; one cell per variant in every row."""

    inputs: tuple[tuple[str, tuple[str, ...]], ...]
    """What the file or a part is, and what it is in each."""
    checks: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    """Check, and in each its mark and what it uses."""
    alike: int
    """Checks that say the same in all."""


@dataclass(frozen=True, slots=True)
class VariantsView:
    """The file itself and its variants."""

    each: tuple[VariantView, ...]
    difference: DifferenceView | None = None
    """None where there is nothing to compare, or not all can be judged."""
    room: bool = True
    """False where there are as many as the page makes."""

    @property
    def here(self) -> str:
        """Name of the one that is shown."""
        return next((one.name for one in self.each if one.here), "")


@dataclass(frozen=True, slots=True)
class BelowView:
    """What stands below the drawings."""

    groups: tuple[GroupView, ...]
    """The ledger."""
    checks: int
    cautions: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """The whole page of one axis."""

    title: str
    project: str
    marks: tuple[str, ...]
    sentence: str
    rest: str
    duty: str
    """SVG of the duty line."""
    duty_alt: str
    together: str
    parts: tuple[PartView, ...]
    cycle: str
    phases: tuple[PhaseView, ...]
    course: CourseView | None
    plane: PlaneView | None
    plane_of: str
    questions: tuple[QuestionView, ...]
    more_questions: int
    beneath: Once[BelowView]
    """Made when it is first shown, which is after what stands above."""
    foot: str
    version: str
    checksum: str
    """Of the axis file, eight digits."""
    variants: tuple[tuple[str, bool], ...] = ()
    """Names of the variants of the file and which is shown; empty where there is none."""
    words: str = ""
    """The enquiry in the customer's words."""
    names: dict[str, str | None] = field(default_factory=dict)
    written: dict[str, tuple[Mapping[str, float], str]] = field(
        default_factory=dict, repr=False, compare=False
    )
    """Parts of the page as they were written last, by whoever shows them, with their ghosts."""

    @property
    def below(self) -> BelowView:
        """What stands below the drawings."""
        return self.beneath.get()

    @property
    def groups(self) -> tuple[GroupView, ...]:
        """The ledger."""
        return self.below.groups
