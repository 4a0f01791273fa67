"""What to order, what to set, where every formula comes from, and what this document is."""

from __future__ import annotations

import math

from dutyline.axis.model import MAIN
from dutyline.catalogue.content import content_hash, thresholds_checksum
from dutyline.catalogue.edition import titled
from dutyline.checks.fitted import Chosen
from dutyline.checks.gearhead import share_of_rated
from dutyline.checks.records import Verdict
from dutyline.core.numbers import group, quantity, significant, stated, stated_quantity
from dutyline.report.parts import milliseconds, torque_limit
from dutyline.report.prose import pieces
from dutyline.report.sections.ledger import counted
from dutyline.report.tree import (
    Cell,
    Column,
    Paragraph,
    Row,
    Run,
    Section,
    Table,
    cell,
    strong,
    words,
)


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
    if line is not None:
        own = thresholds_checksum(line)[:8]
        told = f", audit.toml {own}" if own else ""
        filled = " with estimates" if line.assumed else ""
        said.append(
            f"Product data: {titled(line)}{filled}, content {content_hash(line)[:8]}{told}. "
        )
    said.append(f"{version}. The tool computes and cautions; it certifies nothing.")
    return Paragraph(words(*said), "ruled")
