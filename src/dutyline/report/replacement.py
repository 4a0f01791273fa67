"""The replacement record: an old motor, its equivalents, and what can hurt."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.core.version import VERSION
from dutyline.overview.cells import Sheet
from dutyline.replacement.records import Equivalent, Replacement
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
from dutyline.report.overview import sheet_table
from dutyline.report.sections.cautions import NO_CERTIFICATE
from dutyline.report.tree import (
    Answer,
    Block,
    Cautions,
    Document,
    Head,
    Listing,
    Paragraph,
    Section,
    Words,
    strong,
    words,
)


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
    return sections


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
