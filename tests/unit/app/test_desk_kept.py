"""A desk over a store that outlives it: what opens, what comes back, what is told."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dutyline.app.inputs import example_file
from dutyline.app.keeping import reopened
from dutyline.app.serve import desk_for
from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.store.opening import open_file
from dutyline.store.records import Store

MASS = {"do": "set", "path": "load.mass", "typed": "31 kg"}
BAD = {"do": "set", "path": "load.mass", "typed": "31 kN"}


@pytest.fixture(scope="module")
def line() -> ProductLine:
    return demo_line()


@pytest.fixture
def store(tmp_path: Path):
    found = open_file(tmp_path / "axes.sqlite")
    yield found
    found.close()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    found = tmp_path / "a" / "lift.toml"
    found.parent.mkdir()
    found.write_bytes(example_file("lift").read_bytes())
    return found


def test_a_file_opens_as_it_was_kept(store: Store, line: ProductLine, file: Path) -> None:
    desk = Desk(store, line)
    own = desk.open_file(file).id
    assert Desk(store, line).open_file(file).id == own
    found = desk.kept(file)
    assert found is not None
    assert reopened("lift.toml", found) == "lift.toml opens as it is kept, revision 1."
    desk.edit(own, 1, MASS)
    found = Desk(store, line).kept(file)
    assert found is not None
    assert reopened("lift.toml", found) == (
        "lift.toml is revision 1 of a kept axis, which opens as it stands now, revision 2; "
        "the file has not been changed."
    )


def test_a_file_that_says_something_new_is_a_new_axis(
    store: Store, line: ProductLine, file: Path
) -> None:
    own = Desk(store, line).open_file(file).id
    file.write_text(file.read_text() + "# changed by hand\n")
    assert Desk(store, line).open_file(file).id != own


def test_the_same_text_in_another_folder_is_another_axis(
    store: Store, line: ProductLine, file: Path, tmp_path: Path
) -> None:
    desk = Desk(store, line)
    copy = tmp_path / "lift.toml"
    copy.write_bytes(file.read_bytes())
    assert desk.open_file(file).id != desk.open_file(copy).id


def test_an_example_is_opened_anew_once_it_was_changed(store: Store, line: ProductLine) -> None:
    desk = Desk(store, line)
    own = desk.open_example()
    assert desk.is_example(own)
    assert Desk(store, line).open_example().id == own.id
    desk.edit(own.id, 1, MASS)
    assert not desk.is_example(store.get(own.id))
    assert Desk(store, line).open_example().id != own.id


def test_after_a_restart_a_bad_value_stands_beside_the_last_good_result(
    store: Store, line: ProductLine
) -> None:
    before = Desk(store, line)
    own = before.open_example().id
    good = before.edit(own, 1, MASS)
    before.edit(own, 2, BAD)
    before.edit(own, 3, {"do": "set", "path": "load.mass", "typed": "32 kN"})
    page = Desk(store, line).page(own)
    assert page.document.head.number == 4
    assert [f.field for f in page.faults] == ["load.mass"]
    assert page.picture is not None
    assert good.picture is not None
    assert page.picture.sentence == good.picture.sentence
    field = next(f for p in page.picture.parts for f in p.fields if f.path == "load.mass")
    assert field.typed == "32 kN"
    assert "32 kN" in field.fault
    after = Desk(store, line).move(own, 4, 2)
    assert after.faults == ()


def test_parts_of_another_line_are_told_beside_the_best_of_this_one(
    store: Store, line: ProductLine
) -> None:
    own = Desk(store, line).open_example()
    motor = own.head.content.parts["motor"]
    other = replace(
        line,
        motors=tuple(m for m in line.motors if m.name != motor),
        pairings=tuple(p for p in line.pairings if motor not in (p.left, p.right)),
    )
    page = Desk(store, other).page(own.id)
    assert page.picture is not None
    assert page.faults
    assert str(motor) in page.faults[0].text()
    assert Desk(store, other).open_example().id != own.id


def test_what_serve_tells(tmp_path: Path, line: ProductLine, file: Path) -> None:
    place = str(tmp_path / "serve.sqlite")
    desk, own, said = desk_for(str(file), None, line, place)
    assert said == (f"Axes are kept in {place}.",)
    desk.store.close()
    desk, again, said = desk_for(str(file), None, line, place)
    assert again == own
    assert said[1] == "lift.toml opens as it is kept, revision 1."
    desk.store.close()
