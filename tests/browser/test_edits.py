"""Edits on their way: what follows them and when, undo, two windows, a server that dies."""

from __future__ import annotations

import json
from typing import Any

from browser.conftest import AS_SERVED, Opened, ready, settled, started, watched
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore

LEDGER = """() => [...document.querySelectorAll('.ledger tbody')].map(
    body => [body.querySelector('.fam').textContent.trim(),
        ...[...body.querySelectorAll('tr[data-key]')].map(row => row.dataset.key)])"""


def in_the_ledger(axis: Opened) -> list[list[str]]:
    """Groups and rows as the axis has them."""
    shown = axis.desk.page(axis.key).picture
    assert shown is not None
    return [[group.title, *(row.key for row in group.rows)] for group in shown.groups]


def test_an_edit_follows_typing_and_rows_move_on_leaving(axis: Opened) -> None:
    opened = axis.page
    before = opened.evaluate(LEDGER)
    assert before == in_the_ledger(axis)
    opened.fill("#load-mass", "120 kg")
    settled(opened, "moving mass: 120 kg")
    assert "120 kg" in opened.inner_text("[data-part=load]")
    assert opened.evaluate("document.activeElement.id") == "load-mass"
    assert "Kept until the server stops" in opened.inner_text("#saved")
    own = ".ledger tr[data-key='peak-torque--motor']"
    assert opened.get_attribute(own, "class") == "short"
    after = in_the_ledger(axis)
    assert after != before
    assert [sorted(g) for g in opened.evaluate(LEDGER)] == [sorted(g) for g in before]
    assert "until you leave the field" in opened.inner_text(".r-ledger .head")
    opened.hover(f"{own} .name")
    opened.mouse.down()
    assert opened.evaluate(LEDGER) != after, "what is pressed stays under the pointer"
    opened.mouse.up()
    opened.wait_for_function(f"wanted => JSON.stringify(({LEDGER})()) === wanted",
                             arg=json.dumps(after, separators=(",", ":")))  # fmt: skip
    assert opened.is_visible("[id='f-peak-torque--motor']"), "the click arrived"
    assert "until you leave" not in opened.inner_text(".r-ledger .head")
    opened.keyboard.press("Control+z")
    opened.wait_for_function("() => document.querySelector('#load-mass').value === '28 kg'")
    assert opened.evaluate(LEDGER) == before
    assert opened.evaluate("document.activeElement.dataset.formula") == "peak-torque--motor"
    assert opened.locator(".ledger tr[data-same], .ledger tr:empty").count() == 0


SEEN = "new Promise((seen) => requestAnimationFrame(() => requestAnimationFrame(seen)))"
"""The page knows by then what is in sight."""


def test_what_is_out_of_sight_follows_once_a_drag_rests(axis: Opened) -> None:
    """The ledger lies below the window; nothing of it is old once the pointer stands still."""
    page = axis.page
    page.locator(".rail").scroll_into_view_if_needed()
    below = "() => document.querySelector('#ledger').getBoundingClientRect().top > innerHeight"
    assert page.evaluate(below)
    page.evaluate(SEEN)
    page.evaluate(
        """() => {
          const own = window.fetch;
          window.sent = [];
          window.fetch = (place, asked) => {
            if (String(place).endsWith('/edit')) window.sent.push(JSON.parse(asked.body));
            return own(place, asked);
          };
        }"""
    )
    cell = ".ledger tr[data-key='peak-torque--motor']"
    before = page.text_content(cell)
    box = page.locator(".pb").first.bounding_box()
    right, middle = box["x"] + box["width"] - 3, box["y"] + 20
    page.mouse.move(right, middle)
    page.mouse.down()
    for by in range(3, 40, 3):
        page.mouse.move(right + by, middle)
        page.wait_for_timeout(20)
    page.wait_for_function(f"before => document.querySelector({cell!r}).textContent !== before",
                           arg=before)  # fmt: skip
    page.wait_for_function(f"async () => !(await ({AS_SERVED})()).length")
    assert page.evaluate("() => window.sent.every((one) => one.away.includes('ledger'))")
    page.mouse.up()
    page.wait_for_function("() => !window.sent.at(-1).away")
    page.wait_for_function(f"async () => !(await ({AS_SERVED})()).length")
    page.set_viewport_size({"width": 1280, "height": 2600})
    page.wait_for_function(f"() => !({below})()")
    page.evaluate(SEEN)
    box = page.locator(".pb").first.bounding_box()
    page.mouse.move(box["x"] + box["width"] - 3, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] + 30, box["y"] + 20)
    settled(page, "time of up")
    assert page.evaluate("() => !window.sent.at(-1).away.includes('ledger')"), (
        "here the ledger is looked at"
    )
    page.mouse.up()
    page.set_viewport_size({"width": 1280, "height": 800})


def test_more_steps_back_than_there_are_leave_nothing_to_be_saved(axis: Opened) -> None:
    page = axis.page
    page.fill("#load-mass", "30 kg")
    page.press("#load-mass", "Tab")
    settled(page, "30 kg")
    page.reload()
    ready(page)
    for _ in range(3):
        page.keyboard.press("Control+z")
    page.wait_for_function("() => document.querySelector('#load-mass').value === '28 kg'")
    page.wait_for_function("() => document.querySelector('#saved').innerText.startsWith('Kept')")


