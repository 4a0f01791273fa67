"""Every promise on the page about safety names a test that there is."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "explanation" / "safety.md"


def test_every_promise_has_its_test() -> None:
    rows = [r for r in PAGE.read_text("utf-8").splitlines() if r.startswith("| ")][1:]
    assert len(rows) > 15
    for row in rows:
        named = re.search(r"`(test_\w+\.py)::(test_\w+)`", row)
        assert named is not None, row
        (file,) = (ROOT / "tests").rglob(named[1])
        assert f"def {named[2]}(" in file.read_text("utf-8"), row


def test_the_numbers_of_the_page_are_those_of_the_server() -> None:
    from dutyline.web.connections import Patience
    from dutyline.web.guard import LARGEST, MOST_PER_SECOND
    from dutyline.web.timed import LONGEST

    kept, text = Patience(), PAGE.read_text("utf-8")
    assert f"A head has {kept.head:g} s and 64 kB, a body {kept.body:g} s" in text
    assert f"within {kept.reading:g} s" in text
    assert f"more than {kept.most}, or {kept.most_of_one} from one address" in text
    assert f"at most {LARGEST // 1_000_000} MB" in text
    assert f"at most {MOST_PER_SECOND * 10} times in ten seconds" in text
    assert f"ends after {LONGEST:g} s" in text
