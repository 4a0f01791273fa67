"""How the second invented line is told in its other shape: heading, unit and size of every column.

``number of the SI line = foreign number * factor * sqrt(root) * pi**power``, worked here with
fractions and fifty digits, apart from the program. Sizes of units: NIST SP 811 (2008), Appendix B,
from the definitions of the pound, the inch and standard gravity.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Context, Decimal, localcontext
from fractions import Fraction
from typing import Any

POUND = Fraction("0.45359237")
INCH = Fraction("0.0254")
GRAVITY = Fraction("9.80665")
FOOT = 12 * INCH
LBF = POUND * GRAVITY
LBF_IN = LBF * INCH
COPPER = Fraction("0.00393")
"""Of the resistance of copper at 20 degC, per kelvin (IEC 60028, from memory)."""
FINE = 50
PI = Decimal("3.14159265358979323846264338327950288419716939937510582097494")


@dataclass(frozen=True)
class Told:
    """One column in its other shape."""

    column: str
    heading: str
    unit: str = ""
    factor: Fraction = Fraction(1)
    root: Fraction = Fraction(1)
    power: int = 0
    offset: int = 0
    """Taken from the foreign number first: 32 of degrees Fahrenheit."""
    steps: bool = False
    """Steps where the SI line has bits."""
    turned: bool = False
    """A torque told at the input of the gearhead: times ratio and efficiency at the output."""

    def si(self, foreign: str, turn: Fraction = Fraction(1)) -> str:
        """Cell of the SI line for a foreign number with a decimal point."""
        if self.steps:
            return str(int(foreign).bit_length() - 1)
        with localcontext(Context(prec=FINE)):
            number = Decimal(foreign) - self.offset
        return shortest(self._times(number, turn))

    def foreign(self, si: str, turn: Fraction = Fraction(1), digits: int = 9) -> str:
        """Foreign number of a cell of the SI line, with a decimal point.

        The shortest that gives the cell back; there is one of at most ``digits`` digits.
        """
        if self.steps:
            return str(2 ** int(si))
        with localcontext(Context(prec=FINE)):
            value = Decimal(si) / self._times(Decimal(1), turn)
            value += self.offset
        for count in range(1, digits + 1):
            with localcontext(Context(prec=count)):
                text = plain(+value)
            if self.si(text, turn) == si:
                return text
        raise AssertionError(f"{self.column}: {si} has no short number in {self.unit}")

    def _times(self, number: Decimal, turn: Fraction) -> Decimal:
        with localcontext(Context(prec=FINE)):
            times = self.factor * (turn if self.turned else 1)
            value = number * times.numerator / times.denominator
            value *= (Decimal(self.root.numerator) / self.root.denominator).sqrt()
            return value * PI**self.power


def shortest(value: Decimal) -> str:
    """The fewest digits that read back to the double next to a number."""
    return plain(Decimal(repr(float(value))))


def plain(value: Decimal) -> str:
    """Without exponent and without zeros that say nothing."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


_SUPPLY = (
    Told("supply_class", "Netzklasse"),
    Told("mains_min_v", "Netz von", "V"),
    Told("mains_max_v", "Netz bis", "V"),
)
_PEAK: dict[str, Any] = {"unit": "A (Spitze)", "root": Fraction(1, 2)}

