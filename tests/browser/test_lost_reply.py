"""The server makes an edit and its answer gets lost on the way."""

from __future__ import annotations

from typing import Any

from browser.conftest import Opened, settled

CUT = "ERR_FAILED"
SAVED = "() => document.querySelector('#saved').innerText.startsWith('Kept')"


def lose_one(page: Any) -> list[str]:
    """The next edit reaches the server; what it answers reaches nobody."""
    lost: list[str] = []

    def pass_on(route: Any) -> None:
        if lost:
            route.fallback()
            return
        route.fetch()
        lost.append(route.request.post_data)
        route.abort()

    page.route("**/edit", pass_on)
    return lost


def test_undo_whose_answer_is_lost_is_no_conflict(axis: Opened, wrong: list[str]) -> None:
    page = axis.page
    page.fill("#load-mass", "30 kg")
    page.press("#load-mass", "Tab")
    settled(page, "30 kg")
    page.wait_for_selector("#undo:not([disabled])")
    lost = lose_one(page)
    page.click("#undo")
    page.wait_for_function(SAVED)
    assert len(lost) == 1
    assert axis.desk.store.get(axis.key).head.number == 1
    page.click("#redo")
    page.wait_for_function(SAVED)
    assert axis.desk.store.get(axis.key).head.number == 2
    assert page.input_value("#load-mass") == "30 kg"
    wrong[:] = [w for w in wrong if CUT not in w]


def test_a_phase_whose_answer_is_lost_is_added_once(axis: Opened, wrong: list[str]) -> None:
    page = axis.page
    before = axis.text.count("[[phase]]")
    lost = lose_one(page)
    page.locator("details.change summary").first.click()
    page.locator("[data-add]").first.click()
    settled(page, "a dwell behind up")
    assert len(lost) == 1
    assert axis.text.count("[[phase]]") == before + 1
    wrong[:] = [w for w in wrong if CUT not in w]


def test_a_phase_is_added_once_where_the_rest_of_the_answer_is_lost(axis: Opened) -> None:
    page = axis.page
    before = axis.text.count("[[phase]]")
    asked: list[str] = []

    def cut(route: Any) -> None:
        asked.append(route.request.post_data)
        answer = route.fetch()
        body = answer.text()
        route.fulfill(response=answer, body=body if len(asked) > 1 else body.split("\n")[0] + "\n")

    page.route("**/edit", cut)
    page.locator("details.change summary").first.click()
    page.locator("[data-add]").first.click()
    settled(page, "a dwell behind up")
    page.fill("#load-mass", "30 kg")
    settled(page, "30 kg")
    assert ["add-phase" in body for body in asked] == [True, *[False] * (len(asked) - 1)]
    assert axis.text.count("[[phase]]") == before + 1
