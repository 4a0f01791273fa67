"""The closed table of unit spellings and their exact sizes.

Sizes are exact fractions times a power of pi. They follow from the definitions of the pound
(0.45359237 kg), the inch (0.0254 m) and standard gravity (9.80665 m/s^2); products agree with
NIST SP 811 (2008), Appendix B.8.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from dutyline.core.dimensions import ONE, TABLE, Vector


@dataclass(frozen=True, slots=True)
class Size:
    """``fraction * pi**power``, exactly."""

    fraction: Fraction
    power: int = 0

    def __mul__(self, other: Size) -> Size:
        return Size(self.fraction * other.fraction, self.power + other.power)

    def __pow__(self, exponent: int) -> Size:
        return Size(self.fraction**exponent, self.power * exponent)

    def of(self, number: Fraction) -> float:
        """The SI value of so many of it, rounded once where no pi is in it; may be infinite."""
        try:
            result = float(number * self.fraction)
        except OverflowError:
            return math.inf if number > 0 else -math.inf
        return result * math.pi**self.power if self.power else result


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of the table."""

    name: str
    """The spelling used when it is written back."""
    size: Size
    vector: Vector
    inch: bool
    """True in the inch-pound family."""
    spellings: tuple[str, ...]
    """Every spelling read, the name first."""


POUND = Fraction("0.45359237")
INCH = Fraction("0.0254")
GRAVITY = Fraction("9.80665")
FOOT = 12 * INCH
OUNCE = POUND / 16
_LBF = POUND * GRAVITY
_BTU = Fraction("1055.05585262")

_LENGTH = TABLE["length"].vector
_ANGLE = TABLE["angle"].vector
_TIME = TABLE["time"].vector
_MASS = TABLE["mass"].vector
_FORCE = TABLE["force"].vector
_SPEED = TABLE["speed"].vector
_TURNING = TABLE["angular-speed"].vector
_CYCLES = TABLE["bandwidth"].vector
_COUNT: Vector = (0, 0, 0, 0, 0, 0, 1)
_KELVIN = TABLE["temperature"].vector

UNITS: list[Unit] = []


def _u(vector: Vector, size: Fraction | str | int, spellings: str, power: int = 0) -> None:
    """Add a metric or neutral unit; spellings are separated by ``|``."""
    names = tuple(spellings.split("|"))
    UNITS.append(Unit(names[0], Size(Fraction(size), power), vector, False, names))


def _i(vector: Vector, size: Fraction | str | int, spellings: str) -> None:
    """Add an inch-pound unit."""
    names = tuple(spellings.split("|"))
    UNITS.append(Unit(names[0], Size(Fraction(size)), vector, True, names))


_u(_LENGTH, 1, "m|metre|metres|meter|meters")
_u(_LENGTH, "0.1", "dm|decimetre|decimetres|decimeter|decimeters")
_u(_LENGTH, "0.01", "cm|cms|centimetre|centimetres|centimeter|centimeters")
_u(_LENGTH, "1e-3", "mm|mms|millimetre|millimetres|millimeter|millimeters")
_u(_LENGTH, "1e-6", "um|micron|microns|micrometre|micrometres|micrometer|micrometers")
_u(_LENGTH, "1e-9", "nm|nanometre|nanometres|nanometer|nanometers")
_u(_LENGTH, 1000, "km|kilometre|kilometres|kilometer|kilometers")
_i(_LENGTH, INCH, 'in|inch|inches|ins|"')
_i(_LENGTH, FOOT, "ft|foot|feet|'")
_i(_LENGTH, 3 * FOOT, "yd|yard|yards")
_i(_LENGTH, INCH / 1000, "mil|mils|thou")

_u(_ANGLE, 1, "rad|rads|radian|radians")
_u(_ANGLE, "1e-3", "mrad|milliradian|milliradians")
_u(_ANGLE, "1e-6", "urad|microradian|microradians")
_u(_ANGLE, Fraction(1, 180), "deg|degs|degree|degrees|°", 1)
_u(_ANGLE, Fraction(1, 200), "gon|gons|grad|grads", 1)
_u(_ANGLE, Fraction(1, 10800), "arcmin|arcmins|arcminute|arcminutes|'", 1)
_u(_ANGLE, Fraction(1, 648000), 'arcsec|arcsecs|arcsecond|arcseconds|"', 1)
_u(_ANGLE, 2, "rev|revs|r|turn|turns|revolution|revolutions", 1)
_u(_ANGLE, 2000, "krev", 1)

_u(_TIME, 1, "s|sec|secs|second|seconds")
_u(_TIME, "1e-3", "ms|msec|msecs|millisecond|milliseconds")
_u(_TIME, "1e-6", "us|usec|microsecond|microseconds")
_u(_TIME, 60, "min|mins|minute|minutes")
_u(_TIME, 3600, "h|hr|hrs|hour|hours")
_u(_TIME, 86400, "d|day|days")
_u(_TIME, 604800, "wk|week|weeks")

