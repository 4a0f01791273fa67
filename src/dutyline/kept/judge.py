"""A kept verdict judged anew on the line it was made with and on the other one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from dutyline.axis.beside import checksum_beside
from dutyline.axis.model import Axis
from dutyline.axis.read import read_axis
from dutyline.catalogue.content import content_hash
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.core.errors import Fault, InputError
from dutyline.editions.records import Difference
from dutyline.editions.touch import Touched, touched
from dutyline.editions.words import titles
from dutyline.kept.gather import Axes
from dutyline.kept.records import RANK, Judged, Kept, Moved, Outcome

SAME = 1e-9
"""Difference of margins up to which a line did not move."""
REPRODUCED = 1e-6
"""Likewise against a recorded one."""
_STATES = {"meets": 0, "short": 1, "not-checked": 2, "fails": 3}

Verify = Callable[[Axis, Kept, ProductLine], Verdict]
"""Judges the parts of a kept verdict on an axis as it was judged: with settling simulated, with
estimates, or without."""


def judge(kept: Kept, axes: Axes, found: Difference, verify: Verify) -> Judged:
    """What becomes of a kept verdict.

    Parameters
    ----------
    kept : Kept
    axes : Axes
        Among which its axis file is looked for.
    found : Difference
        Of the two lines.
    verify : callable
        Judges a combination.
    """
    if kept.fault:
        return Judged(kept, "not judged", remarks=(f"The file {kept.fault}",))
    own = touched(found, _parts(kept.combination))
    path, very = axes.of(kept)
    if path is None:
        told = f"The axis file {kept.axis_file or 'of it'} is not among the kept files."
        return Judged(kept, "not judged", touched=own, remarks=(told,))
    try:
        axis = _axis(path, kept.variant)
    except InputError as error:
        told = f"The axis file {path} cannot be used: {_first(error)}"
        return Judged(kept, "not judged", touched=own, remarks=(told,))
    remarks = [] if very else [f"The axis file {path.name} was changed since."]
    if very and axes.otherwise(kept):
        remarks.append(f"{kept.axis_file} beside it was changed since; judged on {path}.")
    remarks += _files_beside(kept, axis) if very else []
    first, second = titles(found)
    before, why = _verdict(axis, kept, found.before, verify)
    remarks += _unlike(kept, before, why, found.before, first)
    after, why = _verdict(axis, kept, found.after, verify)
    if after is None and not own.gone:
        remarks.append(f"On {second}: {why}")
    then = kept.verdict or ("" if before is None else before.verdict)
    return Judged(
        kept=kept,
        outcome=_outcome(then, after, own),
        axis=axis,
        before=before,
        after=after,
        touched=own,
        moved=_moved(before, after),
        remarks=tuple(remarks),
    )


def _parts(combination: Combination) -> Mapping[str, str | None]:
    return {
        "motors": combination.motor,
        "gearheads": combination.gearhead,
        "drives": combination.drive,
        "brakes": combination.brake,
        "resistors": combination.resistor,
    }


def _axis(path: Path, variant: str) -> Axis:
    axis = read_axis(path)
    if not variant:
        return axis
    named = {own.variant: own for own in axis.variants}
    if variant not in named:
        raise InputError(path.name, [Fault("", "", f'there is no variant "{variant}".')])
    return named[variant]


def _first(error: InputError) -> str:
    fault = error.faults[0]
    return ": ".join(part for part in (fault.place, fault.field, fault.read) if part)


def _files_beside(kept: Kept, axis: Axis) -> list[str]:
    return [
        f"The file {name} beside the axis file was changed since."
        for name, checksum in kept.files.items()
        if checksum and name in axis.files and checksum_beside(axis.files[name]) != checksum
    ]


def _verdict(
    axis: Axis, kept: Kept, line: ProductLine, verify: Verify
) -> tuple[Verdict | None, str]:
    try:
        return verify(axis, kept, line), ""
    except InputError as error:
        return None, _first(error)


def _unlike(
    kept: Kept, before: Verdict | None, why: str, line: ProductLine, name: str
) -> list[str]:
    """What speaks against the first line being the one that the verdict was made with."""
    said = []
    other = kept.content_hash and kept.content_hash != content_hash(line)
    if other:
        edition = f", edition {kept.edition}" if kept.edition else ""
        said.append(
            f"It was made with other data{edition} (content {kept.content_hash[:8]}), not with "
            f"{name} (content {content_hash(line)[:8]})."
        )
    if before is None:
        return [*said, f"On {name}: {why}"]
    if not kept.verdict:
        return said
    if kept.verdict != before.verdict:
        said.append(
            f"Recorded was {kept.verdict}; {name} gives {before.verdict} with this version."
        )
    elif kept.ledger and _otherwise(kept, before):
        count = _otherwise(kept, before)
        lines = "1 line" if count == 1 else f"{count} lines"
        said.append(f"{lines} of the recorded ledger differ on {name} with this version.")
    return said


def _otherwise(kept: Kept, before: Verdict) -> int:
    """Recorded lines that the first line does not give again."""
    own = {(line.check, line.part): line for line in before.ledger}
    count = 0
    for row in kept.ledger:
        line = own.pop((row.check, row.part), None)
        if line is None or line.state != row.state or _apart(row.margin, line.margin, REPRODUCED):
            count += 1
    return count + len(own)


def _apart(one: float | None, other: float | None, most: float) -> bool:
    """Whether two margins differ; what is not finite was recorded as none."""
    if one is None or other is None:
        return one is not None or (other is not None and abs(other) < float("inf"))
    if one == other:
        return False
    return not abs(one - other) <= most * max(1.0, abs(one))


def _outcome(then: str, after: Verdict | None, own: Touched) -> Outcome:
    if after is None:
        held = then == "meets"
        return ("lost" if held else "worse") if own.gone else "not judged"
    if not then:
        return "not judged"
    if RANK[after.verdict] > RANK[then]:
        return "lost" if then == "meets" else "worse"
    if then == "meets":
        return "holds"
    return "as before" if after.verdict == then else "better"


def _moved(before: Verdict | None, after: Verdict | None) -> tuple[Moved, ...]:
    if before is None or after is None:
        return ()
    old, new = ({(ln.check, ln.part): ln for ln in v.ledger} for v in (before, after))
    pairs = [Moved(old.get(key), new.get(key)) for key in dict.fromkeys([*old, *new])]
    return tuple(sorted((p for p in pairs if _moves(p)), key=_harm))


def _moves(pair: Moved) -> bool:
    one, other = pair.before, pair.after
    if one is None or other is None:
        return True
    return one.state != other.state or _shift(one, other)


def _shift(one: Line, other: Line) -> bool:
    if one.margin is None or other.margin is None:
        return one.margin is not other.margin
    if one.margin == other.margin:
        return False
    return not abs(one.margin - other.margin) <= SAME


def _harm(pair: Moved) -> tuple[int, int, float]:
    """Must lines that became worse first, then by how far the margin fell."""
    one, other = pair.before, pair.after
    must = any(ln is not None and ln.severity == "must" for ln in (one, other))
    states = [0 if ln is None else _STATES[ln.state] for ln in (one, other)]
    margins = [0.0 if ln is None or ln.margin is None else ln.margin for ln in (one, other)]
    fall = max(min(margins[1], 1e9), -1e9) - max(min(margins[0], 1e9), -1e9)
    return (states[0] - states[1], 0 if must else 1, fall)
