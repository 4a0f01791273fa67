"""Two editions of a product line, and what becomes of the verdicts that were kept."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence

from dutyline.app.estimate import estimated
from dutyline.app.inputs import example_file, example_names
from dutyline.app.report import DOCUMENTS, target_path
from dutyline.app.settle import settled
from dutyline.app.verify import verify
from dutyline.axis.model import Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.records import Verdict
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.editions.find import difference
from dutyline.editions.records import Difference
from dutyline.editions.words import Chapter, Told, chapters, headline
from dutyline.kept.gather import gather
from dutyline.kept.judge import judge
from dutyline.kept.records import Comparison, Judged, Kept
from dutyline.kept.words import moved_texts, summary, title_of, touched_texts, turn_text

__all__ = [
    "Chapter", "Comparison", "Difference", "Judged", "Told", "chapters", "compare",
    "comparison_report", "headline", "moved_texts", "summary", "title_of", "touched_texts",
    "turn_text",
]  # fmt: skip

_ORDER = ("lost", "not judged", "worse", "as before", "better", "holds")


def compare(
    line_a: ProductLine,
    line_b: ProductLine,
    kept: Sequence[str | os.PathLike[str]] = (),
    told: Callable[[int, int], None] | None = None,
) -> Comparison:
    """What changed from one edition of a line to another, and which verdicts still hold.

    Parameters
    ----------
    line_a, line_b : ProductLine
        The edition before and the one after.
    kept : sequence of str or PathLike
        Files and folders with what ``verify --json``, ``select --json`` or ``report --json``
        printed, and the axis files beside them. An axis file in which ``[choose]`` names its
        parts stands for a verdict too. Axes that ship need not be there.
    told : callable, optional
        Is told how many of how many verdicts are judged.

    Returns
    -------
    Comparison
        The difference of the data, and every kept verdict judged anew on both lines.

    Raises
    ------
    InputError
        An argument of another type, a path that cannot be used, or no kept verdict in any.
    """
    for name, line in (("line_a", line_a), ("line_b", line_b)):
        expect(line, ProductLine, name, 'Read one first: read_line("my-line").')
    if isinstance(kept, PATH):
        kept = [kept]
    expect(kept, (list, tuple), "kept", 'Name files and folders: kept=["verdicts"].')
    found = difference(line_a, line_b)
    if not kept:
        return Comparison(found, ())
    known = gather(kept, [example_file(name) for name in example_names()])
    if not known.kept:
        raise _nothing(kept, known.passed)
    judged = []
    for number, one in enumerate(known.kept, start=1):
        judged.append(judge(one, known.axes, found, _verify))
        if told is not None:
            told(number, len(known.kept))
    order = sorted(judged, key=lambda one: (_ORDER.index(one.outcome), not one.touched))
    return Comparison(found, tuple(order), known.passed)


def _nothing(paths: Sequence[str | os.PathLike[str]], passed: int) -> InputError:
    """That nothing became worse may not be said where nothing was looked at."""
    read = "no kept verdict is there"
    read += f"; {passed} files hold none." if passed else "."
    remedy = "Keep what verify --json prints, or leave --kept out."
    return InputError("The kept verdicts", [Fault(str(p), "", read, remedy) for p in paths])


def _verify(axis: Axis, kept: Kept, line: ProductLine) -> Verdict:
    found = verify(axis, kept.combination, estimated(line) if kept.estimated else line)
    return settled(found) if kept.settled else found


def comparison_report(result: Comparison, path: str | os.PathLike[str]) -> None:
    """Write a comparison as PDF or HTML by the ending of its name.

    Raises
    ------
    InputError
        The ending names no form, or the file cannot be written.
    """
    from dutyline.report.build import write_document
    from dutyline.report.comparison import comparison_document

    expect(path, PATH, "path", 'Name a file: "changes.pdf".')
    target = target_path(os.fspath(path), None, None, DOCUMENTS)
    try:
        write_document(comparison_document(result), target, DOCUMENTS[target.suffix.lower()])  # type: ignore[arg-type]
    except OSError as error:
        reason = error.strerror or str(error)
        fault = Fault("", "--to", f"this cannot be written: {reason}.", "Name another with --to.")
        raise InputError(str(path), [fault]) from None
