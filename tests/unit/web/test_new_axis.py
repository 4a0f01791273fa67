"""A new axis: answers are heard one by one, and regions are drawn as soon as they can be."""

from __future__ import annotations

import asyncio
import tomllib

import httpx2
import pytest
from tests.support import loops

from dutyline.web import server

WHOLE = ["belt", "12 kg upright", "300 mm in 0.6 s", "30 /min", "400 V three-phase"]


def drafted(client, *answers: str) -> dict:
    return client.post("/new/draft", json={"answers": list(answers)}).json()


def test_regions_say_what_they_wait_for(client, desk) -> None:
    before = len(desk.documents())
    told = drafted(client, "belt", "", "300 mm in 0.6 s", "", "")
    regions = told["regions"]
    assert "waits for what is moved, how often and the mains" in regions["plane"]
    assert 'aria-label="Speed over one cycle"' in regions["cycle"]
    assert regions["train"].count("is-open") == 6
    assert [q["given"] for q in told["questions"]] == [False, True, False, False]
    assert len(desk.documents()) == before, "nothing is kept"


def test_everything_is_drawn_once_it_is_answered(client) -> None:
    regions = drafted(client, *WHOLE)["regions"]
    assert "is-open" not in regions["train"]
    for name in ("cycle", "plane"):
        assert 'class="plot' in regions[name]
    assert "waits" not in "".join(regions.values())


@pytest.mark.parametrize(("place", "typed", "read"), [
    (1, "12 stones", 'no unit "stones"'),
    (2, "300 mm", "does not say both"),
    (3, "60 /min", "There and back take 1.2 s"),
    (4, "lots", "names no voltage"),
])  # fmt: skip
def test_an_answer_that_is_not_understood_is_told_and_takes_no_other_with_it(
    client, desk, place, typed, read
) -> None:
    answers = [*WHOLE[:place], typed, *WHOLE[place + 1 :]]
    asked = drafted(client, *answers)["questions"]
    assert [q["refused"] for q in asked] == [k == place for k in range(1, 5)]
    assert read in asked[place - 1]["said"]
    before = len(desk.documents())
    refused = client.post("/new", json={"answers": answers})
    assert refused.status_code == 422
    assert refused.json()["faults"][0]["field"] == asked[place - 1]["name"]
    assert read in refused.json()["faults"][0]["read"]
    assert len(desk.documents()) == before


def test_a_load_is_asked_for_as_its_mechanism_has_it(client) -> None:
    """A mass where it moves along, an inertia where it turns, a tension where a web runs."""
    texts = {kind: drafted(client, kind, *[""] * 4)["questions"][0]["text"]
             for kind in ("belt", "rotary-table", "winder")}  # fmt: skip
    assert "mass" in texts["belt"]
    assert "inertia" in texts["rotary-table"]
    assert "tension" in texts["winder"]


def test_upright_is_a_slope(client, desk) -> None:
    own = client.post("/new", json={"answers": WHOLE}).json()["axis"]
    load = tomllib.loads(desk.store.get(own).head.content.text)["load"]
    assert (load["mass"], load["incline"]) == ("12 kg", "90 deg")


@pytest.mark.parametrize("answers", [[], [""] * 4, "belt", None, ["x" * 2001, *[""] * 4]])
def test_other_than_five_answers_are_refused(client, answers) -> None:
    assert client.post("/new/draft", json={"answers": answers}).status_code == 422


def test_drafts_are_worked_out_one_after_another(
    desk, first: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    under_way: list[int] = []
    most: list[int] = []
    draft = server.draft

    def counted(*given):
        under_way.append(1)
        most.append(len(under_way))
        found = draft(*given)
        under_way.pop()
        return found

    monkeypatch.setattr(server, "draft", counted)

    async def several() -> list[int]:
        transport = httpx2.ASGITransport(server.application(desk, first))
        async with httpx2.AsyncClient(transport=transport, base_url="http://127.0.0.1:8737") as one:
            asked = [one.post("/new/draft", json={"answers": WHOLE}) for _ in range(4)]
            return [answer.status_code for answer in await asyncio.gather(*asked)]

    assert loops.run(several()) == [200] * 4
    assert most == [1] * 4
