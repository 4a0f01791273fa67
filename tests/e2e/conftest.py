"""What several tests of the command line have in common."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dutyline.app import advise
from dutyline.catalogue.content import content_hash
from dutyline.checks.records import Line, Verdict

FOUND: dict[str, tuple[Line, ...]] = {}
"""Lines with their remedies, by all that they are sought from."""


@pytest.fixture
def remedies_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Remedies of one and the same verdict are sought once, however often a test prints them.

    For tests of streams, widths and words. The verdict itself is worked out in every run; tests of
    remedies and of digits seek them anew.
    """
    seek = advise.advised

    def sought_once(verdict: Verdict) -> Verdict:
        axis, line = verdict.axis, verdict.line
        given = (axis.stated, axis.files, axis.variant, axis.units, axis.decimal, axis.inputs)
        parts = "" if line is None else (content_hash(line), line.thresholds)
        told = repr((given, parts, verdict.combination, verdict.ledger))
        if told not in FOUND:
            FOUND[told] = seek(verdict).ledger
        return replace(verdict, ledger=FOUND[told])

    monkeypatch.setattr(advise, "advised", sought_once)
