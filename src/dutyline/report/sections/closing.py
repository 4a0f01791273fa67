"""What to order, what to set, where every formula comes from, and what this document is."""

from __future__ import annotations

import math

from dutyline.axis.model import MAIN
from dutyline.checks.gearhead import share_of_rated
from dutyline.checks.records import Line, Verdict
from dutyline.core.numbers import group, quantity, significant, stated, stated_quantity
from dutyline.report.parts import Chosen, milliseconds, phase_word, torque_limit
from dutyline.report.prose import pieces
from dutyline.report.sections.ledger import counted
from dutyline.report.tree import (
    Cell,
    Column,
    Mark,
    Paragraph,
    Row,
    Run,
    Section,
    Table,
    cell,
    strong,
    words,
)

_COIL_HEADROOM = 1.2
"""Current of the 24 V supply over that of the coil (common practice, no source)."""


def order_list(verdict: Verdict, parts: Chosen) -> Section:
    """Every piece that has to be bought, and those that are still open."""
    rows: list[tuple[str, str, str]] = []
    each = str(verdict.axis.motors)
    names, motor, site = verdict.combination, parts.motor, verdict.axis.site
    fitted = [f"Motor {names.motor}"]
    if motor is not None and motor.mains_max is not None:
        fitted.append(f"{stated_quantity(motor.mains_max, 'V')} winding")
    if names.brake:
        fitted.append(f"brake {names.brake}")
    if motor is not None and motor.encoder:
        fitted.append(f"{motor.encoder} encoder")
    shaft = ""
    if motor is not None and motor.shaft is not None:
        shaft = f"shaft {stated_quantity(motor.shaft, 'm', system='si')}"
    if names.brake:
        shaft = ", ".join(t for t in (shaft, "brake built in") if t)
    rows.append((each, ", ".join(fitted), shaft))
    if names.gearhead:
        rows.append((each, *_gearhead(names.gearhead, parts)))
    if names.drive:
        why = (
            "" if site is None else f"{stated_quantity(site.mains, 'V')} {phase_word(site.phases)}"
        )
        rows.append((each, f"Drive {names.drive}", why))
    if names.resistor:
        mean = _line(verdict, "resistor-mean")
        why = "" if mean is None or not mean.demand else f"{quantity(mean.demand, 'W')} mean"
        rows.append((each, f"Braking resistor {names.resistor}", why))
    rows.append((each, "Motor cable and encoder cable", "length and flexing to be stated"))
    if parts.brake is not None and parts.brake.coil_power and parts.brake.coil_voltage:
        current = parts.brake.coil_power / parts.brake.coil_voltage
        need = math.ceil(10 * _COIL_HEADROOM * current) / 10
        volts = stated_quantity(parts.brake.coil_voltage, "V")
        rows.append(
            (
                each,
                f"{volts} supply for the brake, {quantity(need, 'A', n=1)} or more, "
                "with suppression",
                f"brake draws {quantity(current, 'A', n=2)}",
            )
        )
    rows.append(("", "Protective device, mains filter", "open: rules at the site decide"))
    table = []
    for n, (number, item, why) in enumerate(rows, start=1):
        count = cell(number) if number else cell(Mark("open"))
        table.append(Row((cell(str(n)), count, cell(strong(item)), cell(why))))
    columns = (
        Column(words("Pos."), 8),
        Column(words("Pieces"), 11, "right"),
        Column(words("Item"), 96),
        Column(words("Why, or what to watch")),
    )
    return Section(
        "order",
        "Order list",
        (Table(columns, tuple(table), pad=0.95),),
        words("complete but for what the rules at the site decide"),
        room=60.0,
    )


def _gearhead(name: str, parts: Chosen) -> tuple[str, str]:
    gear, motor = parts.gearhead, parts.motor
    item = f"Gearhead {name}"
    if gear is None or motor is None:
        return item, ""
    if motor.flange is not None and motor.flange in gear.input_flanges:
        item += f" with input flange {stated_quantity(motor.flange, 'm', system='si')}"
    if gear.shaft_in_max is None or motor.shaft is None:
        return item, ""
    return item, f"takes shafts up to {stated_quantity(gear.shaft_in_max, 'm', system='si')}"


