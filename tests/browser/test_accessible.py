"""axe-core 4.14.1 finds nothing to complain of, in every main state, both themes, two sizes."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Any

from browser.conftest import Bench, Opened, ready, settled, watched

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


def test_every_state_of_an_axis(axis: Opened) -> None:
    page = axis.page
    found = complaints(page, "as it opens")
    page.click("[data-open=gearhead]")
    page.select_option("#choose-gearhead", "XG72-16")
    settled(page, "gearhead: XG72-16")
    page.wait_for_selector("button.apply", timeout=60_000)
    page.click(".ledger button.name")
    page.wait_for_selector(".ledger tr.formula:not([hidden]) code")
    for place in (0, 1):
        page.locator("[data-pin]").nth(place).click()
    page.wait_for_selector("#compared table")
    found += complaints(page, "part, formula and comparison open")
    page.click("#add-variant")
    page.keyboard.type("other")
    page.keyboard.press("Enter")
    page.wait_for_selector(".r-variants table")
    page.click("#add-variant")
    page.click("details.change summary")
    found += complaints(page, "a variant, one being named, a phase being changed")
    page.click("#not-named")
    page.click("[data-open=load]")
    page.click("#fields-load .more summary")
    page.fill("#load-mass", "45 kfg")
    page.press("#load-mass", "Tab")
    page.wait_for_selector(".strip.bad")
    page.click("#as-text summary")
    page.click("#history summary")
    page.wait_for_selector("#revisions table")
    found += complaints(page, "bad value, text and revisions open")
    assert found == []


def test_the_page_of_a_new_axis(context: Any, bench: Bench, wrong: list[str]) -> None:
    page = watched(context.new_page(), wrong)
    page.goto(f"{bench.address}/new")
    found = complaints(page, "new axis")
    page.click("button[type=submit]")
    page.wait_for_selector(".strip.bad, body[data-ready=yes]")
    page.close()
    assert found == []


def test_the_strip_of_the_solved_example(context: Any, bench: Bench, wrong: list[str]) -> None:
    page = watched(context.new_page(), wrong)
    page.goto(bench.address)
    ready(page)
    found = complaints(page, "first visit")
    page.close()
    assert found == []


def test_the_list_of_kept_axes(axis: Opened, bench: Bench) -> None:
    page = axis.page
    page.click(".mark a")
    page.wait_for_selector(f'a[href="/axis/{axis.key}"]')
    assert complaints(page, "kept axes") == []


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
