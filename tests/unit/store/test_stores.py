"""The same tests on every store."""

from __future__ import annotations

import threading

import pytest

from dutyline.store.memory import MemoryStore
from dutyline.store.records import ConflictError, MissingError, Store
from support.stores import content


@pytest.fixture(params=["memory"])
def store(request: pytest.FixtureRequest) -> Store:
    return MemoryStore()


def test_created_is_found(store: Store) -> None:
    made = store.create("Lift", content(), "ann")
    found = store.get(made.id)
    assert found == made
    assert (found.head.number, found.head.who, found.undo, found.redo) == (1, "ann", None, None)
    assert [d.id for d in store.documents()] == [made.id]


def test_saving_makes_revisions_and_undo_goes_back(store: Store) -> None:
    own = store.create("Lift", content()).id
    store.save(own, 1, content("b"), "Lift", "mass: 2 kg")
    third = store.save(own, 2, content("c"), "Lift", "mass: 3 kg")
    assert (third.undo, third.redo) == (2, None)
    back = store.move(own, 3, 2)
    assert (back.head.content.text, back.undo, back.redo) == ("b", 1, 3)
    assert store.move(own, 2, 3).head.content.text == "c"
    assert [r.content.text for r in store.revisions(own)] == ["a", "b", "c"]


def test_undo_twice_and_redo_twice(store: Store) -> None:
    own = store.create("Lift", content()).id
    for number, text in enumerate("bc", 1):
        store.save(own, number, content(text), "Lift", text)
    store.move(own, 3, 2)
    first = store.move(own, 2, 1)
    assert (first.undo, first.redo) == (None, 2)
    assert store.move(own, 1, 2).redo == 3


def test_an_edit_after_undo_ends_redo(store: Store) -> None:
    own = store.create("Lift", content()).id
    store.save(own, 1, content("b"), "Lift", "b")
    store.move(own, 2, 1)
    now = store.save(own, 1, content("x"), "Lift", "x")
    assert (now.head.number, now.undo, now.redo) == (3, 1, None)


def test_typing_on_is_one_step(store: Store) -> None:
    own = store.create("Lift", content()).id
    store.save(own, 1, content("1"), "Lift", "mass: 1 kg")
    now = store.save(own, 2, content("12"), "Lift", "mass: 12 kg", instead=True)
    assert (now.head.number, now.undo) == (3, 1)


def test_a_late_edit_conflicts_and_changes_nothing(store: Store) -> None:
    own = store.create("Lift", content()).id
    store.save(own, 1, content("theirs"), "Lift", "theirs", "bob")
    with pytest.raises(ConflictError) as told:
        store.save(own, 1, content("mine"), "Lift", "mine")
    assert told.value.head.who == "bob"
    assert told.value.lines("mine") == ("-theirs", "+mine")
    assert store.get(own).head.content.text == "theirs"
    with pytest.raises(ConflictError):
        store.move(own, 1, 1)


def test_what_is_not_there_is_told(store: Store) -> None:
    with pytest.raises(MissingError):
        store.get("0" * 16)
    own = store.create("Lift", content()).id
    with pytest.raises(MissingError):
        store.move(own, 1, 7)


def test_of_many_at_once_one_wins_each_time(store: Store) -> None:
    own = store.create("Lift", content()).id
    won: list[int] = []

    def edit(name: int) -> None:
        for _ in range(20):
            head = store.get(own).head
            try:
                store.save(own, head.number, content(f"{head.content.text},{name}"), "L", "")
            except ConflictError:
                continue
            won.append(name)

    threads = [threading.Thread(target=edit, args=(n,)) for n in range(4)]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    assert len(store.get(own).head.content.text.split(",")) == 1 + len(won)
    assert len(store.revisions(own)) == 1 + len(won)
