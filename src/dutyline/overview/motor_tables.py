"""The tables about one motor, alone and behind every gearhead that it goes on."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.catalogue.pairing import partners
from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.core.numbers import stated_quantity
from dutyline.overview.cells import (
    Head,
    Sheet,
    bare,
    computed,
    corners,
    names,
    ratio_words,
    sentence,
    supply_words,
    told,
    unit_in_head,
)
from dutyline.overview.records import Geared, Output, Overview, Zone

_BY = {"motor": "motor", "gearhead": "gear", "both": "both"}
UNKNOWN = "not stated"


def motor_sheets(found: Overview, motor: Motor, system: str = "si") -> tuple[Sheet, ...]:
    """Tables about one motor: its data, its zone, and what it gives behind each gearhead."""
    zone = next(z for z in found.zones if z.motor == motor.name)
    outputs = [one for one in found.geared if one.motor == motor.name]
    made = (
        _data_sheet(found.line, motor, system),
        _corner_sheet(zone, motor, system),
        _geared_sheet(outputs, system),
        _motor_overload_sheet(motor),
    )
    return tuple(unit_in_head(sheet) for sheet in made if sheet.rows or sheet.note)


def _data_sheet(line: ProductLine, motor: Motor, system: str) -> Sheet:
    def several(unit: str, *values: float | None) -> str:
        return ", ".join(told(value, unit, system) for value in values if value is not None)

    def goes(kind: str) -> str:
        paired = partners(line, f"motor-{kind}").get(line.motor_index[motor.name], ())
        return names(getattr(line, f"{kind}s")[k].name for k in paired)

    rows = (
        ("Supply class", motor.supply_class),
        ("Flange, pilot, bolt circle", several("m", motor.flange, motor.pilot, motor.bolt_circle)),
        ("Shaft", several("m", motor.shaft)),
        ("Rated power", several("W", motor.power_rated)),
        (
            "Torque: rated, stall, peak",
            several("N*m", motor.torque_rated, motor.torque_stall, motor.torque_peak),
        ),
        ("Inertia, with brake", several("kg*m^2", motor.inertia, motor.inertia_with_brake)),
        ("Mass, with brake", several("kg", motor.mass, motor.mass_with_brake)),
        (
            "Current: rated, stall, peak, A rms",
            ", ".join(
                bare(value)
                for value in (motor.current_rated, motor.current_stall, motor.current_peak)
                if value is not None
            ),
        ),
        ("Torque constant, N·m per A rms", bare(motor.torque_constant)),
        ("Encoder", _encoder(motor)),
        ("Shaft load", _shaft_load(motor, system)),
        ("Protection", motor.protection),
        ("Brake", goes("brake")),
        ("Drives", goes("drive")),
    )
    shown = tuple((name, text or UNKNOWN) for name, text in rows)
    return Sheet("data", motor.name, (Head("", False), Head("", False)), shown)


def _encoder(motor: Motor) -> str:
    bits, turns = motor.encoder_bits, motor.encoder_turn_bits
    words = [
        motor.encoder,
        "" if bits is None else f"{bits} bits per turn",
        "" if not turns else f"{2**turns} turns",
    ]
    return ", ".join(word for word in words if word)


def _shaft_load(motor: Motor, system: str) -> str:
    radial, axial = told(motor.radial_load, "N", system), told(motor.axial_load, "N", system)
    if radial and motor.radial_load_point is not None:
        radial += f" at {told(motor.radial_load_point, 'm', system)}"
    words = [radial and f"radial {radial}", axial and f"axial {axial}"]
    return ", ".join(word for word in words if word)


def _corner_sheet(zone: Zone, motor: Motor, system: str) -> Sheet:
    figures = ("Peak torque", "up to", "Peak torque at the end", "Continuous at stall",
               "Continuous at rated speed", "End of the curve")  # fmt: skip
    known = zone.peak is not None or zone.continuous is not None
    rows = tuple(zip(figures, corners(zone, motor, system), strict=True)) if known else ()
    supply = supply_words(zone)
    title = f"Torque over speed at {supply}" if supply else "Torque over speed"
    gap = sentence(zone.gap)
    return Sheet("zone", title, (Head("", False), Head("")), rows, gap)


def _geared_sheet(outputs: Sequence[Geared], system: str) -> Sheet:
    rows = []
    for one in outputs:
        cells = [one.gearhead, ratio_words([one.ratio])]
        for output, unit in ((one.rated, "N*m"), (one.peak, "N*m"), (one.top, "rad/s")):
            cells += ["", ""] if output is None else _limited(output, unit, system)
        rows.append(tuple(cells))
    heads = (
        Head("Gearhead", False), Head("Ratio"), Head("Rated"), Head("limit", False), Head("Peak"),
        Head("limit", False), Head("Top speed"), Head("limit", False),
    )  # fmt: skip
    gaps = [one.gap for one in outputs if one.gap]
    note = "Rated torque is the continuous one at rated motor speed, carried by tooth contact and "
    note += "no-load torque; motor or gear says which part sets the figure."
    if not rows:
        note = "No gearhead goes with it."
    return Sheet("geared", "Behind each gearhead", heads, tuple(rows),
                 " ".join([note, *(sentence(gap) for gap in dict.fromkeys(gaps))]))  # fmt: skip


def _motor_overload_sheet(motor: Motor) -> Sheet:
    rows = tuple(
        (f"{factor:g} times", stated_quantity(t, "s")) for factor, t in motor.overload_curve
    )
    return Sheet("overload", "Overload from cold", (Head("Load", False), Head("Time")), rows)


def _limited(output: Output, unit: str, system: str) -> list[str]:
    return [computed(output.value, unit, system), _BY[output.by]]
