"""Files that a page hands over, made stage by stage: report, order list, numbers of plots."""

from __future__ import annotations

import datetime
import io
import threading
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from dutyline.app.advise import advise
from dutyline.app.order import content_of, order_list, served
from dutyline.app.workbench.judged import Judged, Sheet, judge
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import DutylineError, Fault, InputError
from dutyline.report.build import build_document
from dutyline.report.plot_tables import plot_tables
from dutyline.report.tree import Document
from dutyline.selection.search import select

MOST_AT_ONCE = 2
"""Files that are made at the same time; more are refused."""
_STILL = (1980, 1, 1, 0, 0, 0)
"""Time of every entry of an archive: the same data give the same bytes."""
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class BusyError(DutylineError):
    """As many files as allowed are being made."""


@dataclass(frozen=True, slots=True)
class Export:
    """One file to hand over."""

    name: str
    kind: str
    """Media type."""
    content: bytes


@dataclass(frozen=True, slots=True)
class Edition:
    """Which revision of an axis a report is of."""

    number: str = ""
    date: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage that begins now."""

    text: str
    """``Setting the pages``"""
    step: int
    of: int


@dataclass(slots=True)
class _Bench:
    """What the stages of one file hand on."""

    sheet: Sheet
    line: ProductLine
    edition: Edition
    judged: Judged | None = None
    document: Document | None = None
    content: bytes = b""

    def known(self) -> Judged:
        assert self.judged is not None
        return self.judged


_Act = Callable[[_Bench], None]


class Jobs:
    """How many files are made at once.

    Parameters
    ----------
    most : int
    """

    def __init__(self, most: int = MOST_AT_ONCE) -> None:
        self._free = threading.BoundedSemaphore(most)
        self.most = most

    def begin(
        self, sheet: Sheet, line: ProductLine, what: str, edition: Edition | None = None
    ) -> Job:
        """A job that has its place and makes nothing before it is asked for its first stage.

        Parameters
        ----------
        sheet : Sheet
        line : ProductLine
        what : str
            ``report.pdf``, ``report.html``, ``report.xlsx``, ``order.csv``,
            ``order-semicolon.csv``, ``order.xlsx`` or ``plots.zip``.
        edition : Edition, optional
            As a report prints it.

        Raises
        ------
        InputError
            There is no such file.
        BusyError
            As many as allowed are being made.
        """
        made = EXPORTS.get(what)
        if made is None:
            read = f"there is no export of that name; there are {', '.join(EXPORTS)}."
            raise InputError("the export", [Fault("", "", read)])
        if not self._free.acquire(blocking=False):
            told = f"{self.most} files are being written already; try again when one is done."
            raise BusyError(told)
        return Job(_stages(_Bench(sheet, line, edition or Edition()), what), self._free.release)


class Job:
    """A file on its way; it works only while somebody asks for the next stage.

    Parameters
    ----------
    stages : iterator
    release : callable
        Gives the place back; called once.
    """

    def __init__(self, stages: Iterator[Stage | Export], release: Callable[[], None]) -> None:
        self._stages = stages
        self._release: Callable[[], None] | None = release

    def next(self) -> Stage | Export | None:
        """The stage that begins now, behind the last one the file, then None.

        Raises
        ------
        InputError
            The axis as it stands cannot be used.
        DutylineError
            The file cannot be made.
        """
        return None if self._release is None else next(self._stages, None)

    def file(self) -> Export:
        """The file, every stage gone through at once."""
        try:
            while (found := self.next()) is not None:
                if isinstance(found, Export):
                    return found
        finally:
            self.close()
        raise BusyError("The file was cancelled.")

    def close(self) -> None:
        """Stop: no further stage begins, and the place is free for another."""
        release, self._release = self._release, None
        if release is not None:
            release()


def _stages(bench: _Bench, what: str) -> Iterator[Stage | Export]:
    kind, acts = EXPORTS[what]
    for step, (text, act) in enumerate(acts, start=1):
        yield Stage(text, step, len(acts))
        act(bench)
    title = bench.known().axis.title.lower()
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in title)
    yield Export(f"{plain.strip('-')[:60] or 'axis'}-{what}", kind, bench.content)


def _judge(bench: _Bench) -> None:
    bench.judged = judge(bench.sheet, bench.line)


def _search(bench: _Bench) -> None:
    judged = bench.known()
    if judged.shortlist is None:
        with judged.axis.reader.served():
            bench.judged = replace(judged, shortlist=select(judged.axis, bench.line))


def _advise(bench: _Bench) -> None:
    judged = bench.known()
    bench.judged = replace(judged, verdict=advise(judged.verdict))


def _draw(bench: _Bench) -> None:
    judged = bench.known()
    with judged.axis.reader.served():
        bench.document = build_document(
            judged.verdict,
            shortlist=judged.shortlist,
            date=bench.edition.date,
            revision=bench.edition.number,
        )


def _pdf(bench: _Bench) -> None:
    from dutyline.report.pdf import to_pdf

    assert bench.document is not None
    with bench.known().axis.reader.served():
        bench.content = to_pdf(bench.document)


def _html(bench: _Bench) -> None:
    from dutyline.report.html import to_html

    assert bench.document is not None
    with bench.known().axis.reader.served():
        bench.content = to_html(bench.document).encode()


def _workbook(bench: _Bench) -> None:
    from dutyline.report.workbook.build import to_xlsx

    judged = bench.known()
    none = "" if judged.shortlist is None else judged.shortlist.none_works
    with judged.axis.reader.served():
        bench.content = to_xlsx(judged.verdict, none)


def _order(ending: str, separator: str) -> _Act:
    def make(bench: _Bench) -> None:
        verdict = bench.known().verdict
        with served(verdict, separator):
            bench.content = content_of(order_list(verdict), ending, separator)

    return make


def _plots(bench: _Bench) -> None:
    verdict = bench.known().verdict
    packed = io.BytesIO()
    with bench.known().axis.reader.served(), zipfile.ZipFile(packed, "w") as archive:
        for table in plot_tables(verdict):
            entry = zipfile.ZipInfo(f"{table.name}.csv", _STILL)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, table.text())
    bench.content = packed.getvalue()


_JUDGING = ("Judging the axis", _judge)
_FOUND = (
    _JUDGING,
    ("Searching the product line", _search),
    ("Finding what would help", _advise),
)
_DRAWN = (*_FOUND, ("Drawing", _draw))
_CSV = "text/csv; charset=utf-8"

EXPORTS: dict[str, tuple[str, tuple[tuple[str, _Act], ...]]] = {
    "report.pdf": ("application/pdf", (*_DRAWN, ("Setting the pages", _pdf))),
    "report.html": ("text/html; charset=utf-8", (*_DRAWN, ("Writing the page", _html))),
    "report.xlsx": (_XLSX, (*_FOUND, ("Writing the workbook", _workbook))),
    "order.csv": (_CSV, (_JUDGING, ("Listing what to order", _order(".csv", ",")))),
    "order-semicolon.csv": (_CSV, (_JUDGING, ("Listing what to order", _order(".csv", ";")))),
    "order.xlsx": (_XLSX, (_JUDGING, ("Listing what to order", _order(".xlsx", ",")))),
    "plots.zip": ("application/zip", (_JUDGING, ("Writing the tables", _plots))),
}
"""Every file by its name: its media type, and its stages in order."""
