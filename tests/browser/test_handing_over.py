"""Files from the page with their stages, cancelling by keyboard, and the page on paper."""

from __future__ import annotations

import io
import shutil
import subprocess
import time
from typing import Any

import openpyxl
import pytest

from dutyline.app.workbench import exports


def test_a_workbook_is_written_with_its_stages_told(opened: Any, tmp_path: Any) -> None:
    opened.evaluate(
        "() => { window.told = []; new MutationObserver(() => window.told.push("
        "document.getElementById('handed').textContent)).observe("
        "document.getElementById('handed'), { childList: true, characterData: true }) }"
    )
    opened.focus("[data-export='report.xlsx']")
    with opened.expect_download() as got:
        opened.keyboard.press("Enter")
    got.value.save_as(tmp_path / "report.xlsx")
    book = openpyxl.load_workbook(io.BytesIO((tmp_path / "report.xlsx").read_bytes()))
    assert book.sheetnames[:2] == ["Verdict", "Ledger"]
    opened.wait_for_function("() => document.getElementById('job').hidden")
    told = opened.evaluate("window.told")
    # an observer sees only what stood long enough; that every stage is told is a unit test
    steps = [int(line.partition("step ")[2].split()[0]) for line in told if "step " in line]
    assert steps
    assert steps == sorted(steps)
    assert told[-1].startswith("Wrote carton-lift-report.xlsx, ")


def test_escape_stops_the_work_on_the_server(
    opened: Any, wrong: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stages that wait stand for slow ones; none begins once the page has cancelled."""
    done: list[str] = []

    def slow(name: str):
        def act(_: object) -> None:
            time.sleep(0.3)
            done.append(name)

        return act

    acts = tuple((f"Stage {n}", slow(str(n))) for n in range(20))
    monkeypatch.setitem(exports.EXPORTS, "order.xlsx", ("text/plain", acts))
    opened.focus("[data-export='order.xlsx']")
    opened.keyboard.press("Enter")
    opened.wait_for_function(
        "() => document.getElementById('handed').textContent.includes('step 2')"
    )
    assert opened.is_visible("#job-bar")
    opened.focus("#stop-export")
    opened.keyboard.press("Escape")
    opened.wait_for_function(
        "() => document.getElementById('handed').textContent === 'Cancelled; nothing was written.'"
    )
    assert opened.evaluate("document.activeElement.dataset.export") == "order.xlsx"
    opened.wait_for_timeout(900)
    count = len(done)
    opened.wait_for_timeout(700)
    assert len(done) == count < 6
    wrong[:] = [line for line in wrong if "export/order.xlsx net::ERR_ABORTED" not in line]


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="poppler is not installed")
def test_paper_has_a_foot_on_every_page_and_no_buttons(opened: Any, tmp_path: Any) -> None:
    path = tmp_path / "page.pdf"
    opened.pdf(path=str(path), prefer_css_page_size=True)
    told = subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True)
    pages = told.stdout.decode().rstrip("\f").split("\f")
    checksum = opened.get_attribute("#foot", "data-checksum")
    for number, page in enumerate(pages, start=1):
        assert "Carton lift" in page
        assert checksum in page
        assert f"{number} of {len(pages)}" in page
    whole = "\n".join(pages)
    assert "accelerating" in whole  # the gearhead described to its end
    assert "measured" in whole
    for word in ("Undo", "Cancel", "Apply", "Pin", "Report, PDF"):
        assert word not in whole
    assert opened.locator(".on-paper").count() == 0
