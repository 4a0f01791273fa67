"""A server on a solved example, bare or behind its guard."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from dutyline.web.guard import Guard
from dutyline.web.server import application

BASE = "http://127.0.0.1:8737"
HOSTS = frozenset({"127.0.0.1:8737", "localhost:8737"})


@pytest.fixture
def desk() -> Desk:
    return Desk(MemoryStore(), demo_line())


@pytest.fixture
def first(desk: Desk) -> str:
    return desk.open_example().id


@pytest.fixture
def client(desk: Desk, first: str) -> TestClient:
    return TestClient(application(desk, first), base_url=BASE)


@pytest.fixture(scope="module")
def opened() -> tuple[Any, str]:
    """An application for all tests of a module, and its document."""
    desk = Desk(MemoryStore(), demo_line())
    first = desk.open_example().id
    return application(desk, first), first


def guarded(app: Any, **more: Any) -> TestClient:
    """Behind the guard."""
    return TestClient(Guard(app, HOSTS, **more), base_url=BASE, follow_redirects=False)
