"""Changes of variants in the text of a file: their own tables change, nothing else does."""

from __future__ import annotations

import difflib
import tomllib

import pytest

from dutyline.axis import edit_variants as ev
from dutyline.axis.read import read_axis
from dutyline.core.errors import InputError

TEXT = """schema = 1 # a lift

[axis]
title = "Lift"

[load]
mass = { value = "28 kg", status = "measured", note = "weighed" }   # twice
friction = 0.01
incline = "90 deg"

[mechanism]
kind = "belt"
diameter = "60 mm"

[[phase]]
name = "up"   # loaded
do = "move"
by = "300 mm"
time = "0.6 s"

[[phase]]
name = "down"
do = "move"
by = "-300 mm"
time = "0.6 s"

[[variant]]
name = "slow" # for the small hall
set = { "phase.up.time" = "0.9 s" }

[site]
mains = "400 V"
phases = 3
"""


def rows(after: str, before: str = TEXT) -> list[str]:
    found = difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0)
    return [r for r in found if not r.startswith(("---", "+++", "@@")) and r not in ("+", "-")]


def variant(text: str, name: str):
    return next(v for v in read_axis("a.toml", text=text).variants if v.variant == name)


def test_a_change_goes_to_the_table_of_the_variant() -> None:
    after = ev.set_value(TEXT, "slow", "load.mass", "35 kg")
    kept = '{value = "35 kg", status = "measured", note = "weighed"}'
    assert rows(after) == [
        '-set = { "phase.up.time" = "0.9 s" }',
        f'+set = {{ "phase.up.time" = "0.9 s", "load.mass" = {kept}}}',
    ]
    assert tomllib.loads(after)["load"]["mass"]["value"] == "28 kg"
    masses = [i.value.si for i in variant(after, "slow").inputs if i.path == "load.mass"]
    assert masses == [35.0]
    assert ev.typed_at(after, "slow", "load.mass") == "35 kg"
    assert ev.typed_at(after, "", "load.mass") == "28 kg"
    assert "# for the small hall" in after


def test_without_a_variant_the_file_itself_is_changed() -> None:
    after = ev.set_value(TEXT, "", "load.friction", "0.02")
    assert rows(after) == ["-friction = 0.01", "+friction = 0.02"]


def test_what_the_file_states_too_drops_out_of_the_variant() -> None:
    back = ev.set_value(TEXT, "slow", "phase.up.time", "0.6 s")
    assert tomllib.loads(back)["variant"] == [{"name": "slow"}]
    assert variant(back, "slow").cycle.duration == pytest.approx(1.2)
    assert tomllib.loads(ev.set_value(TEXT, "slow", "phase.up.time", ""))["variant"] == [
        {"name": "slow"}
    ]


def test_the_same_field_by_number_is_the_same_change() -> None:
    after = ev.set_value(TEXT, "slow", "phase.1.time", "0.8 s")
    assert tomllib.loads(after)["variant"][0]["set"] == {"phase.up.time": "0.8 s"}


def test_a_variant_cannot_take_out_what_the_file_states() -> None:
    with pytest.raises(InputError) as told:
        ev.set_value(TEXT, "slow", "load.mass", "")
    assert "the file itself states it" in told.value.faults[0].read


def test_a_status_is_of_the_variant_alone() -> None:
    after = ev.set_status(TEXT, "slow", "load.mass", "assumed")
    own = tomllib.loads(after)["variant"][0]["set"]["load.mass"]
    assert own == {"value": "28 kg", "status": "assumed", "note": "weighed"}
    assert tomllib.loads(after)["load"]["mass"]["status"] == "measured"


def test_one_begins_like_another_and_may_state_nothing() -> None:
    like = ev.add_variant(TEXT, "slow, 2", "slow", {"choose.gearheads": ["XG72-16"]})
    assert tomllib.loads(like)["variant"][1] == {
        "name": "slow, 2",
        "set": {"phase.up.time": "0.9 s", "choose.gearheads": ["XG72-16"]},
    }
    assert ev.named_parts(like, "slow, 2") == {"gearhead": "XG72-16"}
    plain = ev.add_variant(TEXT, "B")
    assert [v.variant for v in read_axis("a.toml", text=plain).variants] == ["slow", "B"]
    assert variant(plain, "B").cycle.duration == pytest.approx(1.2)
    assert not any(r.startswith("-") for r in rows(plain))


def test_a_first_variant_comes_and_goes_without_a_trace() -> None:
    bare = ev.remove_variant(TEXT, "slow")
    assert "variant" not in tomllib.loads(bare)
    with_one = ev.add_variant(bare, "A")
    assert tomllib.loads(ev.remove_variant(with_one, "A")) == tomllib.loads(bare)


