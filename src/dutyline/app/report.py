"""The document to send: a verdict as PDF."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from dutyline.app.inputs import STANDARD_INPUT
from dutyline.app.select import select
from dutyline.app.verify import verify
from dutyline.axis.model import Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.records import Combination, Verdict
from dutyline.core.errors import Fault, InputError


def report(verdict: Verdict, path: str | os.PathLike[str]) -> None:
    """Write the PDF report of a verdict. The same verdict gives the same bytes."""
    from dutyline.report.build import write_report

    write_report(verdict, Path(path))


def target_path(target: str | None, file: str | None, example: str | None) -> Path:
    """Where the report goes: as named, else the name of the axis with ``.pdf``.

    Raises
    ------
    InputError
        The name does not end in ``.pdf``, or its folder does not exist.
    """
    stem = example or ("axis" if file in (None, "-", STANDARD_INPUT) else Path(str(file)).stem)
    path = Path(target) if target else Path(f"{stem}.pdf")
    fault = None
    if path.suffix.lower() != ".pdf":
        read = f'read "{path}"; the report is a PDF and its name ends in .pdf.'
        fault = Fault("", "--to", read, f'Write "{path.with_suffix(".pdf")}".')
    elif not path.parent.is_dir():
        fault = Fault("", "--to", f'there is no folder "{path.parent}".', "Make it first.")
    elif path.is_dir():
        fault = Fault("", "--to", f'"{path}" is a folder; a file is needed.')
    if fault:
        raise InputError(str(path), [fault])
    return path


def verdict_for(axis: Axis, line: ProductLine, named: Mapping[str, str | None]) -> Verdict:
    """The verdict on the parts named, or the best candidate where no motor is named.

    Raises
    ------
    InputError
        Parts are named without a motor, or no combination can carry the axis at all.
    """
    if named.get("motor"):
        return verify(axis, Combination(**named), line)  # type: ignore[arg-type]
    others = [part for part, name in named.items() if name]
    if others:
        read = "no motor is named beside it; without a motor the best combination is taken."
        faults = [Fault("", f"--{part}", read, "Name --motor as well.") for part in others]
        raise InputError("The combination", faults)
    shortlist = select(axis, line)
    if shortlist.candidates:
        return shortlist.candidates[0]
    nearest = [rejected.text for rejected in shortlist.rejected[:1]]
    read = " ".join([f"none of {shortlist.tried} combinations carries the axis.", *nearest])
    remedy = "Name a combination with --motor to have its report all the same."
    raise InputError(axis.file or axis.title, [Fault("", "", read, remedy)])
