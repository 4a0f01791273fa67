"""Changes in the text of a file: only what is meant changes; comments and order stay."""

from __future__ import annotations

import difflib
import tomllib

import pytest

from dutyline.app.inputs import example_file, example_names
from dutyline.axis.edit import set_status, set_value, typed_at
from dutyline.axis.read import read_axis
from dutyline.core.errors import InputError

TEXT = """schema = 1
# a lift
[load]
mass = { value = "28 kg", status = "measured", note = "weighed" }   # twice
payloads = { carton = "12 kg", box = { mass = "3 kg", inertia = "1 kg*cm^2" } }
friction = 0.01

[[phase]]
name = "up"   # loaded
do = "move"
by = "300 mm"
carry = ["carton"]

[[phase]]
do = "dwell"
time = "0.4 s"
"""


def changed(after: str, before: str = TEXT) -> list[str]:
    rows = difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0)
    return [r for r in rows if not r.startswith(("---", "+++", "@@"))]


@pytest.mark.parametrize(
    "path, typed, rows",
    [
        (
            "load.mass",
            "29,5 kg",
            [
                '-mass = { value = "28 kg", status = "measured", note = "weighed" }   # twice',
                '+mass = { value = "29,5 kg", status = "measured", note = "weighed" }   # twice',
            ],
        ),
        ("load.friction", "0.02", ["-friction = 0.01", "+friction = 0.02"]),
        ("phase.2.time", "400 ms", ['-time = "0.4 s"', '+time = "400 ms"']),
        ("phase.up.by", "12 in", ['-by = "300 mm"', '+by = "12 in"']),
        ("phase.2.time", "", ['-time = "0.4 s"']),
        ("phase.up.time", "0.5 s", ['+time = "0.5 s"']),
    ],
)
def test_one_field_is_set(path: str, typed: str, rows: list[str]) -> None:
    found = [r for r in changed(set_value(TEXT, path, typed)) if r not in ("+", "-")]
    assert found == rows


@pytest.mark.parametrize(
    "typed, row",
    [
        ("1", "friction = 1"),
        ("1.0", "friction = 1.0"),
        (".5", "friction = 0.5"),
        ("2e-2", "friction = 0.02"),
        ("2 %", 'friction = "2 %"'),
    ],
)
def test_a_bare_number_stays_one_with_the_digits_typed(typed: str, row: str) -> None:
    assert row in set_value(TEXT, "load.friction", typed).splitlines()


def test_a_flag_is_typed_in_words_and_written_in_the_words_of_toml() -> None:
    text = '[mechanism]\nkind = "belt"\nreverse = true\n'
    assert typed_at(text, "mechanism.reverse") == "yes"
    after = set_value(text, "mechanism.reverse", "No")
    assert "reverse = false" in after.splitlines()
    assert typed_at(after, "mechanism.reverse") == "no"


@pytest.mark.parametrize(
    "path, typed, place",
    [
        ("load.payloads.carton", "14 kg", ("load", "payloads", "carton")),
        ("load.payloads.carton.mass", "14 kg", ("load", "payloads", "carton")),
        ("load.payloads.box.mass", "14 kg", ("load", "payloads", "box", "mass")),
        ("duty.hours", "14 kg", ("duty", "hours")),
    ],
)
def test_inner_tables_and_new_sections(path: str, typed: str, place: tuple[str, ...]) -> None:
    data = tomllib.loads(set_value(TEXT, path, typed))
    for step in place:
        data = data[step]
    assert data == typed


@pytest.mark.parametrize(
    "path", ["lode.mass", "load.mas", "phase.9.time", "load", "phase.up", "load.payloads.nobody.x"]
)
def test_a_path_that_leads_nowhere_is_told(path: str) -> None:
    with pytest.raises(InputError, match="no such field"):
        set_value(TEXT, path, "1 kg")


def test_what_was_typed_is_read_back_however_it_is_written() -> None:
    text = '[load]\nmass = "12 kN"\n[site]\nambient = {value = 30, status = "assumed"}\n'
    assert typed_at(text, "load.mass") == "12 kN"
    assert typed_at(text, "site.ambient") == "30"
    for path in ("load.friction", "phase.up.time", "nothing.at.all", "load"):
        assert typed_at(text, path) == ""
    assert typed_at("[load", "load.mass") == ""


def test_status_makes_a_table_and_given_undoes_it() -> None:
    measured = set_status(TEXT, "phase.up.by", "measured", "tape")
    by = tomllib.loads(measured)["phase"][0]["by"]
    assert by == {"value": "300 mm", "status": "measured", "note": "tape"}
    assert tomllib.loads(set_status(measured, "phase.up.by", "given", "")) == tomllib.loads(TEXT)


def test_status_of_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="State a value first"):
        set_status(TEXT, "load.drag", "assumed")


@pytest.mark.parametrize("text", ["x = = 1", "[a]\n[a]\n", "a = " + "[" * 2000])
def test_broken_text_is_told(text: str) -> None:
    with pytest.raises(InputError, match="not TOML"):
        set_value(text, "load.mass", "1 kg")


@pytest.mark.parametrize("name", example_names())
def test_setting_what_stands_there_changes_nothing(name: str) -> None:
    """Every stated value of every example, set to its own text, leaves the very same file."""
    from dutyline.core.values import Value

    text = example_file(name).read_text("utf-8")
    axis = read_axis(example_file(name))
    paths = [i for i in axis.inputs if i.line is not None and isinstance(i.value, Value)]
    assert paths
    for entry in paths:
        typed = entry.value.typed
        if typed:
            same = tomllib.loads(set_value(text, entry.path, typed))
            assert _numbers_as_text(same) == _numbers_as_text(tomllib.loads(text)), entry.path


def _numbers_as_text(item: object) -> object:
    if isinstance(item, dict):
        return {k: _numbers_as_text(v) for k, v in item.items()}
    if isinstance(item, list):
        return [_numbers_as_text(v) for v in item]
    return float(item) if isinstance(item, int | float) and not isinstance(item, bool) else item


@pytest.mark.parametrize(
    "path, held",
    [
        ("load.mass", "28 kg"),
        ("load.friction", "0.01"),
        ("load.payloads.carton", "12 kg"),
        ("phase.up.by", "300 mm"),
        ("load.drag", ""),
    ],
)
def test_what_a_field_holds(path: str, held: str) -> None:
    assert typed_at(TEXT, path) == held
