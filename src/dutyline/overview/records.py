"""The overview of a product line as records in SI units."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from dutyline.catalogue.boundaries import Boundary
from dutyline.catalogue.parts import Motor, ProductLine


@dataclass(frozen=True, slots=True)
class Extreme:
    """The smallest or largest figure of a kind and every row that holds it."""

    value: float
    rows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Span:
    """From the smallest to the largest figure of one kind over the whole line."""

    key: str
    title: str
    unit: str
    low: Extreme
    high: Extreme
    stated: int
    """Rows that state or allow the figure."""
    rows: int
    """Rows there are."""


@dataclass(frozen=True, slots=True)
class GearChoice:
    """Gearheads of one style and frame that go on a motor size."""

    style: str
    frame: float | None
    """[m]"""
    ratios: tuple[Fraction, ...]
    """Rising."""


@dataclass(frozen=True, slots=True)
class Size:
    """Motors that differ by their winding alone, and what goes with them."""

    name: str
    motors: tuple[Motor, ...]
    classes: tuple[str, ...]
    """Supply classes for which there is a winding."""
    gears: tuple[GearChoice, ...]
    drives: tuple[str, ...]
    brakes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SupplyClass:
    """What the line has for one supply class."""

    name: str
    mains: tuple[float, float] | None
    """[V] lowest and highest that any drive of the class takes."""
    phases: tuple[int, ...]
    motors: tuple[str, ...]
    drives: tuple[str, ...]
    resistors: tuple[str, ...]
    without: tuple[str, ...]
    """Sizes that have no winding for it."""


@dataclass(frozen=True, slots=True)
class Zone:
    """Torque over speed of one motor at one supply."""

    motor: str
    mains: float | None
    """[V]"""
    phases: int | None
    peak: Boundary | None
    continuous: Boundary | None
    corner: float | None
    """[rad/s] the last speed with all of the peak torque; in a table, with 99 % of it"""
    gap: str = ""
    """What is missing where a boundary is not known."""


@dataclass(frozen=True, slots=True)
class Output:
    """One figure at the output of a gearhead and the part that limits it."""

    value: float
    by: str
    """``motor``, ``gearhead`` or ``both``"""


@dataclass(frozen=True, slots=True)
class Geared:
    """A motor on a gearhead; None where a datum is missing."""

    motor: str
    gearhead: str
    ratio: Fraction
    rated: Output | None
    """[N*m] for any length of time at rated speed"""
    peak: Output | None
    """[N*m] for a short time"""
    top: Output | None
    """[rad/s] at the output"""
    rated_speed: float | None
    """[rad/s] at the output, at rated motor speed"""
    peak_zone: Boundary | None
    """Peak torque over output speed that the motor alone would give."""
    continuous_zone: Boundary | None
    gap: str = ""


@dataclass(frozen=True, slots=True)
class Overview:
    """Everything that can be told about a line from its data."""

    line: ProductLine
    sizes: tuple[Size, ...]
    classes: tuple[SupplyClass, ...]
    spans: tuple[Span, ...]
    zones: tuple[Zone, ...]
    """In the order of the motors."""
    geared: tuple[Geared, ...]
