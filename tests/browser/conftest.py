"""A server of its own and a browser for every module; console errors and failed requests fail."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest

from dutyline.app.serve import Place
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore

CHROMIUM = next((p for p in map(shutil.which, ("chromium", "chromium-browser")) if p), None)


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

    from dutyline.web.guard import Guard
    from dutyline.web.run import listening
    from dutyline.web.server import application

    own = listening(Place("127.0.0.1", port, ""))
    place = Place("127.0.0.1", own.getsockname()[1], "")
    documents = desk.store.documents()
    first = documents[0].id if documents else desk.open_example().id
    app = Guard(application(desk, first), place.hosts)
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="off"))
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


@pytest.fixture
def bench() -> Iterator[Bench]:
    found = started(Desk(MemoryStore(), demo_line()))
    yield found
    found.stop()


@dataclass
class Seen:
    """What a page said on its console."""

    page: Any
    wrong: list[str] = field(default_factory=list)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as running:
        found = running.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield found
        found.close()


@pytest.fixture
def wrong() -> list[str]:
    """What pages said that should not be said; a journey may take expected words out."""
    return []


@pytest.fixture
def opened(browser: Any, bench: Bench, wrong: list[str]) -> Iterator[Any]:
    """The first page, ready to be used."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = watched(context.new_page(), wrong)
    page.goto(bench.address)
    ready(page)
    yield page
    context.close()
    assert wrong == []


def watched(page: Any, wrong: list[str]) -> Any:
    """A page whose complaints are written down."""
    page.set_default_timeout(30_000)
    page.on("console", lambda m: wrong.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda e: wrong.append(str(e)))
    page.on("requestfailed", lambda r: wrong.append(f"{r.url} {r.failure}"))
    return page


def ready(page: Any) -> None:
    """Wait until the scripts of a page run."""
    page.wait_for_selector("body[data-ready=yes]")


def settled(page: Any, word: str) -> None:
    """Wait until the sentence about the last edit holds a word."""
    page.wait_for_function(
        "word => document.querySelector('.effect').innerText.includes(word)", arg=word
    )
