"""Order, kind and name of phases in the text of a file, against the same done with plain lists."""

from __future__ import annotations

import tomllib

import pytest

from dutyline.app.inputs import example_names, example_text
from dutyline.axis import edit_phases as ep
from dutyline.axis.edit_variants import add_variant, set_value
from dutyline.axis.read import read_axis
from dutyline.core.errors import InputError

TEXT = '''schema = 1

[axis]
title = "Lift"
enquiry = """
[[phase]]
what the customer wrote
"""

[load]
mass = "28 kg"

[mechanism]
kind = "belt"
diameter = "60 mm"

# loaded, the hard one
[[phase]]
name = "up"   # first
do = "move"
by = "300 mm"
time = "0.6 s"

[[force]]
name = "press"
value = "20 N"
phases = ["up"]

# nothing to see here

# back again
[[phase]]
name = "down"
do = "move"
by = "-300 mm"
time = "0.6 s"

[[phase]]
do = "dwell"
time = "0.3 s"

[site]
mains = "400 V"
phases = 3

[[case]]
name = "slow"
set = { "phase.up.time" = "0.9 s" }'''


def phases(text: str, variant: str = "") -> list[dict]:
    data = tomllib.loads(text)
    if variant:
        data = next(v for v in data["variant"] if v["name"] == variant)
    return data["phase"]


def others(text: str) -> dict:
    return {k: v for k, v in tomllib.loads(text).items() if k not in ("phase", "variant")}


def comments(text: str) -> list[str]:
    return sorted(row.strip() for row in text.splitlines() if row.lstrip().startswith("#"))


@pytest.mark.parametrize(
    "name, variant", [("", ""), ("", "B"), ("lift", "B"), *((n, "") for n in example_names())]
)
def test_moved_copied_taken_out_and_added_as_with_plain_lists(name: str, variant: str) -> None:
    """Every place of every example, in the file and in a variant: the list, and nothing else."""
    text = example_text(name) if name else TEXT
    if variant:
        text = add_variant(text, variant)
    stood = tomllib.loads(text)["phase"]
    for number in range(1, len(stood) + 1):
        gone = ep.remove_phase(text, variant, number)
        if len(stood) > 1:
            assert phases(gone, variant) == stood[: number - 1] + stood[number:]
        assert others(gone) == others(text)
        twice = phases(ep.copy_phase(text, variant, number), variant)
        again = twice.pop(number)
        assert twice == stood
        assert {**again, "name": None} == {**stood[number - 1], "name": None}
        assert again.get("name") != stood[number - 1].get("name", "")
        more = phases(ep.add_phase(text, variant, number, "dwell"), variant)
        assert more.pop(number) == {"do": "dwell", "time": "0.5 s"}
        assert more == stood
        for to in range(1, len(stood) + 1):
            moved = ep.move_phase(text, variant, number, to)
            wanted = list(stood)
            wanted.insert(to - 1, wanted.pop(number - 1))
            assert phases(moved, variant) == wanted
            assert others(moved) == others(text)
            assert comments(moved) == comments(text)
    if variant:
        assert tomllib.loads(ep.move_phase(text, variant, 1, 1))["phase"] == stood


def test_a_comment_above_a_phase_goes_with_it() -> None:
    moved = ep.move_phase(TEXT, "", 1, 3)
    assert '# loaded, the hard one\n[[phase]]\nname = "up"   # first' in moved
    assert moved.index("# back again") < moved.index("# loaded")
    assert moved.index("[[force]]") < moved.index("# nothing to see here")


def test_a_new_move_has_no_distance_in_the_unit_of_the_others() -> None:
    text = ep.add_phase(TEXT, "", 0, "move")
    assert phases(text)[0] == {"do": "move", "by": "0 mm", "time": "0.5 s"}
    axis = read_axis("a.toml", text=text)
    assert [p.distance for p in axis.cycle.phases] == pytest.approx([0, 0.3, -0.3, 0])
    turning = TEXT.replace("300 mm", "90 deg")
    assert phases(ep.add_phase(turning, "", 1, "move"))[1]["by"] == "0 deg"


