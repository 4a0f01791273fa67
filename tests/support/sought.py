"""What takes seconds to find from a verdict, found once for one and the same verdict."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from dutyline.catalogue.content import content_hash
from dutyline.checks.records import Verdict

Found = TypeVar("Found")


def told(verdict: Verdict) -> str:
    """All that a verdict was worked out from, and its ledger: remedies and reach follow from it."""
    axis, line = verdict.axis, verdict.line
    given = (axis.stated, axis.files, axis.variant, axis.units, axis.decimal, axis.inputs)
    parts = "" if line is None else (content_hash(line), line.thresholds)
    return repr((given, parts, verdict.combination, verdict.ledger))


def once(seek: Callable[[Verdict], Found], found: dict[str, Found]) -> Callable[[Verdict], Found]:
    """``seek`` that looks into ``found`` first, and keeps there what it has sought."""

    def sought(verdict: Verdict) -> Found:
        own = told(verdict)
        if own not in found:
            found[own] = seek(verdict)
        return found[own]

    return sought
