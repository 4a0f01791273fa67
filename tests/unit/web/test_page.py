"""Pages and edits over HTTP, with the digits of the command line."""

from __future__ import annotations

import html
import json
import re
import tomllib

import pytest
from starlette.testclient import TestClient

from dutyline.app.inputs import example_file, example_names
from dutyline.app.workbench.desk import Desk
from dutyline.checks.records import Combination


def sent(client: TestClient, first: str, base: int, change: dict, **more) -> list[dict]:
    answer = client.post(
        f"/axis/{first}/edit", json={"number": 1, "base": base, "change": change, **more}
    )
    return [json.loads(line) for line in answer.text.splitlines()]


def words(page: str) -> str:
    return html.unescape(re.sub(r"<[^>]+>", " ", page))


def test_an_edit_is_judged_kept_and_shown(client: TestClient, first: str, desk: Desk) -> None:
    replies = sent(client, first, 1, {"do": "set", "path": "load.mass", "typed": "30 kg"})
    assert replies[0]["revision"] == 2
    assert {"top", "train", "cycle", "plane", "fields-load"} <= set(replies[0]["regions"])
    assert replies[0]["more"]
    assert "ledger" in replies[1]["regions"]
    assert 'value="30 kg"' in replies[0]["regions"]["fields-load"]
    assert any("short" in later["regions"] for later in replies[1:])
    assert 'value = "30 kg"' in desk.store.get(first).head.content.text


def test_a_bad_value_keeps_the_last_good_result(client: TestClient, first: str) -> None:
    good = client.get(f"/axis/{first}").text
    reply = sent(client, first, 1, {"do": "set", "path": "load.mass", "typed": "28 kN"})[0]
    assert reply["revision"] == 2
    assert reply["faults"][0]["field"] == "load.mass"
    assert "28 kN" in reply["faults"][0]["read"]
    assert "is-bad" in reply["regions"]["fields-load"]
    sentence = re.search(r'<p class="verdict".*?</p>', good, re.S)
    assert sentence is not None
    assert words(sentence[0]).strip() in words(reply["regions"]["top"])


def test_half_a_value_is_not_kept(client: TestClient, first: str, desk: Desk) -> None:
    reply = sent(client, first, 1, {"do": "set", "path": "load.mass", "typed": "1."}, typing=True)
    assert reply[0]["typing"] is True or reply[0]["faults"] == []
    reply = sent(client, first, 1, {"do": "set", "path": "load.mass", "typed": "12 k"}, typing=True)
    assert reply[0]["typing"] is True
    assert reply[0]["revision"] == 1
    assert desk.store.get(first).head.number == 1


def test_the_later_of_two_windows_sees_the_conflict(client: TestClient, first: str) -> None:
    sent(client, first, 1, {"do": "set", "path": "load.mass", "typed": "30 kg"})
    late = sent(client, first, 1, {"do": "set", "path": "load.mass", "typed": "40 kg"})[0]
    assert late["head"] == 2
    (theirs, mine) = late["lines"]
    assert (theirs[0], mine[0]) == ("-", "+")
    assert '"30 kg"' in theirs
    assert '"40 kg"' in mine
    undo = {"number": 2, "base": 1, "to": 1}
    (theirs, mine) = client.post(f"/axis/{first}/edit", json=undo).json()["lines"]
    assert '"30 kg"' in theirs
    assert '"28 kg"' in mine


