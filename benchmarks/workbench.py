"""The workbench: from an edit sent to the page painted, in a real browser.

Edits of the solved example on the demo line. The clock starts when the page sends an edit and ends
behind the frame that shows the answer; what is out of sight follows one frame later, the shortlist
behind the page. Four ways of making edits:

typed
    A mass, the next once the reply before has come in whole. It is sent 60 ms after the last key
    and worked out by the server from that key on.
stepped
    The same mass by the key Up, five times a second: from the second on the next is guessed.
dragged
    The end of a phase with the pointer, there and back; between rest and rest the pointer runs as
    hands do, with the least change of acceleration (T. Flash and N. Hogan, J. Neurosci. 5 (1985)
    1688). Sent at once, one in flight; what waits behind it is told to the server as soon as the
    answer has come, and sent once that is drawn. How often a new picture comes is printed too.
taken
    A mass with Enter, nothing of which is known before: what no guess helps.

Beside them stand the sizes of replies, the time between two frames of the same browser with
nothing to do, and the time of the plain calculation (reading the file and ``verify``) in this
process. Nothing here passes or fails; the goals on an idle machine are 50 ms for the median and
100 ms for 95 of 100.

    python benchmarks/workbench.py
"""

from __future__ import annotations

import gzip
import os
import re
import shutil
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from typing import Any

from dutyline.app.inputs import example_file
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.verdict import verify
from dutyline.selection.search import select

EDITS = 60
WARMING = 5
WATCH = """
(() => {
  const own = window.fetch;
  window.told = [];
  let ahead = {at: 0, change: ''};
  const changed = (asked) => JSON.stringify(JSON.parse(asked.body).change);
  window.fetch = async (place, asked) => {
    const at = performance.now();
    if (String(place).endsWith('/ahead')) ahead = {at, change: changed(asked)};
    if (!String(place).endsWith('/edit')) return own(place, asked);
    const known = changed(asked) === ahead.change ? ahead.at : at;
    const edit = {sent: at, known, painted: 0, done: false, text: ''};
    window.told.push(edit);
    const answer = await own(place, asked);
    if (window.sizes) answer.clone().text().then((text) => { edit.text = text; });
    return answer;
  };
  new PerformanceObserver((list) => {
    for (const one of list.getEntries()) {
      if (one.name.endsWith('/edit')) window.told[window.told.length - 1].done = true;
    }
  }).observe({type: 'resource'});
  const behindFrame = () => new Promise((told) => requestAnimationFrame(() => {
    const line = new MessageChannel();
    line.port1.onmessage = () => told(performance.now());
    line.port2.postMessage(0);
  }));
  window.frames60 = async () => {
    const times = [];
    for (let k = 0; k < 60; k += 1) {
      const from = performance.now();
      times.push(await behindFrame() - from);
    }
    return times;
  };
  document.addEventListener('DOMContentLoaded', () => new MutationObserver(async () => {
    const edit = window.told[window.told.length - 1];
    if (!edit || edit.seen) return;
    edit.seen = true;
    edit.painted = await behindFrame();
  }).observe(document.querySelector('.effect').closest('[data-region]'),
             {subtree: true, childList: true, characterData: true}));
})();
"""
TYPE = """async ([value, event]) => {
  const field = document.querySelector('#load-mass');
  field.focus();
  field.value = value;
  const before = window.told.length;
  const typed = performance.now();
  field.dispatchEvent(new Event(event, {bubbles: true}));
  for (;;) {
    await new Promise((next) => setTimeout(next, 10));
    const edit = window.told[before];
    if (edit && edit.done && edit.painted && (edit.text || !window.sizes)) {
      return [edit.painted - edit.sent, edit.painted - typed, edit.text];
    }
  }
}"""
MOVE = """async ([from, way, y, whole, step]) => {
  const begun = performance.now();
  for (let part = 0; part < 1; part = (performance.now() - begun) / whole) {
    const x = from + way * (10 * part ** 3 - 15 * part ** 4 + 6 * part ** 5);
    document.dispatchEvent(new PointerEvent('pointermove', {clientX: x, clientY: y, buttons: 1}));
    await new Promise((next) => setTimeout(next, step));
  }
}"""
"""The pointer from rest to rest, moved by the page itself: a driver beside it would cost time."""
STEPS = 40
STEP_TIME = 0.2
"""[s] from key to key"""
DRAGS = 6
DRAG_TIME = 1.0
"""[s] from rest to rest"""
DRAG_WAY = 60
"""[px]"""
POINTED = 60
"""Places of the pointer in a second."""
FOLLOWING = 2
"""Lines of a reply that follow the edit; the shortlist comes behind them."""
SIZED = 8
"""Edits whose replies are measured, apart from those whose time is."""


@contextmanager
def server() -> Iterator[str]:
    """Address of a server in a process of its own that keeps nothing."""
    command = [sys.executable, "-m", "dutyline", "serve", "--port", "0"]
    around = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        command, env=around, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as running:
        try:
            assert running.stdout is not None
            address = None
            for line in running.stdout:
                address = re.search(r"http://[^\s]+", line)
                if address:
                    break
            assert address is not None
            yield address[0]
        finally:
            running.terminate()


