"""Journeys through variants: made, named, edited, pointed at, chosen by keys, taken out."""

from __future__ import annotations

import tomllib
from typing import Any

from browser.conftest import Opened, settled


def add(page: Any, name: str) -> None:
    page.click("#add-variant")
    page.keyboard.type(name)
    page.keyboard.press("Enter")
    page.wait_for_selector(f'.chip[data-variant="{name}"][aria-pressed=true]')


def test_a_variant_is_made_edited_and_compared(axis: Opened) -> None:
    page = axis.page
    add(page, "heavier")
    page.fill("#load-mass", "36 kg")
    settled(page, "36 kg")
    page.wait_for_selector(".r-variants td:has-text('36 kg')")
    own = tomllib.loads(axis.text)
    filed = own["load"]["mass"]
    assert filed["value"] == "28 kg"
    typed = {**filed, "value": "36 kg"}  # where it comes from goes along
    assert own["variant"] == [{"name": "heavier", "set": {"load.mass": typed}}]
    rows = page.locator(".r-variants tbody tr")
    assert rows.first.inner_text().split("\t") == ["Moving mass", "28 kg", "36 kg"]
    page.click("#undo")
    assert page.input_value("#load-mass") == "28 kg"
    page.wait_for_selector(".r-variants td:has-text('36 kg')", state="detached")


def test_a_chip_under_the_pointer_shows_its_ghosts(axis: Opened) -> None:
    page = axis.page
    add(page, "heavier")
    page.fill("#load-mass", "36 kg")
    page.wait_for_selector('.chip[data-variant=""][data-duty^=M]')
    page.hover('.chip[data-variant=""]')
    assert page.locator(".ledger g.beside .ghost").count() > 10
    assert page.locator(".rug g.beside .ghost").count() == 1
    assert page.locator("svg.beside .thin-loop").count() == 1
    page.hover("h1")
    assert page.locator(".beside").count() == 0


def test_variants_by_keys_alone(axis: Opened) -> None:
    page = axis.page
    add(page, "A")
    add(page, "B")
    page.focus('.chip[data-variant="B"]')
    page.keyboard.press("1")
    page.wait_for_selector('.chip[data-variant=""][aria-pressed=true]')
    page.keyboard.press("ArrowRight")
    page.keyboard.press("F2")
    page.keyboard.press("Control+A")
    page.keyboard.type("longer")
    page.keyboard.press("Enter")
    page.wait_for_selector('.chip[data-variant="longer"]')
    page.focus('.chip[data-variant="B"]')
    page.keyboard.press("Delete")
    page.wait_for_selector('.chip[data-variant="B"]', state="detached")
    assert [v["name"] for v in tomllib.loads(axis.text)["variant"]] == ["longer"]
    page.keyboard.press("Control+z")
    page.wait_for_selector('.chip[data-variant="B"]')


def test_a_look_makes_none_and_a_candidate_can_be_kept_as_one(axis: Opened) -> None:
    page = axis.page
    page.locator("[data-parts]").nth(1).click()
    page.wait_for_selector(".picks tr.here:nth-child(2)")
    assert page.locator(".chip").count() == 0
    page.locator("[data-keep]").first.click()
    page.wait_for_selector(".chip[aria-pressed=true]:not([data-variant=''])")
    own = tomllib.loads(axis.text)["variant"]
    assert len(own) == 1
    assert any(path.startswith("choose.") for path in own[0]["set"])
