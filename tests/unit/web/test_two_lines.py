"""What follows an edit at once is written before anything below the drawings is worked out."""

from __future__ import annotations

from functools import partial

import orjson
import pytest
from starlette.requests import Request
from starlette.responses import StreamingResponse

from dutyline.app.workbench import picture as pictures
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from dutyline.web.pages import first_regions, next_regions
from dutyline.web.replies import Replies, Seen
from support import loops

REQUEST = {"type": "http", "headers": [], "client": None}


def test_the_ledger_is_made_for_the_second_line_and_once(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[int] = []
    groups = pictures.groups

    def counted(verdict):
        made.append(1)
        return groups(verdict)

    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    monkeypatch.setattr(pictures, "groups", counted)
    page = desk.edit(key, 1, {"do": "set", "path": "phase.up.time", "typed": "1.4 s"})
    first = first_regions(page)
    assert "ledger" not in first
    assert made == []
    assert "Needs you" in next_regions(page)["ledger"]
    assert page.picture is not None
    assert page.picture.groups
    assert made == [1]


def typed(time: str) -> dict[str, str]:
    return {"do": "set", "path": "phase.up.time", "typed": time}


@pytest.mark.parametrize("away", [True, False])
@pytest.mark.parametrize("follows", [True, False])
def test_a_second_line_that_nobody_looks_at_waits_until_no_edit_follows(away, follows) -> None:
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    replies = Replies(desk)

    async def lines() -> list[dict]:
        edit = partial(desk.edit, key, 1, typed("1.4 s"))
        answer = await replies.answer(Request(REQUEST), edit, Seen(7, {}, away))
        assert isinstance(answer, StreamingResponse)
        found = []
        async for line in answer.body_iterator:
            found.append(orjson.loads(line))
            if follows and len(found) == 1:
                desk.edit(key, 2, typed("1.5 s"), instead=True)
        return found

    found = loops.run(lines())
    assert found[0]["more"]
    assert "cycle" in found[0]["regions"]
    assert "ledger" not in found[0]["regions"]
    assert all(line["number"] == 7 for line in found)
    if away and follows:
        assert len(found) == 1, "what comes behind is of the edit that follows"
    else:
        assert "Needs you" in found[1]["regions"]["ledger"]
    if not follows:
        assert "short" in found[3]["regions"], "variants and shortlist come behind in any case"


def test_what_was_left_out_comes_with_an_entry_that_cannot_be_used() -> None:
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    desk.edit(key, 1, typed("1.4 s"))
    replies = Replies(desk)

    async def lines(away: bool) -> list[dict]:
        edit = partial(desk.edit, key, 2, typed("0.1 kN"), typing=True)
        answer = await replies.answer(Request(REQUEST), edit, Seen(7, {}, away))
        assert isinstance(answer, StreamingResponse)
        return [orjson.loads(line) async for line in answer.body_iterator]

    first, second = loops.run(lines(True))
    assert first["faults"]
    assert first["typing"]
    assert first["regions"] == {}
    assert list(second["regions"]) == ["ledger", "foot"]
    assert len(loops.run(lines(False))) == 1, "it was there before"


def test_a_page_stands_until_another_edit_comes() -> None:
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    first = desk.edit(key, 1, typed("1.4 s"))
    assert desk.stands(first)
    second = desk.edit(key, 2, typed("1.5 s"))
    assert desk.stands(second)
    assert not desk.stands(first)
    assert desk.stands(desk.move(key, 3, 2))
