"""The document to send: a verdict as PDF."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from dutyline.app.advise import advise
from dutyline.app.inputs import STANDARD_INPUT
from dutyline.app.select import select
from dutyline.app.settle import settled
from dutyline.app.targets import check_name
from dutyline.app.verify import verify
from dutyline.axis.model import Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.records import Combination, Verdict
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.selection.records import Shortlist

DOCUMENTS = {".pdf": "pdf", ".html": "html", ".htm": "html"}
"""Endings of a document's name and the form they stand for."""
FORMATS = {**DOCUMENTS, ".xlsx": "xlsx"}
"""The same of a report, which may be a workbook as well."""
_LONGEST_HEAD = 4096
"""Bytes of the first line of a table that are looked at."""


def report(
    verdict: Verdict,
    path: str | os.PathLike[str],
    shortlist: Shortlist | None = None,
    *,
    how_far: bool = False,
    data: str | os.PathLike[str] | None = None,
) -> None:
    """Write the report of a verdict, PDF, HTML or a workbook (XLSX) by the ending of its name.

    Parameters
    ----------
    verdict : Verdict
        As verify or select returns it; a candidate of a shortlist is traced first. One from
        :func:`dutyline.settled` is simulated again and told so. The same verdict gives the same
        bytes.
    path : str or PathLike
        The file to write; replaced when it exists.
    shortlist : Shortlist, optional
        The search that it came from, for the options considered.
    how_far : bool
        Also how far the combination carries, as :func:`dutyline.reach` finds it: some seconds, and
        as many times that as the axis has cases.
    data : str or PathLike, optional
        A folder for the numbers behind the plots, one CSV file each; made where it is missing.

    Raises
    ------
    InputError
        The ending names no form of report, or the file or folder cannot be written.
    """
    from dutyline.report.build import write_report

    expect(verdict, Verdict, "verdict", "Take one from verify or select.")
    expect(path, PATH, "path", 'Name a file: "lift.pdf".')
    if shortlist is not None:
        expect(shortlist, Shortlist, "shortlist", "Take it from select.")
    target = target_path(os.fspath(path), None, None)
    form = FORMATS[target.suffix.lower()]
    folder = None if data is None else _folder(data, target)
    simulated = "settling" in verdict.extra
    if verdict.trace is None or simulated:
        verdict = verify(verdict.axis, verdict.combination, verdict.line)
    if verdict.line is not None:
        verdict = advise(verdict)
        verdict = settled(verdict) if simulated else verdict
        if how_far and "reach" not in verdict.extra:
            from dutyline.app.reach import reach

            verdict = replace(verdict, extra={**verdict.extra, "reach": reach(verdict)})
    tables = {} if folder is None else _tables(verdict, folder)
    try:
        with verdict.axis.reader.served():
            write_report(verdict, target, shortlist=shortlist, format=form)  # type: ignore[arg-type]
    except OSError as error:
        reason = error.strerror or str(error)
        fault = Fault("", "--to", f"this cannot be written: {reason}.", "Name another with --to.")
        raise InputError(str(path), [fault]) from None
    if folder is not None:
        _write_tables(tables, folder)


def _folder(name: str | os.PathLike[str], report: Path) -> Path:
    """The folder for the numbers behind the plots, there and open to writing."""
    expect(name, PATH, "data", 'Name a folder: "numbers".')
    path = Path(os.fspath(name))
    try:
        if not os.fspath(name).strip():
            raise ValueError("it has no name")
        if any(c < " " for c in os.fspath(name)):
            raise ValueError("it holds characters no name has")
        if os.path.realpath(path) == os.path.realpath(report):
            raise ValueError("the report has this name")
        path.mkdir(parents=True, exist_ok=True)
        if not os.access(path, os.W_OK):
            raise ValueError("writing there is not allowed")
    except (OSError, ValueError) as error:
        raise _unwritable(path, error) from None
    return path


def _unwritable(folder: Path, error: Exception) -> InputError:
    reason = getattr(error, "strerror", None) or str(error)
    fault = Fault("", "--data", f"this cannot be written: {reason}.", "Name another folder.")
    return InputError(str(folder), [fault])


