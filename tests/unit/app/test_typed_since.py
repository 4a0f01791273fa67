"""While an axis cannot be used its fields show what stands in the file."""

from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore


def belt_fields(page):
    assert page.picture is not None
    part = next(p for p in page.picture.parts if p.key == "mechanism")
    return {f.path: f for f in (*part.fields, *part.more)}


def test_what_contradicts_another_field_stays_where_it_was_typed():
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    page = desk.edit(key, 1, {"do": "set", "path": "mechanism.diameter", "typed": "60 mm"})
    assert page.faults
    assert belt_fields(page)["mechanism.diameter"].typed == "60 mm"

    number = page.document.head.number
    page = desk.edit(key, number, {"do": "set", "path": "mechanism.pitch", "typed": ""})
    assert page.faults
    pitch = belt_fields(page)["mechanism.pitch"]
    assert (pitch.typed, pitch.stated) == ("", False)

    number = page.document.head.number
    page = desk.edit(key, number, {"do": "set", "path": "mechanism.teeth", "typed": ""})
    assert not page.faults
    assert belt_fields(page)["mechanism.diameter"].shown.startswith("60")


def test_a_field_keeps_its_own_name_in_the_last_edit():
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    page = desk.edit(key, 1, {"do": "set", "path": "mechanism.diameter", "typed": "60 mm"})
    assert page.effect.startswith("pulley pitch diameter: 60 mm")
