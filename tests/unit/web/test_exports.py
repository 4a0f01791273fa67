"""Files to hand over: stages as they begin, the bytes behind, cancelling, and how many at once."""

from __future__ import annotations

import asyncio
import json
import re

import pytest
from starlette.testclient import TestClient

from dutyline.app.inputs import example_text
from dutyline.app.workbench import exports
from dutyline.app.workbench.desk import Desk
from dutyline.web.jobs import JobAnswer
from support import loops


def taken(content: bytes) -> tuple[list[dict], bytes]:
    """The lines of an answer and the bytes behind the last."""
    lines: list[dict] = []
    while content:
        line, _, content = content.partition(b"\n")
        lines.append(json.loads(line))
        if "bytes" in lines[-1]:
            break
    return lines, content


@pytest.mark.parametrize(
    ("what", "begins"),
    [
        ("report.pdf", b"%PDF-"),
        ("report.html", b"<!"),
        ("report.xlsx", b"PK"),
        ("order.xlsx", b"PK"),
        ("order.csv", b""),
        ("plots.zip", b"PK"),
    ],
)
def test_every_stage_is_told_and_the_file_is_whole(
    client: TestClient, first: str, what: str, begins: bytes
) -> None:
    lines, content = taken(client.post(f"/axis/{first}/export/{what}").content)
    told = [line for line in lines if "stage" in line]
    assert [line["step"] for line in told] == list(range(1, told[0]["of"] + 1))
    assert [line["stage"] for line in told] == [text for text, _ in exports.EXPORTS[what][1]]
    assert lines[-1]["name"].endswith(what)
    assert lines[-1]["bytes"] == len(content) > 200
    assert content.startswith(begins)


def test_the_report_of_the_page_holds_the_remedies_of_the_command_line(
    client: TestClient, first: str
) -> None:
    change = {"do": "set", "path": "load.mass", "typed": "60 kg"}
    client.post(f"/axis/{first}/edit", json={"number": 1, "base": 1, "change": change})
    lines, content = taken(client.post(f"/axis/{first}/export/report.html").content)
    assert "bytes" in lines[-1]
    assert "would do" in content.decode() or "helps" in content.decode()


def test_an_axis_that_cannot_be_used_is_told_in_the_stream(client: TestClient, first: str) -> None:
    change = {"do": "set", "path": "load.mass", "typed": "28 kN"}
    client.post(f"/axis/{first}/edit", json={"number": 1, "base": 1, "change": change})
    lines, content = taken(client.post(f"/axis/{first}/export/report.pdf").content)
    assert lines[-1]["faults"][0]["field"] == "load.mass"
    assert content == b""


def test_a_report_of_the_page_names_its_revision_and_day(
    client: TestClient, desk: Desk, first: str
) -> None:
    change = {"do": "set", "path": "load.mass", "typed": "30 kg"}
    client.post(f"/axis/{first}/edit", json={"number": 1, "base": 1, "change": change})
    head = desk.store.get(first).head
    page = taken(client.post(f"/axis/{first}/export/report.html").content)[1].decode()
    assert head.number == 2
    assert re.search(r"[Rr]evision\W*2\b", page)
    assert f"{head.when.day} {head.when:%B %Y}" in page


def test_there_is_no_such_file(client: TestClient, first: str) -> None:
    answer = client.post(f"/axis/{first}/export/report.docx")
    assert answer.status_code == 422
    assert "report.xlsx" in answer.json()["faults"][0]["read"]


def test_a_third_file_at_once_is_refused_until_one_is_done(
    client: TestClient, desk: Desk, first: str
) -> None:
    held = [desk.export(first, "report.pdf") for _ in range(exports.MOST_AT_ONCE)]
    refused = client.post(f"/axis/{first}/export/report.pdf")
    assert refused.status_code == 429
    assert "try again" in refused.json()["error"]
    body = {"axis": example_text("lift"), "form": "html"}
    assert client.post("/api/report", json=body).status_code == 429
    held[0].close()
    held[0].close()  # gives its place back once only
    assert client.post(f"/axis/{first}/export/order.csv").status_code == 200
    held[1].close()
    assert client.post("/api/report", json=body).status_code == 200


def test_a_page_that_goes_away_stops_the_work_at_the_next_stage(
    desk: Desk, first: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server is told of the end by the ``http.disconnect`` of ASGI."""
    done: list[str] = []
    gone = asyncio.Event()

    def act(name: str):
        return lambda _: done.append(name)

    acts = tuple((name, act(name)) for name in ("one", "two", "three"))
    monkeypatch.setitem(exports.EXPORTS, "order.csv", ("text/csv", acts))
    job = desk.export(first, "order.csv")

    async def receive() -> dict:
        await gone.wait()
        return {"type": "http.disconnect"}

    async def send(message: dict) -> None:
        if b'"step":2' in message.get("body", b""):
            gone.set()
            await asyncio.sleep(30)  # a page that reads no further

    scope = {"type": "http", "asgi": {"spec_version": "2.3"}, "method": "POST"}
    loops.run(asyncio.wait_for(JobAnswer(job)(scope, receive, send), 20))
    assert done == ["one"]
    assert job.next() is None
    others = [desk.export(first, "plots.zip") for _ in range(exports.MOST_AT_ONCE)]
    for other in others:
        other.close()


def test_programs_get_a_report_in_one_answer(client: TestClient) -> None:
    for form, begins in (("pdf", b"%PDF-"), ("xlsx", b"PK"), ("html", b"<!")):
        answer = client.post("/api/report", json={"axis": example_text("lift"), "form": form})
        assert answer.status_code == 200
        assert answer.content.startswith(begins)
        assert f"report.{form}" in answer.headers["content-disposition"]
