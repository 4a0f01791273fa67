"""What is typed into a field, in a real browser: read, asked back, refused, noted."""

from __future__ import annotations

from typing import Any

from browser.conftest import Opened, ready, settled


def test_entries_with_units_are_read(opened: Any) -> None:
    """Every way of writing a value; the echo says it in SI (33 lb = 14.97 kg, 25 lbf = 111.2 N)."""
    for field, typed, shown in (
        ("load-mass", "33 lb", "14.97 kg"),
        ("load-mass", "2x35 kg", "70 kg"),
        ("load-mass", "12..15 kg", "kg"),
        ("load-mass", "about 12 kg", "12 kg"),
        ("load-drag", "1.2 kN", "1 200 N"),
        ("load-drag", "25 lbf", "111.2 N"),
        ("load-drag", "15 N", "15 N"),
        ("load-friction", "2 %", "0.02"),
        ("load-incline", "30 deg", "30°"),
        ("load-incline", "90°", "90°"),
    ):
        opened.fill(f"#{field}", typed)
        opened.press(f"#{field}", "Enter")
        opened.wait_for_function(
            """([f, s]) => document.querySelector(`output[for=${f}]`)
            ?.innerText.replace(/\\s/g, ' ').includes(s)""",
            arg=[field, shown],
        )


def test_a_bad_value_keeps_the_last_good_result(opened: Any) -> None:
    before = opened.inner_text(".verdict")
    opened.fill("#load-mass", "45 kfg")
    opened.press("#load-mass", "Tab")
    opened.wait_for_selector(".strip.bad")
    assert 'no unit "kfg"' in opened.inner_text("#strip")
    assert opened.inner_text(".verdict") == before
    assert opened.get_attribute("#load-mass", "aria-invalid") == "true"
    assert "kfg" in opened.inner_text("#load-mass-e")
    assert "is-stale" in opened.get_attribute(".r-ledger", "class")
    assert opened.input_value("#load-mass") == "45 kfg"
    opened.fill("#load-drag", "15.0 N")
    opened.press("#load-drag", "Enter")
    settled(opened, "15.0 N")
    assert opened.is_hidden("#load-drag-e"), "told at its own field alone"
    opened.click("[data-open=motor]")
    opened.click("#strip [data-goto]")
    assert opened.evaluate("document.activeElement.id") == "load-mass"
    opened.emulate_media(media="print")
    assert opened.is_visible("#strip"), "paper says too that the result is of another value"
    opened.emulate_media(media="screen")
    opened.reload()
    ready(opened)
    assert opened.input_value("#load-mass") == "45 kfg"
    assert opened.is_visible("#load-mass-e")
    opened.fill("#load-mass", "28 kg")
    opened.press("#load-mass", "Enter")
    opened.wait_for_selector(".strip.is-off", state="attached")
    assert "is-stale" not in opened.get_attribute(".r-ledger", "class")


def test_half_a_value_is_no_error(opened: Any) -> None:
    opened.focus("#load-mass")
    opened.fill("#load-mass", "12 k")
    opened.wait_for_timeout(600)
    assert opened.is_hidden("#load-mass-e")
    opened.keyboard.type("g")
    settled(opened, "12 kg")


def test_a_status_is_chosen_by_keys_and_noted(axis: Opened) -> None:
    page = axis.page
    page.focus("[data-status='load.drag']")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.take") == "assumed"
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    settled(page, "drag: measured")
    assert page.evaluate("document.activeElement.dataset.status") == "load.drag"
    page.keyboard.press("ArrowDown")
    page.fill("[data-note='load.drag']", "pulled with a spring balance")
    page.keyboard.press("Enter")
    page.wait_for_function(
        "() => document.querySelector('#load-drag-h').innerText.includes('spring balance')"
    )
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.dataset.status") == "load.drag"
    assert 'note = "pulled with a spring balance"' in axis.text
    page.fill("#load-drag", "")  # on the way to another value
    page.wait_for_timeout(200)
    page.keyboard.type("25 lbf")
    page.keyboard.press("Enter")
    settled(page, "drag: 25 lbf")
    assert 'value = "25 lbf", status = "measured", note = "pulled' in axis.text


def test_two_readings_are_asked_in_the_field(axis: Opened) -> None:
    """While typing after a rest, and on leaving; in the train, in a question, in a phase."""
    page = axis.page
    page.fill("#load-mass", "1,250 kg")
    page.wait_for_selector("#load-mass-a button")
    assert axis.text.count("1,250") == 0
    assert page.evaluate("document.activeElement.id") == "load-mass"
    page.press("#load-mass", "Enter")
    page.wait_for_selector(".strip.bad")
    for field in ("#load-mass", "#q-1", "#cell-phase-up-time"):
        unit = {"#load-mass": "kg", "#q-1": "N"}.get(field, "s")
        page.fill(field, f"1,250 {unit}")
        page.press(field, "Enter")
        page.wait_for_selector(f"{field}-a button")
        assert page.locator(f"{field}-a button").all_inner_texts() == [
            f"1.250 {unit}",
            f"1250 {unit}",
        ]
        assert field[1:] + "-e" in page.get_attribute(field, "aria-describedby")
        page.click(f"{field}-a button >> nth=0")
        settled(page, f"1.250 {unit}")
        assert page.locator("button[data-meant]").count() == 0
    assert page.is_hidden("#load-mass-e")
