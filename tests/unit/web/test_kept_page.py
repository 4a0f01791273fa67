"""The list of kept axes, and what a failing store says."""

from __future__ import annotations

import html
import re
from pathlib import Path

from starlette.testclient import TestClient

from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from dutyline.store.opening import open_file
from dutyline.web.server import application
from support.stores import content

BASE = "http://127.0.0.1:8737"


def test_all_kept_axes_are_listed_the_one_changed_last_first() -> None:
    desk = Desk(MemoryStore(), demo_line())
    first = desk.store.create("Lift <b>1</b>", content("a"), "ann").id
    second = desk.store.create("Kettle", content("b")).id
    desk.store.save(first, 1, content("c"), "Lift <b>1</b>", "mass: 2 kg & more", "bob")
    page = TestClient(application(desk, first), base_url=BASE).get("/axes").text
    assert re.findall(r'href="/axis/([0-9a-f]{16})"', page) == [first, second]
    assert "<b>1</b>" not in page
    rows = [" ".join(html.unescape(re.sub(r"<[^>]+>", " ", r)).split()) for r in page.split("<tr>")]
    when = f"{desk.store.get(first).changed:%Y-%m-%d %H:%M}"
    assert rows[2] == f"Lift <b>1</b> lift.toml {when} mass: 2 kg & more bob 2"
    assert "this computer" in rows[3]
    assert "<script" not in page
    desk.store.move(first, 2, 1, "cid")
    page = TestClient(application(desk, first), base_url=BASE).get("/axes").text
    assert "back at opened" in page, "the one who made a revision is not who went back to it"
    assert "ann" not in page


def test_an_empty_list_leads_on() -> None:
    page = TestClient(application(Desk(MemoryStore(), demo_line()), "0" * 16), base_url=BASE)
    assert "None yet." in page.get("/axes").text


def test_the_page_leads_to_the_list() -> None:
    desk = Desk(MemoryStore(), demo_line())
    first = desk.open_example().id
    page = TestClient(application(desk, first), base_url=BASE).get(f"/axis/{first}").text
    assert 'href="/axes"' in page


def test_a_full_disk_is_told_and_the_edit_refused(tmp_path: Path) -> None:
    store = open_file(tmp_path / "axes.sqlite")
    desk = Desk(store, demo_line())
    first = desk.open_example().id
    with store._engine.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    text = store.get(first).head.content.text + "# " + "x" * 100_000 + "\n"
    asked = {"number": 1, "base": 1, "change": {"do": "text", "text": text}}
    client = TestClient(application(desk, first), base_url=BASE, raise_server_exceptions=False)
    answer = client.post(f"/axis/{first}/edit", json=asked)
    assert answer.status_code == 503
    assert answer.json() == {"error": "The axis could not be kept: database or disk is full."}
    assert store.get(first).head.number == 1
    store.close()
