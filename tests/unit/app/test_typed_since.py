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


def test_the_ends_of_a_range_stand_under_its_field():
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    page = desk.edit(
        key, 1, {"do": "set", "path": "load.payloads.carton.mass", "typed": "12..15 kg"}
    )
    assert page.picture is not None
    load = next(p for p in page.picture.parts if p.key == "load")
    mass = next(f for f in load.fields if f.path == "load.payloads.carton.mass")
    said = mass.hint.replace("\u00a0", " ")
    assert said == "from 12 kg to 15 kg"
    assert page.effect.startswith("moving mass of carton: 12..15 kg")