def plain() -> list[float]:
    """Times of reading the file and of the plain ``verify`` for the same combination [ms]."""
    line, file = demo_line(), example_file("lift")
    best = select(read_axis(file), line).candidates[0].combination
    times = []
    for _ in range(EDITS):
        begun = time.perf_counter()
        verify(read_axis(file), line, best)
        times.append(1e3 * (time.perf_counter() - begun))
    return times


def edited(page: Any, event: str) -> tuple[list[float], list[float]]:
    """Times from sent to painted, and from the event in the field to painted [ms]."""
    found = []
    for k in range(WARMING + EDITS):
        mass = f"{28 + 0.1 * (k + 1):.1f} kg"
        sent, typed, _ = page.evaluate(TYPE, [mass, event])
        if k >= WARMING:
            found.append((sent, typed))
    return [sent for sent, _ in found], [typed for _, typed in found]


def stepped(page: Any) -> list[float]:
    """Times from sent to painted of steps by a key [ms]."""
    page.evaluate("document.querySelector('#load-mass').focus(); window.told = []")
    for _ in range(STEPS):
        page.keyboard.press("ArrowUp")
        page.wait_for_timeout(1e3 * STEP_TIME)
    return _painted(page)


def dragged(page: Any) -> tuple[list[float], list[float], list[float]]:
    """Times while the end of a phase is dragged [ms].

    From sent to painted; the same from the moment on at which the server was told the place of the
    pointer that waits (a step that it was told as likely long before counts from there, too); and
    from picture to picture.
    """
    block = page.locator(".rail .pb[data-path]").first
    block.scroll_into_view_if_needed()
    page.evaluate("window.told = []; window.sizes = false")
    for k in range(DRAGS):
        box = block.bounding_box()
        from_x, y = box["x"] + box["width"] - 3, box["y"] + box["height"] / 2
        way = DRAG_WAY if k % 2 == 0 else -DRAG_WAY
        page.mouse.move(from_x, y)
        page.mouse.down()
        page.evaluate(MOVE, [from_x, way, y, 1e3 * DRAG_TIME, 1e3 / POINTED])
        page.mouse.move(from_x + way, y)
        page.mouse.up()
        page.wait_for_timeout(1000)
    found = _told(page)
    between = [after[2] - before[2] for before, after in pairwise(found)]
    known = [painted - known for known, _, painted in found]
    return _painted(page), known, [time for time in between if time < 1000]


def _painted(page: Any) -> list[float]:
    page.wait_for_timeout(500)
    return [painted - sent for _, sent, painted in _told(page)]


def _told(page: Any) -> list[tuple[float, float, float]]:
    """When edits were known, sent and painted [ms]; one that changed nothing is left out."""
    told = page.evaluate("window.told.map((edit) => [edit.known, edit.sent, edit.painted])")
    return [(known, sent, painted) for known, sent, painted in told if painted]


def replies(page: Any) -> tuple[list[str], list[str]]:
    """What follows the edit in some replies, and what comes behind."""
    page.evaluate("window.sizes = true")
    first, behind = [], []
    for k in range(SIZED):
        _, _, text = page.evaluate(TYPE, [f"{20 + 0.1 * k:.1f} kg", "input"])
        lines = text.split("\n")
        first.append("\n".join(lines[:FOLLOWING]))
        behind.append("\n".join(lines[FOLLOWING:]))
    return first, behind


def spread(name: str, values: list[float], unit: str, digits: int = 0) -> None:
    """One line: median, 95 of 100, largest."""
    ordered = sorted(values)
    high = ordered[round(0.95 * (len(ordered) - 1))]
    numbers = (statistics.median(ordered), high, ordered[-1])
    print(f"{name:46}" + "".join(f"{n:12,.{digits}f}" for n in numbers) + f"  {unit}")


def main() -> None:
    """Print the distribution."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        print("workbench: chromium is not installed; nothing measured")
        return
    from playwright.sync_api import sync_playwright

    with server() as address, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.add_init_script(WATCH)
        page.goto(address)
        page.wait_for_selector("body[data-ready=yes]")
        frames = page.evaluate("window.frames60()")
        typing, keys = edited(page, "input")
        keyed = stepped(page)
        at_once, _ = edited(page, "change")
        first, behind = replies(page)
        pulled, known, between = dragged(page)
        browser.close()
    load = os.getloadavg()[0]
    print(f"The lift on the demo line; load of the machine {load:.1f}")
    print(f"{'':46}{'median':>12}{'95 of 100':>12}{'largest':>12}")
    for name, times in (
        ("typed", typing),
        ("stepped", keyed),
        ("dragged", pulled),
        ("taken", at_once),
    ):
        spread(f"{name}, {len(times)} edits: sent to page painted", times, "ms", 1)
    spread("typed: last key to page painted", keys, "ms", 1)
    spread("dragged: known to the server to page painted", known, "ms", 1)
    spread("dragged: from picture to picture", between, "ms", 1)
    spread("a frame with nothing to do", frames, "ms", 1)
    spread("plain calculation, read and verify", plain(), "ms", 1)
    for name, lines in (
        ("reply, what follows the edit", first),
        ("reply, shortlist and advice", behind),
    ):
        raw = [line.encode() for line in lines]
        spread(name, [float(len(r)) for r in raw], "bytes")
        spread(f"{name}, gzip", [float(len(gzip.compress(r))) for r in raw], "bytes")


if __name__ == "__main__":
    main()