MOTORS = (
    Told("motor", "Motor"),
    Told("size", "Baugröße"),
    *_SUPPLY,
    Told("flange_mm", "Flanschseite", "in", INCH * 1000),
    Told("pilot_mm", "Zentrierung", "in", INCH * 1000),
    Told("bolt_circle_mm", "Lochkreis", "in", INCH * 1000),
    Told("shaft_mm", "Wellendurchmesser", "in", INCH * 1000),
    Told("power_rated_w", "Nennleistung", "hp", 550 * FOOT * LBF),
    Told("torque_rated_nm", "Nennmoment", "lbf·in", LBF_IN),
    Told("torque_stall_nm", "Stillstandsmoment", "lbf·in", LBF_IN),
    Told("torque_peak_nm", "Spitzenmoment", "lbf·in", LBF_IN),
    Told("speed_rated_rpm", "Nenndrehzahl", "1/min"),
    Told("speed_max_rpm", "Höchstdrehzahl", "1/min"),
    Told("inertia_kgcm2", "Läuferträgheit", "oz·in·s²", LBF_IN / 16 * 10**4),
    Told("inertia_with_brake_kgcm2", "WR² mit Bremse", "lb·in²", POUND * INCH**2 * 10**4),
    Told("mass_kg", "Masse", "lb", POUND),
    Told("mass_with_brake_kg", "Masse mit Bremse", "lb", POUND),
    Told("kt_nm_per_arms", "Drehmomentkonstante", "lbf·in/A (Spitze)", LBF_IN, Fraction(2)),
    Told("ke_vrms_ll_per_krpm", "EMK-Konstante", "V je rad/s",
         Fraction(100, 3), Fraction(3, 2), 1),
    Told("resistance_ll_ohm_20c", "Strangwiderstand bei 25 °C", "Ω", 2 / (1 + 5 * COPPER)),
    Told("inductance_ll_mh", "Stranginduktivität", "mH", Fraction(2)),
    Told("pole_pairs", "Pole", "", Fraction(1, 2)),
    Told("current_rated_arms", "Nennstrom", **_PEAK),
    Told("current_stall_arms", "Stillstandsstrom", **_PEAK),
    Told("current_peak_arms", "Spitzenstrom", **_PEAK),
    Told("saturation_factor_peak", "Sättigung", "%", Fraction(1, 100)),
    Told("iron_loss_rated_w", "Eisenverlust", "W"),
    Told("iron_exponent", "Exponent"),
    Told("rth_winding_housing_k_per_w", "Rth Wicklung-Gehäuse", "K/W"),
    Told("rth_housing_ambient_k_per_w", "Rth Gehäuse-Luft", "K/W"),
    Told("cth_winding_j_per_k", "Cth Wicklung", "Wh/K", Fraction(3600)),
    Told("cth_housing_j_per_k", "Cth Gehäuse", "Wh/K", Fraction(3600)),
    Told("tau_winding_s", "Zeitkonstante Wicklung", "min", Fraction(60)),
    Told("tau_housing_min", "Zeitkonstante Gehäuse", "h", Fraction(60)),
    Told("winding_limit_c", "Erwärmung über 104 °F", "K", offset=-40),
    Told("insulation_class", "Isolierstoffklasse"),
    Told("ambient_max_c", "Umgebung bis", "°F", Fraction(5, 9), offset=32),
    Told("altitude_max_m", "Höhe bis", "ft", FOOT),
    Told("test_plate_side_mm", "Prüfplatte Seite", "in", INCH * 1000),
    Told("test_plate_thick_mm", "Prüfplatte Dicke", "in", INCH * 1000),
    Told("radial_load_n", "Radialkraft", "lbf", LBF),
    Told("axial_load_n", "Axialkraft", "lbf", LBF),
    Told("radial_load_point_mm", "Angriffspunkt", "in", INCH * 1000),
    Told("bearing_offset_mm", "Lagerabstand", "in", INCH * 1000),
    Told("encoder", "Geber"),
    Told("encoder_bits", "Schritte je Umdrehung", steps=True),
    Told("encoder_turn_bits", "Umdrehungen", steps=True),
    Told("protection", "Schutzart"),
    Told("protection_shaft", "Schutzart Welle"),
    Told("oil_seal_continuous_factor", "Faktor Dichtring", "%", Fraction(1, 100)),
    Told("brake_continuous_factor", "Faktor Bremse", "%", Fraction(1, 100)),
    Told("brake", "Bremse"),
    Told("price", "Preis", "EUR"),
)  # fmt: skip

GEARHEADS = (
    Told("gearhead", "Getriebe"),
    Told("style", "Bauform"),
    Told("frame_mm", "Rahmen", "in", INCH * 1000),
    Told("ratio", "Übersetzung"),
    Told("stages", "Stufen"),
    Told("torque_rated_nm", "Nennmoment am Antrieb", "lbf·in", LBF_IN, turned=True),
    Told("torque_accel_nm", "Beschleunigungsmoment am Antrieb", "lbf·in", LBF_IN, turned=True),
    Told("torque_emergency_nm", "Notmoment am Antrieb", "lbf·in", LBF_IN, turned=True),
    Told("emergency_count", "Nothalte"),
    Told("speed_in_mean_rpm", "Antriebsdrehzahl mittel", "1/min"),
    Told("speed_in_max_rpm", "Antriebsdrehzahl höchstens", "1/min"),
    Told("efficiency", "Wirkungsgrad", "%", Fraction(1, 100)),
    Told("backlash_arcmin", "Verdrehspiel ±", "°", Fraction(120)),
    Told("stiffness_nm_per_arcmin", "Verdrehsteifigkeit", "lbf·in/°", LBF_IN / 60),
    Told("inertia_in_kgcm2", "GD² am Antrieb", "kgf·cm²", Fraction(1, 4)),
    Told("no_load_torque_in_nm", "Leerlaufmoment", "ozf·in", LBF_IN / 16),
    Told("radial_n", "Radialkraft", "lbf", LBF),
    Told("axial_n", "Axialkraft", "lbf", LBF),
    Told("tilting_nm", "Kippmoment", "lbf·in", LBF_IN),
    Told("bearing_offset_mm", "Lagerabstand", "in", INCH * 1000),
    Told("life_h", "Lebensdauer", "h"),
    Told("speed_rated_out_rpm", "Nenndrehzahl Abtrieb", "1/min"),
    Told("shaft_in_max_mm", "Motorwelle bis", "in", INCH * 1000),
    Told("mass_kg", "Masse", "lb", POUND),
    Told("input_flanges_mm", "Motorflansche", "in", INCH * 1000),
    Told("rth_k_per_w", "Rth", "K/W"),
    Told("protection", "Schutzart"),
    Told("price", "Preis", "EUR"),
)

