"""Demand at the output shaft as text."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from dutyline.app.demand import (
    PhaseDemand,
    case_table,
    effort_unit,
    peak_power,
    phase_table,
    speed_unit,
    stop_table,
    supply_currents,
    worst_cases,
)
from dutyline.app.results import Input, OutputDemand, Value
from dutyline.cli.screen import Screen, cells
from dutyline.core.numbers import (
    decimals,
    fixed,
    group,
    quantity,
    scale_for,
    significant,
    with_unit,
)
from dutyline.core.wording import lower_first

_MOST_CASES = 6
_DIGITS = 4
_WIDE_FROM = 110
_IDLE_ZEROS = re.compile(r"[.,]0+(?!\d)|(?<=[1-9])(?<=[.,]\d)0+(?!\d)|(?<=[.,]\d\d)0+(?!\d)")


def column(values: Sequence[float], unit: str) -> list[str]:
    """Numbers of one column: one unit, one count of decimals, fit for the largest."""
    finite = [abs(v) for v in values if math.isfinite(v)]
    largest = max(finite, default=0.0)
    scale = scale_for(unit, largest)
    places = decimals(largest / scale.size, _DIGITS)
    return [with_unit(group(v / scale.size, places), scale.text) for v in values]


def _head(demand: OutputDemand) -> str:
    if effort_unit(demand) == "N":
        return f"{demand.axis.title}: demand at the slide of a linear motor. No slide is in it."
    return f"{demand.axis.title}: demand at the output shaft, where a gearhead or motor is fitted."


def _figures(demand: OutputDemand) -> list[tuple[str, str]]:
    effort, speed = effort_unit(demand), speed_unit(demand)
    word = "force" if effort == "N" else "torque"
    inertia = "kg" if effort == "N" else "kg*m^2"
    low, high = column([demand.inertia_min, demand.inertia_max], inertia)
    if low != high:
        low, high = low.partition("\u00a0")[0], high
        high = f"{low} to {high}"
    peak = quantity(demand.peak_torque, effort, n=_DIGITS)
    at, phase = demand.peak_time, demand.phase_at(demand.peak_time)
    return [
        ("Cycle", f"{group(demand.cycle_time, 2)}\u00a0s, {_rate(demand.cycle_time)} per minute"),
        ("Top speed", quantity(demand.peak_speed, speed, n=_DIGITS)),
        ("Mean speed", quantity(demand.mean_speed, speed, n=_DIGITS)),
        (f"Peak {word}", f"{peak} at {fixed(at, 2)}\u00a0s, phase {phase}"),
        (f"Rms {word}", quantity(demand.rms_torque, effort, n=_DIGITS)),
        ("Mass" if effort == "N" else "Inertia", high),
        ("Peak power", _power(demand)),
        *_supply(demand),
        ("Energy put in", f"{quantity(demand.energy_motoring, 'J', n=_DIGITS)} per cycle"),
        ("Energy returned", f"{quantity(demand.energy_regenerated, 'J', n=_DIGITS)} per cycle"),
        *_kept(demand),
        ("Energy balance", "closes"),
    ]


def _worst(screen: Screen, demand: OutputDemand, widest: int) -> list[str]:
    """The figures that are larger in another case, each with the case where it is largest."""
    effort, speed = effort_unit(demand), speed_unit(demand)
    word = "force" if effort == "N" else "torque"
    named = {
        "peak_speed": ("Top speed", speed),
        "peak_torque": (f"Peak {word}", effort),
        "rms_torque": (f"Rms {word}", effort),
        "energy_regenerated": ("Energy returned", "J"),
    }
    rows = []
    for one in worst_cases(demand):
        if one.case == demand.axis.case:
            continue
        name, unit = named[one.figure]
        text = screen.bold(quantity(one.value, unit, n=_DIGITS))
        head = f"  {name:<{widest}}{text}, "
        rows += screen.wrap(f"case {screen.yours(one.case)}", head, " " * (widest + 4))
    return ["", screen.bold("More in another case"), *rows] if rows else []


def _power(demand: OutputDemand) -> str:
    """Largest power of either way, the returned one where there is any."""
    put_in, returned = peak_power(demand)
    said = f"{quantity(put_in, 'W', n=_DIGITS)} put in"
    if returned > 5e-4 * max(put_in, 1e-12):
        said += f", {quantity(returned, 'W', n=_DIGITS)} returned"
    return said


def _supply(demand: OutputDemand) -> list[tuple[str, str]]:
    """What a dc supply has to give at the peak, at the stated and at the lowest voltage."""
    drawn = supply_currents(demand)
    said = [f"{quantity(i, 'A')} at {quantity(v, 'V')}" for v, i in drawn]
    return [("Supply current", f"{', '.join(said)}, losses apart")] if said else []


def _kept(demand: OutputDemand) -> list[tuple[str, str]]:
    """Where the difference of the two energies stays; that it closes is asserted always."""
    parts = {
        "  friction": demand.friction_work,
        "  losses": float(demand.lost.sum()),
        "  process": demand.process_work,
        "  lifted goods": demand.lifted,
        "  web's own speed": demand.inertia_work,
    }
    least = 5e-4 * max(demand.energy_motoring, 1e-12)
    return [(n, quantity(v, "J", n=_DIGITS)) for n, v in parts.items() if abs(v) > least]


def _rate(cycle_time: float) -> str:
    rate = 60.0 / cycle_time
    if rate < 1.0:
        return significant(rate)
    return group(rate, 0 if abs(rate - round(rate)) < 5e-3 else 1)


def _name(number: int, row: PhaseDemand) -> str:
    return row.name if row.name == str(number) else f"{number} {row.name}"


def _phase_columns(screen: Screen, demand: OutputDemand) -> list[tuple[str, list[str]]]:
    rows = phase_table(demand)
    travel = "m" if demand.axis.linear else "rad"
    effort, speed = effort_unit(demand), speed_unit(demand)
    word = "force" if effort == "N" else "torque"
    columns = [
        ("Phase", [_name(k, row) for k, row in enumerate(rows, 1)]),
        ("Time", [f"{group(row.duration, 2)}\u00a0s" for row in rows]),
    ]
    if screen.width >= _WIDE_FROM:
        distances = column([row.distance for row in rows], travel)
        if any(row.mass for row in rows):
            columns.append(("Mass", column([row.mass for row in rows], "kg")))
        ways = [d if r.distance else "stands" for d, r in zip(distances, rows, strict=True)]
        columns.append(("Distance", ways))
    columns.append(("Top speed", column([row.top_speed for row in rows], speed)))
    if screen.width >= _WIDE_FROM:
        tops = column([row.load_top_acceleration for row in rows], f"{travel}/s^2")
        columns.append(("Top acceleration", tops))
    both = column([t for row in rows for t in (row.peak_torque, row.rms_torque)], effort)
    columns += [
        (f"Peak {word}", both[::2]),
        (f"Rms {word}", both[1::2]),
        ("Held by", [row.held_by for row in rows]),
    ]
    return columns


def _case_columns(demand: OutputDemand) -> list[tuple[str, list[str]]]:
    """The first cases beside each other; empty where the file has one alone."""
    rows = case_table(demand, _MOST_CASES)
    if not rows:
        return []
    effort = effort_unit(demand)
    word = "force" if effort == "N" else "torque"
    inertia = ("Mass", "kg") if effort == "N" else ("Inertia", "kg*m^2")
    return [
        ("Case", [row.name for row in rows]),
        ("Top speed", column([row.peak_speed for row in rows], speed_unit(demand))),
        (f"Peak {word}", column([row.peak_torque for row in rows], effort)),
        (f"Rms {word}", column([row.rms_torque for row in rows], effort)),
        (inertia[0], [quantity(row.inertia_max, inertia[1], n=_DIGITS) for row in rows]),
    ]


def _stop_columns(demand: OutputDemand) -> list[tuple[str, list[str]]]:
    """Emergency ramps; empty where there are none."""
    rows = stop_table(demand)
    if not rows:
        return []
    travel, effort = "m" if demand.axis.linear else "rad", effort_unit(demand)
    word = "force" if effort == "N" else "torque"
    return [
        ("Stop", [row.name for row in rows]),
        ("Time", [f"{group(row.time, 3)}\u00a0s" for row in rows]),
        ("Distance", column([row.distance for row in rows], travel)),
        ("Top speed", column([row.speed for row in rows], f"{travel}/s")),
        (f"Peak {word}", column([row.peak_torque for row in rows], effort)),
        ("Returned", column([row.returned for row in rows], "J")),
    ]


def _table(screen: Screen, columns: Sequence[tuple[str, list[str]]]) -> list[str]:
    """Text to the left, numbers to the right; folded to a block a row where too wide."""
    widths = [screen.width_of([head, *texts]) for head, texts in columns]
    last = len(columns) - 1
    if 2 + sum(widths) + 2 * last > screen.width:
        return _blocks(screen, columns)
    lines = []
    for k in range(-1, len(columns[0][1])):
        line = " "
        for c, (head, texts) in enumerate(columns):
            text = head if k < 0 else texts[k]
            aligned = screen.left if c in (0, last) else screen.right
            line += (" " if c == 0 else "  ") + aligned(text, widths[c])
        lines.append(line)
    return lines


def _blocks(screen: Screen, columns: Sequence[tuple[str, list[str]]]) -> list[str]:
    """One phase after the other, its figures wrapped under its name."""
    lines = []
    for k, name in enumerate(columns[0][1]):
        lines.append(screen.text(f"  {name}"))
        said = ", ".join(f"{head.lower()} {texts[k]}" for head, texts in columns[1:])
        lines += screen.wrap(said, "    ", "    ")
    return lines


def _stated(item: Input) -> str:
    """Label and value: as typed where it was typed, else without idle zeros."""
    value, label = item.value, lower_first(item.label)
    if not isinstance(value, Value):
        return f"{label} {value}"
    if not value.typed and item.deviates:
        return f"{label} {item.shown(value.si)}"
    if not value.typed:
        return f"{label} {_IDLE_ZEROS.sub('', quantity(value.si, value.unit))}"
    typed = value.typed.replace(" ", "\u00a0")
    return f"{label} {typed}" + (f" ({quantity(value.si, value.unit, 'si')})" if value.inch else "")


def _by_status(screen: Screen, inputs: Sequence[Input]) -> list[str]:
    lines = []
    for status, head in (("assumed", "Assumed"), ("default", "Default")):
        said = [
            _stated(i) for i in inputs if isinstance(i.value, Value) and i.value.status == status
        ]
        if said:
            lines += screen.wrap(", ".join(said), f"{head}    ", " " * 11)
    return lines


def show_questions(screen: Screen, demand: OutputDemand) -> list[str]:
    """Open questions, most influential first."""
    questions = sorted(demand.axis.questions, key=lambda q: q.rank)
    lines = ["", "Open questions, most influential first"] if questions else []
    for k, question in enumerate(questions, 1):
        used = f"Until then {question.used}." if question.used else ""
        said = " ".join(part for part in (question.text, question.effect, used) if part)
        lines += screen.wrap(said, f"{k:<2} ", "   ")
    return lines


def show_demand(
    screen: Screen, demand: OutputDemand, *, quiet: bool = False, verbose: bool = False
) -> list[str]:
    """Every line that ``dutyline demand`` prints."""
    lines = [*screen.wrap(_head(demand))]
    if effort_unit(demand) != "N":
        lines += screen.wrap("No rotor, brake or gearhead is in these figures.")
    lines += screen.wrap(_others(screen, demand)) if demand.axis.cases else []
    figures = _figures(demand)
    widest = max(cells(name) for name, _ in figures) + 2
    lines.append("")
    lines += [f"  {name:<{widest}}{screen.bold(text)}" for name, text in figures]
    lines += _worst(screen, demand, widest)
    if quiet:
        return lines
    lines += ["", *_table(screen, _phase_columns(screen, demand))]
    cases = _case_columns(demand)
    lines += ["", *_table(screen, cases)] if cases else []
    stops = _stop_columns(demand)
    lines += ["", *_table(screen, stops)] if stops else []
    stated = _by_status(screen, demand.axis.inputs)
    lines += ["", *stated] if stated else []
    lines += [row for note in demand.axis.notes for row in screen.wrap(f"Note: {note}")]
    if verbose:
        given = [i for i in demand.axis.inputs if i.line is not None]
        lines += ["", screen.bold("As read")]
        lines += [row for i in given for row in screen.wrap(_as_read(i), "  ", "    ")]
    return lines + show_questions(screen, demand)


def _others(screen: Screen, demand: OutputDemand) -> str:
    """That these figures are those of one case of several."""
    names = [screen.yours(case.case) for case in demand.axis.cases]
    more = f" and {len(names) - _MOST_CASES} more" if len(names) > _MOST_CASES else ""
    told = ", ".join(names[:_MOST_CASES])
    return (
        f"These figures are of case {screen.yours(demand.axis.case)} alone; every check also looks "
        f"at {told}{more}. --case NAME shows one."
    )


def _as_read(item: Input) -> str:
    value = item.value
    typed = value.typed if isinstance(value, Value) else str(value)
    status = f", {value.status}" if isinstance(value, Value) else ""
    shown = f" is {quantity(value.si, value.unit, 'si')}" if isinstance(value, Value) else ""
    return f"line {item.line}: {item.path} {typed}{shown}{status}"
