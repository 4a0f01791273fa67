"""What is typed is worked out before it is sent: the same page sooner, and nothing kept of it."""

from __future__ import annotations

import threading

import pytest

from dutyline.app.inputs import example_text
from dutyline.app.workbench import ahead as aheads
from dutyline.app.workbench import results
from dutyline.app.workbench.ahead import Ahead, Guess
from dutyline.app.workbench.behind import Behind
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.core.deadline import in_time
from dutyline.store.memory import MemoryStore
from dutyline.store.records import Content
from dutyline.web.pages import regions

LONG = 30.0
"""[s] after which a test that hangs fails."""


def typed(mass: str) -> dict[str, str]:
    return {"do": "set", "path": "load.mass", "typed": mass}


@pytest.fixture
def desk() -> Desk:
    return Desk(MemoryStore(), demo_line())


@pytest.fixture
def judging(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Where axes were judged, in turn."""
    told: list[str] = []
    for name, module in (("ahead", aheads), ("results", results)):
        judge = module.judge

        def counted(*given, judge=judge, name=name, **more):
            told.append(name)
            return judge(*given, **more)

        monkeypatch.setattr(module, "judge", counted)
    return told


def test_the_page_is_the_same_and_judged_once(desk: Desk, judging: list[str]) -> None:
    key, other = (desk.open_text("a.toml", example_text("lift")).id for _ in range(2))
    judging.clear()
    desk.ahead(key, 1, typed("31 kg"), show=regions)
    found = desk.edit(key, 1, typed("31 kg"))
    assert judging == ["ahead"]
    plain = desk.edit(other, 1, typed("31 kg"))
    assert judging == ["ahead", "results"]
    assert found.effect == plain.effect
    assert found.ghosts == plain.ghosts
    assert found.picture == plain.picture
    assert regions(found) == regions(plain)


def test_nothing_is_kept_of_what_is_not_sent(desk: Desk) -> None:
    key = desk.open_example().id
    before = desk.page(key)
    desk.ahead(key, 1, typed("31 kg"))
    assert desk.page(key) == before
    assert len(desk.store.revisions(key)) == 1


def test_only_what_was_typed_counts(desk: Desk) -> None:
    key, other = (desk.open_text("a.toml", example_text("lift")).id for _ in range(2))
    desk.ahead(key, 1, typed("310 kg"))
    found = desk.edit(key, 1, typed("31 kg"))
    assert found.picture == desk.edit(other, 1, typed("31 kg")).picture
    desk.ahead(key, 2, typed("32 kg"))
    assert desk.edit(other, 2, typed("33 kg")).picture != desk.edit(key, 2, typed("32 kg")).picture


def test_what_cannot_be_used_is_told_when_it_is_sent(desk: Desk) -> None:
    key = desk.open_example().id
    desk.ahead(key, 1, typed("31 kN"))
    found = desk.edit(key, 1, typed("31 kN"))
    assert "mass" in found.faults[0].field
    assert found.document.head.number == 2


def test_an_older_state_is_not_worked_out(desk: Desk, judging: list[str]) -> None:
    key = desk.open_example().id
    desk.edit(key, 1, typed("31 kg"))
    judging.clear()
    desk.ahead(key, 1, typed("32 kg"))
    with desk.behind.edit("another"):
        desk.ahead(key, 2, typed("33 kg"))
    assert desk.edit(key, 2, typed("34 kg")).picture is not None
    assert judging == ["results"]


def _ahead() -> Ahead:
    line = demo_line()
    return Ahead(results.Results(MemoryStore(), line), Behind(), line)


def _guess(mass: str) -> Guess:
    before = Content("a.toml", "", {})
    return Guess("axis", before, typed(mass), before, "")


def test_the_newer_guess_ends_the_older() -> None:
    ahead, begun, go = _ahead(), threading.Event(), threading.Event()
    older, newer = _guess("1 kg"), _guess("2 kg")

    def slow():
        begun.set()
        go.wait(LONG)
        in_time()
        return "older"

    ahead.work(older, slow)
    assert begun.wait(LONG)
    ahead.work(newer, lambda: "newer")
    go.set()
    assert older.made.result(LONG) is None
    assert newer.made.result(LONG) == "newer"
    assert ahead.take("axis", newer.before, typed("2 kg")) is newer
    assert ahead.take("axis", newer.before, typed("2 kg")) is None


def test_a_guess_that_fails_gives_nothing() -> None:
    ahead, guess = _ahead(), _guess("1 kg")

    def failing():
        raise ZeroDivisionError

    ahead.work(guess, failing)
    assert guess.made.result(LONG) is None


def test_a_newer_state_of_a_field_takes_the_place_of_one_under_way(
    desk: Desk, judging: list[str]
) -> None:
    key = desk.open_example().id
    begun, go = threading.Event(), threading.Event()

    def held(_: object) -> None:
        begun.set()
        go.wait(LONG)

    desk.ahead(key, 1, typed("3 kg"), show=held)
    assert begun.wait(LONG)
    desk.ahead(key, 1, typed("31 kg"))
    go.set()
    desk.edit(key, 1, typed("31 kg"))
    assert judging == ["ahead", "ahead"]
