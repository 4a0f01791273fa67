"""Cases and variants are the file with some fields changed, read like files of their own."""

from __future__ import annotations

import pytest

import dutyline as dl
from dutyline.axis.change import changed
from dutyline.axis.read import read_axis
from dutyline.axis.write import write_axis
from support.axis_files import LIFT, edited, line_of

EMPTY = '\n[[case]]\nname = "empty"\nset = { "load.mass" = "28 kg", "phase.up.carry" = [] }\n'
SLOW = """
[[case]]
name = "slow"
note = "set-up speed"
[[case.phase]]
do = "move"
by = "300 mm"
time = "1 s"
[[case.phase]]
do = "move"
to = "0 mm"
time = "1 s"
"""
LONGER = '\n[[variant]]\nname = "longer"\nset = { "phase.up.time" = "0.7 s" }\n'


def read(text: str) -> dl.Axis:
    return read_axis("axis.toml", text=text)


def faults(text: str) -> list[dl.Fault]:
    with pytest.raises(dl.InputError) as caught:
        read(text)
    return list(caught.value.faults)


def alike(one: dl.Axis, other: dl.Axis) -> bool:
    return one.train == other.train and one.cycle == other.cycle


def test_a_case_is_the_file_edited_by_hand():
    axis = read(LIFT + EMPTY)
    by_hand = read(edited(LIFT, ('"40 kg"', '"28 kg"'), ('["carton"]', "[]")))
    (case,) = axis.cases
    assert (axis.case, case.case) == ("main", "empty")
    assert alike(case, by_hand)
    assert alike(axis, read(LIFT))


def test_a_case_may_bring_a_cycle_of_its_own():
    (case,) = read(LIFT + SLOW).cases
    assert [phase.duration for phase in case.cycle.phases] == [1.0, 1.0]
    assert case.remark == "set-up speed"


def test_a_variant_runs_through_all_cases():
    axis = read(LIFT + EMPTY + SLOW + LONGER)
    (variant,) = axis.variants
    assert [case.case for case in variant.cases] == ["empty", "slow"]
    assert variant.cycle.phases[0].duration == 0.7
    by_hand = edited(LIFT, ('"40 kg"', '"28 kg"'), ('["carton"]', "[]"), ('"0.6 s"', '"0.7 s"'))
    assert alike(variant.cases[0], read(by_hand))
    assert not variant.variants


def test_paths_may_stand_as_a_table():
    dotted = '\n[[case]]\nname = "empty"\n[case.set]\nload.mass = "28 kg"\nphase.up.carry = []\n'
    assert alike(read(LIFT + dotted).cases[0], read(LIFT + EMPTY).cases[0])


def test_a_change_of_the_file_reaches_its_cases():
    axis = changed(read(LIFT + EMPTY + LONGER), {"phase.up.time": "0.8 s"})
    assert axis.cases[0].cycle.phases[0].duration == 0.8
    assert axis.variants[0].cycle.phases[0].duration == 0.7


def test_writing_keeps_cases_and_variants():
    axis = read(LIFT + EMPTY + SLOW + LONGER)
    again = read(write_axis(axis))
    assert [c.case for c in again.cases] == [c.case for c in axis.cases]
    assert all(alike(a, b) for a, b in zip(again.cases, axis.cases, strict=True))
    assert alike(again.variants[0].cases[0], axis.variants[0].cases[0])


def case(body: str, name: str = "odd", kind: str = "case") -> str:
    return f'{LIFT}\n[[{kind}]]\nname = "{name}"\n{body}\n'


