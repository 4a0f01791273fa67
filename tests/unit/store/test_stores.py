"""The same tests on every store."""

from __future__ import annotations

import datetime
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from dutyline.store.records import ConflictError, Content, MissingError, Store
from support.stores import KINDS, content, made


@pytest.fixture(params=KINDS)
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    kind = request.param
    cluster = request.getfixturevalue("postgresql") if kind == "postgresql" else None
    found = made(kind, tmp_path, cluster)
    yield found
    found.close()


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


def test_who_moved_the_head_is_kept_and_told_in_a_conflict(store: Store) -> None:
    own = store.create("Lift", content(), "ann").id
    store.save(own, 1, content("b"), "Lift", "b", "ann")
    back = store.move(own, 2, 1, "bob", mark="m")
    store.move(own, 2, 1, "bob", mark="m")
    with pytest.raises(ConflictError, match="elsewhere by bob: revision 1 took the place of 2"):
        store.save(own, 2, content("c"), "Lift", "c", "ann")
    store.move(own, 1, 2, "cid")
    assert [(m.left, m.to, m.who) for m in store.moves(own, 9)] == [(1, 2, "cid"), (2, 1, "bob")]
    assert store.moves(own, 2)[1].when == back.changed
    assert len(store.moves(own, 1)) == 1
    assert store.moves("none", 9) == ()
    store.save(own, 2, content("d"), "Lift", "d", "dee")
    with pytest.raises(ConflictError, match="elsewhere by dee: d"):
        store.save(own, 2, content("e"), "Lift", "e")


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
    told.value.mine = "mine"
    assert told.value.lines() == ("-theirs", "+mine")
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


def test_whatever_a_text_holds_comes_back(store: Store) -> None:
    odd = Content(
        "a\x00\ud800.toml", "t\x00\ud83d é\r\n", {"motor": "\udfff", "gearhead": None}, "\x00"
    )
    own = store.create("T\x00\ud800", odd, "a\x00b").id
    assert store.get(own).head.content == odd
    assert store.get(own).head.who == "a\\u0000b"
    assert store.get(own).title == "T\\u0000\\ud800"
    after = store.save(own, 1, content("b"), "L", "set \x00")
    assert store.revisions(own)[0].content == odd
    assert store.get(own) == after


def test_moments_are_told_in_utc(store: Store) -> None:
    before = datetime.datetime.now(datetime.UTC)
    own = store.create("Lift", content()).id
    for when in (store.get(own).head.when, store.get(own).changed, store.revisions(own)[0].when):
        assert when.tzinfo is datetime.UTC
        assert before <= when <= datetime.datetime.now(datetime.UTC)


def test_the_one_changed_last_comes_first(store: Store) -> None:
    first, second = (store.create(name, content(name)).id for name in ("A", "B"))
    assert [d.id for d in store.documents()] == [second, first]
    store.save(first, 1, content("c"), "A2", "c")
    assert [d.title for d in store.documents()] == ["A2", "B"]
    store.save(second, 1, content("d"), "B2", "d")
    store.move(first, 2, 1)
    assert [d.id for d in store.documents()] == [first, second], "undo is a change, too"


def test_restoring_forgets_redo_and_keeps_every_revision(store: Store) -> None:
    own = store.create("Lift", content("1")).id
    for number in range(1, 5):
        store.save(own, number, content(str(number + 1)), "Lift", "")
    store.move(own, 5, 4)
    now = store.move(own, 4, 2)
    assert (now.head.content.text, now.undo, now.redo) == ("2", 1, None)
    assert len(store.revisions(own)) == 5


def test_a_document_is_found_by_where_it_came_from_and_what_it_said(store: Store) -> None:
    own = store.create("Lift", content("a"), origin="here").id
    store.create("Lift", content("a"), origin="elsewhere")
    store.save(own, 1, content("b"), "Lift", "b")
    store.save(own, 2, content("a"), "Lift", "a again")
    store.save(own, 3, content("c"), "Lift", "c")
    found = store.find("here", "a")
    assert found is not None
    assert (found[0].id, found[0].head.number, found[1].number) == (own, 4, 3)
    assert store.find("here", "x") is None
    assert store.find("nowhere", "a") is None
    later = store.create("Lift", content("a"), origin="here").id
    found = store.find("here", "a")
    assert found is not None
    assert found[0].id == later


def test_revisions_of_nothing_are_told(store: Store) -> None:
    for ask in (store.revisions, store.get, lambda key: store.save(key, 1, content(), "", "")):
        with pytest.raises(MissingError):
            ask("f" * 16)


@pytest.mark.parametrize("base", [0, -1, 2, 10**9])
def test_a_base_that_never_was_conflicts(store: Store, base: int) -> None:
    own = store.create("Lift", content()).id
    with pytest.raises(ConflictError) as told:
        store.save(own, base, content("x"), "Lift", "x")
    assert told.value.based_on is None
    assert len(store.revisions(own)) == 1


def test_a_change_sent_twice_is_made_once(store: Store) -> None:
    own = store.create("Lift", content()).id
    first = store.save(own, 1, content("b"), "Lift", "b", mark="m1")
    assert store.save(own, 1, content("b"), "Lift", "b", mark="m1") == first
    back = store.move(own, 2, 1, mark="m2")
    assert store.move(own, 2, 1, mark="m2") == back
    assert (back.head.number, back.redo, store.marked(own)) == (1, 2, "m2")
    with pytest.raises(ConflictError):
        store.save(own, 2, content("c"), "Lift", "c", mark="m3")
    with pytest.raises(ConflictError):
        store.save(own, 2, content("c"), "Lift", "c")
    assert len(store.revisions(own)) == 2


def test_an_older_mark_is_no_leave_to_change(store: Store) -> None:
    own = store.create("Lift", content()).id
    store.save(own, 1, content("b"), "Lift", "b", mark="m1")
    store.save(own, 2, content("c"), "Lift", "c")
    assert store.marked(own) == ""
    with pytest.raises(ConflictError):
        store.save(own, 1, content("b"), "Lift", "b", mark="m1")


def test_the_list_of_revisions_is_the_newest_without_texts(store: Store) -> None:
    own = store.create("Lift", content("x" * 10_000), "ann").id
    for number in range(1, 6):
        store.save(own, number, content(str(number)), "Lift", f"step {number}", "bob")
    told = store.heads(own, 3)
    assert [(r.number, r.who, r.what) for r in told] == [
        (6, "bob", "step 5"), (5, "bob", "step 4"), (4, "bob", "step 3"),
    ]  # fmt: skip
    assert [r.when for r in told] == [r.when for r in store.revisions(own)[:2:-1]]
    assert store.heads(own, 99)[-1].who == "ann"
    assert not hasattr(told[0], "content")
    with pytest.raises(MissingError):
        store.heads("f" * 16, 3)