def test_a_new_name_is_followed() -> None:
    text = ep.rename_phase(TEXT, "", 1, " lift  up ")
    data = tomllib.loads(text)
    assert data["phase"][0]["name"] == "lift up"
    assert data["force"][0]["phases"] == ["lift up"]
    assert data["case"][0]["set"] == {"phase.lift up.time": "0.9 s"}
    assert read_axis("a.toml", text=text).cases
    for name in ("down", "a, b", "x" * 61):
        with pytest.raises(InputError):
            ep.rename_phase(TEXT, "", 1, name)


def test_copies_are_counted_from_two_and_a_name_used_is_left_out() -> None:
    text = ep.copy_phase(ep.copy_phase(TEXT, "", 1), "", 1)
    assert [phase.get("name") for phase in phases(text)] == ["up", "up 3", "up 2", "down", None]


def test_without_its_name_a_phase_is_spoken_of_by_its_number() -> None:
    text = ep.rename_phase(TEXT, "", 1, "")
    data = tomllib.loads(text)
    assert "name" not in data["phase"][0]
    assert data["force"][0]["phases"] == ["1"]
    assert data["case"][0]["set"] == {"phase.1.time": "0.9 s"}
    before, after = (read_axis("made.toml", text=t) for t in (TEXT, text))
    assert after.train.forces[0].phases == before.train.forces[0].phases == (0,)
    assert after.cases[0].cycle.duration == before.cases[0].cycle.duration == pytest.approx(1.8)


def test_more_phases_than_the_page_may_make_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dutyline.axis.edit.MOST_TABLES", 4)
    text = ep.copy_phase(TEXT, "", 3)
    assert ep.add_phase(TEXT, "", 3, "dwell")
    assert len(phases(text)) == 4
    for change in (lambda: ep.copy_phase(text, "", 3), lambda: ep.add_phase(text, "", 4, "dwell")):
        with pytest.raises(InputError, match="there are 4 phases already"):
            change()


def test_another_kind_leaves_out_what_it_does_not_have() -> None:
    text = ep.change_kind(TEXT.replace("[[force]]", "[[force]]", 1), "", 1, "dwell")
    assert phases(text)[0] == {"name": "up", "do": "dwell", "time": "0.6 s"}
    back = ep.change_kind(text, "", 1, "move")
    assert phases(back)[0] == {"name": "up", "do": "move", "time": "0.6 s", "by": "0 mm"}
    assert "# first" in back
    with pytest.raises(InputError):
        ep.change_kind(TEXT, "", 1, "jump")


def test_a_variant_takes_its_own_phases_and_the_file_keeps_its() -> None:
    text = set_value(add_variant(TEXT, "B"), "B", "phase.up.time", "0.8 s")
    moved = ep.move_phase(text, "B", 3, 1)
    assert phases(moved) == phases(TEXT)
    assert [p.get("time") for p in phases(moved, "B")] == ["0.3 s", "0.8 s", "0.6 s"]
    assert [r.get("time") for r in ep.stated(text, "B")] == ["0.8 s", "0.6 s", "0.3 s"]
    (variant,) = read_axis("a.toml", text=moved).variants
    assert variant.cycle.phases[1].duration == pytest.approx(0.8)


def test_phases_on_one_line_are_written_one_by_one() -> None:
    text = 'schema = 1\nphase = [{ do = "move", by = "1 mm", time = "1 s" }, { do = "dwell" }]\n'
    assert [p["do"] for p in phases(ep.move_phase(text, "", 1, 2))] == ["dwell", "move"]


@pytest.mark.parametrize(
    "change",
    [
        lambda t: ep.remove_phase(t, "", 4),
        lambda t: ep.move_phase(t, "", 0, 1),
        lambda t: ep.move_phase(t, "", 1, 9),
        lambda t: ep.copy_phase(t, "none", 1),
        lambda t: ep.add_phase(t, "", 7, "dwell"),
        lambda t: ep.add_phase(t, "", 1, "leap"),
        lambda t: ep.rename_phase(t, "", 9, "x"),
        lambda t: ep.remove_phase("x = = 1", "", 1),
    ],
)
def test_what_is_not_there_is_told(change) -> None:
    with pytest.raises(InputError):
        change(TEXT)
