"""Every main state of the page: axe-core 4.14.1 in both themes and sizes, spacing, contrast."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

import pytest

from browser.conftest import Opened, ready, settled
from browser.test_accessible import RUN, VENDOR

SIZES = ({"width": 1280, "height": 800}, {"width": 1920, "height": 1080})
SHOTS = os.environ.get("DUTYLINE_SHOTS", "")
SPACED = """* { line-height: 1.5 !important; letter-spacing: 0.12em !important;
    word-spacing: 0.16em !important } p { margin-bottom: 2em !important }"""
"""WCAG 2.2, success criterion 1.4.12, text spacing."""
CUT_TEXTS = """() => [...document.querySelectorAll(
    'button, label, h1, h2, h3, th, td, p, .sh > span')]
    .filter(e => e.checkVisibility() && !e.closest('.vh, .fl, .rail, .rest, .effect, thead'))
    .filter(e => getComputedStyle(e).overflowX !== 'visible' && e.scrollWidth > e.clientWidth + 1)
    .map(e => e.textContent.trim().slice(0, 60))"""
"""Texts of which a piece is not to be seen."""
OVER = """() => document.documentElement.scrollWidth <= innerWidth ? []
    : [...document.querySelectorAll('body *')]
        .filter(e => e.getBoundingClientRect().right > innerWidth && !e.closest('.vh'))
        .map(e => e.outerHTML.slice(0, 100))"""
"""What runs out of the page at the right."""
WALKED = """() => { const e = document.activeElement;
    if (e === document.body) return '';
    e.dataset.walked = 'yes';
    const seen = [e, e.closest('.fi, .kind, .pick')].some(
        x => x && getComputedStyle(x).outlineStyle !== 'none');
    const r = e.getBoundingClientRect(), top = document.querySelector('header.top');
    const under = !top.contains(e) && !e.matches('.skip') && r.height < 300
        && r.top < top.getBoundingClientRect().bottom - 1;
    return (seen && !under) ? 'seen' : 'unseen ' + e.outerHTML.slice(0, 120); }"""
LEFT = """() => [...document.querySelectorAll(
    'a[href], button:not([disabled]), input, select, textarea, summary, [tabindex="0"]')]
    .filter(e => e.checkVisibility({visibilityProperty: true}) && e.tabIndex >= 0
        && !e.dataset.walked).map(e => e.outerHTML.slice(0, 120))"""


def solved(axis: Opened) -> None:
    pass


def editing(axis: Opened) -> None:
    axis.page.click("[data-open=load]")
    axis.page.click("#load-mass")
    axis.page.keyboard.type("1")


def bad_value(axis: Opened) -> None:
    axis.page.click("[data-open=load]")
    axis.page.fill("#load-mass", "45 kfg")
    axis.page.press("#load-mass", "Tab")
    axis.page.wait_for_selector(".strip.bad")


def conflict(axis: Opened) -> None:
    axis.desk.edit(axis.key, 1, {"do": "set", "path": "load.mass", "typed": "31 kg"})
    axis.page.fill("#load-mass", "32 kg")
    axis.page.press("#load-mass", "Tab")
    axis.page.wait_for_selector("#strip button")


def offline(axis: Opened) -> None:
    axis.page.route("**/edit", lambda route: route.abort())
    axis.page.fill("#load-mass", "32 kg")
    axis.page.press("#load-mass", "Tab")
    axis.page.wait_for_selector(".strip.wait")


def failing(axis: Opened) -> None:
    axis.page.click("[data-open=gearhead]")
    axis.page.select_option("#choose-gearhead", "XG72-16")
    settled(axis.page, "gearhead: XG72-16")
    axis.page.wait_for_selector("button.apply", timeout=60_000)
    axis.page.click(".ledger button.name")
    axis.page.wait_for_selector(".ledger tr.formula:not([hidden]) code")


def pinned(axis: Opened) -> None:
    for place in (0, 1):
        axis.page.locator("[data-pin]").nth(place).click()
    axis.page.wait_for_selector("#compared table")


def variants(axis: Opened) -> None:
    axis.page.click("#add-variant")
    axis.page.keyboard.type("other")
    axis.page.keyboard.press("Enter")
    axis.page.wait_for_selector(".r-variants table")
    axis.page.click("#add-variant")
    axis.page.click("details.change summary")


def revisions(axis: Opened) -> None:
    axis.desk.edit(axis.key, 1, {"do": "set", "path": "load.mass", "typed": "31 kg"})
    axis.page.reload()
    ready(axis.page)
    axis.page.click("#history summary")
    axis.page.wait_for_selector("#revisions table")


def text_view(axis: Opened) -> None:
    axis.page.click("#as-text summary")
    axis.page.wait_for_function("() => document.querySelector('#file-text').value.length > 9")


def new_axis(axis: Opened) -> None:
    axis.page.goto(axis.page.url.partition("/axis")[0] + "/new")
    axis.page.click("label.kind:has(input[value=hoist])")
    axis.page.fill("#a-load", "12 stones")
    axis.page.fill("#a-way", "2 m in 3 s")
    axis.page.wait_for_selector("#a-load-e:not([hidden])")


def kept_axes(axis: Opened) -> None:
    axis.page.click(".mark a")
    axis.page.wait_for_selector(f'a[href="/axis/{axis.key}"]')


STATES = (solved, editing, bad_value, conflict, offline, failing, pinned, variants, revisions,
          text_view, new_axis, kept_axes)  # fmt: skip
EXPECTED = ("ERR_FAILED", "409 (Conflict)")


@pytest.fixture(params=STATES, ids=lambda state: state.__name__)
def state(request: pytest.FixtureRequest, axis: Opened, wrong: list[str]) -> Iterator[Opened]:
    """The page in one of its states."""
    request.param(axis)
    yield axis
    axis.page.unroute_all()  # what waits offline is sent now: nothing fails after this line
    axis.page.evaluate("0")
    axis.page.emulate_media(color_scheme="light", forced_colors="none", contrast="no-preference")
    axis.page.set_viewport_size(SIZES[0])
    wrong[:] = [w for w in wrong if not any(word in w for word in EXPECTED)]


def pictured(page: Any, name: str) -> None:
    """A picture to look at, where a folder for them is named."""
    if SHOTS:
        page.screenshot(path=f"{SHOTS}/{name}.png", full_page=True)


def test_nothing_to_complain_of(state: Opened, request: pytest.FixtureRequest) -> None:
    page, name = state.page, request.node.callspec.id
    page.evaluate((VENDOR / "axe.min.js").read_text(encoding="utf-8"))
    found = []
    for size in SIZES:
        page.set_viewport_size(size)
        for theme in ("light", "dark"):
            page.emulate_media(color_scheme=theme)
            found += [f"{theme} {size['width']}: {said}" for said in page.evaluate(RUN)]
            pictured(page, f"{name}-{size['width']}-{theme}")
    page.emulate_media(forced_colors="active", color_scheme="dark", contrast="more")
    found += [f"forced colours: {said}" for said in page.evaluate(RUN)]
    pictured(page, f"{name}-forced")
    page.emulate_media(forced_colors="none", color_scheme="light")
    page.set_viewport_size({"width": 640, "height": 400})
    assert page.evaluate(OVER) == [], "200 % zoom"
    pictured(page, f"{name}-zoomed")
    page.set_viewport_size({"width": 3840, "height": 2160})
    assert page.evaluate(OVER) == [], "4K"
    pictured(page, f"{name}-4k")
    page.set_viewport_size(SIZES[0])
    page.evaluate(
        "css => { const s = new CSSStyleSheet(); s.replaceSync(css);"
        " document.adoptedStyleSheets = [s]; }",
        SPACED,
    )
    assert page.evaluate(OVER) == [], "text spacing"
    pictured(page, f"{name}-spaced")
    assert page.evaluate(CUT_TEXTS) == []
    assert found == []


def test_keys_reach_everything_and_focus_is_always_seen(axis: Opened) -> None:
    """WCAG 2.2, 2.1.1, 2.4.7 and 2.4.11; radio buttons and strips are one stop with arrows."""
    page = axis.page
    page.click("[data-open=load]")
    page.click("#as-text summary")
    page.wait_for_function("() => document.querySelector('#file-text').value.length > 9")
    page.click("#history summary")
    page.wait_for_selector("#revisions table")
    page.evaluate("document.activeElement.blur(); scrollTo(0, 0)")
    page.focus(".skip")
    page.keyboard.press("Tab")
    page.keyboard.press("Shift+Tab")
    unseen = []
    for _ in range(400):
        said = page.evaluate(WALKED)
        if not said:
            break
        unseen += [said] if said != "seen" else []
        page.keyboard.press("Tab")
    assert unseen == []
    assert page.evaluate(LEFT) == []
