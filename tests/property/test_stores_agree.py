"""Whatever is done in whatever order, a database keeps what the memory keeps."""

from __future__ import annotations

import secrets
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any, ClassVar

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from dutyline.core.errors import DutylineError
from dutyline.store.memory import MemoryStore
from dutyline.store.opening import named
from dutyline.store.records import ConflictError, Content, Document, Revision, Store
from support.postgresql import Cluster

pytestmark = pytest.mark.property

TEXTS = st.text(max_size=6)
CONTENTS = st.builds(
    Content,
    file=TEXTS,
    text=st.sampled_from(["a", "b", "a\r\n", "\x00", "é\ud800"]) | TEXTS,
    parts=st.dictionaries(st.sampled_from(["motor", "drive"]), st.none() | TEXTS),
    variant=TEXTS,
)
ORIGINS = st.sampled_from(["", "here", "there"])


class Both(RuleBasedStateMachine):
    """The same steps on two stores; documents are spoken of by their order of creation."""

    other: ClassVar[Store]

    @initialize()
    def begin(self) -> None:
        self.plain = MemoryStore()
        self.keys: list[tuple[str, str]] = []
        self.mark = secrets.token_hex(8)  # of this run alone: earlier runs left theirs

    @rule(title=TEXTS, content=CONTENTS, who=TEXTS, origin=ORIGINS)
    def create(self, title: str, content: Content, who: str, origin: str) -> None:
        one, two = (
            s.create(title, content, who, self.mark + origin) for s in (self.plain, self.other)
        )
        self.keys.append((one.id, two.id))
        assert same(one) == same(two)

    @rule(
        which=st.integers(0, 9), off=st.sampled_from([0, 0, 0, 0, -1, 1]), content=CONTENTS,
        title=TEXTS, what=TEXTS, who=TEXTS, instead=st.booleans(),
    )  # fmt: skip
    def save(
        self, which: int, off: int, content: Content, title: str, what: str, who: str, instead: bool
    ) -> None:
        def step(store: Store, key: str, base: int) -> Document:
            return store.save(key, base, content, title, what, who, instead=instead)

        self.do(which, off, step)

    @rule(which=st.integers(0, 9), off=st.sampled_from([0, 0, 0, 1]), to=st.integers(-1, 9))
    def restore(self, which: int, off: int, to: int) -> None:
        self.do(which, off, lambda store, key, base: store.move(key, base, to))

    @rule(which=st.integers(0, 9), back=st.booleans())
    def undo_or_redo(self, which: int, back: bool) -> None:
        def step(store: Store, key: str, base: int) -> Document:
            now = store.get(key)
            to = now.undo if back else now.redo
            return now if to is None else store.move(key, base, to)

        self.do(which, 0, step)

    @rule(origin=ORIGINS, text=st.sampled_from(["a", "b", "é\ud800"]))
    def find(self, origin: str, text: str) -> None:
        one, two = (s.find(self.mark + origin, text) for s in (self.plain, self.other))
        assert (one is None) == (two is None)
        if one is not None and two is not None:
            assert (one[0].id, two[0].id) in self.keys
            assert (same(one[0]), at_no_time(one[1])) == (same(two[0]), at_no_time(two[1]))

    @invariant()
    def every_document_and_revision_is_the_same(self) -> None:
        mine = {two for _, two in self.keys} if hasattr(self, "keys") else set()
        if not mine:
            return
        there = [d for d in self.other.documents() if d.id in mine]
        assert [same(d) for d in self.plain.documents()] == [same(d) for d in there]
        for one, two in self.keys:
            assert same(self.plain.get(one)) == same(self.other.get(two))
            kept = [at_no_time(r) for r in self.plain.revisions(one)]
            assert kept == [at_no_time(r) for r in self.other.revisions(two)]

    def do(self, which: int, off: int, step: Any) -> None:
        if not self.keys:
            return
        one, two = self.keys[which % len(self.keys)]
        base = self.plain.get(one).head.number + off
        assert outcome(step, self.plain, one, base) == outcome(step, self.other, two, base)


def outcome(step: Any, store: Store, key: str, base: int) -> Any:
    """What came of a step, without names and times."""
    try:
        return same(step(store, key, base))
    except ConflictError as error:
        old = None if error.based_on is None else at_no_time(error.based_on)
        return type(error), old, at_no_time(error.head)
    except DutylineError as error:
        return type(error), str(error)


def same(document: Document) -> Document:
    head = at_no_time(document.head)
    return replace(document, id="", head=head, changed=None)  # type: ignore[arg-type]


def at_no_time(revision: Revision) -> Revision:
    return replace(revision, when=None)  # type: ignore[arg-type]


def agree(place: str, examples: int) -> None:
    """Run the steps; documents of earlier runs stand beside and must not matter."""

    class Own(Both):
        other: ClassVar[Store] = named(place)[0]

    try:
        run_state_machine_as_test(
            Own, settings=settings(max_examples=examples, stateful_step_count=25, deadline=None)
        )
    finally:
        Own.other.close()


def test_a_file_keeps_what_the_memory_keeps() -> None:
    with tempfile.TemporaryDirectory() as folder:
        agree(str(Path(folder) / "axes.sqlite"), 25)


def test_postgresql_keeps_what_the_memory_keeps(postgresql: Cluster) -> None:
    agree(postgresql.database(), 25)
