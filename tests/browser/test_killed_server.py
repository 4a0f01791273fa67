"""The workbench killed in the middle of the work, with SIGKILL, and started again."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from browser.conftest import ready, settled, watched

pytestmark = [pytest.mark.e2e, pytest.mark.slow]

CUT = ("ERR_CONNECTION", "ERR_INCOMPLETE_CHUNKED_ENCODING", "ERR_ABORTED")
"""What a browser says of a request that the kill, or leaving the page, has cut off."""


@contextmanager
def served(place: Path, port: str) -> Iterator[tuple[str, subprocess.Popen[str]]]:
    """A running workbench and its address."""
    running = subprocess.Popen(
        [sys.executable, "-m", "dutyline", "serve", "--port", port, "--store", place],
        stderr=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip
    try:
        assert running.stderr is not None
        line = next((x for x in running.stderr if x.startswith("Open ")), "")
        assert line
        yield line.split()[1].rstrip("/"), running
    finally:
        running.kill()
        running.communicate()


def test_everything_is_found_again(context: Any, wrong: list[str], tmp_path: Path) -> None:
    place = tmp_path / "axes.sqlite"
    page = watched(context.new_page(), wrong)
    with served(place, "0") as (address, running):
        page.goto(address)
        ready(page)
        key = page.evaluate("document.body.dataset.id")
        page.fill("#load-mass", "30 kg")
        page.press("#load-mass", "Tab")
        settled(page, "30 kg")
        running.kill()
        running.wait()
        page.fill("#load-mass", "31 kg")
        page.wait_for_selector(".strip.wait")
    with served(place, address.rpartition(":")[2]):
        settled(page, "31 kg")
        page.reload()
        ready(page)
        assert page.input_value("#load-mass") == "31 kg"
        page.click("#undo")
        page.wait_for_function("() => document.querySelector('#load-mass').value !== '31 kg'")
        page.click(".mark a")
        page.wait_for_selector(f'.revisions a[href="/axis/{key}"]')
    page.close()
    assert [w for w in wrong if not any(cut in w for cut in CUT)] == []
