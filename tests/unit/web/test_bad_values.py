"""A value that cannot be used stays as typed beside the last good result."""

from __future__ import annotations

from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore


def test_a_bad_value_stays_as_typed_also_after_a_new_start() -> None:
    store, line = MemoryStore(), demo_line()
    desk = Desk(store, line)
    key = desk.open_example().id
    change = {"do": "set", "path": "load.mass", "typed": "45 kfg"}
    desk.edit(key, 1, change)
    again = Desk(store, line)
    for found in (desk.page(key), again.page(key)):
        assert found.picture is not None
        assert found.picture.sentence.startswith("XM72")
        load = next(p for p in found.picture.parts if p.key == "load")
        mass = next(f for f in load.fields if f.path == "load.mass")
        assert (mass.typed, mass.shown) == ("45 kfg", "28\u00a0kg")
        assert "kfg" in mass.fault
        assert load.open


def test_an_entry_with_two_readings_asks_for_one() -> None:
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    page = desk.edit(key, 1, {"do": "set", "path": "load.mass", "typed": "1,250 kg"})
    assert page.picture is not None
    load = next(p for p in page.picture.parts if p.key == "load")
    mass = next(f for f in load.fields if f.path == "load.mass")
    assert (mass.meanings, mass.shown) == (("1.250 kg", "1250 kg"), "28\u00a0kg")
    page = desk.edit(key, 2, {"do": "set", "path": "load.mass", "typed": mass.meanings[0]})
    assert page.faults == ()
