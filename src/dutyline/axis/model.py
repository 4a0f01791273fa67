"""An axis as read: SI numbers for the calculation, typed values for people."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from functools import lru_cache
from typing import Any

from dutyline.axis.equipment import Equipment
from dutyline.core.numbers import deviation, stated_quantity
from dutyline.core.reader import Reader
from dutyline.core.values import Value
from dutyline.motion.pieces import Cycle
from dutyline.train.parameters import MechanismParams, StageParams
from dutyline.train.records import Train


@dataclass(frozen=True, slots=True)
class Input:
    """One stated or defaulted field, in the order of the file."""

    path: str
    """``load.mass``, ``phase.up.time``, ``stage.2.ratio``"""
    section: str
    """``Load``, ``Ball screw``, ``Motion``, ``Site and wishes``: group heading for people."""
    label: str
    """``Moving mass``"""
    symbol: str
    """``m``; empty where there is none."""
    value: Value | str
    """A quantity, or plain text for names and choices."""
    line: int | None = None
    """Line in the file, None for defaults."""
    usual: str = ""
    """Usual range in words; empty where none is known."""
    unusual: str = ""
    """The caution where what is stated lies outside of it."""

    @property
    def deviates(self) -> bool:
        """True for a deviation from another value, which reads best as signed percent."""
        return self.path in ("site.mains_low", "site.mains_high")

    def shown(self, si: float, n: int = 4, system: str | None = None) -> str:
        """A value that this field has or might have, as text for the reader."""
        assert isinstance(self.value, Value)
        if self.deviates:
            return deviation(si)
        return stated_quantity(si, self.value.unit, n, system)


@dataclass(frozen=True, slots=True)
class Question:
    """Something still open, in plain words."""

    text: str
    """``How stiff is the belt?``"""
    path: str
    """Field that would answer it."""
    effect: str = ""
    """What the answer changes: ``Opens first resonance and settling time.``"""
    used: str = ""
    """Default used meanwhile, as text; empty when there is none."""
    rank: int = 0
    """Lower is more influential."""


@dataclass(frozen=True, slots=True)
class Duty:
    """How often and how long."""

    hours: float = 16 * 3600.0  # [s] per day
    days: float = 250.0  # per year
    years: float = 8.0
    stops: float = 100.0  # emergency stops per year


@dataclass(frozen=True, slots=True)
class Stop:
    """Brake and stopping facts."""

    reaction: float = 0.0  # [s]
    gap: float | None = None  # [s]
    drop: float | None = None  # [m or rad] allowed
    free_distance: tuple[float, float] | None = None  # [m or rad] behind - and + end
    coil: str = "varistor"


@dataclass(frozen=True, slots=True)
class Site:
    """Mains and surroundings. Temperatures in degC."""

    mains: float  # [V]
    phases: int | str  # 1, 3 or "dc"
    mains_low: float = -0.10  # [1]
    mains_high: float = 0.10  # [1]
    weak_mains: bool = False
    frequency: float = 50.0  # [Hz]
    ambient: float = 40.0  # [degC]
    altitude: float = 1000.0  # [m]
    plate: float | None = None  # [m^2]
    enclosed: bool = False
    protection: str = "IP54"
    people_near: bool = True


@dataclass(frozen=True, slots=True)
class Require:
    """What must come out."""

    position: float | None = None  # [m or rad]
    approach: str = "both"
    settle: float | None = None  # [s]
    bandwidth: float | None = None  # [1/s]
    brake: bool | None = None  # None: yes when gravity acts
    life: float | None = None  # [s] None: hours x days x years
    backlash: float | None = None  # [rad] gearhead backlash allowed
    gearhead: str = "allowed"
    mass: float | None = None  # [kg]
    envelope: tuple[float, float, float] | None = None  # [m]
    encoder_bits: int | None = None
    absolute: bool | None = None
    command: str = "bus"
    unit: float | None = None  # [m or rad]


@dataclass(frozen=True, slots=True)
class Choose:
    """Limits of the search: names or patterns; empty means all."""

    motors: tuple[str, ...] = ()
    gearheads: tuple[str, ...] = ()
    drives: tuple[str, ...] = ()
    brakes: tuple[str, ...] = ()
    resistors: tuple[str, ...] = ()
    objective: str = "mass"


@dataclass(frozen=True, slots=True)
class StopRamp:
    """A stop phase: how the axis comes to rest outside of its cycle."""

    name: str
    start: str
    """``worst``, or the phase it starts from."""
    means: str
    """``drive``, ``brake``, ``short-circuit`` or ``bus``"""
    category: int | None = None
    """Of IEC 60204-1, as stated."""
    decel: float | None = None
    """[m/s^2 or rad/s^2] of the load; None where the time is stated or nothing keeps a ramp."""
    time: float | None = None
    """[s] of the ramp"""
    reaction: float = 0.0
    """[s] before it begins"""


MAIN = "main"
"""Name of the case that is the file without changes."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis file, complete and checked."""

    title: str
    train: Train
    cycle: Cycle
    linear: bool
    """True when the travel of the load is linear."""
    duty: Duty = Duty()
    stop: Stop = Stop()
    site: Site | None = None
    """None when the file does not state mains and phases (enough for demand only)."""
    require: Require = Require()
    choose: Choose = Choose()
    equipment: Equipment = field(default_factory=Equipment)
    mechanism: MechanismParams | None = None
    """The mechanism as stated; None where the axis was put together without a file."""
    stages: tuple[StageParams, ...] = ()
    """The stages as stated, in the order of the train behind its mechanism."""
    reserve: Mapping[str, float] = field(default_factory=dict)
    """Required reserves stated in the file, by check id."""
    gravity: float = 9.80665
    enquiry: str = ""
    project: str = ""
    customer: str = ""
    author: str = ""
    note: str = ""
    units: str = "si"
    decimal: str = "point"
    """Decimal mark of results, ``point`` or ``comma``."""
    inputs: tuple[Input, ...] = ()
    questions: tuple[Question, ...] = ()
    notes: tuple[str, ...] = ()
    """Things a reader must know: stated but unused sections, completed data."""
    file: str = ""
    """Name of the file as given."""
    checksum: str = ""
    """sha256 of the file's bytes."""
    files: Mapping[str, str] = field(default_factory=dict)
    """Texts of the files beside it that it names, by name."""
    stated: Mapping[str, list[dict[str, Any]]] = field(default_factory=dict)
    """Stated fields as plain data in canonical words, by section: what writing gives back."""
    case: str = MAIN
    """Which case of the file this is; ``main`` is the file without changes."""
    cases: tuple[Axis, ...] = ()
    """The other cases of the same machine; all are judged together."""
    variant: str = ""
    """Which variant of the file this is; empty: none."""
    variants: tuple[Axis, ...] = ()
    """Other machines of the file, each with all its cases."""
    stops: tuple[StopRamp, ...] = ()
    """Stops apart from the cycle."""
    judged: tuple[str, ...] = ()
    """Ids of the checks by which it is judged; empty: by all."""
    remark: str = ""
    """What the file says of this case or variant."""

    @property
    def reader(self) -> Reader:
        """For whom results of this axis are written."""
        return Reader(self.units, self.decimal == "comma")

    @property
    def motors(self) -> int:
        """Equal motors that move the load together, each with drive, gearhead and brake."""
        stated = (i.value for i in self.inputs if i.path == "tandem.motors")
        value = next(stated, 1)
        return round(value.si) if isinstance(value, Value) else int(value)

    @property
    def every_case(self) -> tuple[Axis, ...]:
        """The file itself, then its other cases."""
        return (self, *self.cases)

    @property
    def unstated(self) -> tuple[str, ...]:
        """Paths of assumed and default inputs."""
        return tuple(
            i.path
            for i in self.inputs
            if isinstance(i.value, Value) and i.value.status in ("assumed", "default")
        )

    def assumed(self, prefixes: tuple[str, ...]) -> tuple[str, ...]:
        """Paths of assumed and default inputs under any of the prefixes, as :func:`under`."""
        return under(self.unstated, prefixes)


@lru_cache(maxsize=1024)
def under(paths: tuple[str, ...], prefixes: tuple[str, ...]) -> tuple[str, ...]:
    """Those of some paths that are one of the prefixes or stand below one.

    One that begins with ``!`` is a pattern of paths that do not count.
    """
    below = tuple(f"{prefix}." for prefix in prefixes)
    idle = [prefix[1:] for prefix in prefixes if prefix.startswith("!")]
    return tuple(
        path
        for path in paths
        if (path in prefixes or path.startswith(below))
        and not any(fnmatchcase(path, pattern) for pattern in idle)
    )
