"""Journeys of people through the workbench, in a real browser."""

from __future__ import annotations

import json
from typing import Any

from browser.conftest import Bench, Opened, ready, settled, started, watched
from dutyline.app.inputs import example_file
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from support.nudges import NUDGES, STEPPED


def test_first_visit(opened: Any, bench: Bench) -> None:
    """A solved example stands there, with nothing to log in to and nothing hidden."""
    opened.goto(bench.address)
    ready(opened)
    assert "meets" in opened.inner_text(".verdict")
    assert "Solved example" in opened.inner_text("#strip")
    for region in ("train", "cycle", "plane", "questions", "ledger", "short"):
        assert opened.is_visible(f"[data-region={region}]"), region
    assert opened.locator(".ledger tr[data-key]").count() > 30
    assert "at 0.18" in opened.inner_text("#reads")


AS_SERVED = r"""async () => {
  const text = await (await fetch(location.pathname)).text();
  const served = new DOMParser().parseFromString(text, 'text/html');
  const behind = ':is([data-region=short], [data-region=variants], [data-region=differences])';
  const parts = (page) => [...page.querySelectorAll(
      `[data-region]:not(${behind}) :is([data-key]:not(tbody), path:not(.cur))`)].map((one) =>
    [one.dataset.key, one.getAttribute('d'), one.textContent.replace(/\s+/g, ' ')].join());
  const both = [parts(document), parts(served)];
  return both.flatMap((own, k) => own.filter((part) => !both[1 - k].includes(part)));
}"""
"""Parts of the page that are not as the server would draw them anew; the shortlist comes behind."""
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
    assert page.evaluate("() => window.sent.every((one) => one.away)")
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
    assert not page.evaluate("() => window.sent.at(-1).away"), "here the ledger is looked at"
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


def test_a_remedy_is_applied(opened: Any) -> None:
    opened.click("[data-open=gearhead]")
    opened.select_option("#choose-gearhead", "XG72-16")
    settled(opened, "gearhead: XG72-16")
    opened.wait_for_selector("button.apply", timeout=90_000)
    before = opened.inner_text(".verdict")
    remedy = opened.locator("button.apply").first
    told = f'"{remedy.get_attribute("data-apply")}"'
    with opened.expect_request(lambda r: r.url.endswith("/ahead") and told in r.post_data):
        remedy.hover()
    remedy.click()
    opened.wait_for_function(
        "old => document.querySelector('.verdict').innerText !== old", arg=before
    )


def test_three_are_compared(opened: Any, wrong: list[str]) -> None:
    for place in range(3):
        opened.locator("[data-pin]").nth(place).click()
    opened.wait_for_function("() => document.querySelectorAll('#compared thead th').length === 4")
    assert opened.locator("[data-pin]").nth(3).is_disabled()
    opened.reload()
    ready(opened)
    opened.wait_for_selector("#compared table")


def test_a_number_opens_to_its_formula(opened: Any) -> None:
    opened.click("button.name[data-formula='peak-torque--motor']")
    opened.wait_for_selector("#f-peak-torque--motor code")
    said = opened.inner_text("#f-peak-torque--motor")
    assert "T_peak" not in said, "set as in print"
    assert opened.inner_text("#f-peak-torque--motor code sub >> nth=0") == "peak"
    assert "Source" in said


def test_the_cursor_goes_where_a_check_is_worst(opened: Any) -> None:
    opened.click("tr[data-key='top-speed--motor'] button.at")
    assert "at 1.20" in opened.inner_text("#reads")
    opened.focus(".rail [tabindex='0']")
    opened.keyboard.press("ArrowRight")
    assert "at 1.21" in opened.inner_text("#reads")


