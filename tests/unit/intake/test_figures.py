"""Each convention by hand, units against published factors.

Factors of NIST SP 811 (2008), Appendix B.8, as printed there (seven digits): pound-force inch to
newton metre 1.129848 E-01, pound foot squared to kilogram metre squared 4.214011 E-02, ounce-force
inch to newton metre 7.061552 E-03, kilogram-force metre to newton metre 9.80665, pound inch squared
to kilogram metre squared 2.926397 E-04, horsepower (550 ft lbf/s) to watt 7.456999 E+02.
Conventions of windings: sine and star-delta relations of any electrical machines textbook; the
numbers below are worked by hand from sqrt 2 = 1.414213562, sqrt 3 = 1.732050808.
"""

from __future__ import annotations

import pytest

from dutyline.core.faults import ValueFault
from dutyline.intake.conventions import scale
from dutyline.intake.fields import column_for
from dutyline.intake.figures import Manner
from dutyline.intake.mapping import Target
from dutyline.intake.numerals import Numerals
from dutyline.physics.plates import current_rms, torque_constant_rms, voltage_constant_rms

POINT, COMMA = Numerals("."), Numerals(",", ".")


def text(kind: str, field: str, typed: str, unit: str = "", numerals: Numerals = POINT,
         plain: bool = False, **answers: str) -> str:  # fmt: skip
    column = column_for(kind, field)
    assert column is not None
    part = answers.pop("part", "")
    target = Target(field, column, (), part=part)
    return Manner(target, column, numerals, unit, answers).read(typed, plain).text


@pytest.mark.parametrize(
    ("field", "typed", "unit", "hand"),
    [
        ("torque_rated", "10", "lbf.in", 1.129848),
        ("torque_rated", "100", "oz-in", 0.7061552),
        ("torque_rated", "2", "kgf.m", 19.6133),
        ("power_rated", "1", "hp", 745.6999),
        ("radial_load", "10", "lbf", 44.48222),
        ("mass", "10", "lb", 4.535924),
        ("flange", "3.5", "in", 88.9),
        ("speed_max", "100", "rad/s", 954.9297),
    ],
)
def test_units_of_sp_811(field: str, typed: str, unit: str, hand: float):
    assert float(text("motors", field, typed, unit)) == pytest.approx(hand, rel=5e-7)


@pytest.mark.parametrize(
    ("unit", "hand"),
    [
        ("lb-ft^2", 421.4011),  # 4.214011 E-02 kg m2 = 421.4011 kg cm2
        ("lb-in^2", 2.926397),
        ("lbf-in-s^2", 1129.848),
        ("oz-in-s^2", 70.61552),
        ("10^-4 kg m2", 1.0),
        ("kg m2", 1e4),
    ],
)
def test_inertia(unit: str, hand: float):
    assert float(text("motors", "inertia", "1", unit, inertia="J")) == pytest.approx(hand, rel=5e-7)


def test_gd2_is_four_times_the_inertia():
    assert text("motors", "inertia", "4", "kg*cm^2", inertia="GD2") == "1"
    # GD2 of 1 kgf m2: J = 1/4 kg m2 = 2500 kg cm2 (weight over g is the mass)
    assert text("motors", "inertia", "1", "kgf*m^2", inertia="GD2") == "2500"


@pytest.mark.parametrize("unit", ["oz-in", "lb-in", "kgf m2"])
def test_two_readings_are_told_and_neither_taken(unit: str):
    with pytest.raises(ValueFault, match=r"may be .* or"):
        text("motors", "inertia", "1", unit, inertia="J")


@pytest.mark.parametrize(
    ("field", "unit", "answers", "typed", "hand"),
    [
        ("torque_constant", "N*m/A", {"ampere": "peak", "current": "line"}, "1", 1.414213562),
        ("torque_constant", "N*m/A", {"ampere": "rms", "current": "delta-phase"}, "1",
         0.577350269),
        ("torque_constant", "N*m/A", {"ampere": "rms", "current": "star-phase"}, "1", 1.0),
        ("current_peak", "A", {"ampere": "peak", "current": "line"}, "10", 7.071067812),
        ("current_peak", "A", {"ampere": "rms", "current": "delta-phase"}, "10", 17.32050808),
        ("voltage_constant", "V/krpm", {"voltage": "peak", "across": "line-line"}, "100",
         70.71067812),
        ("voltage_constant", "V/krpm", {"voltage": "rms", "across": "star-phase"}, "100",
         173.2050808),
        ("voltage_constant", "V*s/rad", {"voltage": "rms", "across": "delta-phase"}, "1",
         104.7197551),
        ("voltage_constant", "V*s/rad", {"voltage": "peak", "across": "star-phase"}, "1",
         128.2549830),  # 104.7197551 * 1.732050808 / 1.414213562
        ("resistance", "ohm", {"across": "star-phase", "at": "20 degC"}, "1.5", 3.0),
        ("resistance", "ohm", {"across": "delta-phase", "at": "20 degC"}, "1.5", 1.0),
        ("resistance", "ohm", {"across": "line-line", "at": "25 degC"}, "1", 0.980728682),
        ("inductance", "mH", {"across": "star-phase"}, "4", 8.0),
        ("inductance", "H", {"across": "delta-phase"}, "0.003", 2.0),
    ],
)  # fmt: skip
def test_windings(field: str, unit: str, answers: dict[str, str], typed: str, hand: float):
    assert float(text("motors", field, typed, unit, **answers)) == pytest.approx(hand, rel=2e-9)


