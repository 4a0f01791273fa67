"""Journeys of people through the workbench, in a real browser."""

from __future__ import annotations

from typing import Any

from browser.conftest import AS_SERVED, Bench, ready, settled
from dutyline.app.inputs import example_file
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
