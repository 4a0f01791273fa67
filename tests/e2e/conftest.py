"""What several tests of the command line have in common."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dutyline.app import advise
from dutyline.checks.records import Line
from support.sought import once

FOUND: dict[str, tuple[Line, ...]] = {}
"""Lines with their remedies, by all that they are sought from."""


@pytest.fixture
def remedies_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Remedies of one and the same verdict are sought once, however often a test prints them.

    For tests of streams, widths and words. The verdict itself is worked out in every run; tests of
    remedies and of digits seek them anew.
    """
    seek = advise.advised
    sought = once(lambda verdict: seek(verdict).ledger, FOUND)
    monkeypatch.setattr(advise, "advised", lambda verdict: replace(verdict, ledger=sought(verdict)))
