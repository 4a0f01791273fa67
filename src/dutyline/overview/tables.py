"""The tables of an overview in words and numbers, the same for terminal, page and print."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from dutyline.catalogue.boundaries import COMPUTED
from dutyline.catalogue.parts import Drive, Gearhead, Motor
from dutyline.core.numbers import stated_quantity
from dutyline.overview.cells import (
    Head,
    Sheet,
    bare,
    both_ends,
    computed,
    corners,
    names,
    ratio_words,
    supply_words,
    told,
    unit_in_head,
)
from dutyline.overview.records import Extreme, GearChoice, Overview, Size

_NAMED = 4
"""Parts named where the same is missing from many."""


def sheets(found: Overview, system: str = "si") -> tuple[Sheet, ...]:
    """Tables over the whole line; those without a row and with nothing to say are left out.

    Parameters
    ----------
    found : Overview
    system : str
        ``si``, or ``inch`` for inch-pound units where there are any.
    """
    made = (
        _span_sheet(found, system),
        _option_sheet(found, system),
        _class_sheet(found),
        _rating_sheet(found, system),
        _zone_sheet(found, system),
        _gear_sheet(found, system),
        _drive_sheet(found),
        _overload_sheet(found),
        _brake_sheet(found, system),
        _resistor_sheet(found),
    )
    return tuple(unit_in_head(sheet) for sheet in made if sheet.rows or sheet.note)


def _who(extreme: Extreme) -> str:
    more = len(extreme.rows) - 1
    return extreme.rows[0] + (f" + {more}" if more else "")


def _span_sheet(found: Overview, system: str) -> Sheet:
    rows = []
    for span in found.spans:
        tell = computed if span.key.startswith("geared") else told
        row = (
            span.title,
            tell(span.low.value, span.unit, system),
            _who(span.low),
            tell(span.high.value, span.unit, system),
            _who(span.high),
        )
        rows.append(row)
    partly = [
        f"{span.title.lower()} ({span.stated} of {span.rows})"
        for span in found.spans
        if span.stated < span.rows
    ]
    note = f"Not every row states: {', '.join(partly)}." if partly else ""
    heads = (
        Head("", False), Head("Smallest"), Head("held by", False), Head("Largest"),
        Head("held by", False),
    )  # fmt: skip
    return Sheet("spans", "From the smallest to the largest", heads, tuple(rows), note)


def _gear_words(choice: GearChoice, system: str) -> str:
    frame = told(choice.frame, "m", system)
    first, last = choice.ratios[0], choice.ratios[-1]
    ends = both_ends(ratio_words([first]), ratio_words([last]))
    return " ".join(word for word in (choice.style, frame, f"({ends})") if word)


def _option_sheet(found: Overview, system: str) -> Sheet:
    def row(size: Size) -> tuple[str, ...]:
        one = size.motors[0]
        return (
            size.name,
            told(one.power_rated, "W", system),
            told(one.flange, "m", system),
            told(one.shaft, "m", system),
            names(size.classes),
            "; ".join(_gear_words(choice, system) for choice in size.gears) or "none",
            names(size.brakes) or "none",
            names(size.drives) or "none",
        )

    heads = (
        Head("Size", False), Head("Power"), Head("Flange"), Head("Shaft"), Head("Class", False),
        Head("Gearheads (ratios)", False), Head("Brake", False), Head("Drives", False, True),
    )  # fmt: skip
    return Sheet("options", "Sizes and what goes with them", heads, tuple(map(row, found.sizes)))


def _class_sheet(found: Overview) -> Sheet:
    rows = []
    for one in found.classes:
        mains = "" if one.mains is None else f"{one.mains[0]:g} to {one.mains[1]:g} V"
        rows.append(
            (
                one.name,
                mains,
                " or ".join(str(p) for p in one.phases),
                str(len(one.motors)),
                str(len(one.drives)),
                str(len(one.resistors)),
                names(one.without) or "none",
            )
        )
    heads = (
        Head("Class", False), Head("Mains", False), Head("Phases", False), Head("Motors"),
        Head("Drives"), Head("Resistors"), Head("Sizes without it", False),
    )  # fmt: skip
    unstated = [motor.name for motor in found.line.motors if not motor.supply_class]
    note = f"{_few(unstated)}: no supply class is stated." if unstated and rows else ""
    title = "Supply classes, what exists and what does not"
    return Sheet("classes", title, heads, tuple(rows), note)


def _rating_sheet(found: Overview, system: str) -> Sheet:
    rows, seen = [], set()
    for size in found.sizes:
        for motor in size.motors:
            figures = (
                told(motor.torque_rated, "N*m", system),
                told(motor.torque_stall, "N*m", system),
                told(motor.torque_peak, "N*m", system),
                told(motor.speed_rated, "rad/s", system),
                told(motor.speed_max, "rad/s", system),
                told(motor.inertia, "kg*m^2", system),
                told(motor.mass, "kg", system),
            )
            if (size.name, figures) not in seen:  # windings of a size share their mechanics
                seen.add((size.name, figures))
                same = all(_alike(motor, other) for other in size.motors)
                rows.append((size.name if same else motor.name, *figures))
    heads = (
        Head("Size", False), Head("Rated"), Head("Stall"), Head("Peak"), Head("Rated speed"),
        Head("Max. speed"), Head("Inertia", wide=True), Head("Mass"),
    )  # fmt: skip
    return Sheet("ratings", "Ratings", heads, tuple(rows))


def _alike(motor: Motor, other: Motor) -> bool:
    names = ("torque_rated", "torque_stall", "torque_peak", "speed_rated", "speed_max",
             "inertia", "mass")  # fmt: skip
    return all(getattr(motor, name) == getattr(other, name) for name in names)


def _zone_sheet(found: Overview, system: str) -> Sheet:
    rows = []
    missing: dict[str, list[str]] = {}
    for zone, motor in zip(found.zones, found.line.motors, strict=True):
        if zone.gap:
            missing.setdefault(zone.gap, []).append(zone.motor)
        if zone.peak is not None or zone.continuous is not None:
            rows.append((zone.motor, supply_words(zone), *corners(zone, motor, system)))
    heads = (
        Head("Motor", False), Head("Supply", False), Head("Peak"), Head("up to"),
        Head("at the end"),
        Head("Cont. stall", wide=True), Head("at rated speed"), Head("End", wide=True),
    )  # fmt: skip
    gaps = [f"{_few(motors)}: {gap}." for gap, motors in missing.items()]
    if any(zone.peak is not None and zone.peak.origin != COMPUTED for zone in found.zones):
        gaps.insert(0, "Up to, in a table: the last speed with 99 % of the peak.")
    return Sheet("zones", "Torque over speed", heads, tuple(rows), " ".join(gaps))


def _few(parts: list[str]) -> str:
    """The first names of many."""
    more = len(parts) - _NAMED
    return f"{names(parts[:_NAMED])} and {more} more" if more > 0 else names(parts)


def _gear_sheet(found: Overview, system: str) -> Sheet:
    frames: dict[tuple[str, float | None], list[Gearhead]] = {}
    for gear in found.line.gearheads:
        frames.setdefault((gear.style, gear.frame), []).append(gear)
    rows = [
        (
            " ".join(w for w in (style, told(frame, "m", system)) if w),
            ratio_words(sorted({g.ratio_exact for g in own})),
            _range((g.torque_rated for g in own), "N*m", system),
            _range((g.torque_acceleration for g in own), "N*m", system),
            _range((g.efficiency for g in own), "1", system),
            _range((g.backlash for g in own), "rad", system),
            _range((g.speed_in_max for g in own), "rad/s", system),
        )
        for (style, frame), own in frames.items()
    ]
    heads = (
        Head("Gearhead", False), Head("Ratios", False), Head("Rated"), Head("Acceleration"),
        Head("Efficiency", wide=True), Head("Backlash"), Head("Input up to", wide=True),
    )  # fmt: skip
    return Sheet("gearheads", "Gearheads", heads, tuple(rows))


def _range(values: Iterable[float | None], unit: str, system: str) -> str:
    """Smallest and largest of the values that are known, the unit once where it is one."""
    known = [v for v in values if v is not None]
    if not known:
        return ""
    low, high = (told(v, unit, system) for v in (min(known), max(known)))
    if low == high:
        return low
    number, _, own = low.rpartition("\u00a0")
    _, _, other = high.rpartition("\u00a0")
    return both_ends(number if number and own == other else low, high)


def _at(curve: Sequence[tuple[float, float]], factor: float) -> str:
    """Overload time of a stated factor [s]; empty where the curve does not name it."""
    return next((stated_quantity(t, "s") for x, t in curve if abs(x - factor) < 1e-9), "")


def _drive_sheet(found: Overview) -> Sheet:
    def row(drive: Drive) -> tuple[str, ...]:
        mains = drive.mains_min, drive.mains_max
        volts = "" if None in mains else f"{mains[0]:g} to {mains[1]:g} V"
        return (
            drive.name,
            volts,
            " or ".join(str(p) for p in drive.phases),
            bare(drive.current_rated),
            bare(drive.current_peak),
            bare(drive.peak_time),
            bare(drive.input_current_rated),
            bare(drive.inrush_peak),
        )

    heads = (
        Head("Drive", False), Head("Mains", False), Head("Phases", False), Head("Rated, A"),
        Head("Peak, A"), Head("for, s"), Head("Input, A"), Head("Inrush, A"),
    )  # fmt: skip
    return Sheet("drives", "Drives: output, input and inrush currents", heads,
                 tuple(map(row, found.line.drives)))  # fmt: skip


def _overload_sheet(found: Overview) -> Sheet:
    """Motors and drives by the overload curves that they share."""
    curves: dict[tuple[tuple[float, float], ...], list[str]] = {}
    parts: list[Motor | Drive] = [*found.line.motors, *found.line.drives]
    for part in parts:
        if part.overload_curve:
            curves.setdefault(part.overload_curve, []).append(part.name)
    factors = sorted({factor for curve in curves for factor, _ in curve})
    rows = [
        (f"{names[0]} + {len(names) - 1}" if len(names) > 1 else names[0],
         *(_at(curve, factor) for factor in factors))
        for curve, names in curves.items()
    ]  # fmt: skip
    heads = (Head("Part", False), *(Head(f"{factor:g} times") for factor in factors))
    return Sheet("overload", "Overload: how long from cold", heads, tuple(rows))


def _brake_sheet(found: Overview, system: str) -> Sheet:
    rows = [
        (
            brake.name,
            told(brake.torque_static, "N*m", system),
            told(brake.inertia, "kg*m^2", system),
            told(brake.release_time, "s", system),
            told(brake.engage_time, "s", system),
            told(brake.coil_voltage, "V", system),
            told(brake.coil_power, "W", system),
            told(brake.work_per_stop, "J", system),
        )
        for brake in found.line.brakes
    ]
    heads = (
        Head("Brake", False), Head("Holds"), Head("Inertia"), Head("Release"), Head("Engage"),
        Head("Coil"), Head("Power"), Head("Per stop"),
    )  # fmt: skip
    return Sheet("brakes", "Holding brakes", heads, tuple(rows))


def _resistor_sheet(found: Overview) -> Sheet:
    rows = [
        (
            one.name,
            one.supply_class,
            told(one.resistance, "ohm", "si"),
            told(one.power_mean, "W", "si"),
            told(one.power_peak, "W", "si"),
            told(one.pulse_energy, "J", "si"),
        )
        for one in found.line.resistors
    ]
    heads = (
        Head("Resistor", False), Head("Class", False), Head("Resistance"), Head("Mean"),
        Head("Peak"), Head("One pulse"),
    )  # fmt: skip
    return Sheet("resistors", "Braking resistors", heads, tuple(rows))
