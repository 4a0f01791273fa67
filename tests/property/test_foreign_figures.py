"""Any figure in any of these units and conventions ends as the double next to its true size.

The true size is worked with fifty digits in ``support.second_forms``, apart from the program. Sizes
of units: NIST SP 811 (2008), Appendix B, from pound, inch and standard gravity; conventions from
the circuit: two phases of a star in series between terminals, one side of a delta beside two,
crest of a sine sqrt 2 times its rms value, three-phase lines sqrt 3 times the sides of a delta.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.catalogue.origins import KINDS
from dutyline.grids.records import Grid
from dutyline.intake.read_mapping import read_mapping
from dutyline.intake.tables import read_table
from support.second_forms import COPPER, FOOT, GRAVITY, INCH, LBF, LBF_IN, POUND, Told

pytestmark = pytest.mark.property

F = Fraction
OUNCE = POUND / 16
RPM_OF_RAD = {"factor": F(30), "power": -1}
KE = {"factor": F(100, 3), "power": 1}
"""V s/rad as V per 1000 r/min: 1000 * 2 pi / 60."""

LENGTHS = {"mm": F(1), "cm": F(10), "m": F(1000), "in": INCH * 1000, "inch": INCH * 1000,
           "ft": FOOT * 1000}  # fmt: skip
TORQUES = {"Nm": F(1), "N·m": F(1), "mNm": F(1, 1000), "Ncm": F(1, 100), "kgf·cm": GRAVITY / 100,
           "kgf m": GRAVITY, "lbf·in": LBF_IN, "lb-in": LBF_IN, "lbf·ft": LBF * FOOT,
           "ft-lb": LBF * FOOT, "ozf·in": LBF_IN / 16, "oz-in": LBF_IN / 16}  # fmt: skip
INERTIAS = {"kg·m²": F(10**4), "kg·cm²": F(1), "kgcm2": F(1), "g·cm²": F(1, 1000),
            "10^-4 kg m²": F(1), "lb·in²": POUND * INCH**2 * 10**4,
            "lb·ft²": POUND * FOOT**2 * 10**4, "oz·in²": OUNCE * INCH**2 * 10**4,
            "oz·in·s²": LBF_IN / 16 * 10**4, "lb·in·s²": LBF_IN * 10**4}  # fmt: skip
FLYWHEELS = {"kgf·m²": F(10**4, 4), "kg·m²": F(10**4, 4), "N·m²": 10**4 / GRAVITY / 4,
             "kgf·cm²": F(1, 4), "lb·ft²": POUND * FOOT**2 * 2500}  # fmt: skip
MASSES = {"kg": F(1), "g": F(1, 1000), "lb": POUND, "oz": OUNCE}
POWERS = {"W": F(1), "kW": F(1000), "hp": 550 * FOOT * LBF, "PS": 75 * GRAVITY}
FORCES = {"N": F(1), "kN": F(1000), "daN": F(10), "lbf": LBF, "kgf": GRAVITY}
ENERGIES = {"J": F(1), "kJ": F(1000), "Wh": F(3600), "ft·lbf": FOOT * LBF}

Case = tuple[str, str, Told, dict[str, str]]
"""Kind, field, unit with its size, and answers."""


def _plain(kind: str, field: str, sizes: dict[str, Fraction], **answers: str) -> list[Case]:
    return [(kind, field, Told("", "", unit, size), answers) for unit, size in sizes.items()]


def _one(kind: str, field: str, unit: str, **given: object) -> Case:
    size = {key: given.pop(key) for key in ("factor", "root", "power", "offset") if key in given}
    return kind, field, Told("", "", unit, **size), {k: str(v) for k, v in given.items()}  # type: ignore[arg-type]


_LINE = {"current": "line"}
CASES: list[Case] = [
    *_plain("motors", "flange", LENGTHS),
    *_plain("motors", "torque_peak", TORQUES),
    *_plain("motors", "inertia", INERTIAS, inertia="J"),
    *_plain("motors", "inertia_with_brake", FLYWHEELS, inertia="GD2"),
    *_plain("motors", "mass", MASSES),
    *_plain("motors", "power_rated", POWERS),
    *_plain("motors", "radial_load", FORCES),
    *_plain("brakes", "work_total", ENERGIES),
    *_plain("motors", "speed_max", {"1/min": F(1), "min⁻¹": F(1), "rpm": F(1), "r/s": F(60)}),
    _one("motors", "speed_max", "rad/s", **RPM_OF_RAD),
    *_plain("motors", "tau_housing", {"s": F(1, 60), "min": F(1), "h": F(60)}),
    *_plain("motors", "cth_housing", {"J/K": F(1), "kJ/K": F(1000), "Wh/K": F(3600)}),
    *_plain("motors", "rth_housing_ambient", {"K/W": F(1), "°C/W": F(1)}),
    *_plain("motors", "torque_constant", {"Nm/A": F(1), "lbf·in/A": LBF_IN}, ampere="rms", **_LINE),
    _one("motors", "torque_constant", "oz-in/A", factor=LBF_IN / 16, root=F(2), ampere="peak",
         current="line"),
    _one("motors", "torque_constant", "Nm/A", root=F(1, 3), ampere="rms", current="delta-phase"),
    _one("motors", "torque_constant", "Nm/A", root=F(2, 3), ampere="peak", current="delta-phase"),
    *_plain("motors", "voltage_constant", {"V/krpm": F(1), "V/1000 rpm": F(1), "mV/rpm": F(1)},
            voltage="rms", across="line-line"),
    _one("motors", "voltage_constant", "V·s/rad", **KE, voltage="rms", across="line-line"),
    _one("motors", "voltage_constant", "V/(rad/s)", **KE, root=F(3, 2), voltage="peak",
         across="star-phase"),
    _one("motors", "voltage_constant", "V/krpm", root=F(3), voltage="rms", across="star-phase"),
    _one("motors", "voltage_constant", "V/krpm", root=F(1, 2), voltage="peak",
         across="delta-phase"),
    *_plain("motors", "resistance", {"ohm": F(1), "mΩ": F(1, 1000)}, across="line-line",
            at="20 degC"),
    *_plain("motors", "resistance", {"Ω": 2 / (1 + 80 * COPPER)}, across="star-phase",
            at="100 degC"),
    *_plain("motors", "resistance", {"Ω": F(2, 3)}, across="delta-phase", at="20 degC"),
    *_plain("motors", "inductance", {"H": F(2000), "mH": F(2), "uH": F(2, 1000)},
            across="star-phase"),
    _one("motors", "current_peak", "A", root=F(1, 2), ampere="peak", current="star-phase"),
    _one("motors", "current_peak", "A", root=F(3), ampere="rms", current="delta-phase"),
    _one("drives", "current_peak", "mA", factor=F(1, 1000), root=F(1, 2), ampere="peak"),
    _one("motors", "winding_limit", "°F", factor=F(5, 9), offset=32, temperature="limit"),
    _one("motors", "winding_limit", "K", offset=-40, temperature="rise", over="40 degC"),
    *_plain("gearheads", "efficiency", {"%": F(1, 100), "1": F(1)}),
    *_plain("gearheads", "backlash", {"arcmin": F(1), "°": F(60), "arcsec": F(1, 60)},
            play="total"),
    _one("gearheads", "backlash", "mrad", factor=F(108, 10), power=-1, play="total"),
    *_plain("gearheads", "backlash", {"arcmin": F(2)}, play="plus-minus"),
    *_plain("gearheads", "stiffness", {"Nm/arcmin": F(1), "lbf·in/arcmin": LBF_IN,
                                       "Nm/°": F(1, 60)}),
    _one("gearheads", "stiffness", "Nm/rad", factor=F(1, 10800), power=1),
    *_plain("drives", "bus_capacitance", {"µF": F(1), "mF": F(1000)}),
    *_plain("drives", "velocity_loop", {"kHz": F(1), "Hz": F(1, 1000)}),
    *_plain("drives", "derate_per_kelvin", {"%/K": F(1), "%/°C": F(1)}),
    *_plain("drives", "derate_per_metre", {"%/100 m": F(1), "%/1000 m": F(1, 10),
                                          "%/km": F(1, 10)}),
    *_plain("drives", "mains_tolerance", {"%": F(1)}),
    *_plain("brakes", "engage_time", {"ms": F(1), "s": F(1000)}, coil="off"),
]  # fmt: skip

MARKS = ((".", ""), (",", ""), (",", "."), (".", ","), (",", " "), (".", "'"))


def written(number: Decimal, decimal: str, thousands: str) -> str:
    """A number as a table writes it."""
    text = f"{number:,f}" if thousands else f"{number:f}"
    return text.translate(str.maketrans({",": thousands, ".": decimal}))


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c[1]}, {c[2].unit}")
@settings(max_examples=12)
@given(
    number=st.decimals("0.0001", "99999", places=4, allow_nan=False),
    marks=st.sampled_from(MARKS),
)
def test_a_figure_ends_as_the_double_next_to_its_size(case, number, marks):
    kind, field, told, answers = case
    decimal, thousands = marks
    said = "".join(f', {key} = "{answer}"' for key, answer in answers.items())
    stated = f'thousands = "{thousands}"\n' if thousands else ""
    mapping = read_mapping(
        "any.toml",
        f'schema = 1\n[[table]]\ninto = "{kind}"\nfile = "any.csv"\ndecimal = "{decimal}"\n{stated}'
        f'[table.columns]\n"x" = {{ field = "{field}", unit = "{told.unit}"{said} }}\n',
    )
    text = written(number, decimal, thousands)
    found = read_table(Grid("any.csv", "", [["x"], [text]]), mapping.tables[0], mapping)
    assert found.faults == []
    lane = found.table.lanes[field]
    (cell,) = lane.texts
    assert float(cell) == float(told.si(f"{number:f}"))
    assert lane.trace(0).raw == text


def test_every_kind_of_figure_is_among_the_cases():
    """Each unit of our columns in which a foreign one can stand."""
    tried = {next(c.unit for c in KINDS[k].columns if c.field == f) for k, f, _, _ in CASES}
    ours = {c.unit for form in KINDS.values() for c in form.columns if c.kind == "number"}
    # volts, watts per ampere and bare numbers have one unit each; the others differ by a power of
    # ten, or are minutes and degrees told otherwise
    assert ours - tried == {"V", "W/A", "A", "m", "s", "deg", "h"}