def test_from_an_enquiry_to_a_shortlist(opened: Any, bench: Bench, wrong: list[str]) -> None:
    opened.goto(f"{bench.address}/new")
    assert opened.locator(".train .is-open").count() == 7
    opened.focus("input[value=belt]")
    opened.keyboard.press("ArrowLeft")
    assert opened.is_checked("input[value=rack]")
    opened.fill("#a-load", "about 100 stones")
    opened.fill("#a-way", "24 in in 1,2 s")
    opened.wait_for_selector("[data-region=cycle] .plot")
    assert 'no unit "stones"' in opened.inner_text("#a-load-e")
    assert "waits for what is moved, how often and the mains" in opened.inner_text(".r-plane")
    assert opened.locator(".train .is-open").count() == 6
    opened.fill("#a-load", "about 100 lb")
    opened.fill("#a-rate", "20 /min")
    opened.keyboard.press("Enter")
    opened.wait_for_selector("#a-mains-e:not([hidden])")
    assert opened.evaluate("document.activeElement.id") == "a-mains"
    opened.keyboard.type("230 V 3~")
    opened.wait_for_selector(".r-plane .torque-speed")
    assert "level, as nothing else is said" in opened.inner_text("#a-load-h")
    opened.fill("#a-words", "Lift 100 lb by 24 inches")
    opened.click("button[type=submit]")
    ready(opened)
    assert opened.input_value("#load-mass") == "about 100 lb"
    assert opened.locator(".picks tbody tr").count() > 1
    assert opened.locator(".questions li").count() >= 3
    assert "24 inches" in opened.inner_text(".words")
    wrong[:] = [w for w in wrong if "422" not in w]  # the axis without mains


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


def test_files_come_in_and_go_out(opened: Any, tmp_path: Any) -> None:
    with opened.expect_download() as got:
        opened.click(".r-hand a[download]")
    assert got.value.suggested_filename == "lift.toml"
    saved = tmp_path / "lift.toml"
    got.value.save_as(saved)
    assert saved.read_text("utf-8") == example_file("lift").read_text("utf-8")
    with opened.expect_download() as got:
        opened.click("[data-export='order-semicolon.csv']")
    got.value.save_as(tmp_path / "order.csv")
    assert ";" in (tmp_path / "order.csv").read_text("utf-8-sig")
    opened.set_input_files("#pick", str(example_file("sorter")))
    opened.wait_for_function("() => document.title.includes('orter')")


def test_the_text_of_the_file_keeps_its_comments(opened: Any) -> None:
    opened.click("#as-text summary")
    opened.wait_for_function("() => document.querySelector('#file-text').value.includes('schema')")
    text = opened.input_value("#file-text")
    assert "# the pulley sits on a shaft" in text
    opened.fill("#file-text", text.replace('mass = { value = "28 kg"', 'mass = { value = "31 kg"'))
    opened.click("#take-text")
    settled(opened, "text of the file")
    assert opened.input_value("#load-mass") == "31 kg"
    opened.click("#history summary")
    opened.wait_for_selector("#revisions tr.here")
    assert opened.locator("#revisions tbody tr").count() == 2


def test_the_keyboard_alone_does(opened: Any) -> None:
    opened.keyboard.press("Tab")
    assert opened.evaluate("document.activeElement.className") == "skip"
    opened.focus("[data-open=load]")
    opened.keyboard.press("ArrowRight")
    assert opened.evaluate("document.activeElement.dataset.open") == "mechanism"
    assert opened.is_visible("#fields-mechanism")
    opened.keyboard.press("Enter")
    assert opened.evaluate("document.activeElement.closest('.fields').id") == "fields-mechanism"
    opened.focus("#mechanism-pitch")
    with opened.expect_request(lambda r: r.url.endswith("/ahead") and "10 mm" in r.post_data):
        opened.keyboard.press("ArrowUp")
    settled(opened, "pitch: 9 mm")
    opened.keyboard.press("ArrowUp")  # worked out by now, or on its way
    settled(opened, "pitch: 10 mm")
    assert opened.evaluate(AS_SERVED) == []
    opened.keyboard.press("Escape")
    settled(opened, "pitch: 8 mm")
    opened.fill("#mechanism-pitch", "(5 + 3) mm")
    opened.evaluate("document.activeElement.setSelectionRange(2, 2)")
    opened.keyboard.press("ArrowUp")
    settled(opened, "pitch: (6 + 3) mm")
    assert opened.evaluate("document.activeElement.selectionStart") == 2
    stepped = opened.evaluate(STEPPED, [list(case) for case in NUDGES])
    assert dict(zip(NUDGES, stepped, strict=True)) == {case: case[2] for case in NUDGES}
    opened.focus(".ledger button.name")
    opened.keyboard.press("ArrowDown")
    first = opened.evaluate("document.activeElement.dataset.formula")
    opened.keyboard.press("f")
    assert opened.is_visible(f"[id='f-{first}']")


