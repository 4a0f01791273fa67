"""Journeys through the cycle: phases by pointer, by keys, in their table; one too short."""

from __future__ import annotations

import tomllib
from typing import Any

from browser.conftest import Opened, settled

AT_REST = """async () => {
  for (let stood = -1; stood !== scrollY;) {
    stood = scrollY;
    await new Promise((later) => setTimeout(later, 150));
  }
}"""
"""The page scrolls no more."""


def file(axis: Opened) -> list[dict[str, Any]]:
    return tomllib.loads(axis.text)["phase"]


def names(axis: Opened) -> list[str]:
    return [p.get("name", "") for p in file(axis)]


def block(page: Any, number: int) -> dict[str, float]:
    page.locator(".rail").scroll_into_view_if_needed()
    return page.locator(".pb").nth(number - 1).bounding_box()


def drag(page: Any, start: float, end: float, y: float, *, hold: bool = False) -> None:
    page.mouse.move(start, y)
    page.mouse.down()
    page.mouse.move(end, y, steps=4)
    if not hold:
        page.mouse.up()


def touch(page: Any, start: tuple[float, float], across: float, down: float = 0.0) -> None:
    """A finger put down, moved and lifted."""
    hand = page.context.new_cdp_session(page)
    hand.send("Emulation.setTouchEmulationEnabled", {"enabled": True})

    def act(kind: str, *points: dict[str, float]) -> None:
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": list(points)})

    for k in range(5):
        at = {"x": start[0] + across * k / 4, "y": start[1] + down * k / 4}
        act("touchMove" if k else "touchStart", at)
    act("touchEnd")
    hand.detach()


def kept(page: Any) -> None:
    """Wait until everything that was sent is kept."""
    page.wait_for_function(
        "() => !document.querySelector('#saved').textContent.startsWith('Saving')"
    )


def test_an_end_is_dragged_with_its_time_and_a_ghost(axis: Opened) -> None:
    page = axis.page
    box = block(page, 1)
    middle, right = box["y"] + 20, box["x"] + box["width"] - 3
    drag(page, right, right + 30, middle, hold=True)
    assert page.locator(".rail .old").count() == 1
    own = page.locator(".pb").first.locator(".pt")
    settled(page, "time of up")
    kept(page)
    assert page.locator(".rail .old").count() == 1, "the ghost outlives the redrawing"
    said = own.inner_text()
    page.mouse.up()
    kept(page)
    assert page.locator(".rail .old").count() == 0
    time = float(file(axis)[0]["time"].split()[0])
    assert 0.66 < time < 0.76
    assert abs(float(said.replace("\u00a0", " ").split()[0]) - time) < 1e-9
    assert [p["time"] for p in file(axis)[1:]] == ["0.4 s", "0.6 s", "0.4 s"]
    page.click("#undo")
    page.wait_for_function(
        "() => document.querySelector('.pb .pt').textContent.startsWith('0.600')"
    )
    kept(page)
    assert file(axis)[0]["time"] == "0.6 s", "one drag is one step"
    box = block(page, 1)
    drag(page, right, right + 30, box["y"] + 20, hold=True)
    settled(page, "time of up")
    page.keyboard.press("Escape")
    settled(page, "time of up: 0.6 s")
    assert [p["time"] for p in file(axis)] == ["0.6 s", "0.4 s", "0.6 s", "0.4 s"]
    page.mouse.up()


def test_a_start_is_dragged_by_a_finger_and_the_cycle_keeps_its_time(axis: Opened) -> None:
    page = axis.page
    box = block(page, 2)
    stood = page.evaluate("scrollY")
    touch(page, (box["x"] + 40, box["y"] + 20), 0.0, down=-120.0)
    page.wait_for_function("stood => scrollY > stood", arg=stood)
    page.evaluate(AT_REST)
    assert page.locator(".rail .old").count() == 0, "along the page it scrolls"
    box = block(page, 2)
    touch(page, (box["x"] + 5, box["y"] + 20), 27.0)
    settled(page, "time of up, time of unload")
    kept(page)
    up, unload = (float(p["time"].split()[0]) for p in file(axis)[:2])
    assert up > 0.65
    assert abs(up + unload - 1.0) < 1e-9


def test_saved_is_not_said_while_a_newer_place_of_the_pointer_waits(axis: Opened) -> None:
    page = axis.page
    page.evaluate(
        """() => {
          const own = window.fetch;
          window.edits = 0;
          const held = new Promise((go) => { window.go = go; });
          window.fetch = async (place, asked) => {
            const edit = String(place).endsWith('/edit');
            if (edit) window.edits += 1;
            const answer = await own(place, asked);
            if (edit) await held;
            return answer;
          };
          window.said = [];
          new MutationObserver(() => {
            const saving = document.querySelector('#saved').innerText.startsWith('Saving');
            if (!saving) window.said.push(window.edits);
          }).observe(document.querySelector('#saved'),
                     {subtree: true, childList: true, characterData: true});
        }"""
    )
    box = block(page, 1)
    right = box["x"] + box["width"] - 3
    drag(page, right, right + 30, box["y"] + 20, hold=True)
    page.evaluate("() => window.go()")
    page.wait_for_function("() => window.said.length")
    page.mouse.up()
    assert page.evaluate("() => window.said[0]") == 2, "the first place and the last"
    kept(page)


