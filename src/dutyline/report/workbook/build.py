"""From a verdict to the bytes of a workbook."""

from __future__ import annotations

from dutyline.checks.fitted import chosen
from dutyline.checks.records import Verdict
from dutyline.grids.write import xlsx_bytes
from dutyline.report.peak import peak_point
from dutyline.report.workbook.closing import cautions_sheet, verdict_sheet
from dutyline.report.workbook.cycle import cycle_sheets
from dutyline.report.workbook.given import inputs_sheet, parts_sheet
from dutyline.report.workbook.ledger import ledger_sheet
from dutyline.report.workbook.sheets import Sheet
from dutyline.report.workbook.train import train_sheet


def sheets(verdict: Verdict, none_works: str = "") -> tuple[Sheet, ...]:
    """The sheets of a report.

    Parameters
    ----------
    verdict : Verdict
        As the checks return it; of several cases the first fills the sheets Train and Cycle.
    none_works : str
        Said first where no combination carries the axis and this one is the nearest.

    Returns
    -------
    tuple of Sheet
        Every formula stands with the value that was computed.
    """
    shown = verdict.cases[0] if verdict.cases else verdict
    inputs, given = inputs_sheet(shown)
    parts, data = parts_sheet(verdict, chosen(verdict))
    train = train_sheet(shown, peak_point(shown), given, data)
    cycle = cycle_sheets(shown)
    ledger = ledger_sheet(verdict, {**train.demands, **cycle.demands})
    places = {
        "peak_torque": train.torque, "rms_torque": cycle.rms, "mean_speed": cycle.mean_speed,
    }  # fmt: skip
    there = {name: place for name, place in places.items() if place}
    first = verdict_sheet(verdict, ledger, there, none_works)
    return (first, ledger, inputs, train.sheet, *cycle.sheets, parts, cautions_sheet(verdict))


def to_xlsx(verdict: Verdict, none_works: str = "") -> bytes:
    """The report as a workbook; the same verdict gives the same bytes.

    Raises
    ------
    InputError
        xlsxwriter is not installed.
    """
    made = sheets(verdict, none_works)
    return xlsx_bytes({s.name: s.all() for s in made}, {s.name: s.look for s in made})
