"""Nothing on a page moves by itself, and every printed page has a foot (WCAG 2.2, 2.3.3)."""

from __future__ import annotations

import re
from importlib.resources import files

STATIC = files("dutyline.web") / "static"
MOVING = re.compile(
    r"transition|animat|@keyframes|scroll-behavior|behavior:|requestAnimationFrame|setInterval"
)


def test_nothing_animates_and_nothing_scrolls_smoothly() -> None:
    """Who asks for less motion gets what everybody gets: none."""
    read = [entry for entry in STATIC.iterdir() if entry.name.endswith((".css", ".js"))]
    assert len(read) > 20
    found = {entry.name: MOVING.findall(entry.read_text("utf-8")) for entry in read}
    once = {"sight.js": ["requestAnimationFrame"]}  # asked for one frame, to draw behind it
    assert {name: words for name, words in found.items() if words} == once


def test_pages_are_numbered_on_paper_without_scripts_too() -> None:
    """Margin boxes of CSS Paged Media Module Level 3, section 5; the script only adds the axis."""
    page = re.search(r"@page\{(?:[^{}]|\{[^{}]*\})*\}", (STATIC / "print.css").read_text("utf-8"))
    assert page is not None
    assert re.search(r"@bottom-right\{content:counter\(page\)[^}]*counter\(pages\)", page[0])
