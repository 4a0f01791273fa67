"""Kinds of quantity: what a field may ask for, its SI unit and how its exponents look.

A plane angle counts as a kind of its own (``N*m`` is a torque, ``N*m/rad`` a stiffness), and so
does a count of cycles (``Hz`` against ``1/s``); both stand beside the SI base quantities.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

Vector = tuple[int, int, int, int, int, int, int]
"""Exponents of length, mass, time, angle, current, temperature, count."""

ONE: Vector = (0, 0, 0, 0, 0, 0, 0)
MASS_LENGTH: Vector = (1, 1, 0, 0, 0, 0, 0)
FORCE_AREA: Vector = (3, 1, -2, 0, 0, 0, 0)
_COMPOUNDS = {MASS_LENGTH: "a mass times a length", FORCE_AREA: "a force times an area"}

Rule = Literal["plain", "turn", "per-turn", "inverse", "inverse-turn", "per-minute", "doubt"]


@dataclass(frozen=True, slots=True)
class Twin:
    """Other exponents that a field accepts too, and how they are meant."""

    vector: Vector
    rule: Rule = "plain"
    """``plain``: same number. ``turn``: times 2 pi. ``per-turn``: divided by 2 pi. ``inverse``:
    one over it (``inverse-turn``: of the number per radian, per turn). ``per-minute``: nothing is
    said of the angle: with minutes turns are meant. ``doubt``: two readings, refused."""
    turns: int = 1
    """How often the angle counts: 1, or -1 and -2 where the kind is per angle."""
    seconds: Literal["rad", "doubt"] = "rad"
    """What ``per-minute`` does with seconds: radians are meant, or refused."""


@dataclass(frozen=True, slots=True)
class Dimension:
    """One kind of quantity."""

    name: str
    noun: str
    """With its article, as in a sentence: ``a mass``."""
    si: str
    """SI unit as printed."""
    vector: Vector
    examples: str
    """Units people write, for remedies."""
    twins: tuple[Twin, ...] = ()
    adds: bool = False
    """True when ``2x35 kg`` means the sum of equal parts."""
    shares: bool = False
    """True when a share may be part of the unit: ``%/K``."""


def _d(
    name: str,
    noun: str,
    si: str,
    vector: Vector,
    examples: str,
    *twins: Twin,
    adds: bool = False,
    shares: bool = False,
) -> Dimension:
    return Dimension(name, noun, si, vector, examples, twins, adds, shares)


_PER_SECOND: Vector = (0, 0, -1, 0, 0, 0, 0)
_CYCLES: Vector = (0, 0, -1, 0, 0, 0, 1)
_TURNING: Vector = (0, 0, -1, 1, 0, 0, 0)

_ALL = (
    # exponents of:                  m  kg   s rad  A  K  count
    _d("number", "a bare number", "1", ONE, "0.1 or 10 %"),
    _d("length", "a length", "m", (1, 0, 0, 0, 0, 0, 0), "mm, m, in or ft"),
    _d("angle", "an angle", "rad", (0, 0, 0, 1, 0, 0, 0), "deg, rad, arcmin or rev"),
    _d("time", "a time", "s", (0, 0, 1, 0, 0, 0, 0), "s, ms, min or h", adds=True),
    _d("mass", "a mass", "kg", (0, 1, 0, 0, 0, 0, 0), "kg, g, t, lb or oz", adds=True),
    _d("inertia", "an inertia", "kg*m^2", (2, 1, 0, 0, 0, 0, 0),
       "kg*m^2, kg*cm^2, lb*in^2 or lbf*in*s^2",
       Twin((2, 1, 0, -1, 0, 0, 0)), Twin((2, 1, 0, -2, 0, 0, 0)), adds=True),
    _d("force", "a force", "N", (1, 1, -2, 0, 0, 0, 0), "N, kN, lbf or kgf", adds=True),
    _d("torque", "a torque", "N*m", (2, 1, -2, 0, 0, 0, 0),
       "N*m, N*cm, lbf*in or ozf*in", adds=True),
    _d("speed", "a speed", "m/s", (1, 0, -1, 0, 0, 0, 0), "m/s, mm/s, m/min, in/s or ft/min"),
    _d("angular-speed", "an angular speed", "rad/s", _TURNING, "r/min, rad/s or deg/s",
       Twin(_PER_SECOND, "per-minute", seconds="doubt")),
    _d("acceleration", "an acceleration", "m/s^2", (1, 0, -2, 0, 0, 0, 0),
       "m/s^2, mm/s^2, in/s^2 or g"),
    _d("angular-acceleration", "an angular acceleration", "rad/s^2", (0, 0, -2, 1, 0, 0, 0),
       "rad/s^2, deg/s^2 or rpm/s",
       Twin((0, 0, -2, 0, 0, 0, 0), "per-minute", seconds="doubt")),
    _d("jerk", "a jerk", "m/s^3", (1, 0, -3, 0, 0, 0, 0), "m/s^3, in/s^3 or g/s"),
    _d("angular-jerk", "an angular jerk", "rad/s^3", (0, 0, -3, 1, 0, 0, 0),
       "rad/s^3 or deg/s^3"),
    _d("stiffness", "a stiffness", "N/m", (0, 1, -2, 0, 0, 0, 0), "N/um, N/mm or lbf/in"),
    _d("torsional-stiffness", "a torsional stiffness", "N*m/rad", (2, 1, -2, -1, 0, 0, 0),
       "N*m/rad, N*m/arcmin, N*m/deg or lbf*in/rad"),
    _d("lead", "a lead", "m", (1, 0, 0, 0, 0, 0, 0), "mm/rev, mm or in/rev",
       Twin((1, 0, 0, -1, 0, 0, 0), "turn"), Twin((-1, 0, 0, 1, 0, 0, 0), "inverse-turn")),
    _d("rate", "a rate", "1/s", _PER_SECOND, "/min, cycles/h or /s",
       Twin(_CYCLES), Twin((0, 0, 1, 0, 0, 0, -1), "inverse")),
    _d("frequency", "a frequency", "Hz", _PER_SECOND, "Hz or kHz",
       Twin(_CYCLES), Twin(_TURNING, "per-turn")),
    _d("bandwidth", "a bandwidth", "Hz", _CYCLES, "Hz or rad/s",
       Twin(_TURNING, "per-turn"), Twin(_PER_SECOND, "doubt", turns=-1)),
    _d("gain", "a loop gain", "1/s", _PER_SECOND, "1/s or rad/s",
       Twin(_TURNING), Twin(_CYCLES, "doubt")),
    _d("let-through", "a let-through energy", "A^2*s", (0, 0, 1, 0, 2, 0, 0), "A^2*s or A2s"),
    _d("voltage", "a voltage", "V", (2, 1, -3, 0, -1, 0, 0), "V"),
    _d("current", "a current", "A", (0, 0, 0, 0, 1, 0, 0), "A or mA"),
    _d("resistance", "a resistance", "ohm", (2, 1, -3, 0, -2, 0, 0), "ohm or mohm"),
    _d("capacitance", "a capacitance", "F", (-2, -1, 4, 0, 2, 0, 0), "uF or mF"),
    _d("inductance", "an inductance", "H", (2, 1, -2, 0, -2, 0, 0), "mH or H"),
    _d("power", "a power", "W", (2, 1, -3, 0, 0, 0, 0), "W, kW or hp", adds=True),
    _d("energy", "an energy", "J", (2, 1, -2, 0, 0, 0, 0), "J, kJ, Wh or ft*lbf", adds=True),
    _d("temperature", "a temperature", "degC", (0, 0, 0, 0, 0, 1, 0), "degC, degF or K"),
    _d("temperature-difference", "a temperature difference", "K", (0, 0, 0, 0, 0, 1, 0),
       "K or degF"),
    _d("viscous", "a viscous drag", "N*s/m", (0, 1, -1, 0, 0, 0, 0), "N*s/m or lbf*s/in"),
    _d("rotary-viscous", "a rotary viscous drag", "N*m*s/rad", (2, 1, -1, -1, 0, 0, 0),
       "N*m*s/rad or N*m/krpm", Twin((2, 1, -1, 0, 0, 0, 0), "per-minute", turns=-1)),
    _d("torque-per-speed2", "a torque per speed squared", "N*m*s^2/rad^2",
       (2, 1, 0, -2, 0, 0, 0), "N*m*s^2/rad^2 or N*m/(r/min)^2",
       Twin((2, 1, 0, 0, 0, 0, 0), "per-minute", turns=-2)),
    _d("mass-per-length", "a mass per length", "kg/m", (-1, 1, 0, 0, 0, 0, 0),
       "kg/m, g/m or lb/ft"),
    _d("mass-per-area", "a mass per area", "kg/m^2", (-2, 1, 0, 0, 0, 0, 0),
       "kg/m^2 or lb/ft^2"),
    _d("mass-flow", "a mass flow", "kg/s", (0, 1, -1, 0, 0, 0, 0), "kg/s, t/h or lb/min"),
    _d("density", "a density", "kg/m^3", (-3, 1, 0, 0, 0, 0, 0), "kg/m^3, g/cm^3 or lb/in^3"),
    _d("pressure", "a pressure", "Pa", (-1, 1, -2, 0, 0, 0, 0), "bar, MPa, N/mm^2 or psi"),
    _d("pressure-speed", "a pressure times speed", "Pa*m/s", (0, 1, -3, 0, 0, 0, 0),
       "MPa*m/s, N/mm^2*m/min or psi*ft/min"),
    _d("area", "an area", "m^2", (2, 0, 0, 0, 0, 0, 0), "mm^2, m^2 or in^2"),
    _d("volume", "a volume", "m^3", (3, 0, 0, 0, 0, 0, 0), "l, cm^3 or in^3"),
    _d("conductance", "a thermal conductance", "W/K", (2, 1, -3, 0, 0, -1, 0), "W/K"),
    _d("thermal-resistance", "a thermal resistance", "K/W", (-2, -1, 3, 0, 0, 1, 0), "K/W"),
    _d("heat-capacity", "a heat capacity", "J/K", (2, 1, -2, 0, 0, -1, 0), "J/K"),
    _d("expansion", "a thermal expansion", "1/K", (0, 0, 0, 0, 0, -1, 0),
       "1/K or um/(m*K)", shares=True),
    _d("diameter-speed", "a diameter times speed", "m*rad/s", (1, 0, -1, 1, 0, 0, 0),
       "mm*r/min", Twin((1, 0, -1, 0, 0, 0, 0), "per-minute", seconds="doubt")),
    _d("torque-constant", "a torque constant", "N*m/A", (2, 1, -2, 0, -1, 0, 0),
       "N*m/A or lbf*in/A"),
    _d("voltage-constant", "a voltage constant", "V*s/rad", (2, 1, -2, -1, -1, 0, 0),
       "V*s/rad or V/krpm", Twin((2, 1, -2, 0, -1, 0, 0), "per-minute", turns=-1)),
)  # fmt: skip

TABLE: dict[str, Dimension] = {d.name: d for d in _ALL}
"""Every dimension by name."""

DIMENSIONS: dict[str, str] = {d.name: d.si for d in _ALL}
"""SI unit text of every dimension, by name."""

_ALIASES = {
    "1": "number",
    "angular-stiffness": "torsional-stiffness",
    "angular-viscous": "rotary-viscous",
    "torque-per-speed": "rotary-viscous",
    "temperature-change": "temperature-difference",
}


@lru_cache(maxsize=256)
def dimension(name: str) -> Dimension:
    """The dimension of this name; ``angular speed`` and ``angular-speed`` are the same.

    Raises
    ------
    KeyError
        There is none.
    """
    key = name.replace(" ", "-").replace("_", "-")
    return TABLE[_ALIASES.get(key, key)]


def named(vector: Vector) -> tuple[Dimension, ...]:
    """Every dimension with exactly these exponents, in the order of the table."""
    found = tuple(d for d in _ALL if d.vector == vector)
    return (TABLE["frequency"],) if vector == _CYCLES else found


def described(vector: Vector) -> str:
    """What a quantity of these exponents is, as in a sentence.

    >>> described((-1, 1, 0, 0, 0, 0, 0))
    'a mass per length'
    """
    found = named(vector)
    return found[0].noun if found else _COMPOUNDS.get(vector, "a quantity of another kind")
