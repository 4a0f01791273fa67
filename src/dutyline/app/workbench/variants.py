"""The variants of a file side by side: verdicts, ghosts, loops, and what differs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from dutyline.app.variants import Difference, difference, variant_of
from dutyline.app.workbench.asked import Change
from dutyline.app.workbench.effect import ghosts
from dutyline.app.workbench.judged import PARTS, Judged, combination_of, judge, sheet_of
from dutyline.app.workbench.ledger import key_of, row
from dutyline.app.workbench.records import DifferenceView, VariantsView, VariantView
from dutyline.app.workbench.shortlist import names_of
from dutyline.app.workbench.variant_changes import parts_of
from dutyline.app.workbench.wording import bar_place
from dutyline.axis.edit_variants import MOST_VARIANTS, names
from dutyline.axis.read import read_axis
from dutyline.catalogue.pairing import NONE
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.records import Line, Verdict
from dutyline.checks.verdict import verify
from dutyline.core.errors import InputError
from dutyline.demand.trace import MotorTrace
from dutyline.remedies.parts import swaps
from dutyline.report.figures.canvas import number, thin
from dutyline.report.figures.data import PlaneData
from dutyline.report.figures.duty import ghost_path
from dutyline.report.figures.plane import plane_frame
from dutyline.report.sections.answer import answer
from dutyline.report.sections.ledger import counted
from dutyline.report.sections.plots import plane_data
from dutyline.store.records import Content

_TOLERANCE = 0.3
"""How far a thin loop may lie from the one drawn in full [pt]."""


def judged_variants(content: Content, here: Judged | None, line: ProductLine) -> dict[str, Judged]:
    """The file and its variants by name, each with its parts; without those that cannot be judged.

    Parameters
    ----------
    content : Content
    here : Judged or None
        The one that is shown, where it has been judged already.
    line : ProductLine
    """
    named = ("", *names(content.text))
    found: dict[str, Judged] = {}
    if len(named) == 1:
        return {"": here} if here is not None else {}
    try:
        axis = read_axis(content.file, text=content.text)
    except InputError:
        return found
    for name in named:
        if here is not None and name == content.variant:
            found[name] = here
            continue
        parts = parts_of(content, name)
        sheet = sheet_of(replace(content, variant=name, parts=parts))
        try:
            if not parts:
                found[name] = judge(sheet, line)
                continue
            own = variant_of(axis, name or None)
            with own.reader.served():
                found[name] = Judged(sheet, own, verify(own, line, combination_of(parts)))
        except InputError:
            continue
    return found


def whole(change: Change, shown: Judged | None) -> Change:
    """The change; where a remedy takes another part, with all parts that change with that one."""
    kind, verdict = change.get("path"), None if shown is None else shown.verdict
    if change.get("do") != "set" or kind not in PARTS or verdict is None or verdict.line is None:
        return change
    for swap in swaps(verdict.axis, verdict.line, verdict.combination):
        if (swap[0], swap[3]) == (kind, change.get("typed")):
            return {**change, "names": names_of(swap[4])}
    return change


def variants(content: Content, judged: Mapping[str, Judged]) -> VariantsView:
    """Chips and what differs, for a page that shows ``content``."""
    own = names(content.text)
    here = judged.get(content.variant)
    each = tuple(_view(name, content.variant, judged.get(name), here) for name in ("", *own))
    whole = [judged.get(name) for name in ("", *own)]
    known = [one for one in whole if one is not None]
    compared = None
    if own and len(known) == len(whole):
        compared = _difference(known)
    return VariantsView(each, compared, len(own) < MOST_VARIANTS)


def _view(name: str, shown: str, own: Judged | None, here: Judged | None) -> VariantView:
    if own is None:
        return VariantView(name, name == shown)
    with own.axis.reader.served():
        marks = answer(own.verdict).states
        if name == shown or here is None:
            return VariantView(name, name == shown, marks)
        stood = ghosts(own.verdict, here.verdict)
        duty = "".join(ghost_path(used) for used in stood.values())
        bars = {key: round(bar_place(used), 2) for key, used in stood.items()}
        return VariantView(name, False, marks, duty, bars, _loop(here.verdict, own.verdict))


def _loop(here: Verdict, other: Verdict) -> str:
    """The duty trace of another verdict in the plane of this one; empty where units differ."""
    ground, data = _plane(here), _plane(other)
    if ground is None or data is None or ground.torque_title != data.torque_title:
        return ""
    frame = plane_frame(ground)
    xs, ys = thin(frame.x(data.speed), frame.y(data.torque), _TOLERANCE)
    return "M" + " ".join(f"{number(x)} {number(y)}" for x, y in zip(xs, ys, strict=True))


def _plane(verdict: Verdict) -> PlaneData | None:
    shown = verdict.cases[0] if verdict.cases else verdict
    return plane_data(shown, shown.trace) if isinstance(shown.trace, MotorTrace) else None


def _difference(each: list[Judged]) -> DifferenceView:
    """Rows in which at least one variant differs from the file itself, which comes first."""
    base = each[0].verdict
    found = [difference(base, one.verdict) for one in each[1:]]
    checks = _checks(base, found)
    parts = _parts(each)
    told = {f"choose.{kind.lower()}s" for kind, _ in parts}
    return DifferenceView((*parts, *_inputs(found, told)), checks, _alike(base, found))


def _parts(each: list[Judged]) -> list[tuple[str, tuple[str, ...]]]:
    rows = []
    for kind in PARTS:
        cells = tuple(getattr(one.verdict.combination, kind) or NONE for one in each)
        if len(set(cells)) > 1:
            rows.append((kind.capitalize(), cells))
    return rows


def _inputs(found: list[Difference], told: set[str]) -> list[tuple[str, tuple[str, ...]]]:
    changed = [{c.path: c for c in one.inputs if c.path not in told} for one in found]
    rows = []
    for path in dict.fromkeys(path for one in changed for path in one):
        first = next(one[path] for one in changed if path in one)
        before = first.before or "not stated"
        cells = [one[path].after or "not stated" if path in one else before for one in changed]
        rows.append((_labelled(path, first.label), (before, *cells)))
    return rows


def _labelled(path: str, label: str) -> str:
    """A field, with the phase or stage it belongs to."""
    section, _, rest = path.partition(".")
    own = rest.rpartition(".")[0]
    return f"{label} of {own}" if section in ("phase", "stage") and own else label


def _checks(
    base: Verdict, found: list[Difference]
) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    told = {(ln.check, ln.part) for one in (base, *(f.after for f in found)) for ln in counted(one)}
    changed = [
        {(line.check, line.part): pair for pair in one.lines if (line := pair.after or pair.before)}
        for one in found
    ]
    before = {(ln.check, ln.part): ln for ln in base.ledger}
    rows = []
    for key in dict.fromkeys(key for one in changed for key in one if key in told):
        pairs = [one.get(key) for one in changed]
        first = before.get(key)
        cells = [_cell(first, base)]
        for one, pair in zip(found, pairs, strict=True):
            cells.append(_cell(first, base) if pair is None else _cell(pair.after, one.after))
        if len(set(cells)) > 1:
            line = first or next(p.after for p in pairs if p is not None and p.after is not None)
            rows.append((f"{line.title}, {line.part}", tuple(cells)))
    return tuple(rows)


def _cell(line: Line | None, verdict: Verdict) -> tuple[str, str]:
    if line is None:
        return "", "no such check"
    with verdict.axis.reader.served():
        shown = row(line)
    return shown.mark, shown.used or shown.state


def _alike(base: Verdict, found: list[Difference]) -> int:
    """Checks that no variant moves."""
    moved = {key_of(line) for one in found for p in one.lines if (line := p.before or p.after)}
    return sum(key_of(line) not in moved for line in counted(base))
