"""From a verdict to the document tree, and from the tree to a file."""

from __future__ import annotations

import datetime
import os
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Literal

from dutyline.checks.fitted import chosen
from dutyline.checks.records import Verdict
from dutyline.core.version import VERSION
from dutyline.report.peak import peak_point
from dutyline.report.sections import adds, cases, closing, inputs, options, order, plots, rms
from dutyline.report.sections import answer as first
from dutyline.report.sections import demand as motion
from dutyline.report.sections.cautions import cautions
from dutyline.report.sections.conditions import ON_PAGE_ONE, conditions
from dutyline.report.sections.ledger import ledger
from dutyline.report.sections.reach import how_far
from dutyline.report.sections.settling import settling
from dutyline.report.tree import (
    Document,
    Head,
    Listing,
    Paragraph,
    Ref,
    Section,
    Side,
    Words,
    words,
)
from dutyline.selection.records import Shortlist

Format = Literal["pdf", "html", "xlsx"]

_FOOT = 36
"""Characters of project and title in the foot of a page."""
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def _clipped(text: str, revision: int) -> str:
    """Whole words up to what the foot of a page holds beside a revision of so many characters."""
    room = _FOOT - (revision + len(" · revision ") if revision else 0)
    if len(text) <= room:
        return text
    return text[: room - 1].rsplit(" ", 1)[0].rstrip(" ·,") + "…"


def _head(verdict: Verdict, date: datetime.date | None, revision: str) -> Head:
    axis = verdict.axis
    shown = "" if date is None else f"{date.day} {_MONTHS[date.month - 1]} {date.year}"
    day = None if date is None else (date.year, date.month, date.day)
    return Head(
        title=axis.title,
        project=axis.project,
        customer=axis.customer,
        author=axis.author,
        revision=revision,
        date=shown,
        day=day,
        version=f"dutyline {VERSION}",
        checksum=axis.checksum,
        foot=_clipped(" · ".join(t for t in (axis.project, axis.title) if t), len(revision)),
    )


def _keep(verdict: Verdict, kept: tuple[Words, ...]) -> tuple[Side, Section | None]:
    """Conditions beside cautions; conditions that page one cannot hold go on behind."""
    settled = verdict.verdict in ("meets", "short")
    title = "Conditions you must keep" if settled else "Conditions once the open points are settled"
    here, rest = kept[:ON_PAGE_ONE], kept[ON_PAGE_ONE:]
    blocks: tuple[Listing | Paragraph, ...] = (Listing(here),) if here else ()
    if rest:
        pointer = words(f"{len(rest)} more in section ", Ref("more-conditions"), ".")
        blocks = (*blocks, Paragraph(pointer, "table"))
    left = Section("conditions", title, blocks)
    right = Section("cautions", "Cautions", (cautions(verdict),))
    more = None
    if rest:
        more = Section(
            "more-conditions", "Conditions, continued", (Listing(rest, len(here) + 1),), room=60.0
        )
    return Side((left,), (right,), 98, 8), more


def build_document(
    verdict: Verdict,
    *,
    shortlist: Shortlist | None = None,
    date: datetime.date | None = None,
    revision: str = "",
) -> Document:
    """The document of a verdict.

    Parameters
    ----------
    verdict : Verdict
        As the checks return it; trace and boundaries feed the plots.
    shortlist : Shortlist, optional
        Where the choice was made; gives the options considered.
    date : date, optional
        Of the revision, not of printing.
    revision : str
        As printed in head and foot.

    Returns
    -------
    Document
        Sections without content are left out and the numbers close up.
    """
    head = _head(verdict, date, revision)
    shown = verdict.cases[0] if verdict.cases else verdict
    parts, point = chosen(verdict), peak_point(shown)
    beside, more = _keep(verdict, conditions(verdict, parts))
    entered = inputs.inputs(verdict)
    if more is not None and entered is not None:
        entered = replace(entered, room=40.0)
    sections: list[Section | Side | None] = [
        first.items(verdict, parts),
        first.key_figures(verdict),
        beside,
        more,
        entered,
        inputs.open_points(verdict),
        cases.cases(verdict),
        motion.motion(shown),
        adds.adds(shown, point),
        motion.by_hand(shown, point),
        rms.rms_by_phases(shown),
        ledger(verdict),
        settling(verdict),
        how_far(verdict),
        options.options(verdict, shortlist),
        plots.plots(shown, parts),
        order.order(verdict),
        closing.start_up(verdict, parts),
        closing.formulas(verdict),
        closing.history(verdict),
    ]
    return Document(
        head,
        first.answer(verdict, "" if shortlist is None else shortlist.none_works),
        (first.duty_figure(verdict), first.train_figure(verdict)),
        tuple(s for s in sections if s is not None),
        (closing.record(verdict, head.version),),
    )


def write_report(
    verdict: Verdict,
    path: str | os.PathLike[str],
    *,
    shortlist: Shortlist | None = None,
    format: Format = "pdf",  # noqa: A002 - the word users know
    date: datetime.date | None = None,
    revision: str = "",
) -> Path:
    """Write the report of a verdict; the same verdict gives the same bytes.

    Parameters
    ----------
    verdict : Verdict
    path : str or PathLike
        File to write; replaced when it exists.
    shortlist : Shortlist, optional
        For the options considered.
    format : str
        ``pdf``, ``html`` or ``xlsx``.
    date : date, optional
        Of the revision.
    revision : str
        As printed.

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    ReportError
        typst is missing, or refuses the document.
    """
    if format == "xlsx":
        from dutyline.report.workbook.build import to_xlsx

        target = Path(path)
        store(target, to_xlsx(verdict, "" if shortlist is None else shortlist.none_works))
        return target
    document = build_document(verdict, shortlist=shortlist, date=date, revision=revision)
    return write_document(document, path, format)


def write_document(
    document: Document,
    path: str | os.PathLike[str],
    format: Format = "pdf",  # noqa: A002 - the word users know
) -> Path:
    """Write any document; the same document gives the same bytes.

    Raises
    ------
    ReportError
        typst is missing, or refuses the document.
    """
    target = Path(path)
    if format == "html":
        from dutyline.report.html import to_html

        store(target, to_html(document).encode("utf-8"))
        return target
    from dutyline.report.pdf import to_pdf

    store(target, to_pdf(document))
    return target


def store(target: Path, content: bytes) -> None:
    """The whole file or nothing: what stood there stays until all of it is written."""
    real = Path(os.path.realpath(target))
    usual = real.is_file() and os.access(real, os.W_OK) and os.access(real.parent, os.W_OK)
    if real.exists() and not usual:
        real.write_bytes(content)
        return
    part = real.with_name(f".dutyline-{os.getpid()}.part")
    try:
        with part.open("xb") as stream:
            stream.write(content)
        if real.exists():
            shutil.copymode(real, part)
        part.replace(real)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