def _line(verdict: Verdict, check: str) -> Line | None:
    return next((ln for ln in verdict.ledger if ln.check == check), None)


def start_up(verdict: Verdict, parts: Chosen) -> Section:
    """Values to type into the drive, and what the first measured cycle should show."""
    rows = [*_geometry(verdict, parts), *_inertia(verdict), *_limits(verdict, parts)]
    expected = (
        ("Expect: rms torque", "rms_torque", "N*m", "more: look for friction"),
        ("Expect: peak torque", "peak_torque", "N*m", "with the heaviest load"),
        ("Expect: top speed", "peak_speed", "rad/s", ""),
        ("Expect: holding torque", "hold_torque", "N*m", "standstill, brake open"),
        ("Expect: rms current", "rms_current", "A", "as the drive shows it, rms"),
    )
    for label, name, unit, note in expected:
        value, case = _most(verdict, name)
        if value:
            told = f"case {case}" if case != MAIN else note
            rows.append((label, quantity(value, unit), told))
    columns = (
        Column(words("Value"), 62),
        Column(words("Set or expect"), 32, "right"),
        Column(words("From, or what to watch")),
    )
    table = tuple(
        Row((cell(label), cell(strong(value)), cell(Run(note, "soft"))))
        for label, value, note in rows
    )
    return Section(
        "start-up",
        "Start-up values",
        (Table(columns, table, pad=0.95),),
        words("to type in, and to compare with the first measured cycle"),
    )


def _geometry(verdict: Verdict, parts: Chosen) -> list[tuple[str, str, str]]:
    rows = []
    gear, motor, axis = parts.gearhead, parts.motor, verdict.axis
    if gear is not None:
        exact = gear.ratio_exact
        note = f"{significant(gear.ratio, 6)} rounded" if exact.denominator != 1 else "exact"
        rows.append(
            ("Gear ratio, motor over output", f"{exact.numerator} / {exact.denominator}", note)
        )
    out = verdict.extra.get("output")
    reach = getattr(out, "travel_per_radian", None)
    if reach is not None:
        ratio = gear.ratio if gear is not None else 1.0
        turn = abs(reach) / ratio * 2 * math.pi
        unit = "m" if axis.linear else "rad"
        rows.append(("Travel of the load per motor turn", stated_quantity(turn, unit, 6), ""))
        if motor is not None and motor.encoder_bits is not None:
            counts = 2.0**motor.encoder_bits
            per = turn * (1e3 if axis.linear else 180 / math.pi)
            rows.append(
                (
                    f"Encoder counts per {'mm' if axis.linear else 'degree'} of travel",
                    stated(counts / per, 6),
                    f"{group(counts)} per motor turn",
                )
            )
    return rows


def _most(verdict: Verdict, name: str) -> tuple[float, str]:
    """The largest figure of the motor over all cases, and its case."""
    found = [(one.demand.get("motor", {}).get(name) or 0.0, one.axis.case)
             for one in (verdict.cases or (verdict,))]  # fmt: skip
    return max(found, key=lambda pair: pair[0])


def _inertia(verdict: Verdict) -> list[tuple[str, str, str]]:
    most, least = 0.0, math.inf
    for one in verdict.cases or (verdict,):
        motor = one.demand.get("motor", {})
        own, load, low = (motor.get(n) for n in ("inertia", "load_inertia", "inertia_ratio_min"))
        if own is None or load is None:
            return []
        most = max(most, own + load)
        least = min(least, math.inf if low is None else own * (1 + low))
    rows = [("Inertia at the motor shaft, largest", quantity(most, "kg*m^2"), "all parts")]
    if least * 1.001 < most:
        rows.append(
            ("Inertia at the motor shaft, smallest", quantity(least, "kg*m^2"), "least load")
        )
    return rows


