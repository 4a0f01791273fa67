"""What follows an edit at once is written before anything below the drawings is worked out."""

from __future__ import annotations

import pytest

from dutyline.app.workbench import picture as pictures
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from dutyline.web.pages import first_regions, next_regions


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
