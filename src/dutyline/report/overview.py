"""The document about a product line, or about one motor of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from textwrap import wrap

import numpy as np

from dutyline.catalogue.boundaries import Boundary as Limit
from dutyline.catalogue.content import content_hash
from dutyline.catalogue.parts import Motor
from dutyline.core.numbers import scale_for
from dutyline.core.version import VERSION
from dutyline.overview.cells import Sheet
from dutyline.overview.motor_tables import motor_sheets
from dutyline.overview.records import Overview
from dutyline.overview.tables import sheets
from dutyline.report.figures.data import Boundary
from dutyline.report.figures.zones import (
    OutputData,
    Trip,
    Winding,
    ZoneData,
    outputs,
    trips,
    zones,
)
from dutyline.report.sections.cautions import NO_CERTIFICATE
from dutyline.report.tree import (
    Answer,
    Block,
    Cautions,
    Column,
    Document,
    Figure,
    Head,
    Paragraph,
    Row,
    Section,
    Table,
    cell,
    strong,
    words,
)

_RPM = 30.0 / math.pi
_TEXT, _PAGE, _GUTTER = 1.8, 174.0, 3.0
"""[mm] of one character of a table, of the page and between columns."""
_MOST_LINES = 3
"""Of the head of a column."""
_PLOTS = 9
"""Small plots of one figure, so that pages can break between figures."""


def overview_document(found: Overview, motor: Motor | None = None, system: str = "si") -> Document:
    """The overview as a document tree; with a motor, the pages about that motor."""
    line = found.line
    tables = sheets(found, system) if motor is None else motor_sheets(found, motor, system)
    figures = (
        _line_figures(found, system) if motor is None else _motor_figures(found, motor, system)
    )
    sections = tuple(_section(table, figures.get(table.key, ())) for table in tables)
    title = line.name if motor is None else f"{motor.name}, {line.name}"
    kind = "Product line overview" if motor is None else "Motor overview"
    head = Head(
        title=title[:1].upper() + title[1:], project="", customer="", author="", revision="",
        date=line.date, day=None, version=f"dutyline {VERSION}", checksum=content_hash(line),
        foot=title, what=f"{kind}, edition {line.edition}" if line.edition else kind,
        digits="content",
    )  # fmt: skip
    said = (
        f"{len(line.motors)} motors in {len(found.sizes)} sizes, {len(line.gearheads)} gearheads, "
        f"{len(line.drives)} drives, {len(line.brakes)} brakes, {len(line.resistors)} resistors."
        if motor is None
        else f"{motor.name} alone, and behind {len(_of(found, motor))} gearheads."
    )
    rest = "Every figure is stated in the data of the line or computed from it."
    caution = Cautions(
        (("Computed figures.", "Limits hold for the rating conditions that the data states."),
         NO_CERTIFICATE)
    )  # fmt: skip
    return Document(head, Answer((), said, rest), (), sections, (caution,))


def _of(found: Overview, motor: Motor) -> list[str]:
    return [one.gearhead for one in found.geared if one.motor == motor.name]


def sheet_table(table: Sheet) -> Table:
    """The table of a sheet, its first column strong."""
    rows = tuple(
        Row(tuple(cell(strong(text)) if k == 0 else cell(text) for k, text in enumerate(cells)))
        for cells in table.rows
    )
    return Table(_columns(table), rows)


def _section(table: Sheet, figures: Sequence[Figure]) -> Section:
    blocks: tuple[Block, ...] = (sheet_table(table),) if table.rows else ()
    if table.note:
        blocks = (*blocks, Paragraph(words(table.note), "table"))
    return Section(table.key, table.title, (*blocks, *figures))


def _columns(table: Sheet) -> tuple[Column, ...]:
    """Columns as wide as their words, heads in as few lines as the page allows."""
    room = _PAGE - _GUTTER * (len(table.heads) - 1)
    for lines in range(1, _MOST_LINES + 1):
        needed = [
            max(_head_width(head.title, lines), *(len(row[k]) for row in table.rows)) * _TEXT + 1.0
            for k, head in enumerate(table.heads)
        ]
        if sum(needed) <= room:
            break
    loose = [k for k, head in enumerate(table.heads) if not head.number]
    while sum(needed) > room and any(needed[k] > 18.0 for k in loose):
        needed[max(loose, key=lambda k: needed[k])] -= 1.0
    return tuple(
        Column(words(head.title), width, "right" if head.number else "left")
        for head, width in zip(table.heads, needed, strict=True)
    )


def _head_width(title: str, lines: int) -> int:
    """Least width in characters in which a head takes at most so many lines."""
    width = max(map(len, title.split(" ")))
    while title and len(wrap(title, width, break_on_hyphens=False)) > lines:
        width += 1
    return width


def _shown(limit: Limit | None, system: str) -> Boundary | None:
    if limit is None:
        return None
    return Boundary(limit.speed * _RPM, limit.torque / scale_for("N*m", 1.0, system).size)


def _title(system: str) -> str:
    return f"Torque, {scale_for('N*m', 1.0, system).text}"


def _line_figures(found: Overview, system: str) -> dict[str, Sequence[Figure]]:
    figures: dict[str, Sequence[Figure]] = {}
    by_motor = {zone.motor: zone for zone in found.zones}
    data = []
    for size in found.sizes:
        own = [by_motor[m.name] for m in size.motors]
        known = [z for z in own if z.peak is not None or z.continuous is not None]
        if known:
            told = " and ".join(dict.fromkeys(f"{z.mains:g} V" for z in known))
            windings = tuple(
                Winding(z.motor, _shown(z.peak, system), _shown(z.continuous, system))
                for z in known
            )
            data.append(ZoneData(f"{size.name}, {told}", windings))
    if data:
        caption = "Peak torque solid, continuous torque dashed with its zone tinted; a second "
        caption += "winding of the size dotted."
        figures["zones"] = [
            Figure(
                zones(data, _title(system)), "Torque over speed of every motor size", words(caption)
            )
        ]
    points = [
        (one.top.value * _RPM, one.peak.value, one.peak.by == "gearhead")
        for one in found.geared
        if one.top is not None and one.peak is not None
    ]
    if points:
        speed, torque, gear = (np.array(column) for column in zip(*points, strict=True))
        unit = scale_for("N*m", 1.0, system)
        caption = "Every geared motor: its peak torque and its top speed at the output. Dots: the "
        caption += "motor limits the torque; open squares: the gearhead does."
        figures["gearheads"] = [
            Figure(
                outputs(OutputData(speed, torque / unit.size, gear), f"Peak torque, {unit.text}"),
                "Peak torque over top speed of every geared motor",
                words(caption),
            )
        ]
    curves = _trips([*found.line.motors, *found.line.drives])
    if curves:
        figures["overload"] = [Figure(
            trips(curves), "Overload time over load", words("Straight between the stated points "
            "on logarithmic scales of both.")
        )]  # fmt: skip
    return figures


def _trips(parts: Sequence[object]) -> list[Trip]:
    shared: dict[tuple[tuple[float, float], ...], list[str]] = {}
    for part in parts:
        curve = getattr(part, "overload_curve", ())
        if curve:
            shared.setdefault(curve, []).append(getattr(part, "name", ""))
    found = []
    for curve, names in shared.items():
        label = names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"
        factor, time = (np.array(column, dtype=float) for column in zip(*curve, strict=True))
        dense = np.exp(np.linspace(math.log(factor[0]), math.log(factor[-1]), 80))
        between = np.exp(np.interp(np.log(dense), np.log(factor), np.log(time)))
        found.append(Trip(label, dense, between))
    return found


def _motor_figures(found: Overview, motor: Motor, system: str) -> dict[str, Sequence[Figure]]:
    figures: dict[str, Sequence[Figure]] = {}
    zone = next(z for z in found.zones if z.motor == motor.name)
    own = Winding(motor.name, _shown(zone.peak, system), _shown(zone.continuous, system))
    if own.peak is not None or own.continuous is not None:
        told = ZoneData(f"{motor.name}, {zone.mains:g} V", (own,))
        figures["zone"] = [Figure(
            zones([told], _title(system), "own"), f"Torque over speed of {motor.name}",
            words("Peak torque solid, continuous torque dashed with its zone tinted."),
        )]  # fmt: skip
    unit = scale_for("N*m", 1.0, system).size
    gears = {gear.name: gear for gear in found.line.gearheads}
    data = []
    for one in found.geared:
        if one.motor != motor.name or one.peak_zone is None:
            continue
        gear = gears[one.gearhead]
        short, long = (
            None if v is None else v / unit for v in (gear.torque_acceleration, gear.torque_rated)
        )
        winding = Winding("", _shown(one.peak_zone, system), _shown(one.continuous_zone, system))
        end = None if one.top is None else one.top.value * _RPM
        data.append(ZoneData(one.gearhead, (winding,), short, long, end))
    if data:
        caption = "At the output. Solid: peak torque of the motor; green dashes: its continuous "
        caption += "torque; long red dashes: acceleration torque of the gearhead, short ones: its "
        caption += "rated torque; upright: the top speed of both."
        figures["geared"] = [
            Figure(
                zones(data[k : k + _PLOTS], _title(system), f"geared{k}"),
                f"Torque over output speed of {motor.name} behind gearheads",
                words(caption) if k == 0 else (),
            )
            for k in range(0, len(data), _PLOTS)
        ]
    curves = _trips([motor])
    if curves:
        figures["overload"] = [Figure(trips(curves), "Overload time over load", ())]
    return figures
