"""From a verdict to the whole page."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from dutyline.app.workbench.courses import course, cycle_said, plane
from dutyline.app.workbench.fields import RIGHT, Faults
from dutyline.app.workbench.judged import Judged
from dutyline.app.workbench.ledger import groups
from dutyline.app.workbench.parts import parts
from dutyline.app.workbench.phases import Rows, phases
from dutyline.app.workbench.records import BelowView, Picture, QuestionView, Wrong
from dutyline.app.workbench.shortlist import names_of
from dutyline.axis.edit_variants import typed_at
from dutyline.axis.model import Axis, Question
from dutyline.core.errors import Fault
from dutyline.core.once import Once
from dutyline.core.version import VERSION
from dutyline.report.sections.answer import answer, duty_figure
from dutyline.report.sections.cautions import cautions, unusual
from dutyline.report.sections.ledger import counted
from dutyline.store.records import Content

MOST_QUESTIONS = 7
_LABELS = 11.5
"""Size of the labels of the duty line [pt of its drawing], as the style sheet sets them."""


def picture(
    judged: Judged,
    faults: Faults | None = None,
    was: Mapping[str, float] | None = None,
    rows: Rows | None = None,
) -> Picture:
    """The page of a judged sheet.

    Parameters
    ----------
    judged : Judged
    faults : mapping of str to Wrong, optional
        What is wrong with fields typed since, by path.
    was : mapping of str to float, optional
        Used shares before the last edit of the lines that it moved, by their key.
    rows : sequence of mapping, optional
        Phases as they stand, where that is not what was judged.
    """
    axis, verdict = judged.axis, judged.verdict
    wrong = faults or {}
    asked = sorted(axis.questions, key=lambda q: q.rank)
    with axis.reader.served():
        said = answer(verdict)
        duty = duty_figure(verdict, tuple((was or {}).values()), _LABELS)
        shown = verdict.cases[0] if verdict.cases else verdict
        train, together = parts(verdict, wrong)
        combination = verdict.combination
        return Picture(
            title=axis.title,
            project=", ".join(t for t in (axis.project, axis.customer) if t),
            marks=said.states,
            sentence=said.sentence,
            rest=said.rest,
            duty=duty.svg,
            duty_alt=duty.alt,
            together=together,
            parts=train,
            cycle=cycle_said(verdict),
            phases=phases(axis, wrong, rows),
            course=course(shown),
            plane=plane(shown),
            plane_of=" on ".join(n for n in (combination.motor, combination.drive) if n),
            questions=tuple([_question(q, wrong) for q in asked[:MOST_QUESTIONS]]),
            more_questions=max(0, len(asked) - MOST_QUESTIONS),
            beneath=Once(partial(_below, judged)),
            foot=_foot(axis),
            version=f"dutyline {VERSION}",
            checksum=axis.checksum[:8],
            words=axis.enquiry,
            names=names_of(combination),
        )


def _below(judged: Judged) -> BelowView:
    axis, verdict = judged.axis, judged.verdict
    rare = unusual(axis.notes)
    with axis.reader.served():
        return BelowView(
            groups=groups(verdict),
            checks=len(counted(verdict)),
            cautions=cautions(verdict).items,
            notes=tuple([n for n in axis.notes if n not in rare]),
        )


def _question(asked: Question, wrong: Faults) -> QuestionView:
    own = wrong.get(asked.path, RIGHT)
    return QuestionView(
        asked.text, asked.effect, asked.path, asked.used, own.typed, own.said, own.meanings
    )


def _foot(axis: Axis) -> str:
    named = ", ".join(t for t in (axis.project, axis.title) if t)
    return (
        f"{named}. Computed by dutyline {VERSION} from {axis.file}, checksum {axis.checksum[:8]}."
    )


def wrong_in(content: Content, faults: tuple[Fault, ...]) -> dict[str, Wrong]:
    """What stands in fields that cannot be used, and why; of a variant those of the one shown."""
    own = f"variant.{content.variant}."
    found = {}
    for f in faults:
        path = f.field.removeprefix(own) if content.variant else f.field
        if path:
            said = " ".join(t for t in (f.read, f.remedy) if t)
            found[path] = Wrong(typed_at(content.text, content.variant, path), said, f.meanings)
    return found
