"""Entries made when they are asked for, once, and left out where there is nothing."""

from __future__ import annotations

import copy
import pickle

import pytest

from dutyline.core.later import Later


def test_entries_are_made_when_asked_for_and_once() -> None:
    made: list[str] = []

    def one() -> int:
        made.append("one")
        return 1

    found = Later({"zero": 0}, {"one": one, "none": lambda: None})
    assert found["zero"] == 0
    assert made == []
    assert (found["one"], found.get("one")) == (1, 1)
    assert made == ["one"]


def test_what_comes_to_nothing_is_not_there() -> None:
    found = Later({"zero": 0}, {"one": lambda: 1, "none": lambda: None})
    assert list(found) == ["zero", "one"]
    assert len(found) == 2
    assert "none" not in found
    assert found.get("none", "else") == "else"
    with pytest.raises(KeyError):
        found["none"]
    assert {**found, "two": 2} == {"zero": 0, "one": 1, "two": 2}


def test_copies_are_plain_tables() -> None:
    found = Later({"zero": 0}, {"one": lambda: 1})
    assert pickle.loads(pickle.dumps(found)) == {"zero": 0, "one": 1}
    assert copy.deepcopy(found) == {"zero": 0, "one": 1}


def test_names_are_gone_through_while_another_thread_has_an_entry_made() -> None:
    class Watched(str):
        """Somebody else asks whenever it is looked for."""

        def __hash__(self) -> int:
            if asked:
                asked.pop()()
            return str.__hash__(self)

    asked: list = []
    found = Later({"zero": 0}, {Watched("one"): lambda: 1, "two": lambda: 2})
    asked.append(lambda: found["two"])
    assert sorted(found) == ["one", "two", "zero"]
