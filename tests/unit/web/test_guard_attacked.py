"""What other sites, floods, odd names and long calculations are met with."""

from __future__ import annotations

import re
import time

import pytest
from starlette.testclient import TestClient

from dutyline.app.serve import Place
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from dutyline.web.guard import Guard
from dutyline.web.server import application
from unit.web.conftest import BASE, HOSTS, guarded

PATHS = (
    "../../etc/passwd", "..%2f..%2fetc%2fpasswd", "%2e%2e/%2e%2e/etc/passwd", "/etc/passwd",
    "..\\..\\windows\\win.ini", "%00", "....//....//etc/passwd", "%252e%252e%252fetc",
)  # fmt: skip


@pytest.mark.parametrize("mode, dest", [("no-cors", "image"), ("navigate", "iframe"), ("cors", "")])
def test_another_site_makes_the_server_compute_nothing(opened, mode: str, dest: str) -> None:
    """Fetch Metadata Request Headers (W3C): what a page of another site embeds says so."""
    app, first = opened
    headers = {"sec-fetch-site": "cross-site", "sec-fetch-mode": mode, "sec-fetch-dest": dest}
    for path in ("/", f"/axis/{first}", f"/axis/{first}/export/report.pdf", "/api/line"):
        assert guarded(app).get(path, headers=headers).status_code == 403


def test_a_link_from_another_site_leads_here_and_changes_nothing(opened) -> None:
    app, first = opened
    headers = {
        "sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document",
    }  # fmt: skip
    assert guarded(app).get(f"/axis/{first}", headers=headers).status_code == 200
    assert guarded(app).post(f"/axis/{first}/edit", headers=headers, json={}).status_code == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "TRACE", "CONNECT", "BREW"])
def test_methods_that_nothing_needs_are_refused(opened, method: str) -> None:
    app, first = opened
    assert guarded(app).request(method, f"/axis/{first}").status_code == 405


def test_a_flood_of_pages_is_refused_and_leaves_room_for_others(opened) -> None:
    app, _ = opened
    guard = Guard(app, HOSTS, most_per_second=0.5, clock=lambda: 0.0)
    one = TestClient(guard, base_url=BASE, client=("10.0.0.1", 1))
    two = TestClient(guard, base_url=BASE, client=("10.0.0.2", 1))
    assert [one.get("/axes").status_code for _ in range(7)] == [200] * 5 + [429] * 2
    assert one.get("/static/workbench.css").status_code == 200
    assert two.get("/axes").status_code == 200


def test_addresses_that_are_remembered_are_bounded(opened) -> None:
    app, _ = opened
    guard = Guard(app, HOSTS)
    for number in range(1500):
        assert guard._room({"client": (str(number), 1)})
    assert len(guard.seen) == 1000


@pytest.mark.parametrize("file", ['a"; filename="b.exe', "a\r\nSet-Cookie: x=1", "\u202egpj", "é"])
def test_a_name_of_a_file_adds_nothing_to_the_head(opened, file: str) -> None:
    """RFC 6266: what stands between the quotes is all there is."""
    one = guarded(opened[0])
    text = one.get("/api/examples/lift").text
    made = one.post("/open", json={"file": file, "text": text}).json()["axis"]
    answer = one.get(f"/axis/{made}/file")
    assert answer.status_code == 200
    assert "set-cookie" not in answer.headers
    given = answer.headers["content-disposition"]
    assert re.fullmatch(r'attachment; filename="[A-Za-z0-9._-]+"', given)


@pytest.mark.parametrize("path", PATHS)
def test_no_route_takes_a_path(opened, path: str) -> None:
    app, first = opened
    own = f"/axis/{first}"
    places = ("/static/", "/axis/", f"{own}/", f"{own}/export/", f"{own}/line/", "/api/examples/")
    for place in places:
        send = guarded(app).post if "/export/" in place else guarded(app).get
        answer = send(place + path)
        assert answer.status_code in (404, 405, 422)
        assert "root:" not in answer.text


def test_names_in_a_body_are_no_paths(opened) -> None:
    one = guarded(opened[0])
    text = one.get("/api/examples/lift").text
    assert one.post("/open", json={"file": "../../etc/passwd", "text": text}).status_code == 200
    beside = text.replace('do = "move"', 'do = "table"\nfile = "/etc/passwd"', 1)
    assert beside != text
    answer = one.post("/api/demand", json={"axis": beside, "file": "/etc/axis.toml"})
    assert answer.status_code == 422
    assert "root:" not in answer.text


def test_an_address_of_the_sixth_version_is_asked_in_brackets(opened) -> None:
    """RFC 3986, 3.2.2, and RFC 9110, 7.2."""
    place = Place("::1", 8737, "t")
    assert place.link == "http://[::1]:8737/?token=t"
    one = TestClient(Guard(opened[0], place.hosts), base_url="http://127.0.0.1:8737")
    assert one.get("/axes", headers={"host": "[::1]:8737"}).status_code == 200
    assert one.get("/axes", headers={"host": "::1:8737"}).status_code == 421


class Broken:
    """Whatever is asked of the desk fails as nothing should."""

    def __init__(self, desk: Desk) -> None:
        self.line, self.jobs = desk.line, desk.jobs

    def __getattr__(self, name: str):
        raise ZeroDivisionError("/secret/place")


def test_a_fault_of_the_program_tells_nothing_of_itself(caplog) -> None:
    app = application(Broken(Desk(MemoryStore(), demo_line())), "0" * 16)  # type: ignore[arg-type]
    guard = Guard(app, HOSTS, token="right-token")
    one = TestClient(guard, base_url=BASE, raise_server_exceptions=False)
    own = "/axis/" + "0" * 16
    for path in (own, f"{own}/text", f"{own}/revisions", "/axes"):
        bearer = {"authorization": "Bearer right-token"}
        answer = one.get(f"{path}?token=right-token", headers=bearer)
        assert answer.status_code == 500
        assert answer.json()["error"].startswith("This is a fault of the program")
        for word in ("secret", "Zero", "Traceback", "right-token", ".py"):
            assert word not in answer.text
    assert "right-token" not in caplog.text


def test_a_calculation_has_an_end(opened, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fair text may ask for minutes: many phases in many cases."""
    one = guarded(opened[0])
    text = one.get("/api/examples/lift").text
    start, end = text.index("[[phase]]"), text.index("[site]")
    moves = "".join(
        f'[[phase]]\nname = "p{k}"\ndo = "move"\nby = "{100 - 200 * (k % 2)} mm"\ntime = "0.25 s"\n'
        for k in range(200)
    )
    long = text[:start] + moves + text[end:]
    monkeypatch.setattr("dutyline.web.timed.LONGEST", 0.05)
    for path, body in (
        ("/open", {"file": "a.toml", "text": long}),
        ("/api/select", {"axis": long}),
        ("/api/verify", {"axis": long, "combination": {"motor": "XM72-0450H"}}),
    ):
        begun = time.monotonic()
        answer = one.post(path, json=body)
        assert time.monotonic() - begun < 5
        assert answer.status_code == 422
        assert answer.json()["error"].startswith("The calculation took longer than 0.05 s")