def _limits(verdict: Verdict, parts: Chosen) -> list[tuple[str, str, str]]:
    rows = []
    limit = torque_limit(verdict, parts)
    if limit is not None:
        said = quantity(limit[0], "N*m")
        if parts.motor is not None and parts.motor.torque_rated is not None:
            share = share_of_rated(limit[0], parts.motor.torque_rated)
            said = f"{said} at the motor, {share} of rated"
        rows.append(("Torque limit", said, limit[1]))
        rows += _blocked(verdict, parts, limit[0])
    top, _ = _most(verdict, "peak_speed")
    if top:
        rows.append(("Speed limit", quantity(1.05 * top, "rad/s"), "top speed and 5\u202f%"))
    brake, stop = parts.brake, verdict.axis.stop
    if brake is not None and brake.release_time is not None and brake.engage_time is not None:
        times = f"{milliseconds(brake.release_time)}, "
        times += milliseconds(brake.engage_time + stop.reaction)
        note = f"reaction of {milliseconds(stop.reaction)} counted" if stop.reaction else ""
        rows.append(("Brake opens, closes", times, note))
    resistor = parts.resistor
    if resistor is not None and resistor.resistance is not None and resistor.power_mean is not None:
        ohms = stated_quantity(resistor.resistance, "ohm")
        both = f"{ohms}, {stated_quantity(resistor.power_mean, 'W')}"
        rows.append(("Resistor", both, "for the drive’s own watch over it"))
    return rows


def _blocked(verdict: Verdict, parts: Chosen, limit: float) -> list[tuple[str, str, str]]:
    """What that limit pushes with where the load is stopped by something; losses left out."""
    reach = getattr(verdict.extra.get("output"), "travel_per_radian", None)
    if not reach:
        return []
    ratio = parts.gearhead.ratio if parts.gearhead is not None else 1.0
    effort = limit * ratio / abs(reach)
    linear = verdict.axis.linear
    label = f"{'Push' if linear else 'Torque'} at the load when blocked, up to"
    unit = "N" if linear else "N*m"
    return [(label, quantity(effort, unit), "a jam: set the limit lower where this does harm")]


def formulas(verdict: Verdict) -> Section:
    """Every rule of the ledger with its formula and where it comes from."""
    rows, seen = [], set()
    for line in counted(verdict):
        key = (line.title, line.formula)
        if not line.formula or key in seen:
            continue
        seen.add(key)
        rows.append(Row((cell(line.title), Cell(pieces(line.formula)), cell(line.source))))
    columns = (
        Column(words("For"), 42),
        Column(words("Formula")),
        Column(words("Source"), 62),
    )
    blocks = (Table(columns, tuple(rows), pad=0.85, middle=True),)
    return Section("formulas", "Formulas and sources", blocks)


def history(verdict: Verdict) -> Section | None:
    """Revisions, newest first, where they were kept."""
    kept = verdict.extra.get("history")
    if not kept:
        return None
    rows = tuple(
        Row((cell(strong(str(r[0]))), *(cell(str(part)) for part in r[1:4]))) for r in kept
    )
    columns = (
        Column(words("Revision"), 16),
        Column(words("Date"), 32),
        Column(words("Change"), 84),
        Column(words("Effect")),
    )
    return Section("history", "History", (Table(columns, rows, pad=0.95),))


def record(verdict: Verdict, version: str) -> Paragraph:
    """Checksum and what it takes to get this document again."""
    axis, line = verdict.axis, verdict.line
    said: list[str | Run] = []
    if axis.checksum:
        digits = axis.checksum
        parts = " ".join(digits[k : k + 8] for k in range(0, len(digits), 8))
        said += [
            strong("Checksum"),
            f" of the axis file {axis.file}, SHA-256: ",
            Run(parts, "code"),
        ]
        said.append(". ")
    again = "The same file, product data and version give this document again, byte for byte. "
    said.append(again)
    if line is not None and line.checksum:
        filled = " with estimates" if line.assumed else ""
        said.append(f"Product data: {line.name}{filled}, checksum {line.checksum[:8]}. ")
    said.append(f"{version}. The tool computes and cautions; it certifies nothing.")
    return Paragraph(words(*said), "ruled")
