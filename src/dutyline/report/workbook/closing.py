"""The first and the last sheet: what the verdict is and rests on, and what to heed."""

from __future__ import annotations

from dutyline.catalogue.assumed_words import named
from dutyline.catalogue.content import content_hash, thresholds_checksum
from dutyline.catalogue.edition import titled
from dutyline.checks.records import Verdict
from dutyline.checks.sentence import assumed_data
from dutyline.core.version import VERSION
from dutyline.grids.write import Cell, Formula, Look, Title
from dutyline.report.sections.answer import answer
from dutyline.report.sections.cautions import cautions
from dutyline.report.workbook.ledger import verdict_formula
from dutyline.report.workbook.sheets import Sheet, finite

_FIGURES = (
    ("Peak motor torque", "peak_torque", "N·m"),
    ("Rms motor torque", "rms_torque", "N·m"),
    ("Top motor speed", "peak_speed", "rad/s"),
    ("Mean motor speed", "mean_speed", "rad/s"),
    ("Rms current", "rms_current", "A"),
    ("Inertia ratio, largest", "inertia_ratio", ""),
)


def verdict_sheet(
    verdict: Verdict, ledger: Sheet, places: dict[str, str], none_works: str = ""
) -> Sheet:
    """The answer on one sheet.

    Parameters
    ----------
    verdict : Verdict
    ledger : Sheet
        From whose states the verdict is worked out.
    places : dict of str to str
        Where figures of the motor are worked out, by their names.
    none_works : str
        Stands before the sentence where the combination is only the nearest.
    """
    axis, told = verdict.axis, answer(verdict, none_works)
    sheet = Sheet("Verdict", ("What", "Value", "Unit", "Note"), Look((28, 60, 10, 46)))
    for label, text in (("Axis", axis.title), ("Project", axis.project),
                        ("Customer", axis.customer), ("Author", axis.author)):  # fmt: skip
        if text:
            sheet.add(label, text)
    sheet.add("Answer", told.sentence)
    if told.rest:
        sheet.add("", told.rest)
    sheet.add("Verdict", verdict_formula(ledger, verdict.verdict), "", "from the sheet Ledger")
    sheet.table("Parts")
    for kind in ("motor", "gearhead", "brake", "drive", "resistor"):
        if name := getattr(verdict.combination, kind):
            sheet.add(kind.capitalize(), name)
    shown = verdict.cases[0] if verdict.cases else verdict
    sheet.table("Figures at the motor shaft")
    for label, name, unit in _FIGURES:
        value = finite(shown.demand.get("motor", {}).get(name))
        if value is not None:
            place = places.get(name, "")
            cell: Cell = Formula(f"={place}", value) if place else value
            sheet_name = place.partition("!")[0]
            note = f"worked out on the sheet {sheet_name}" if place else ""
            sheet.add(label, cell, unit, note)
    if verdict.cases:
        first = f"The sheets Train and Cycle show the first of {len(verdict.cases)} cases"
        sheet.add("", f"{first}; the ledger names the case of each line.")
    _grounds(sheet, verdict)
    return sheet


def _grounds(sheet: Sheet, verdict: Verdict) -> None:
    axis, line = verdict.axis, verdict.line
    sheet.table("What it rests on")
    if axis.file:
        sheet.add("Axis file", axis.file)
    if axis.checksum:
        sheet.add("Its SHA-256", axis.checksum)
    if line is not None:
        sheet.add("Product data", titled(line) + (" with estimates" if line.assumed else ""))
        sheet.add("Their content, SHA-256", content_hash(line))
        if own := thresholds_checksum(line):
            sheet.add("audit.toml, SHA-256", own)
    sheet.add("Worked out by", f"dutyline {VERSION}", "", "It computes; it certifies nothing.")
    sheet.add(
        "",
        "Cells with formulas follow a changed cell to the extent of these sheets. A changed input "
        "that moves limits, laws or simulated figures needs the axis file judged anew.",
    )


def cautions_sheet(verdict: Verdict) -> Sheet:
    """Cautions, open questions and data that nobody stated."""
    sheet = Sheet("Cautions", ("What", "Told"), Look((34, 110)))
    for lead, text in cautions(verdict).items:
        sheet.add(lead, text)
    if verdict.axis.questions:
        sheet.table("Open questions", "Field", "Question")
        for question in verdict.axis.questions:
            sheet.add(question.path, " ".join(t for t in (question.text, question.effect) if t))
    found = assumed_data(verdict)
    if found:
        sheet.add()
        sheet.add(Title("Product data nobody stated"), Title("Taken from"))
        for assumption in found:
            sheet.add(named(assumption), assumption.method)
    return sheet