def test_what_would_help_is_sought_for_what_can_be_computed_alone(
    client: TestClient, first: str, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not for the result before a value that cannot be used: its remedies would be told as new."""
    asked: list[str] = []
    for name in ("shortlist", "advised"):

        def counted(key: str, name: str = name) -> None:
            asked.append(name)

        counted.__name__ = name  # by which it is known while it is under way
        monkeypatch.setattr(desk, name, counted)
    sent(client, first, 1, {"do": "set", "path": "load.mass", "typed": "28 kN"})
    assert asked == []
    sent(client, first, 2, {"do": "set", "path": "load.mass", "typed": "29 kg"})
    assert asked == ["shortlist", "advised"]


@pytest.mark.slow
def test_undo_and_redo_go_across_fields(client: TestClient, first: str, desk: Desk) -> None:
    sent(client, first, 1, {"do": "set", "path": "load.mass", "typed": "30 kg"})
    sent(client, first, 2, {"do": "part", "kind": "gearhead", "name": "XG72-16"})
    answer = client.post(f"/axis/{first}/edit", json={"number": 3, "base": 3, "to": 2})
    reply = json.loads(answer.text.splitlines()[0])
    assert (reply["revision"], reply["undo"], reply["redo"]) == (2, 1, 3)
    assert desk.store.get(first).head.content.parts["gearhead"] == "XG72-24"


@pytest.mark.parametrize("name", [
    pytest.param(n, marks=pytest.mark.slow) if n == "flying-saw" else n for n in example_names()
])  # fmt: skip
def test_same_digits_as_the_command_line(desk: Desk, name: str) -> None:
    """Every used share of the ledger, and the demand and limit behind it, as `verify` has them."""
    import dutyline as dl
    from dutyline.report.sections.ledger import counted
    from dutyline.report.words import demand_and_limit, share

    own = desk.open_example(name).id
    page = desk.page(own)
    assert page.picture is not None
    axis = dl.read_axis(example_file(name))
    verdict = dl.verify(axis, Combination(**page.picture.names))
    with axis.reader.served():
        wanted = {
            f"{ln.check}--{ln.part}": (share(ln.used), *demand_and_limit(ln)[:2])
            for ln in counted(verdict)
            if ln.used is not None
        }
    shown = {r.key: r for g in page.picture.groups for r in g.rows}
    for key, (used, demand, limit) in wanted.items():
        if shown[key].demand:
            assert (shown[key].used, shown[key].demand) == (used, demand)
            assert shown[key].limit.startswith(limit)
    assert wanted


def test_the_page_stays_small(client: TestClient, first: str) -> None:
    import gzip

    page = client.get(f"/axis/{first}").content
    assert len(gzip.compress(page)) < 40_000


def test_parts_that_did_not_change_do_not_travel(client: TestClient, first: str) -> None:
    change = {"do": "set", "path": "load.mass", "typed": "30 kg"}
    whole = sent(client, first, 1, change)[0]
    again = sent(client, first, 2, {**change, "typed": "31 kg"}, have=whole["digests"])[0]
    assert "fields-drive" in whole["regions"]
    assert "fields-drive" not in again["regions"]
    assert "fields-load" in again["regions"]
    assert set(again["digests"]) == set(again["regions"])


@pytest.mark.parametrize(
    "body",
    [
        b'{"base":1,"change":{"do":"set","path":"axis.title","typed":"\\ud800"}}',
        b'{"base":1,"to":' + b"9" * 4000 + b"}",
        b'{"base":NaN}',
        b"[" * 100_000,
        b'{"base":1,"to":true}',
    ],
)
def test_json_that_no_page_sends_is_refused_and_changes_nothing(client, first, desk, body) -> None:
    """Halves of characters, numbers that are none (RFC 8259, sections 6 and 8.2)."""
    kind = {"content-type": "application/json"}
    answer = client.post(f"/axis/{first}/edit", content=body, headers=kind)
    assert answer.status_code == 422
    assert desk.store.get(first).head.number == 1
    assert client.get(f"/axis/{first}/text").status_code == 200


@pytest.mark.parametrize("number", ["9" * 50, '"x"', "[" * 500 + "]" * 500, "null", "true"])
def test_an_answer_repeats_whole_numbers_alone(client, first, number) -> None:
    body = f'{{"number":{number},"base":1,"to":1}}'
    kind = {"content-type": "application/json"}
    answer = client.post(f"/axis/{first}/edit", content=body, headers=kind)
    assert json.loads(answer.text.splitlines()[0])["number"] is None


def test_a_file_of_any_name_is_handed_over(client, first, desk) -> None:
    text = desk.store.get(first).head.content.text
    answer = client.post("/open", json={"file": "\u8f74\u202e\u00e4.toml", "text": text})
    file = client.get(f"/axis/{answer.json()['axis']}/file")
    assert (file.status_code, file.text) == (200, text)
    assert file.headers["content-disposition"] == 'attachment; filename="---.toml"'


def test_a_status_and_its_note_stand_in_the_file_and_in_the_field(client, first, desk) -> None:
    change = {"do": "status", "path": "load.mass", "status": "measured", "note": "weighed in May"}
    reply = sent(client, first, 1, change)[0]
    assert reply["faults"] == []
    fields = reply["regions"]["fields-load"]
    assert 'data-take="measured" aria-checked="true"' in fields
    assert 'value="weighed in May"' in fields
    assert 'note = "weighed in May"' in desk.store.get(first).head.content.text
    words = reply["regions"]["fields-mechanism"]
    assert 'data-status="mechanism.kind"' not in words


def test_revisions_say_who(client, first, desk) -> None:
    change = {"do": "set", "path": "load.mass", "typed": "30 kg"}
    sent(client, first, 1, change, who=" M.  Example ")
    assert desk.store.get(first).head.who == "M. Example"
    assert "M. Example" in client.get(f"/axis/{first}/revisions").text
    move = {"number": 2, "base": 2, "to": 1, "who": "U. Undoer"}
    client.post(f"/axis/{first}/edit", json=move)
    client.post(f"/axis/{first}/edit", json={**move, "base": 1, "to": 2, "who": "R. Redoer"})
    told = words(client.get(f"/axis/{first}/revisions").text)
    rows = re.findall(r"([A-Z]\. [A-Z][a-z]+) +((?:back|on) to revision \d|moving mass)", told)
    assert rows == [
        ("R. Redoer", "on to revision 2"), ("U. Undoer", "back to revision 1"),
        ("M. Example", "moving mass"),
    ]  # fmt: skip
    text = desk.store.get(first).head.content.text
    opened = client.post("/open", json={"file": "a.toml", "text": text, "who": "O. Opener"}).json()
    answers = ["belt", "12 kg", "300 mm in 0.6 s", "30 /min", "400 V three-phase"]
    new = client.post("/new", json={"answers": answers, "who": "N. Newer"}).json()
    assert desk.store.get(opened["axis"]).head.who == "O. Opener"
    assert desk.store.get(new["axis"]).head.who == "N. Newer"
    for name in ("x" * 61, 5, ["x"]):
        body = {"number": 1, "base": 2, "change": change, "who": name}
        assert client.post(f"/axis/{first}/edit", json=body).status_code == 422
    assert desk.store.get(first).head.number == 2


def test_the_words_of_an_enquiry_stay_with_the_axis(client, desk) -> None:
    words = 'Lift 12 kg, "fast" <b>please</b>\r\n\u00fcber 300 mm'
    answers = ["belt", "12 kg, 90 deg", "300 mm in 0.6 s", "30 /min", "400 V three-phase"]
    told = client.post("/new", json={"answers": answers, "words": words}).json()
    kept = tomllib.loads(desk.store.get(told["axis"]).head.content.text)
    assert kept["axis"]["enquiry"] == words.replace("\r\n", "\n")
    page = client.get(f"/axis/{told['axis']}").text
    assert "&lt;b&gt;please" in page
    assert client.post("/new", json={"answers": answers, "words": "x" * 10_001}).status_code == 422


def test_a_payload_has_no_hint_that_is_meant_for_the_load(client: TestClient, first: str) -> None:
    page = client.get(f"/axis/{first}").text
    hint = re.search(r'<p class="hint" id="load-payloads-carton-mass-h">([^<]*)</p>', page)
    assert hint is not None
    assert "without payloads" not in hint[1]
