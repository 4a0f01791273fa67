"""axe-core 4.14.1 finds nothing to complain of on a first visit and after a reload."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Any

from browser.conftest import Bench, Opened, ready, watched

VENDOR = Path(__file__).resolve().parents[1] / "vendor" / "axe-core"
SIZES = ({"width": 1280, "height": 800}, {"width": 1920, "height": 1080})
RUN = """async () => (await axe.run(document, {resultTypes: ['violations']})).violations.flatMap(
    v => v.nodes.map(n => `${v.id}: ${n.target.join(' ')} ${n.failureSummary.slice(0, 300)}`))"""


def complaints(page: Any, state: str) -> list[str]:
    """What axe-core finds in a page as it stands, in both themes and sizes."""
    page.evaluate((VENDOR / "axe.min.js").read_text(encoding="utf-8"))
    found = []
    for theme, size in (("light", SIZES[0]), ("dark", SIZES[1])):
        page.emulate_media(color_scheme=theme)
        page.set_viewport_size(size)
        found += [f"{state}, {theme}, {size['width']}: {said}" for said in page.evaluate(RUN)]
    page.set_viewport_size(SIZES[0])
    return found


def test_the_script_is_the_one_named() -> None:
    said = re.search(r"axe\.min\.js`: ([0-9a-f]{64})", (VENDOR / "NOTES.md").read_text("utf-8"))
    assert said is not None
    assert hashlib.sha256((VENDOR / "axe.min.js").read_bytes()).hexdigest() == said[1]


def test_the_strip_of_the_solved_example(context: Any, bench: Bench, wrong: list[str]) -> None:
    page = watched(context.new_page(), wrong)
    page.goto(bench.address)
    ready(page)
    found = complaints(page, "first visit")
    page.close()
    assert found == []


def test_a_bad_value_after_a_reload(axis: Opened) -> None:
    page = axis.page
    page.click("[data-open=load]")
    page.fill("#load-mass", "45 kfg")
    page.press("#load-mass", "Tab")
    page.wait_for_selector(".strip.bad")
    page.reload()
    ready(page)
    assert page.input_value("#load-mass") == "45 kfg"
    assert page.inner_text("#strip").startswith("Last good result. load.mass: ")
    assert complaints(page, "bad value after a reload") == []
