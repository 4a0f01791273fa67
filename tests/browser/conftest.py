"""A server of its own and a browser for every module; console errors and failed requests fail."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest

from dutyline.app.serve import Place
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore

CHROMIUM = next((p for p in map(shutil.which, ("chromium", "chromium-browser")) if p), None)
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


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "/browser/" in str(item.path):
            item.add_marker(pytest.mark.e2e)
            item.add_marker(pytest.mark.slow)
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="chromium is not installed"))


@dataclass
class Bench:
    """A running server."""

    desk: Desk
    port: int
    stop: Any = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"


def started(desk: Desk, port: int = 0) -> Bench:
    """A server in a thread."""
    import uvicorn

    from dutyline.web.connections import configured
    from dutyline.web.guard import Guard
    from dutyline.web.run import listening
    from dutyline.web.server import application

    own = listening(Place("127.0.0.1", port, ""))
    place = Place("127.0.0.1", own.getsockname()[1], "")
    documents = desk.store.documents()
    first = documents[0].id if documents else desk.open_example().id
    app = Guard(application(desk, first), place.hosts)
    server = uvicorn.Server(configured(app))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [own]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)

    def stop() -> None:
        server.should_exit = True
        server.force_exit = True
        thread.join(10)
        own.close()

    return Bench(desk, place.port, stop)


@pytest.fixture(scope="module")
def bench() -> Iterator[Bench]:
    """A server for every module; journeys that need a fresh axis open one."""
    found = started(Desk(MemoryStore(), demo_line()))
    yield found
    found.stop()


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as running:
        found = running.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield found
        found.close()


@pytest.fixture(scope="module")
def context(browser: Any) -> Iterator[Any]:
    """One window for every module, so that styles and scripts are fetched once."""
    found = browser.new_context(viewport={"width": 1280, "height": 800})
    yield found
    found.close()


@pytest.fixture
def wrong() -> list[str]:
    """What pages said that should not be said; a journey may take expected words out."""
    return []


@dataclass
class Opened:
    """A page on an axis of its own."""

    page: Any
    desk: Desk
    key: str

    @property
    def text(self) -> str:
        """The axis file as it is kept."""
        return self.desk.store.get(self.key).head.content.text


@pytest.fixture
def axis(context: Any, bench: Bench, wrong: list[str]) -> Iterator[Opened]:
    """A fresh solved example, open and ready to be used."""
    key = bench.desk.open_example().id
    page = watched(context.new_page(), wrong)
    page.goto(f"{bench.address}/axis/{key}")
    ready(page)
    yield Opened(page, bench.desk, key)
    page.close()
    assert wrong == []


@pytest.fixture
def opened(axis: Opened) -> Any:
    """The page of a fresh example."""
    return axis.page


def watched(page: Any, wrong: list[str]) -> Any:
    """A page whose complaints are written down."""
    page.set_default_timeout(20_000)
    page.on("console", lambda m: wrong.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda e: wrong.append(str(e)))
    page.on("requestfailed", lambda r: wrong.append(f"{r.url} {r.failure}"))
    open_ones: list[Any] = []
    page.on("request", lambda r: open_ones.append(r) if r.url.endswith("/edit") else None)
    for end in ("requestfinished", "requestfailed"):
        page.on(end, lambda r: open_ones.remove(r) if r in open_ones else None)
    load_again = page.reload

    def reload() -> None:
        """Once answers have come to their end: what comes behind an edit would be broken off."""
        until = time.monotonic() + 5
        while open_ones and time.monotonic() < until:
            page.wait_for_timeout(10)
        load_again()

    page.reload = reload
    return page


def ready(page: Any) -> None:
    """Wait until the scripts of a page run."""
    page.wait_for_selector("body[data-ready=yes]")


def settled(page: Any, word: str) -> None:
    """Wait until the sentence on the last edit holds a word and what is out of sight follows."""
    page.wait_for_function(
        "word => document.querySelector('.effect').innerText.includes(word)", arg=word
    )
    page.wait_for_timeout(50)  # the second line comes behind the first
    waiting = "[data-region]:not([data-digest], [data-region=short])"
    page.wait_for_function(f"() => !document.querySelector('{waiting}')")