def test_names_are_those_of_one_variant_each() -> None:
    assert ev.names(ev.rename_variant(TEXT, "slow", " gentle  ride ")) == ("gentle ride",)
    two = ev.add_variant(TEXT, "B")
    for name in ("slow", "", "x" * 61, "a\nb\x00"):
        with pytest.raises(InputError):
            ev.rename_variant(two, "B", name)
    with pytest.raises(InputError) as told:
        ev.remove_variant(TEXT, "fast")
    assert 'no variant "fast"' in told.value.faults[0].read


def test_a_name_may_have_sixty_characters() -> None:
    text = ev.rename_variant(TEXT, "slow", "x" * 60)
    assert ev.names(text) == ("x" * 60,)
    with pytest.raises(InputError, match="1 to 60 characters"):
        ev.rename_variant(TEXT, "slow", "x" * 61)


def test_parts_named_one_by_one_are_those_that_it_goes_with_or_without() -> None:
    """A pattern and a choice among several name none."""
    states = {
        "choose.gearheads": ["none"],
        "choose.motors": ["XM72-*"],
        "choose.drives": ["XD-H4", "XD-H6"],
        "choose.brakes": ["XB72"],
    }
    text = ev.add_variant(TEXT, "direct", states=states)
    assert ev.named_parts(text, "direct") == {"gearhead": None, "brake": "XB72"}
    assert ev.named_parts(text, "") == ev.named_parts(text, "nobody") == {}


def test_there_are_as_many_as_there_are_keys() -> None:
    text = TEXT
    for n in range(ev.MOST_VARIANTS - 1):
        text = ev.add_variant(text, f"n{n}")
    with pytest.raises(InputError):
        ev.add_variant(text, "one more")


def test_phases_of_its_own_keep_what_was_set() -> None:
    document = ev.edit.parsed(TEXT)
    ev.with_own_phases(document, "slow")
    text = document.as_string()
    assert variant(text, "slow").cycle.phases[0].duration == pytest.approx(0.9)
    after = ev.set_value(text, "slow", "phase.down.time", "0.7 s")
    assert variant(after, "slow").cycle.phases[1].duration == pytest.approx(0.7)
    assert read_axis("a.toml", text=after).cycle.duration == pytest.approx(1.2)


def stated(text: str, name: str, path: str) -> tuple[str, str, str]:
    (value,) = (i.value for i in variant(text, name).inputs if i.path == path)
    return value.typed, value.status, value.note


def test_status_and_note_go_along_to_the_value_of_a_variant() -> None:
    """As they stay when the value is changed in the file itself."""
    after = ev.set_value(TEXT, "slow", "load.mass", "35 kg")
    assert stated(after, "slow", "load.mass") == ("35 kg", "measured", "weighed")
    again = ev.set_value(after, "slow", "load.mass", "36 kg")
    assert stated(again, "slow", "load.mass") == ("36 kg", "measured", "weighed")
    assert rows(ev.set_value(again, "slow", "load.mass", "28 kg")) == []
    assert rows(ev.set_value(again, "slow", "load.mass", "")) == []
    plain = ev.set_value(TEXT, "slow", "load.friction", "0.02")
    assert stated(plain, "slow", "load.friction") == ("0.02", "given", "")


def test_a_note_of_the_variant_stays_when_its_value_is_that_of_the_file_again() -> None:
    noted = ev.set_status(TEXT, "slow", "load.mass", "assumed", "before the rebuild")
    other = ev.set_value(noted, "slow", "load.mass", "35 kg")
    assert stated(other, "slow", "load.mass") == ("35 kg", "assumed", "before the rebuild")
    back = ev.set_value(other, "slow", "load.mass", "28 kg")
    assert stated(back, "slow", "load.mass") == ("28 kg", "assumed", "before the rebuild")
    assert tomllib.loads(back)["load"] == tomllib.loads(TEXT)["load"]


def test_a_range_of_the_file_does_not_go_along() -> None:
    """It would have to hold the value of the variant too."""
    ranged = TEXT.replace('note = "weighed" }', 'note = "weighed", range = "26..30 kg" }')
    after = ev.set_value(ranged, "slow", "load.mass", "35 kg")
    assert stated(after, "slow", "load.mass") == ("35 kg", "measured", "weighed")
    only = ranged.replace('status = "measured", note = "weighed", ', "")
    after = ev.set_value(only, "slow", "load.mass", "35 kg")
    assert '"load.mass" = "35 kg"' in after