def test_the_same_relations_as_for_plates():
    """The forms of a plate are converted by ``physics.plates``; both say the same."""
    assert scale("current_rated", "ampere", "peak").number() == pytest.approx(
        float(current_rms(1.0, "peak")), rel=1e-15
    )
    assert scale("torque_constant", "ampere", "peak").number() == pytest.approx(
        float(torque_constant_rms(1.0, "peak")), rel=1e-15
    )
    both = scale("voltage_constant", "voltage", "peak") * scale(
        "voltage_constant", "across", "star-phase"
    )
    assert both.number() == pytest.approx(float(voltage_constant_rms(1.0, "phase peak")), rel=1e-15)


def test_counts():
    assert text("motors", "pole_pairs", "8", count="poles") == "4"
    assert text("motors", "encoder_bits", "1048576", count="counts") == "20"
    assert text("motors", "encoder_bits", "2048", count="lines") == "13"
    with pytest.raises(ValueFault, match="even number"):
        text("motors", "pole_pairs", "7", count="poles")
    with pytest.raises(ValueFault, match="no power of two"):
        text("motors", "encoder_bits", "2500", count="lines")


@pytest.mark.parametrize(
    ("typed", "answers", "hand"),
    [
        ("91:9", {}, "91/9"),
        ("91/9", {}, "91/9"),
        ("10:1", {}, "10"),
        ("i = 12,25", {}, "12.25"),
        ("1:10", {"order": "output:motor"}, "10"),
        ("9:91", {"order": "output:motor"}, "91/9"),
        ("1:10", {"order": "motor:output"}, "0.1"),
        ("0,1", {"order": "output:motor"}, "10"),
        ("0,1", {"order": "motor:output"}, "0.1"),
        ("10", {"order": "output:motor"}, "10"),
    ],
)
def test_ratios(typed: str, answers: dict[str, str], hand: str):
    assert text("gearheads", "ratio", typed, numerals=COMMA, **answers) == hand


@pytest.mark.parametrize("typed", ["1:10", "1/10", "0.1"])
def test_a_ratio_below_one_is_asked_about(typed: str):
    with pytest.raises(ValueFault, match="which speed stands first"):
        text("gearheads", "ratio", typed)


def test_loss_per_ampere_of_a_crest_is_more_per_ampere_rms():
    # 4 W at a crest of 1 A are 4 W at 0.70711 A rms
    found = float(text("drives", "loss_per_ampere", "4", "W/A", ampere="peak"))
    assert found == pytest.approx(5.6568542, rel=1e-7)
    assert text("drives", "loss_per_ampere", "4", "W/A", ampere="rms") == "4"


def test_backlash_shares_and_temperatures():
    assert text("gearheads", "backlash", "±3", "arcmin", play="plus-minus") == "6"
    assert text("gearheads", "backlash", "0.1", "deg", play="total") == "6"
    assert text("gearheads", "efficiency", "97", "%") == "0.97"
    assert text("drives", "mains_tolerance", "±10", "%") == "10"
    assert text("motors", "winding_limit", "100", "K", temperature="rise", over="40 degC") == "140"
    assert text("motors", "winding_limit", "311", "degF", temperature="limit") == "155"
    # 180 K of Fahrenheit degrees are 100 K
    assert (
        text("motors", "winding_limit", "180", "degF", temperature="rise", over="40 degC") == "140"
    )


def test_compound_units():
    assert text("gearheads", "stiffness", "10", "lbf.in/arcmin") == "1.129848290276167"
    # 1 N m/rad is pi/10800 N m/arcmin
    stiffness = float(text("gearheads", "stiffness", "3437.746770784939", "N*m/rad"))
    assert stiffness == pytest.approx(1.0, rel=1e-15)
    assert text("drives", "derate_per_kelvin", "1.5", "%/degF") == "2.7"
    assert text("drives", "derate_per_metre", "1", "%/100 m") == "1"
    assert text("motors", "rth_winding_housing", "1.5", "°C/W") == "1.5"


def test_digits_stay_as_typed_where_nothing_is_converted():
    assert text("motors", "torque_rated", "1,50", "N*m", COMMA) == "1.50"
    assert text("motors", "power_rated", "1.250", "W", COMMA) == "1250"
    assert text("motors", "torque_rated", "0.1", "N*m", COMMA, plain=True) == "0.1"


def test_ranges_fractions_and_units_in_cells():
    assert text("drives", "mains_min", "200-230", "V", part="lower") == "200"
    assert text("drives", "mains_max", "200 … 230 V", "cell", part="upper") == "230"
    assert text("drives", "mains_min", "200 … 230 V", "cell", part="lower") == "200"
    assert text("motors", "shaft", "3/8", "in") == "9.525"
    assert text("motors", "shaft", "1 1/2 in", "cell") == "38.1"


def test_lists():
    assert text("gearheads", "input_flanges", "1;1.5", "in") == "25.4;38.1"
    assert text("drives", "phases", "1;3") == "1;3"
    assert text("drives", "overload_curve", "1,5:60;2:3", "s", COMMA) == "1.5:60;2:3"


@pytest.mark.parametrize(
    ("typed", "numerals"),
    [("1.5", Numerals()), ("1,500", Numerals()), ("1,5", POINT), ("1.50", COMMA), ("1.5000", COMMA),
     ("--", POINT), ("12 kg", POINT), ("1e999", POINT), ("٣", POINT), ("1_0", POINT)],
)  # fmt: skip
def test_marks_that_are_not_stated_are_refused(typed: str, numerals: Numerals):
    with pytest.raises(ValueFault):
        numerals.read(typed)
