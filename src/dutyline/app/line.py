"""What a product line offers, from its data alone."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from dutyline.app.records_json import Json, number, product_line_json
from dutyline.app.report import DOCUMENTS, target_path
from dutyline.catalogue.content import content_hash
from dutyline.catalogue.edition import titled
from dutyline.catalogue.export import write_line as export
from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import ValueFault
from dutyline.core.reading import read_value
from dutyline.overview.cells import Head, Sheet
from dutyline.overview.gather import overview as gather
from dutyline.overview.motor_tables import motor_sheets
from dutyline.overview.records import Geared, Output, Overview, Span, Zone
from dutyline.overview.tables import sheets

__all__ = [
    "Head", "Overview", "ProductLine", "Sheet", "content_hash", "document_path", "export",
    "motor_of", "motor_sheets", "overview_json", "overview_of", "overview_report", "sheets",
    "titled", "volts",
]  # fmt: skip

_MOST_VOLTS = 1000.0


def overview_of(
    line: ProductLine, *, mains: float | None = None, phases: int | None = None
) -> Overview:
    """What a line offers: sizes, ratings, zones, geared outputs, and what does not exist.

    Parameters
    ----------
    line : ProductLine
    mains : float, optional [V]
        For the torque-speed zones; else each motor at the highest of its own.
    phases : int, optional
        1 or 3; else as the tables or the drives have it.

    Returns
    -------
    Overview
        SI values; every extreme names the rows that hold it.

    Raises
    ------
    InputError
        No line, or a supply that is none.
    """
    expect(line, ProductLine, "line", "Take one from read_line or demo_line.")
    faults = []
    if mains is not None and not 0.0 < mains <= _MOST_VOLTS:
        read = f"read {mains:g} V; a mains voltage above 0 and at most 1000 V is needed."
        faults.append(Fault("", "mains", read, "Give 230, for example."))
    if phases not in (None, 1, 3):
        faults.append(Fault("", "phases", f"read {phases}; 1 or 3 is needed.", "Give 1 or 3."))
    if faults:
        raise InputError("the supply", faults)
    return gather(line, mains=mains, phases=phases)


def volts(text: str) -> float:
    """A voltage as typed, its unit or none: ``230``, ``230 V``, ``0,4 kV``.

    Raises
    ------
    InputError
        No voltage.
    """
    try:
        with_unit = any(c.isalpha() for c in text)
        return read_value(text if with_unit else f"{text} V", "voltage").si
    except ValueFault as error:
        fault = Fault("", "--mains", error.read, error.remedy or "Write --mains 230.")
        raise InputError("the supply", [fault]) from None


def motor_of(line: ProductLine, name: str) -> Motor:
    """The motor of a name.

    Raises
    ------
    InputError
        The line has none of this name; the nearest is told.
    """
    from difflib import get_close_matches

    for motor in line.motors:
        if motor.name.casefold() == name.casefold():
            return motor
    names = [motor.name for motor in line.motors]
    close = get_close_matches(name, names, n=1, cutoff=0.5)
    remedy = f'The nearest is "{close[0]}".' if close else f"There are {', '.join(names[:12])}."
    fault = Fault("", "--motor", f'the line has no motor "{name}".', remedy)
    raise InputError(line.name, [fault])


def document_path(path: str | os.PathLike[str]) -> Path:
    """The file of a document, judged before anything is computed.

    Raises
    ------
    InputError
        The ending names no form, or the folder does not exist.
    """
    expect(path, PATH, "path", 'Name a file: "line.pdf".')
    return target_path(os.fspath(path), None, None, DOCUMENTS)


def overview_report(
    found: Overview, path: str | os.PathLike[str], motor: Motor | None = None, system: str = "si"
) -> None:
    """Write the overview as PDF or HTML by the ending of its name.

    Raises
    ------
    InputError
        The ending names no form, or the file cannot be written.
    """
    from dutyline.report.build import write_document
    from dutyline.report.overview import overview_document

    target = document_path(path)
    document = overview_document(found, motor, system)
    try:
        write_document(document, target, DOCUMENTS[target.suffix.lower()])  # type: ignore[arg-type]
    except OSError as error:
        reason = error.strerror or str(error)
        fault = Fault("", "--to", f"this cannot be written: {reason}.", "Name another with --to.")
        raise InputError(str(path), [fault]) from None


def overview_json(found: Overview, motor: Motor | None = None) -> Json:
    """``dutyline.line/1``: quantities in SI; with a motor, that motor's zones and outputs alone."""
    line = found.line

    def wanted(name: str) -> bool:
        return motor is None or name == motor.name

    return {
        "schema": "dutyline.line/1",
        "line": product_line_json(line),
        "counts": {
            kind: len(getattr(line, kind))
            for kind in ("motors", "gearheads", "drives", "brakes", "resistors")
        },
        "spans": [_span(span) for span in found.spans],
        "sizes": [
            {
                "size": size.name,
                "motors": [m.name for m in size.motors],
                "classes": list(size.classes),
                "gearheads": [
                    {"style": g.style, "frame": _quantity(g.frame, "m"),
                     "ratios": [str(r) for r in g.ratios]}
                    for g in size.gears
                ],
                "drives": list(size.drives),
                "brakes": list(size.brakes),
            }
            for size in found.sizes
        ],
        "classes": [
            {
                "class": c.name,
                "mains": None if c.mains is None else [_quantity(v, "V") for v in c.mains],
                "phases": list(c.phases),
                "motors": list(c.motors),
                "drives": list(c.drives),
                "resistors": list(c.resistors),
                "without": list(c.without),
            }
            for c in found.classes
        ],
        "zones": [_zone(zone) for zone in found.zones if wanted(zone.motor)],
        "geared": [_geared(one) for one in found.geared if wanted(one.motor)],
    }  # fmt: skip


def _quantity(value: float | None, unit: str) -> Json | None:
    return None if value is None else {"value": number(value), "unit": unit}


def _span(span: Span) -> Json:
    def end(value: float, rows: tuple[str, ...]) -> Json:
        return {"value": number(value), "unit": span.unit, "rows": list(rows)}

    return {
        "figure": span.key,
        "smallest": end(span.low.value, span.low.rows),
        "largest": end(span.high.value, span.high.rows),
        "stated": span.stated,
        "rows": span.rows,
    }


def _curve(boundary: Any) -> Json | None:
    if boundary is None:
        return None
    return {
        "speed": [number(float(v)) for v in boundary.speed],
        "torque": [number(float(v)) for v in boundary.torque],
        "origin": boundary.origin,
    }


def _zone(zone: Zone) -> Json:
    return {
        "motor": zone.motor,
        "mains": _quantity(zone.mains, "V"),
        "phases": zone.phases,
        "peak": _curve(zone.peak),
        "continuous": _curve(zone.continuous),
        "corner": _quantity(zone.corner, "rad/s"),
        "missing": zone.gap or None,
    }


def _geared(one: Geared) -> Json:
    def figure(output: Output | None, unit: str) -> Json | None:
        if output is None:
            return None
        return {"value": number(output.value), "unit": unit, "limit": output.by}

    return {
        "motor": one.motor,
        "gearhead": one.gearhead,
        "ratio": str(one.ratio),
        "rated_torque": figure(one.rated, "N*m"),
        "peak_torque": figure(one.peak, "N*m"),
        "top_speed": figure(one.top, "rad/s"),
        "rated_speed": _quantity(one.rated_speed, "rad/s"),
        "peak": _curve(one.peak_zone),
        "continuous": _curve(one.continuous_zone),
        "missing": one.gap or None,
    }
