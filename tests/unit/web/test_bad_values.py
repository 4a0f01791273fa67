"""A value that cannot be used stays as typed beside the last good result."""

from __future__ import annotations

import re

from dutyline.app.records_json import verdict_json
from dutyline.app.workbench.desk import Desk
from dutyline.app.workbench.judged import combination_of
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.verdict import verify
from dutyline.cli.screen import Screen
from dutyline.cli.show_verdict import show_verdict
from dutyline.store.memory import MemoryStore
from dutyline.web.pages import regions


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


def test_an_unusual_value_is_computed_with_one_caution_everywhere() -> None:
    """Beside the field, under the page, in the report, in JSON and on the command line."""
    desk, line = Desk(MemoryStore(), demo_line()), demo_line()
    key = desk.open_example().id
    page = desk.edit(key, 1, {"do": "set", "path": "load.friction", "typed": "0.5"})
    shown = page.picture
    assert shown is not None
    (odd,) = (f for p in shown.parts for f in p.fields if f.odd)
    said = odd.odd
    assert (odd.path, odd.typed, odd.fault) == ("load.friction", "0.5", "")
    assert said.startswith("Unusual guide friction: 0.5; usual is 0.002 to 0.02 rolling")
    assert said in [f"{lead[:-1]}: {text}" for lead, text in shown.below.cautions]
    made = regions(page)
    assert f'aria-describedby="{odd.key}-h {odd.key}-o"' in made["fields-load"]
    assert f'<p class="odd" id="{odd.key}-o" role="status">{said}</p>' in made["fields-load"]
    axis = read_axis("axis.toml", text=page.document.head.content.text)
    verdict = verify(axis, line, combination_of(shown.names))
    assert said in verdict_json(verdict)["cautions"]
    assert said in " ".join(" ".join(show_verdict(Screen(80), verdict)).split())
    before = desk.edit(key, 2, {"do": "set", "path": "load.friction", "typed": "0.01"}).picture
    assert before is not None
    assert (before.marks, [f for p in before.parts for f in p.fields if f.odd]) == (shown.marks, [])


def test_an_unusual_value_of_a_phase_is_told_under_its_row() -> None:
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    page = desk.edit(key, 1, {"do": "set", "path": "phase.up.accel_share", "typed": "0.04"})
    assert page.picture is not None
    up = page.picture.phases[0]
    assert [f.path for f in up.told] == ["phase.up.accel_share"]
    html = regions(page)["cycle"]
    assert up.told[0].odd.startswith("Unusual acceleration share of the phase up: 0.04;")
    assert f'<p class="odd" id="also-{up.told[0].key}-o" role="status">{up.told[0].odd}' in html


def test_two_readings_are_asked_in_questions_and_phases_too() -> None:
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    assert desk.page(key).picture is not None
    path = desk.page(key).picture.questions[0].path  # type: ignore[union-attr]
    desk.edit(key, 1, {"do": "set", "path": path, "typed": "1,250 N"})
    page = desk.edit(key, 2, {"do": "set", "path": "phase.up.time", "typed": "1,250 s"})
    assert page.picture is not None
    asked, up = page.picture.questions[0], page.picture.phases[0]
    assert (asked.typed, asked.meanings) == ("1,250 N", ("1.250 N", "1250 N"))
    assert [f.meanings for f in up.told] == [("1.250 s", "1250 s")]
    made = regions(page)
    for region, field in (("questions", "q-1"), ("cycle", f"cell-{up.told[0].key}")):
        buttons = re.findall(rf'data-meant="([^"]+)" data-for="{field}"', made[region])
        assert len(buttons) == 2, region
        assert f'aria-describedby="{field}-e"' in made[region]
        assert f'id="{field}-e"' in made[region]


def test_many_unusual_values_leave_room_for_other_cautions() -> None:
    """Three stand among the cautions, the others with the notes; none is told twice or lost."""
    desk = Desk(MemoryStore(), demo_line())
    key = desk.open_example().id
    odd = {"load.friction": "0.5", "load.breakaway": "9", "site.ambient": "58 degC",
           "duty.years": "80", "site.altitude": "3500 m"}  # fmt: skip
    for number, (path, typed) in enumerate(odd.items(), 1):
        page = desk.edit(key, number, {"do": "set", "path": path, "typed": typed})
    shown = page.picture
    assert shown is not None
    cautions = [f"{lead[:-1]}: {text}" for lead, text in shown.below.cautions]
    said = [f.odd for p in shown.parts for f in (*p.fields, *p.more) if f.odd]
    assert sum(c.startswith("Unusual ") and "; usual is" in c for c in cautions) == 3
    assert "Unusual values: 2 more stand with the notes." in cautions
    assert all((s in cautions) + (s in shown.below.notes) == 1 for s in said)
    assert sum(n.startswith("Unusual ") for n in shown.below.notes) == 2
