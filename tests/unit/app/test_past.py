"""The list of changes: revisions and moves of the head between them, the newest first."""

from __future__ import annotations

import datetime
import itertools

import pytest

from dutyline.app.workbench import past as module
from dutyline.app.workbench.past import past
from dutyline.store.memory import MemoryStore
from dutyline.store.records import MissingError
from support.stores import content


def test_so_many_of_the_newest_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    begun, seconds = datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC), itertools.count()
    monkeypatch.setattr(
        "dutyline.store.memory._now", lambda: begun + datetime.timedelta(seconds=next(seconds))
    )
    store = MemoryStore()
    key = store.create("A", content("a"), "ann").id
    store.save(key, 1, content("b"), "A", "mass: 2 kg", "ben")
    store.move(key, 2, 1, "ann")
    store.move(key, 1, 2, "ben")
    store.save(key, 2, content("c"), "A", "mass: 3 kg", "cy")
    every = [(3, "cy", "mass: 3 kg", False), (2, "ben", "on to revision 2", True),
             (1, "ann", "back to revision 1", True), (2, "ben", "mass: 2 kg", False),
             (1, "ann", "opened", False)]  # fmt: skip
    for most in (9, 5, 4, 3, 1):
        monkeypatch.setattr(module, "MOST_CHANGES", most)
        told = [(one.number, one.who, one.what, one.moved) for one in past(store, key)]
        assert told == every[:most]


def test_of_no_axis_nothing_is_told() -> None:
    with pytest.raises(MissingError):
        past(MemoryStore(), "x")