_u(_MASS, 1, "kg|kgs|kilogram|kilograms|kilo|kilos")
_u(_MASS, "1e-3", "g|gram|grams|gramme|grammes|gm|gms")
_u(_MASS, "1e-6", "mg|milligram|milligrams")
_u(_MASS, 1000, "t|tonne|tonnes|ton|tons")
_i(_MASS, POUND, "lb|lbs|lbm|lbsm|pound|pounds")
_i(_MASS, OUNCE, "oz|ozs|ozm|ounce|ounces")
_i(_MASS, 2000 * POUND, "ton_us|short_ton|ton|tons")
_i(_MASS, 2240 * POUND, "ton_uk|long_ton|ton|tons")
_i(_MASS, _LBF / FOOT, "slug|slugs")

_u(_FORCE, 1, "N|newton|newtons")
_u(_FORCE, "1e-6", "uN|micronewton")
_u(_FORCE, "1e-3", "mN|millinewton|millinewtons")
_u(_FORCE, "0.01", "cN|centinewton|centinewtons")
_u(_FORCE, 10, "daN|decanewton|decanewtons")
_u(_FORCE, 1000, "kN|kilonewton|kilonewtons")
_u(_FORCE, 10**6, "MN|meganewton|meganewtons")
_u(_FORCE, "1e-5", "dyn|dyne|dynes")
_u(_FORCE, GRAVITY, "kgf|kp|kilopond|kiloponds|kilogramforce")
_u(_FORCE, GRAVITY / 1000, "gf|gramforce")
_u(_FORCE, GRAVITY * 1000, "tf|tonneforce")
_i(_FORCE, _LBF, "lbf|lbsf|poundforce|lb|lbs|pound|pounds")
_i(_FORCE, _LBF / 16, "ozf|ounceforce|oz|ozs|ounce|ounces")
_i(_FORCE, 1000 * _LBF, "kip|kips|klbf")

_u(_SPEED, Fraction(1, 36) * 10, "km/h|kmh|kph")
_i(_SPEED, FOOT / 60, "ft/min|fpm|sfm|sfpm")
_i(_SPEED, FOOT, "ft/s|fps")
_i(_SPEED, INCH, "in/s|ips")
_i(_SPEED, INCH / 60, "in/min|ipm")
_i(_SPEED, 5280 * FOOT / 3600, "mph")
_u(_TURNING, Fraction(1, 30), "r/min|rpm", 1)
_u(_TURNING, Fraction(1000, 30), "krpm", 1)
_u(_TURNING, 2, "r/s|rps", 1)
_u((1, 0, -2, 0, 0, 0, 0), GRAVITY, "g|gn|gee|gees")

_u(_COUNT, 1, "cycle|cycles|cyc|piece|pieces|pc|pcs|part|parts|stroke|strokes|product|products"
   "|move|moves|index|indexes|indices|cut|cuts|pick|picks|unit|units|bottle|bottles|pack|packs"
   "|carton|cartons|box|boxes")  # fmt: skip
_u(_CYCLES, Fraction(1, 60), "cycles/min|cpm|spm|ppm|bpm")
_u(_CYCLES, Fraction(1, 3600), "cycles/h|cph|pph")
_u(_CYCLES, 1, "Hz|hertz|cps")
_u(_CYCLES, 1000, "kHz|kilohertz")
_u(_CYCLES, 10**6, "MHz|megahertz")

_WATT = TABLE["power"].vector
_u(_WATT, 1, "W|watt|watts")
_u(_WATT, "1e-3", "mW|milliwatt|milliwatts")
_u(_WATT, 1000, "kW|kilowatt|kilowatts")
_u(_WATT, 10**6, "MW|megawatt|megawatts")
_i(_WATT, 550 * FOOT * _LBF, "hp|horsepower|bhp")
_u(_WATT, 75 * GRAVITY, "PS|cv|hp_metric")
_i(_WATT, _BTU / 3600, "BTU/h|Btuh|BTUH")

_JOULE = TABLE["energy"].vector
_u(_JOULE, 1, "J|joule|joules")
_u(_JOULE, "1e-3", "mJ|millijoule|millijoules")
_u(_JOULE, 1000, "kJ|kilojoule|kilojoules")
_u(_JOULE, 10**6, "MJ|megajoule|megajoules")
_u(_JOULE, 3600, "Wh")
_u(_JOULE, 3600000, "kWh")
_u(_JOULE, "4.184", "cal")
_u(_JOULE, 4184, "kcal")
_i(_JOULE, _BTU, "BTU|Btu|btu")

