"""The replacement record: an old motor, its equivalents, and what can hurt."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from dutyline.catalogue.boundaries import Boundary as Limit
from dutyline.core.numbers import scale_for
from dutyline.core.version import VERSION
from dutyline.overview.cells import Sheet
from dutyline.replacement.records import Equivalent, MeasuredDuty, Replacement
from dutyline.replacement.tables import (
    axis_lines,
    contradiction_lines,
    equivalents_sheet,
    missing_lines,
    name_of,
    plate_sheet,
    property_sheet,
    question_lines,
    sentence,
    settings_text,
    shown,
    worked_sheet,
)
from dutyline.report.figures.data import Boundary, PlaneData
from dutyline.report.figures.plane import plane
from dutyline.report.overview import sheet_table
from dutyline.report.sections.cautions import NO_CERTIFICATE
from dutyline.report.tree import (
    Answer,
    Block,
    Cautions,
    Document,
    Figure,
    Head,
    Listing,
    Paragraph,
    Section,
    Words,
    strong,
    words,
)

_RPM = 30.0 / math.pi
_MOST_POINTS = 3000
"""Samples drawn of a long record."""


def replacement_document(found: Replacement) -> Document:
    """The record as a document tree: what can hurt first, then old beside new."""
    plate = found.plate
    said = plate.words
    head = Head(
        title=plate.title, project=said.get("plate.project", ""),
        customer=said.get("plate.customer", ""), author=said.get("plate.author", ""),
        revision="", date="", day=None, version=f"dutyline {VERSION}", checksum=plate.checksum,
        foot=plate.title, what="Replacement record",
    )  # fmt: skip
    state = found.equivalents[0].state if found.equivalents else "incomplete"
    answer = Answer((state,), sentence(found), "What can hurt is told before the tables.")
    sections = [*_listed("contradictions", "The plate contradicts itself",
                         contradiction_lines(found))]  # fmt: skip
    for number, one in enumerate(shown(found)):
        sections += _equivalent(one, number)
    sections += _listed("duty", "The real duty", axis_lines(found))
    sections += [_section(equivalents_sheet(found))]
    sections.append(_section(plate_sheet(found)))
    worked = worked_sheet(found)
    sections += [] if worked is None else [_section(worked)]
    sections += _listed("open", "Still open", question_lines(found))
    if enquiry := said.get("plate.enquiry", ""):
        sections.append(Section("enquiry", "In the customer's words",
                                (Paragraph(words(enquiry)),)))  # fmt: skip
    leads = tuple(_lead(text) for text in found.cautions)
    return Document(head, answer, (Cautions(leads[:1]),), tuple(sections),
                    (Cautions((*leads[1:], NO_CERTIFICATE)),))  # fmt: skip


def _lead(text: str) -> tuple[str, str]:
    """The first sentence of a caution, and the rest."""
    for mark in (": ", ". "):
        first, found, rest = text.partition(mark)
        if found and len(first) < 60:
            return f"{first}{mark.strip()}", rest
    return "Before work begins.", text


def _equivalent(one: Equivalent, number: int) -> list[Section]:
    name = name_of(one)
    sections = _hurts(one, f"hurts{number}", f"First what can hurt: {name}")
    sheet = property_sheet(one)
    blocks: list[Block] = [sheet_table(sheet)]
    lacking = missing_lines(one)
    if lacking:
        blocks.append(Paragraph(words(strong("Not checked, and it decides. "),
                                      " ".join(lacking)), "table"))  # fmt: skip
    sections.append(Section(f"properties{number}", sheet.title, tuple(blocks)))
    if one.duty is not None:
        sections.append(_measured(one, one.duty, number))
    return sections


def _measured(one: Equivalent, duty: MeasuredDuty, number: int) -> Section:
    """The record in the torque-speed plane of the new motor."""
    unit = scale_for("N*m", 1.0)
    every = max(1, duty.speed.size // _MOST_POINTS)
    speed, torque = duty.speed[::every], duty.torque[::every]
    worst = int(np.argmax(np.abs(torque)))
    turning = np.where(speed < 0.0, -1.0, 1.0)
    effective = None
    if duty.speed_effective is not None:
        effective = (duty.speed_effective * _RPM, duty.torque_rms / unit.size)

    def shown(limit: Limit | None) -> Boundary | None:
        if limit is None:
            return None
        return Boundary(limit.speed * _RPM, limit.torque / unit.size)

    data = PlaneData(
        np.abs(speed) * _RPM, torque * turning / unit.size, speed >= 0.0,
        shown(duty.peak), shown(duty.continuous), None, "intermittent", "continuous", "",
        effective,
        (abs(float(speed[worst])) * _RPM, float((torque * turning)[worst]) / unit.size), "peak",
        "+ speed" if bool((speed > 0.0).any()) else "", "− speed" if bool((speed < 0.0).any())
        else "", torque_title=f"Motor torque, {unit.text}",
    )  # fmt: skip
    name = one.combination.motor
    figure = Figure(
        plane(data, f"measured{number}"), f"Measured torque over speed with the limits of {name}",
        words(f"The measured motion with the rotor of {name}, and its limits at the supply."),
        width=84.0,
    )  # fmt: skip
    return Section(f"measured{number}", f"The measured duty on {name}", (figure,))


def _hurts(one: Equivalent, key: str, title: str) -> list[Section]:
    if not one.hurts:
        return _listed(key, title, ("Nothing that the data tell.",))
    items: list[Words] = []
    for hurt in one.hurts:
        told = " ".join(f"Set {settings_text(s)}" for s in hurt.settings)
        items.append(words(hurt.text, " ", strong(told)) if told else words(hurt.text))
    return [Section(key, title, (Listing(tuple(items)),))]


def _listed(key: str, title: str, lines: Sequence[str]) -> list[Section]:
    if not lines:
        return []
    return [Section(key, title, (Listing(tuple(words(line) for line in lines)),))]


def _section(sheet: Sheet) -> Section:
    note: tuple[Block, ...] = (Paragraph(words(sheet.note), "table"),) if sheet.note else ()
    return Section(sheet.key, sheet.title, (sheet_table(sheet), *note))
