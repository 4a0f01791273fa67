"""Where marks stood before the last edit."""

from __future__ import annotations

import re

import pytest

from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.report.figures.duty import place_of
from dutyline.store.memory import MemoryStore

HEAVIER = {"do": "set", "path": "load.mass", "typed": "34 kg"}


@pytest.fixture(scope="module")
def desk() -> Desk:
    return Desk(MemoryStore(), demo_line())


def shares(page) -> dict[str, float]:
    return {r.key: r.share for g in page.picture.groups for r in g.rows if r.share is not None}


def test_every_row_that_moved_has_a_ghost_where_it_stood(desk: Desk) -> None:
    key = desk.open_example().id
    first = desk.page(key)
    assert first.ghosts == {}
    was = shares(first)
    edited = desk.edit(key, 1, HEAVIER)
    now = shares(edited)
    moved = {k for k in was if k in now and abs(was[k] - now[k]) >= 5e-3}
    assert len(moved) > 5
    assert set(edited.ghosts) == moved
    for name in moved:
        assert edited.ghosts[name] == was[name]


def test_the_duty_line_draws_them_dashed_and_undo_takes_them_away(desk: Desk) -> None:
    key = desk.open_example().id
    edited = desk.edit(key, desk.page(key).document.head.number, HEAVIER)
    drawn = re.findall(r'd="M([0-9.]+) [^>]*stroke-dasharray="1.8 1.5"', edited.picture.duty)
    wanted = sorted(place_of(was) for was in edited.ghosts.values())
    assert sorted(map(float, drawn)) == pytest.approx(wanted, abs=0.01)
    back = desk.move(key, edited.document.head.number, edited.document.undo)
    assert back.ghosts == {}
    assert "1.8 1.5" not in back.picture.duty