DRIVES = (
    Told("drive", "Regler"),
    *_SUPPLY,
    Told("mains_tolerance_pct", "Netztoleranz", "%"),
    Told("phases", "Phasen"),
    Told("current_rated_arms", "Nennstrom", "A"),
    Told("current_peak_arms", "Spitzenstrom", "A"),
    Told("peak_time_s", "Spitzenzeit", "ms", Fraction(1, 1000)),
    Told("bus_capacitance_uf", "Kapazität", "mF", Fraction(1000)),
    Told("chopper_on_v", "Chopper ein", "V"),
    Told("overvoltage_trip_v", "Überspannung", "V"),
    Told("undervoltage_trip_v", "Unterspannung", "V"),
    Told("resistor_min_ohm", "kleinster Widerstand", "Ω"),
    Told("internal_resistor_w", "innerer Widerstand", "W"),
    Told("internal_resistor_pulse_j", "Impuls", "J"),
    Told("loss_fixed_w", "Grundverlust", "W"),
    Told("loss_per_amp_w", "Stromverlust", "W/A"),
    Told("idle_w", "Bereitschaft", "W"),
    Told("pwm_khz", "Taktfrequenz", "kHz"),
    Told("velocity_loop_khz", "Drehzahlregler", "Hz", Fraction(1, 1000)),
    Told("input_current_rated_arms", "Eingangsstrom", "A"),
    Told("inrush_peak_a", "Einschaltstrom", "A"),
    Told("ambient_max_c", "Umgebung bis", "°F", Fraction(5, 9), offset=32),
    Told("derate_pct_per_k", "Abschlag Wärme", "%/K"),
    Told("altitude_max_m", "Höhe bis", "ft", FOOT),
    Told("derate_pct_per_100m", "Abschlag Höhe", "%/100 m"),
    Told("mass_kg", "Masse", "lb", POUND),
    Told("overload_curve", "Überlast"),
    Told("price", "Preis", "EUR"),
)

BRAKES = (
    Told("brake", "Bremse"),
    Told("torque_static_nm", "Haltemoment", "lbf·in", LBF_IN),
    Told("inertia_kgcm2", "Trägheit", "oz·in·s²", LBF_IN / 16 * 10**4),
    Told("release_ms", "Lüftzeit", "s", Fraction(1000)),
    Told("engage_ms", "Einfallzeit", "s", Fraction(1000)),
    Told("coil_v", "Spule", "V"),
    Told("coil_w", "Spulenleistung", "W"),
    Told("coil_ohm", "Spulenwiderstand", "Ω"),
    Told("work_per_stop_j", "Arbeit je Halt", "ft·lbf", FOOT * LBF),
    Told("work_total_j", "Gesamtarbeit", "ft·lbf", FOOT * LBF),
    Told("mass_kg", "Masse", "oz", POUND / 16),
    Told("backlash_deg_max", "Spiel", "arcmin", Fraction(1, 60)),
    Told("speed_max_rpm", "Höchstdrehzahl", "1/min"),
    Told("price", "Preis", "EUR"),
)

RESISTORS = (
    Told("resistor", "Bremswiderstand"),
    Told("supply_class", "Netzklasse"),
    Told("resistance_ohm", "Widerstand", "Ω"),
    Told("power_mean_w", "Dauerleistung", "W"),
    Told("power_peak_w", "Spitzenleistung", "kW", Fraction(1000)),
    Told("pulse_energy_j", "Impulsenergie", "kJ", Fraction(1000)),
    Told("cycle_s", "Zyklus", "min", Fraction(60)),
    Told("tau_s", "Zeitkonstante", "s"),
    Told("voltage_max_v", "Spannung bis", "V"),
    Told("mass_kg", "Masse", "lb", POUND),
    Told("price", "Preis", "EUR"),
)

CURVES = (
    Told("motor", "Motor"),
    Told("mains_v", "Netz", "V"),
    Told("phases", "Phasen"),
    Told("kind", "Art"),
    Told("speed_rpm", "Drehzahl", "1/min"),
    Told("torque_nm", "Moment", "lbf·in", LBF_IN),
)

PAIRINGS = (
    Told("kind", "Art"),
    Told("left", "Teil"),
    Told("right", "dazu"),
    Told("torque_rated_out_nm", "Nennmoment am Abtrieb", "lbf·ft", LBF * FOOT),
    Told("torque_peak_out_nm", "Spitzenmoment am Abtrieb", "lbf·ft", LBF * FOOT),
    Told("speed_max_out_rpm", "Höchstdrehzahl am Abtrieb", "1/min"),
)

TOLD: dict[str, tuple[Told, ...]] = {
    "motors": MOTORS, "gearheads": GEARHEADS, "drives": DRIVES, "brakes": BRAKES,
    "resistors": RESISTORS, "curves": CURVES, "pairings": PAIRINGS,
}  # fmt: skip
"""Every column of every file of the second line, in the order of its SI twin."""