BAD = [
    ("no effect", case(""), "case.odd", "nothing changes", "Add set"),
    ("main", case('set = { "load.mass" = "28 kg" }', "main"), "case.main.name", "the file itself",
     "name of its own"),
    ("twice", case('set = { "load.mass" = "28 kg" }', "empty") + EMPTY, "case.empty.name",
     "another one", "name of its own"),
    ("no section", case('set = { "lod.mass" = "28 kg" }'), "case.odd.set", '"lod.mass"',
     'nearest is "load"'),
    ("no field", case('set = { "load.mas" = "28 kg" }'), "case.odd.set", '"load.mas"',
     'nearest is "mass"'),
    ("no phase", case('set = { "phase.upp.time" = "1 s" }'), "case.odd.set", 'no phase "upp"',
     'nearest is "up"'),
    ("no name", f'{LIFT}\n[[case]]\nset = {{ "load.mass" = "1 kg" }}\n', "case.1.name", "missing",
     "Add it"),
    ("title", case('set = { "axis.title" = "Other" }'), "case.odd.set", "whole file", "Leave it"),
    ("reserve", case('set = { "reserve.peak-torque" = 0.2 }'), "case.odd.set", "whole file",
     "Leave it"),
    ("another machine", case('set = { "mechanism.kind" = "belt" }'), "case.odd.set",
     "another machine", "[[variant]]"),
    ("another phase", case('set = { "phase.up.do" = "dwell" }'), "case.odd.set",
     "another machine", "its own phases"),
    ("list", case("set = [1]"), "case.odd.set", "paths with what stands", "Write set"),
    ("empty table", case("set = {}"), "case.odd.set", "paths with what stands", "Write set"),
    ("bad value", case('set = { "load.mass" = "-1 kg" }'), "case.odd.load.mass", '"-1 kg"',
     "minus"),
    ("bad unit", case('set = { "load.mass" = "3 V" }', kind="variant"), "variant.odd.load.mass",
     '"3 V"', "kg"),
    ("open cycle", case('set = { "phase.up.by" = "200 mm" }'), "case.odd.phase", "ends -0.1 m",
     "to = 0"),
    ("own phase", case('[[case.phase]]\ndo = "mov"\n'), "case.odd.phase.1.do", '"mov"',
     'nearest is "move"'),
    ("empty list", case("phase = []"), "case.odd.phase", "empty", "leave phase out"),
    ("both", case('set = { "phase.up.time" = "1 s" }\n[[case.phase]]\ndo = "dwell"\n'),
     "case.odd.set", "stand together", "into those phases"),
    ("escape", case('set = { "load.mass" = "1 \\u001b kg" }'), "case.odd.set", "cannot be shown",
     "U+001B"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "field", "read_", "remedy"), [b[1:] for b in BAD],
                         ids=[b[0] for b in BAD])  # fmt: skip
def test_a_fault_says_where_what_and_what_helps(text, field, read_, remedy):
    found = [f for f in faults(text) if f.field == field]
    assert found, [f.text() for f in faults(text)]
    assert read_ in found[0].read
    assert remedy in found[0].remedy


def test_a_fault_stands_on_the_line_of_the_change():
    text = case('set = { "load.mass" = "-1 kg" }')
    (fault,) = faults(text)
    assert fault.place == f"axis.toml:{line_of(text, '-1 kg')}"
    text = case('set = { "phase.up.by" = "200 mm" }')
    (fault,) = faults(text)
    assert fault.place == f"axis.toml:{line_of(text, '[[case]]')}"
    text = LIFT + SLOW.replace('to = "0 mm"', 'to = "0 V"')
    (fault,) = faults(text)
    line = line_of(text, 'to = "0 V"')
    assert fault.place == f"axis.toml:{line}"


def test_faults_of_several_cases_are_told_at_once():
    text = case('set = { "load.mass" = "-1 kg" }') + EMPTY.replace('"28 kg"', '"x"')
    assert {f.field for f in faults(text)} == {"case.odd.load.mass", "case.empty.load.mass"}


def test_too_many_cases():
    (fault,) = faults(LIFT + "".join(EMPTY.replace("empty", f"e{n}") for n in range(21)))
    assert "21" in fault.read