def test_focus_is_never_under_the_top_line(opened: Any) -> None:
    """WCAG 2.2, 2.4.11: walked backwards, so that the page scrolls up towards the top line."""
    opened.set_viewport_size({"width": 1280, "height": 500})
    opened.focus("#take-text, #as-text summary")
    hidden = []
    for _ in range(150):
        opened.keyboard.press("Shift+Tab")
        said = opened.evaluate(
            """() => { const e = document.activeElement, t = document.querySelector('header.top');
            if (t.contains(e) || e === document.body || e.matches('section, .skip')) return '';
            return e.getBoundingClientRect().top < t.getBoundingClientRect().bottom - 1
                ? e.outerHTML.slice(0, 80) : ''; }"""
        )
        hidden += [said] if said else []
    assert hidden == []


def test_nothing_runs_out_of_the_page(opened: Any) -> None:
    """Two hundred percent is half the width in the page's own units (WCAG 2.2, 1.4.4)."""
    for width, height in ((1280, 800), (640, 400), (390, 844), (1920, 1080)):
        opened.set_viewport_size({"width": width, "height": height})
        over = opened.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert over <= 0, width
        small = opened.evaluate(
            """[...document.querySelectorAll('main :is(p,td,th,span,label,input,button)')]
            .filter(e => e.offsetParent && e.innerText
                && parseFloat(getComputedStyle(e).fontSize) < 12.9)
            .map(e => e.className + ' ' + e.innerText.slice(0, 20))"""
        )
        assert small == [], width


def test_the_shortlist_is_sorted_by_keys_and_the_address_keeps_it(opened: Any) -> None:
    def masses() -> list[float]:
        cells = "[...document.querySelectorAll('.picks td.kg')].map(c => +c.dataset.value)"
        return list(opened.evaluate(cells))

    opened.wait_for_selector(".picks tbody tr")
    found = masses()
    opened.focus(".picks [data-column=Mass] button")
    opened.keyboard.press("s")
    assert masses() == sorted(found)
    assert opened.get_attribute(".picks [data-column=Mass]", "aria-sort") == "ascending"
    opened.keyboard.press("s")
    assert masses() == sorted(found, reverse=True)
    opened.reload()
    ready(opened)
    assert masses() == sorted(found, reverse=True)
    opened.click(".picks [data-column=Mass] button")
    assert masses() == found
    opened.focus(".picks tbody tr:first-child [data-pin]")
    opened.keyboard.press("p")
    assert opened.inner_text(".picks tbody tr:first-child [data-pin]") == "Pinned"


def test_something_is_found_by_its_name(opened: Any) -> None:
    opened.focus("[data-part=load] button")
    opened.keyboard.press("/")
    opened.keyboard.type("resistor, one")
    assert opened.locator("#found [role=option]").count() == 1
    opened.keyboard.press("Enter")
    assert opened.evaluate("document.activeElement.textContent") == "Resistor, one pulse"
    opened.keyboard.press("/")
    opened.keyboard.type("moving mass")
    opened.keyboard.press("Enter")
    assert opened.evaluate("document.activeElement.id") == "load-mass"
    opened.keyboard.press("/")
    assert opened.is_hidden("#find"), "a field keeps its letters"
    opened.focus(".rail [tabindex='0']")
    opened.keyboard.press("?")
    assert opened.is_visible("table.keys")
    assert opened.evaluate("document.activeElement.textContent") == "Keys"


def test_the_moment_stands_in_the_address(opened: Any) -> None:
    opened.focus(".rail [tabindex='0']")
    opened.keyboard.press("End")
    opened.wait_for_function("() => location.hash.includes('at=2')")
    opened.reload()
    ready(opened)
    assert "at 2.00" in opened.inner_text("#reads")
