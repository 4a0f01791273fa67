"""The verbs over HTTP say what the command line says, and refuse in sentences."""

from __future__ import annotations

import json

import pytest
from starlette.testclient import TestClient

from dutyline.app.inputs import example_file
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from dutyline.web.server import application
from support.command import dutyline

LIFT = example_file("lift").read_text("utf-8")
PARTS = {"motor": "XM72-0450H", "gearhead": "XG72-24", "drive": "XD-H4"}


@pytest.fixture(scope="module")
def client() -> TestClient:
    desk = Desk(MemoryStore(), demo_line())
    app = application(desk, desk.open_example().id)
    return TestClient(app, base_url="http://127.0.0.1:8737", raise_server_exceptions=False)


@pytest.mark.parametrize(
    "verb, extra, arguments",
    [
        ("demand", {}, []),
        ("select", {}, []),
        (
            "verify",
            {"combination": PARTS, "remedies": True},
            ["--motor", "XM72-0450H", "--gearhead", "XG72-24", "--drive", "XD-H4"],
        ),
        (
            "order",
            {"combination": PARTS},
            ["--motor", "XM72-0450H", "--gearhead", "XG72-24", "--drive", "XD-H4"],
        ),
    ],
)
def test_same_digits_as_the_command_line(client, verb, extra, arguments) -> None:
    answer = client.post(f"/api/{verb}", json={"axis": LIFT, "file": "axis.toml", **extra})
    assert answer.status_code == 200
    printed = dutyline(verb, str(example_file("lift")), *arguments, "--json")
    assert answer.json() == json.loads(printed.out)


@pytest.mark.parametrize("verb", ["line", "audit", "schema"])
def test_what_needs_no_axis(client, verb) -> None:
    assert client.get(f"/api/{verb}").json() == json.loads(dutyline(verb, "--json").out)


def test_faults_come_as_sentences(client) -> None:
    bad = LIFT.replace("28 kg", "28 kN")
    answer = client.post("/api/demand", json={"axis": bad})
    assert answer.status_code == 422
    fault = answer.json()["faults"][0]
    assert fault["field"] == "load.mass"
    assert "28 kN" in fault["read"]
    for body in ({}, {"axis": 5}, {"axis": LIFT, "more": 1}, [], "x"):
        told = client.post("/api/demand", json=body)
        assert told.status_code == 422
        assert told.json()["faults"]


def test_a_text_reads_no_file(client, tmp_path) -> None:
    (tmp_path / "secret.csv").write_text("time [s];position [mm]\n0;0\n1;5\n", "utf-8")
    text = LIFT.replace(
        'do = "move"\nby = "300 mm"\ntime = "0.6 s"\nlaw = "s-curve"',
        f'do = "table"\nfile = "{tmp_path}/secret.csv"',
    )
    assert text != LIFT
    answer = client.post("/api/demand", json={"axis": text, "file": f"{tmp_path}/axis.toml"})
    assert answer.status_code == 422


def test_a_fault_of_the_program_tells_nothing_of_its_inside(client, monkeypatch) -> None:
    from dutyline.web import api

    def broken(*_: object) -> None:
        raise RuntimeError("/secret/path")

    monkeypatch.setattr(api, "demand", broken)
    answer = client.post("/api/demand", json={"axis": LIFT})
    assert answer.status_code == 500
    assert "secret" not in answer.text


def test_the_interface_describes_itself(client) -> None:
    described = client.get("/openapi.json").json()
    assert {"/api/demand", "/api/select", "/api/verify", "/api/order"} <= set(described["paths"])
    assert "/axis/{key}/edit" not in described["paths"]
