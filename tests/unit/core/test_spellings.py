"""Every spelling engineers send, against factors put together here from exact definitions.

The definitions (1 lb = 0.45359237 kg, 1 in = 0.0254 m, g_n = 9.80665 m/s^2, 1 hp = 550 ft*lbf/s,
1 metric hp = 75 kgf*m/s) are those of NIST SP 811 (2008), Appendix B; from memory.
"""

from __future__ import annotations

from math import pi

import pytest

from dutyline.core.units import DIMENSIONS, read_value

LB = 0.45359237
IN = 0.0254
FT = 0.3048
OZ = LB / 16
G = 9.80665
LBF = LB * G
OZF = OZ * G

SPELLINGS = [
    ("3 in", "length", 3 * IN),
    ('1/2"', "length", IN / 2),
    ("½ in", "length", IN / 2),
    ("1 1/2 in", "length", 1.5 * IN),
    ("1-1/2 in", "length", 1.5 * IN),
    ("1½ in", "length", 1.5 * IN),
    ("24 in", "length", 24 * IN),
    ("5 ft 6 in", "length", 66 * IN),
    ("5' 6\"", "length", 66 * IN),
    ("5'-6\"", "length", 66 * IN),
    ("-5' 6\"", "length", -66 * IN),
    ("2.5 mil", "length", 0.0025 * IN),
    ("12 µm", "length", 12e-6),
    ("12 \u03bcm", "length", 12e-6),
    ("300 MM", "length", 0.3),
    ("0,125 m", "length", 0.125),
    ("0,5 s", "time", 0.5),
    ("50 ms", "time", 0.05),
    ("1 h 20 min", "time", 4800.0),
    ("20000 h", "time", 7.2e7),
    ("60 m/min", "speed", 1.0),
    ("100 fpm", "speed", 100 * FT / 60),
    ("100 ft/min", "speed", 100 * FT / 60),
    ("12 ips", "speed", 12 * IN),
    ("36 km/h", "speed", 10.0),
    ("30 mm per second", "speed", 0.03),
    ("45 /min", "rate", 0.75),
    ("45 1/min", "rate", 0.75),
    ("45 cpm", "rate", 0.75),
    ("60 cycles/h", "rate", 1 / 60),
    ("30 per minute", "rate", 0.5),
    ("30 pieces per minute", "rate", 0.5),
    ("2 s/cycle", "rate", 0.5),
    ("33 lb", "mass", 33 * LB),
    ("33 lbs.", "mass", 33 * LB),
    ("33 lbm", "mass", 33 * LB),
    ("8 oz", "mass", LB / 2),
    ("33 lb 8 oz", "mass", 33.5 * LB),
    ("0.25 g", "mass", 0.25e-3),
    ("4.2 t", "mass", 4200.0),
    ("2x35 kg", "mass", 70.0),
    ("2 × 35 kg", "mass", 70.0),
    ("12 kg + 15.5 lb", "mass", 12 + 15.5 * LB),
    ("40 kg - 2 kg", "mass", 38.0),
    ("1 250 kg", "mass", 1250.0),
    ("1\u202f250 kg", "mass", 1250.0),
    ("1,250.5 kg", "mass", 1250.5),
    ("1.250,5 kg", "mass", 1250.5),
    ("1,250,000 g", "mass", 1250.0),
    ("33 lb", "force", 33 * LBF),
    ("33 lbf", "force", 33 * LBF),
    ("33 pounds-force", "force", 33 * LBF),
    ("10 oz", "force", 10 * OZF),
    ("1.2 kN", "force", 1200.0),
    ("-1.2 kN", "force", -1200.0),
    ("−1.2 kN", "force", -1200.0),
    ("5 kgf", "force", 5 * G),
    ("5 kp", "force", 5 * G),
    ("5e3 N", "force", 5000.0),
    ("25 lbf.in", "torque", 25 * LBF * IN),
    ("25 in-lb", "torque", 25 * LBF * IN),
    ("25 IN-LB", "torque", 25 * LBF * IN),
    ("25 in.-lb", "torque", 25 * LBF * IN),
    ("25 in.lb", "torque", 25 * LBF * IN),
    ("25 lbf in", "torque", 25 * LBF * IN),
    ("9 ft. lbs.", "torque", 9 * LBF * FT),
    ("40 oz-in", "torque", 40 * OZF * IN),
    ("40 ozf·in", "torque", 40 * OZF * IN),
    ("40 ozin", "torque", 40 * OZF * IN),
    ("2,5 N*m", "torque", 2.5),
    ("1 Nm", "torque", 1.0),
    ("1 N·m", "torque", 1.0),
    ("1 N.m", "torque", 1.0),
    ("1 N-m", "torque", 1.0),
    ("1 N m", "torque", 1.0),
    ("5 Ncm", "torque", 0.05),
    ("5 kgf*cm", "torque", 0.05 * G),
    ("14 oz-in-s2", "inertia", 14 * OZF * IN),
    ("14 oz-in-s²", "inertia", 14 * OZF * IN),
    ("14 oz-in-sec^2", "inertia", 14 * OZF * IN),
    ("14 lb-in2", "inertia", 14 * LB * IN**2),
    ("14 lb*in^2", "inertia", 14 * LB * IN**2),
    ("14 lbm in²", "inertia", 14 * LB * IN**2),
    ("14 lb*in*s^2", "inertia", 14 * LBF * IN),
    ("14 lbf-in-s2", "inertia", 14 * LBF * IN),
    ("14 oz-in2", "inertia", 14 * OZ * IN**2),
    ("3.1 lb-ft2 (WR2)", "inertia", 3.1 * LB * FT**2),
    ("WK2 3.1 lb-ft2", "inertia", 3.1 * LB * FT**2),
    ("WR² = 3.1 lbf ft²", "inertia", 3.1 * LB * FT**2),
    ("GD2 0.32 kgf m2", "inertia", 0.08),
    ("GD² = 0.32 kg·m²", "inertia", 0.08),
    ("0.32 kgf*m^2 (GD2)", "inertia", 0.08),
    ("GD2 320 kgf cm2", "inertia", 0.008),
    ("GD2 9.80665 N m2", "inertia", 0.25),
    ("2.8 kg cm2", "inertia", 2.8e-4),
    ("2.8 kgcm2", "inertia", 2.8e-4),
    ("2.8 kg·cm²", "inertia", 2.8e-4),
    ("2.8 kg.cm2", "inertia", 2.8e-4),
    ("2.4 x 10^-4 kg m2", "inertia", 2.4e-4),
    ("2.4×10⁻⁴ kg·m²", "inertia", 2.4e-4),
    ("0.5 N*m*s^2", "inertia", 0.5),
    ("3 kgf cm s2", "inertia", 0.03 * G),
    ("1 slug ft2", "inertia", LBF * FT),
    ("6 bar", "pressure", 6e5),
    ("90 psi", "pressure", 90 * LBF / IN**2),
    ("0.5 lb/sq in", "pressure", 0.5 * LBF / IN**2),
    ("15 arcmin", "angle", 15 * pi / 10800),
    ("15'", "angle", 15 * pi / 10800),
    ("15 arc-min", "angle", 15 * pi / 10800),
    ("30 deg", "angle", pi / 6),
    ("90°", "angle", pi / 2),
    ("90° 30'", "angle", 90.5 * pi / 180),
    ("1 rev", "angle", 2 * pi),
    ("0.25 g", "acceleration", 0.25 * G),
    ("9.81 m/s2", "acceleration", 9.81),
    ("9.81 m/s/s", "acceleration", 9.81),
    ("9.81 m s-2", "acceleration", 9.81),
    ("10 in/s^2", "acceleration", 10 * IN),
    ("2 g/s", "jerk", 2 * G),
    ("3000 rpm", "angular-speed", 100 * pi),
    ("3000 1/min", "angular-speed", 100 * pi),
    ("3000 /min", "angular-speed", 100 * pi),
    ("3000 min-1", "angular-speed", 100 * pi),
    ("3000 min⁻¹", "angular-speed", 100 * pi),
    ("3000 r/min", "angular-speed", 100 * pi),
    ("3 krpm", "angular-speed", 100 * pi),
    ("90 deg/s", "angular-speed", pi / 2),
    ("50 rev/s", "angular-speed", 100 * pi),
    ("3000 rpm/s", "angular-acceleration", 100 * pi),
    ("10 mm/rev", "lead", 0.01),
    ("10 mm", "lead", 0.01),
    ("0.2 in/rev", "lead", 0.2 * IN),
    ("5 rev/in", "lead", 0.2 * IN),
    ("60 N/um", "stiffness", 6e7),
    ("60 N/µm", "stiffness", 6e7),
    ("100 lb/in", "stiffness", 100 * LBF / IN),
    ("6000 N*m/rad", "torsional-stiffness", 6000.0),
    ("2 Nm/arcmin", "torsional-stiffness", 2 * 10800 / pi),
    ("2 lbf*in/deg", "torsional-stiffness", 2 * LBF * IN * 180 / pi),
    ("8 N/(mm/s)", "viscous", 8000.0),
    ("8 N*s/mm", "viscous", 8000.0),
    ("10 N*m*s/rad", "rotary-viscous", 10.0),
    ("10 N m s", "rotary-viscous", 10.0),
    ("10 N*m/krpm", "rotary-viscous", 10 * 60 / (2000 * pi)),
    ("10 N*m/(r/min)", "rotary-viscous", 10 * 60 / (2 * pi)),
    ("2 N*m/(r/min)^2", "torque-per-speed2", 2 * (60 / (2 * pi)) ** 2),
    ("15.5 lb/in", "mass-per-length", 15.5 * LB / IN),
    ("120 g/m", "mass-per-length", 0.12),
    ("7850 kg/m3", "density", 7850.0),
    ("7.85 g/cm³", "density", 7850.0),
    ("0.284 lb/in3", "density", 0.284 * LB / IN**3),
    ("60 t/h", "mass-flow", 60e3 / 3600),
    ("230 V", "voltage", 230.0),
    ("230 VAC", "voltage", 230.0),
    ("24 V DC", "voltage", 24.0),
    ("4.2 A rms", "current", 4.2),
    ("680 microfarad", "capacitance", 680e-6),
    ("470 µF", "capacitance", 470e-6),
    ("24 Ω", "resistance", 24.0),
    ("24 ohms", "resistance", 24.0),
    ("3 hp", "power", 3 * 550 * FT * LBF),
    ("3 metric hp", "power", 3 * 75 * G),
    ("750 W", "power", 750.0),
    ("2 kWh", "energy", 7.2e6),
    ("5 ft-lb", "energy", 5 * FT * LBF),
    ("35 degC", "temperature", 35.0),
    ("35 °C", "temperature", 35.0),
    ("35 C", "temperature", 35.0),
    ("-25 °F", "temperature", -285 / 9),
    ("-25 degrees Fahrenheit", "temperature", -285 / 9),
    ("300 K", "temperature", 26.85),
    ("9 degF", "temperature-difference", 5.0),
    ("11.5e-6 /K", "expansion", 11.5e-6),
    ("11.5 um/m/K", "expansion", 11.5e-6),
    ("11.5 µm/(m·K)", "expansion", 11.5e-6),
    ("11.5 ppm/K", "expansion", 11.5e-6),
    ("2 W/K", "conductance", 2.0),
    ("70000 mm*r/min", "diameter-speed", 70 * 2 * pi / 60),
    ("30 Hz", "bandwidth", 30.0),
    ("200 rad/s", "bandwidth", 100 / pi),
    ("30 1/s", "gain", 30.0),
    ("1 m/min/mm", "gain", 1000 / 60),
    ("42 V/krpm", "voltage-constant", 42 * 60 / (2000 * pi)),
    ("42 V/1000 rpm", "voltage-constant", 42 * 60 / (2000 * pi)),
    ("0.5 Nm/A", "torque-constant", 0.5),
    ("3 N/mm2*m/min", "pressure-speed", 3e6 / 60),
    ("0.1", "number", 0.1),
    ("0,1", "number", 0.1),
    ("10 %", "number", 0.1),
    ("-10%", "number", -0.1),
    ("24/7", "number", 24 / 7),
]


