"""What follows an edit later: newest state only, edits first, and nothing waits for ever."""

from __future__ import annotations

import threading
from concurrent.futures import Future

import pytest

from dutyline.app.workbench.behind import Behind
from dutyline.core.deadline import TooLongError, in_time
from dutyline.core.errors import Fault, InputError
from dutyline.core.recent import Recent

LONG = 30.0
"""[s] after which a test that hangs fails."""


@pytest.fixture
def held():
    """Keeps the thread of a Behind busy with an axis of its own until it is set."""
    return threading.Event()


def busy(behind: Behind, until: threading.Event) -> Future[bool | None]:
    begun = threading.Event()

    def make() -> bool:
        begun.set()
        return until.wait(LONG)

    found = behind.ask("other", 0, make)
    assert begun.wait(LONG)
    return found


def test_only_the_newest_state_of_an_axis_is_worked_out(held):
    behind, made = Behind(), []
    busy(behind, held)
    older = behind.ask("axis", 1, lambda: made.append(1))
    with behind.edit("axis"):
        pass
    newer = behind.ask("axis", 2, lambda: made.append(2) or "newer")
    assert older.result(LONG) is None
    held.set()
    assert newer.result(LONG) == "newer"
    assert made == [2]


def test_who_asks_late_for_an_older_state_takes_nothing_from_the_newer(held):
    behind = Behind()
    busy(behind, held)
    newer = behind.ask("axis", (2, "variants"), lambda: "newer")
    behind.ask("axis", (1, "shortlist"), lambda: None)
    held.set()
    assert newer.result(LONG) == "newer"


def test_an_edit_gives_up_what_waits_for_its_axis_and_no_other(held):
    behind = Behind()
    busy(behind, held)
    mine = behind.ask("axis", 1, lambda: "mine")
    theirs = behind.ask("another", 1, lambda: "theirs")
    with behind.edit("axis"):
        assert mine.result(LONG) is None
    held.set()
    assert theirs.result(LONG) == "theirs"


def test_running_work_stops_at_its_next_step_when_its_axis_is_edited():
    behind, begun, go = Behind(), threading.Event(), threading.Event()
    passed = []

    def make() -> str:
        begun.set()
        go.wait(LONG)
        in_time()
        passed.append(True)
        return "late"

    found = behind.ask("axis", 1, make)
    assert begun.wait(LONG)
    with behind.edit("axis"):
        pass
    go.set()
    assert found.result(LONG) is None
    assert not passed


def test_work_waits_while_an_edit_is_judged_and_not_for_ever():
    patient, begun = Behind(patience=LONG), threading.Event()
    with patient.edit("other"):
        found = patient.ask("axis", 1, begun.set)
        assert not begun.wait(0.05)
    assert begun.wait(LONG)
    found.result(LONG)
    hurried = Behind(patience=0.0)
    with hurried.edit("other"):
        assert hurried.ask("axis", 1, lambda: "beside").result(LONG) == "beside"


def test_two_windows_that_ask_for_the_same_get_the_same(held):
    behind, made = Behind(), []
    busy(behind, held)
    one = behind.ask("axis", (3, "shortlist"), lambda: made.append(1) or "list")
    two = behind.ask("axis", (3, "shortlist"), lambda: made.append(2) or "list")
    held.set()
    assert (one.result(LONG), two.result(LONG)) == ("list", "list")
    assert made == [1]


def test_work_that_takes_too_long_is_given_up_and_the_next_is_done():
    behind = Behind(budget=0.0)

    def endless() -> None:
        while True:
            in_time()

    with pytest.raises(TooLongError):
        behind.ask("axis", 1, endless).result(LONG)
    behind.budget = LONG
    assert behind.ask("axis", 2, lambda: "next").result(LONG) == "next"


def test_a_fault_reaches_whoever_asked_and_the_thread_goes_on():
    behind = Behind()

    def faulty() -> None:
        raise InputError("the axis", [Fault("", "", "cannot be used.")])

    with pytest.raises(InputError, match="cannot be used"):
        behind.ask("axis", 1, faulty).result(LONG)
    assert behind.ask("axis", 2, lambda: "next").result(LONG) == "next"


def test_recent_keeps_as_many_as_it_may_and_lets_the_oldest_go():
    recent: Recent[int] = Recent(2)
    for number, key in enumerate("abac"):
        recent.put(key, number)
    assert [recent.get(key) for key in "abc"] == [2, None, 3]