def _tables(verdict: Verdict, folder: Path) -> dict[Path, str]:
    """The files behind the plots and their text, none over a file that is not one of them."""
    from dutyline.report.plot_tables import plot_tables

    found = {folder / f"{table.name}.csv": table.text() for table in plot_tables(verdict)}
    faults = [
        Fault(str(path), "--data", read, "Name another folder, or move the file away.")
        for path, text in found.items()
        if (read := _in_the_way(path, text))
    ]
    if faults:
        raise InputError(str(folder), faults)
    return found


def _in_the_way(path: Path, text: str) -> str:
    """Why a file is not replaced: only one that begins as the table does is; else empty."""
    if path.is_symlink():
        return "this is a link; numbers are written into files of the folder alone."
    if not path.exists():
        return ""
    if not path.is_file():
        return "this exists and is no file."
    try:
        with path.open("rb") as stream:
            begun = stream.readline(_LONGEST_HEAD)
    except OSError as error:
        return f"this cannot be read: {error.strerror or error}."
    start = begun.decode("utf-8", "replace").rstrip("\r\n")
    if begun and _begins(start) != _begins(text.partition("\n")[0]):
        return "this exists and holds something else than the numbers of this plot."
    return "" if os.access(path, os.W_OK) else "writing it is not allowed."


def _begins(head: str) -> list[str]:
    """The first two columns of a head; the unit of the first changes from axis to axis."""
    first, _, rest = head.partition(",")
    return [first.partition(" ")[0], rest.partition(",")[0]]


def _write_tables(tables: Mapping[Path, str], folder: Path) -> None:
    try:
        for path, text in tables.items():
            path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise _unwritable(folder, error) from None


def target_path(
    target: str | None,
    file: str | None,
    example: str | None,
    forms: Mapping[str, str] = FORMATS,
) -> Path:
    """Where a document goes: as named, else the name of the axis with ``.pdf``.

    ``forms`` are the endings that it may have.

    Raises
    ------
    InputError
        The name ends in no form of report, or its folder does not exist.
    """
    stem = example or ("axis" if file in (None, "-", STANDARD_INPUT) else Path(str(file)).stem)
    path = Path(f"{stem}.pdf" if target is None else target)
    fault = check_name(path)
    if fault is None and path.suffix.lower() not in forms:
        read = f'read "{target}"; the name of a report ends in {_endings(forms)}.'
        better = path.with_suffix(".pdf") if path.name.strip(".") else f"{stem}.pdf"
        fault = Fault("", "--to", read, f'Write "{better}".')
    if fault:
        raise InputError(str(path), [fault])
    return path


def _endings(forms: Mapping[str, str]) -> str:
    *others, last = (e for e in forms if e != ".htm")
    return f"{', '.join(others)} or {last}"


def verdict_for(
    axis: Axis, line: ProductLine, named: Mapping[str, str | None], *, nearest: bool = False
) -> tuple[Verdict, Shortlist | None]:
    """The verdict on the parts named, or the best candidate and the search that found it.

    With ``nearest`` the combination that comes nearest stands in where none can carry the axis.

    Raises
    ------
    InputError
        Parts are named without a motor, or no combination can carry the axis at all.
    """
    if named.get("motor"):
        return verify(axis, Combination(**named), line), None  # type: ignore[arg-type]
    others = [part for part, name in named.items() if name]
    if others:
        read = "no motor is named beside it; without a motor the best combination is taken."
        faults = [Fault("", f"--{part}", read, "Name --motor as well.") for part in others]
        raise InputError("The combination", faults)
    shortlist = select(axis, line)
    if shortlist.candidates:
        return shortlist.candidates[0], shortlist
    if nearest and shortlist.rejected:
        return verify(axis, shortlist.rejected[0].combination, line), shortlist
    read = (
        f"none of {shortlist.tried} combinations carries the axis. {_why_none(shortlist)}".strip()
    )
    remedy = "Name a combination with --motor to have it listed all the same."
    raise InputError(axis.file or axis.title, [Fault("", "", read, remedy)])


def _why_none(shortlist: Shortlist) -> str:
    """Mains that nothing runs on, or the nearest combination with what stands against it."""
    if shortlist.off_the_mains or not shortlist.rejected:
        return shortlist.off_the_mains
    nearest = shortlist.rejected[0]
    parts = nearest.combination
    named = " with ".join(name for name in (parts.motor, parts.gearhead) if name)
    return f"The nearest, {named}, fails: {nearest.text}"