@pytest.mark.parametrize("typed, dimension, si", SPELLINGS, ids=[s[0] for s in SPELLINGS])
def test_a_spelling_means_what_the_trade_means(typed: str, dimension: str, si: float) -> None:
    value = read_value(typed, dimension)
    assert value.si == pytest.approx(si, rel=1e-14)
    assert value.unit == DIMENSIONS[dimension]
    assert value.typed == typed
    assert value.status == "given"


def test_every_dimension_reads_its_own_si_unit() -> None:
    for name, unit in DIMENSIONS.items():
        assert read_value(f"2.5 {unit}" if unit != "1" else "2.5", name).si == 2.5


@pytest.mark.parametrize(
    "typed, dimension, inch",
    [("3 in", "length", True), ("3 mm", "length", False), ("3 lb", "force", True),
     ("100 rpm", "angular-speed", False), ("40 °F", "temperature", True),
     ("0.25 g", "acceleration", False), ("12 kg + 15.5 lb", "mass", True)],
)  # fmt: skip
def test_inch_pound_units_are_remembered(typed: str, dimension: str, inch: bool) -> None:
    assert read_value(typed, dimension).inch is inch


@pytest.mark.parametrize(
    "one, other, dimension",
    [("300 mm", "0.3 m", "length"), ("2.8 kg*cm^2", "2.8e-4 kg*m^2", "inertia"),
     ("60 N/um", "6e7 N/m", "stiffness"), ("0.6 s", "600 ms", "time"),
     ("10 %", "0.1", "number"), ("12,5 mm", "0.0125 m", "length")],
)  # fmt: skip
def test_twins_end_in_the_same_bits(one: str, other: str, dimension: str) -> None:
    assert read_value(one, dimension).si == read_value(other, dimension).si
