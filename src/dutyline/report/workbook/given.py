"""What went in: inputs of the axis and data of the parts, with the places of their SI values."""

from __future__ import annotations

from dutyline.catalogue.columns import FORMS, UNITS, Column
from dutyline.catalogue.content import plain_text
from dutyline.checks.fitted import Chosen
from dutyline.checks.records import Verdict
from dutyline.core.numbers import pretty_unit
from dutyline.grids.write import Cell, Formula, Look, Title
from dutyline.report.workbook.sheets import Sheet, finite

_INPUTS = ("Field", "Input", "Symbol", "As typed", "In SI", "Unit", "Status", "From", "To", "Note",
           "Line of the file")  # fmt: skip
_PARTS = ("Part", "Name", "Datum", "As the product data state it", "Unit", "In SI", "SI unit")


def inputs_sheet(verdict: Verdict) -> tuple[Sheet, dict[str, str]]:
    """Every input in a row, and the places of the SI values by field."""
    sheet = Sheet("Inputs", _INPUTS, Look((26, 34, 9, 22, 14, 10, 11, 12, 12, 40, 10)))
    places: dict[str, str] = {}
    section = ""
    for entry in verdict.axis.inputs:
        if entry.section != section:
            section = entry.section
            sheet.add(Title(section))
        value = entry.value
        if isinstance(value, str):
            status = "given" if entry.line is not None else "default"
            named = (entry.path, entry.label, entry.symbol, value)
            sheet.add(*named, None, "", status, None, None, "", entry.line)
            continue
        n = sheet.add(entry.path, entry.label, entry.symbol, value.typed, finite(value.si),
                      pretty_unit(value.unit), value.status, value.low, value.high, value.note,
                      entry.line)  # fmt: skip
        places[entry.path] = sheet.there(f"E{n}")
    return sheet, places


def parts_sheet(verdict: Verdict, parts: Chosen) -> tuple[Sheet, dict[str, str]]:
    """Every datum of the chosen parts, and the places of the SI values by ``motor.inertia``."""
    sheet = Sheet("Parts", _PARTS, Look((11, 20, 32, 26, 26, 14, 12)))
    places: dict[str, str] = {}
    for form in FORMS:
        part = getattr(parts, form.part, None)
        if part is None:
            name = getattr(verdict.combination, form.part, None)
            if name:
                sheet.add(form.part, name, "the product data are not at hand")
            continue
        for column in form.columns:
            n = sheet.next
            cells = _datum(column, part, n)
            if cells is None:
                continue
            sheet.add(form.part, part.name, column.name, *cells)
            if isinstance(cells[2], (Formula, float)):
                places[f"{form.part}.{column.field}"] = sheet.there(f"F{n}")
    return sheet, places


def _datum(column: Column, part: object, n: int) -> list[Cell] | None:
    """Value, unit, SI and SI unit of a datum; None for the name and for what is not stated."""
    field = "ratio_exact" if column.kind == "ratio" else column.field
    value = getattr(part, field)
    if column.field == "name" or value is None or value == ():
        return None
    text = plain_text(column, value)
    if not text:
        return None
    times, over, unit = UNITS[column.unit]
    if column.kind == "ratio":
        own = float(part.ratio)  # type: ignore[attr-defined]
        return [text, "", Formula(f"={value.numerator}/{value.denominator}", own), ""]
    if column.kind == "number":
        si = float(value)
        return [float(text), column.unit, Formula(f"=D{n}*{times!r}/{over!r}", si),
                pretty_unit(unit)]  # fmt: skip
    return [text, column.unit, None, ""]
