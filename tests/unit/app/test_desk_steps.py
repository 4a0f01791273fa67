"""What an edit leaves in the store, and what is no longer made for a state that is past."""

from __future__ import annotations

from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore


def test_steps_of_one_axis() -> None:
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    before = desk.page(key)
    same = desk.edit(key, 1, {"do": "set", "path": "load.mass", "typed": "28 kg"})
    assert same.document.head.number == 1
    assert len(desk.store.revisions(key)) == 1
    after = desk.edit(key, 1, {"do": "set", "path": "axis.title", "typed": "Fork"})
    assert (after.document.head.number, after.document.title) == (2, "Fork")
    assert [document.title for document in desk.documents()] == ["Fork"]
    made: list[str] = []

    def make(own: str) -> str:
        made.append(own)
        return own

    assert desk.later(before, make).result(30) is None
    assert desk.later(after, make).result(30) == key
    assert made == [key]