_PASCAL = TABLE["pressure"].vector
_u(_PASCAL, 1, "Pa|pascal|pascals")
_u(_PASCAL, 100, "hPa|mbar|millibar")
_u(_PASCAL, 1000, "kPa|kilopascal")
_u(_PASCAL, 10**6, "MPa|megapascal")
_u(_PASCAL, 10**9, "GPa|gigapascal")
_u(_PASCAL, 10**5, "bar|bars")
_u(_PASCAL, 101325, "atm")
_i(_PASCAL, _LBF / INCH**2, "psi")
_i(_PASCAL, 1000 * _LBF / INCH**2, "ksi")

_VOLT = TABLE["voltage"].vector
_AMPERE = TABLE["current"].vector
_u(_VOLT, 1, "V|volt|volts|VAC|VDC|Vrms|Veff")
_u(_VOLT, "1e-3", "mV|millivolt|millivolts")
_u(_VOLT, 1000, "kV|kilovolt|kilovolts")
_u(_AMPERE, 1, "A|amp|amps|ampere|amperes|Arms|Aeff|AAC|ADC")
_u(_AMPERE, "1e-3", "mA|milliamp|milliamps|milliampere|milliamperes")
_u(_AMPERE, 1000, "kA")
_u(TABLE["resistance"].vector, 1, "ohm|ohms|Ω")
_u(TABLE["resistance"].vector, "1e-3", "mohm|mohms|mΩ|milliohm|milliohms")
_u(TABLE["resistance"].vector, 1000, "kohm|kohms|kΩ")
_u(TABLE["capacitance"].vector, 1, "F|farad|farads")
_u(TABLE["capacitance"].vector, "1e-3", "mF|millifarad")
_u(TABLE["capacitance"].vector, "1e-6", "uF|microfarad|microfarads")
_u(TABLE["capacitance"].vector, "1e-9", "nF|nanofarad")
_u(TABLE["capacitance"].vector, "1e-12", "pF|picofarad")
_u(TABLE["inductance"].vector, 1, "H|henry|henries|henrys")
_u(TABLE["inductance"].vector, "1e-3", "mH|millihenry")
_u(TABLE["inductance"].vector, "1e-6", "uH|microhenry")

_u(_KELVIN, 1, "K|kelvin|kelvins")
_u(_KELVIN, 1, "degC|°C|C|celsius|centigrade")
_i(_KELVIN, Fraction(5, 9), "degF|°F|F|fahrenheit")

_u(TABLE["volume"].vector, "1e-3", "l|L|litre|litres|liter|liters")
_u(TABLE["volume"].vector, "1e-6", "ml|mL|cc|ccm|millilitre|milliliter")
_u(ONE, "0.01", "%|percent|pct")
_u(ONE, "1e-3", "‰|permille")
_u(ONE, "1e-6", "ppm")

_FORCES_OF = {"N": ("m", "cm", "mm"), "kN": ("m",), "mN": ("m",), "cN": ("m",), "daN": ("m",),
              "uN": ("m",), "MN": ("m",),
              "kgf": ("m", "cm", "mm"), "kp": ("m", "cm"), "gf": ("m", "cm", "mm"),
              "kg": ("m", "cm", "mm"), "g": ("cm", "mm"),
              "lbf": ("in", "ft"), "lb": ("in", "ft"), "lbs": ("in", "ft"),
              "ozf": ("in", "ft"), "oz": ("in", "ft")}  # fmt: skip


def _run_together() -> dict[str, tuple[str, ...]]:
    """Products written without a mark: ``Nm``, ``kgcm``, ``ozin``, ``ftlb``, ``Nms``."""
    table: dict[str, tuple[str, ...]] = {}
    for force, lengths in _FORCES_OF.items():
        for length in lengths:
            table[force + length] = (force, length)
            table[force + length + "s"] = (force, length, "s")
            if length in ("in", "ft"):
                table[length + force] = (length, force)
    table["Vs"] = ("V", "s")
    table["Ws"] = ("W", "s")
    table["As"] = ("A", "s")
    return table


RUN_TOGETHER = _run_together()
"""Closed list of products that are read without a mark between their units."""


def _index(fold: bool) -> dict[str, tuple[Unit, ...]]:
    found: dict[str, list[Unit]] = {}
    for unit in UNITS:
        for spelling in dict.fromkeys(s.casefold() if fold else s for s in unit.spellings):
            found.setdefault(spelling, []).append(unit)
    return {spelling: tuple(units) for spelling, units in found.items()}


EXACT = _index(fold=False)
"""Units by spelling as written."""
FOLDED = _index(fold=True)
"""Units by spelling without regard to capitals."""
FOLDED_TOGETHER = {
    name.casefold(): tuple(part.casefold() for part in parts)
    for name, parts in RUN_TOGETHER.items()
}
