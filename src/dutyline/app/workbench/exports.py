"""What a page hands over as files: report, order list, numbers behind the plots."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass

from dutyline.app.order import content_of, order_list, served
from dutyline.app.workbench.judged import Judged
from dutyline.checks.records import Verdict
from dutyline.core.errors import Fault, InputError
from dutyline.report.build import build_document
from dutyline.report.plot_tables import plot_tables

_STILL = (1980, 1, 1, 0, 0, 0)
"""Time of every entry of an archive: the same data give the same bytes."""


@dataclass(frozen=True, slots=True)
class Export:
    """One file to hand over."""

    name: str
    kind: str
    """Media type."""
    content: bytes


def export(judged: Judged, what: str) -> Export:
    """One of the files.

    Parameters
    ----------
    judged : Judged
        With its shortlist for a report that tells what else was considered.
    what : str
        ``report.pdf``, ``report.html``, ``order.csv``, ``order-semicolon.csv``, ``order.xlsx``
        or ``plots.zip``.

    Raises
    ------
    InputError
        There is no such file, or it cannot be made.
    """
    make = EXPORTS.get(what)
    if make is None:
        read = f"there is no export of that name; there are {', '.join(EXPORTS)}."
        raise InputError("the export", [Fault("", "", read)])
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in judged.axis.title.lower())
    stem = plain.strip("-")[:60] or "axis"
    kind, content = make(judged)
    return Export(f"{stem}-{what}", kind, content)


def _pdf(judged: Judged) -> tuple[str, bytes]:
    from dutyline.report.pdf import to_pdf

    with judged.axis.reader.served():
        document = build_document(judged.verdict, shortlist=judged.shortlist)
        return "application/pdf", to_pdf(document)


def _html(judged: Judged) -> tuple[str, bytes]:
    from dutyline.report.html import to_html

    with judged.axis.reader.served():
        document = build_document(judged.verdict, shortlist=judged.shortlist)
        return "text/html; charset=utf-8", to_html(document).encode()


def _order(ending: str, separator: str) -> Callable[[Judged], tuple[str, bytes]]:
    kinds = {
        ".csv": "text/csv; charset=utf-8",
        ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    }

    def make(judged: Judged) -> tuple[str, bytes]:
        with served(judged.verdict, separator):
            return kinds[ending], content_of(order_list(judged.verdict), ending, separator)

    return make


def _plots(judged: Judged) -> tuple[str, bytes]:
    verdict: Verdict = judged.verdict
    packed = io.BytesIO()
    with judged.axis.reader.served(), zipfile.ZipFile(packed, "w") as archive:
        for table in plot_tables(verdict.cases[0] if verdict.cases else verdict):
            entry = zipfile.ZipInfo(f"{table.name}.csv", _STILL)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, table.text())
    return "application/zip", packed.getvalue()


EXPORTS: dict[str, Callable[[Judged], tuple[str, bytes]]] = {
    "report.pdf": _pdf,
    "report.html": _html,
    "order.csv": _order(".csv", ","),
    "order-semicolon.csv": _order(".csv", ";"),
    "order.xlsx": _order(".xlsx", ","),
    "plots.zip": _plots,
}
"""Every file by its name."""