def test_a_block_is_dragged_to_another_place_and_back_by_keys(axis: Opened) -> None:
    page = axis.page
    first, third = block(page, 1), block(page, 3)
    drag(page, first["x"] + 40, third["x"] + third["width"] * 0.8, first["y"] + 20)
    settled(page, "up behind down")
    assert names(axis) == ["unload", "down", "up", "load"]
    page.wait_for_selector(".pb:nth-child(3)[data-key='ph-up']:focus")
    page.keyboard.press("Control+Shift+ArrowLeft")
    settled(page, "up before down")
    page.keyboard.press("Control+Shift+ArrowLeft")
    settled(page, "up before unload")
    assert names(axis) == ["up", "unload", "down", "load"]


def test_phases_by_keys_alone(axis: Opened) -> None:
    page = axis.page
    page.focus(".rail [tabindex='0']")
    page.keyboard.press("Home")
    page.keyboard.press("Control+ArrowRight")
    assert "unload" in page.evaluate("document.activeElement.textContent")
    assert "at 0.60" in page.inner_text("#reads")
    page.keyboard.press("Alt+ArrowRight")
    settled(page, "time of unload: 0.41 s")
    page.keyboard.press("Alt+Shift+ArrowLeft")
    settled(page, "time of unload: 0.409 s")
    page.keyboard.press("d")
    settled(page, "unload a second time")
    assert names(axis) == ["up", "unload", "unload 2", "down", "load"]
    page.wait_for_selector(".pb[data-key='ph-unload 2']:focus")
    page.keyboard.press("Delete")
    settled(page, "unload 2 taken out")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.value") == "unload"


def test_the_table_names_changes_and_adds_phases(axis: Opened) -> None:
    page = axis.page
    page.fill("[data-rename-phase='2']", "hand over")
    page.keyboard.press("Enter")
    settled(page, "is now hand over")
    page.select_option("select[data-path='phase.up.law']", "cycloid")
    settled(page, "law of up: cycloid")
    page.fill("input[data-path='phase.down.carry']", "carton")
    page.keyboard.press("Tab")
    settled(page, "down: carton")
    page.click("details[data-change='2'] summary")
    page.click("[data-add='2'][data-kind=move]")
    settled(page, "a move behind hand over")
    assert file(axis)[2] == {"do": "move", "by": "0 mm", "time": "0.5 s"}
    page.select_option("[data-kind-of='3']", "dwell")
    settled(page, "phase 3: dwell")
    assert file(axis)[2] == {"do": "dwell", "time": "0.5 s"}
    page.click("details[data-change='3'] summary")
    page.click("[data-remove='3']")
    settled(page, "taken out")
    assert names(axis) == ["up", "hand over", "down", "load"]
    assert file(axis)[0]["law"] == "cycloid"
    assert file(axis)[2]["carry"] == ["carton"]


def test_a_phase_too_short_says_so_and_can_be_mended(axis: Opened) -> None:
    """0.3 m at 0.75 m/s take at least 0.4 s; 0.35 s stand against it."""
    page = axis.page
    page.click("details[data-change='1'] summary")
    page.select_option("details[data-change='1'] [data-state-also]", "phase.up.speed")
    page.keyboard.type("0.75 m/s")
    page.keyboard.press("Enter")
    settled(page, "0.75 m/s")
    page.fill("input[data-path='phase.up.time']", "0.35 s")
    page.keyboard.press("Enter")
    page.wait_for_selector(".pb.is-bad")
    assert page.inner_text("#rail-said").startswith("1 up:")
    assert page.input_value("input[data-path='phase.up.time']") == "0.35 s"
    page.fill("input[data-path='phase.up.time']", "0.6 s")
    page.keyboard.press("Enter")
    page.wait_for_selector(".pb.is-bad", state="detached")


def test_phases_that_do_not_close_stay_in_the_table(axis: Opened) -> None:
    page = axis.page
    page.click("details[data-change='1'] summary")
    page.click("[data-copy-phase='1']")
    page.wait_for_selector(".strip.bad")
    assert page.locator(".phases tbody tr").count() == 5
    page.fill("input[data-path='phase.down.by']", "-600 mm")
    page.keyboard.press("Enter")
    page.wait_for_selector(".strip.is-off", state="attached")
    assert page.locator(".pb").count() == 5
