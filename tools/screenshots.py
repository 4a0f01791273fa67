"""Pictures of the workbench's main states for the documentation, in headless Chromium.

python tools/screenshots.py
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))
FOLDER = ROOT / "docs" / "images"
LARGEST = 300_000
"""Bytes of one picture."""


def main() -> None:
    """Write every picture; stop where one is too large."""
    from playwright.sync_api import sync_playwright

    from browser.conftest import CHROMIUM, ready, started
    from dutyline.app.workbench.desk import Desk
    from dutyline.catalogue.library import demo_line
    from dutyline.store.memory import MemoryStore

    if CHROMIUM is None:
        sys.exit("chromium is needed; on Debian: apt-get install chromium")
    bench = started(Desk(MemoryStore(), demo_line()))
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.goto(bench.address)
        ready(page)
        taken(page, "first-visit")
        page.emulate_media(color_scheme="dark")
        taken(page, "dark")
        page.emulate_media(color_scheme="light")
        short_of_reserve(page)
        unreadable(page)
        begun(page, bench.address)
        browser.close()
    bench.stop()


def begun(page: Any, address: str) -> None:
    """A new axis, half of its questions answered."""
    page.goto(f"{address}/new")
    page.click("label.kind:has(input[value=rack])")
    page.fill("#a-load", "12 kg upright")
    page.fill("#a-way", "300 mm in 0.6 s")
    page.fill("#a-words", "We lift cartons of 12 kg by 300 mm, thirty times a minute.")
    page.wait_for_selector("[data-region=cycle] .plot")
    page.evaluate("scrollTo(0, 0)")
    taken(page, "new-axis")


def short_of_reserve(page: Any) -> None:
    """Another gearhead, an opened formula, two pinned."""
    from browser.conftest import settled

    page.click("[data-open=gearhead]")
    page.select_option("#choose-gearhead", "XG72-16")
    settled(page, "gearhead: XG72-16")
    page.wait_for_selector("button.apply", timeout=60_000)
    page.click(".ledger button.name")
    page.wait_for_selector(".ledger tr.formula:not([hidden]) code")
    page.evaluate("document.querySelector('#ledger').scrollIntoView()")
    taken(page, "ledger")
    for place in (0, 1):
        page.locator("[data-pin]").nth(place).click()
    page.wait_for_selector("#compared table")
    page.evaluate("document.querySelector('.r-short').scrollIntoView()")
    taken(page, "compared")


def unreadable(page: Any) -> None:
    """A value that cannot be read; the last good result stays."""
    page.evaluate("scrollTo(0, 0)")
    page.click("[data-open=load]")
    page.fill("#load-mass", "45 kfg")
    page.press("#load-mass", "Tab")
    page.wait_for_selector(".strip.bad")
    taken(page, "bad-value")


def taken(page: Any, name: str) -> None:
    """Write one picture of what is in sight."""
    page.evaluate("document.fonts.ready")
    place = FOLDER / f"workbench-{name}.png"
    page.screenshot(path=str(place))
    size = place.stat().st_size
    print(f"{place.relative_to(ROOT)}  {size // 1000} kB")
    if size > LARGEST:
        sys.exit(f"{place.name} is larger than {LARGEST // 1000} kB")


if __name__ == "__main__":
    main()
