"""What the last edit did to the checks, in one sentence."""

from __future__ import annotations

import math

from dutyline.app.workbench.ledger import key_of
from dutyline.checks.records import Line, Verdict
from dutyline.checks.sentence import shares_nothing
from dutyline.core.wording import lower_first
from dutyline.report.sections.ledger import counted
from dutyline.report.words import share

_MOST = 3
_SAME = 5e-3


def effect(before: Verdict | None, after: Verdict, what: str) -> str:
    """The edit and the checks it moved most, those nearest their limits first."""
    if before is None or not what:
        return what
    old = {key_of(line): line for line in before.ledger}
    moved = []
    for line in after.ledger:
        was = old.get(key_of(line))
        if was is None or not (_measured(line) and _measured(was)):
            continue
        change = abs((line.used or 0.0) - (was.used or 0.0))
        if change >= _SAME:
            moved.append((change * max(line.used or 0.0, was.used or 0.0), was, line))
    moved.sort(key=lambda found: -found[0])
    said = [
        f"{lower_first(now.title)} {share(was.used or 0.0)} → {share(now.used or 0.0)}"
        for _, was, now in moved[:_MOST]
    ]
    return f"{what}: {', '.join(said)}" if said else f"{what}: no check moved"


def ghosts(before: Verdict | None, after: Verdict) -> dict[str, float]:
    """Used shares before the edit of the lines that it moved, by their key."""
    if before is None:
        return {}
    now = {key_of(line): line.used for line in counted(after) if _measured(line)}
    found = {}
    for line in counted(before):
        used = now.get(key_of(line)) if _measured(line) else None
        if used is not None and abs(used - (line.used or 0.0)) >= _SAME:
            found[key_of(line)] = line.used or 0.0
    return found


def _measured(line: Line) -> bool:
    return line.used is not None and math.isfinite(line.used) and not shares_nothing(line)