def kept(axis: Opened, drag: str) -> None:
    """The page says that this drag is kept, and it is."""
    axis.page.wait_for_function(
        """drag => document.querySelector('#load-drag').value === drag
        && document.querySelector('#saved').innerText.startsWith('Kept')""",
        arg=drag,
    )
    assert f'drag = {{ value = "{drag}"' in axis.text


def test_undo_is_shown_at_once_and_survives_a_reload(axis: Opened, wrong: list[str]) -> None:
    opened = axis.page
    first = opened.inner_text(".verdict")
    opened.fill("#load-mass", "120 kg")
    settled(opened, "120 kg")
    opened.fill("#load-mass", "45 kg")
    settled(opened, "45 kg")
    opened.fill("#load-drag", "25 N")
    settled(opened, "25 N")
    last = opened.evaluate(LEDGER)
    held: list[Any] = []
    opened.route("**/edit", lambda route: route.fallback() if held else held.append(route))
    opened.keyboard.press("Control+z")
    opened.keyboard.press("Control+z")
    assert opened.input_value("#load-drag") == "15 N"
    assert opened.input_value("#load-mass") == "28 kg"
    assert opened.inner_text(".verdict") == first
    assert opened.inner_text("#saved") == "Saving"
    assert opened.is_disabled("#undo")
    assert axis.text.count("45 kg") == 1, "nobody has told the server yet"
    opened.keyboard.press("Control+Shift+z")
    assert opened.input_value("#load-mass") == "45 kg"
    held[0].fulfill(status=503, json={"error": "The disk is full."})
    kept(axis, "25 N")  # the first undo was refused, the second and the redo behind it were made
    opened.click("#undo")
    kept(axis, "15 N")
    opened.click("#redo")
    kept(axis, "25 N")
    assert opened.evaluate(LEDGER) == last
    opened.reload()
    ready(opened)
    meant = ("/edit net::ERR_ABORTED", "503")  # the shortlist behind it, the disk that is full
    wrong[:] = [w for w in wrong if not any(word in w for word in meant)]
    assert opened.input_value("#load-drag") == "25 N"
    opened.click("#undo")
    opened.wait_for_function("() => document.querySelector('#load-drag').value === '15 N'")
    opened.keyboard.press("Control+z")
    opened.wait_for_function("() => document.querySelector('#load-mass').value === '28 kg'")
    opened.click("#redo")
    opened.wait_for_function("() => document.querySelector('#load-mass').value === '45 kg'")


def test_two_windows_in_conflict(axis: Opened, context: Any, wrong: list[str]) -> None:
    opened, second = axis.page, watched(context.new_page(), wrong)
    second.goto(opened.url.partition("#")[0])
    ready(second)
    opened.fill("#load-mass", "30 kg")
    settled(opened, "30 kg")
    second.fill("#load-mass", "40 kg")
    second.wait_for_selector("#mine")
    assert "Nothing was overwritten" in second.inner_text("#strip")
    assert axis.text.count("30 kg") == 1
    second.click("#mine")
    settled(second, "40 kg")
    assert '"40 kg"' in axis.text
    head = axis.desk.store.get(axis.key).head.number
    axis.desk.edit(axis.key, head, {"do": "set", "path": "load.drag", "typed": "20 N"})
    second.keyboard.press("Control+z")
    second.wait_for_selector("#mine")
    assert second.input_value("#load-mass") == "40 kg", "an undo that was not taken is not shown"
    second.close()
    wrong[:] = [w for w in wrong if "409" not in w]


def test_a_dead_server_loses_nothing(context: Any, wrong: list[str]) -> None:
    """The server goes away and comes back at its place; what was typed meanwhile arrives."""
    desk = Desk(MemoryStore(), demo_line())
    bench = started(desk)
    page = watched(context.new_page(), wrong)
    page.goto(bench.address)
    ready(page)
    bench.stop()
    page.fill("#load-mass", "45 kg")
    page.wait_for_selector(".strip.wait")
    assert "kept and sent later" in page.inner_text("#strip")
    page.fill("#load-drag", "25 N")
    again = started(desk, bench.port)
    settled(page, "25 N")
    text = desk.store.documents()[0].head.content.text
    assert '"45 kg"' in text
    assert '"25 N"' in text
    assert "Kept until" in page.inner_text("#saved")
    page.close()
    again.stop()
    assert [w for w in wrong if "ERR_CONNECTION" not in w] == []


def test_fast_typing_loses_nothing(axis: Opened) -> None:
    """Keys faster than replies: the last state is what is kept, as one step of undo."""
    opened = axis.page
    opened.focus("#load-mass")
    opened.keyboard.press("Control+a")
    opened.keyboard.type("123.456789 kg", delay=75)
    settled(opened, "123.456789 kg")
    assert '"123.456789 kg"' in axis.text
    opened.press("#load-mass", "Tab")
    opened.click("#undo")
    opened.wait_for_function("() => document.querySelector('#load-mass').value === '28 kg'")
    assert opened.is_disabled("#undo")
