"""A stated range of products is swept: the worst of each check is found and named."""

from __future__ import annotations

import pytest

import dutyline as dl
from dutyline.axis.read import read_axis

KNIFE = """\
schema = 1

[axis]
title = "Knife"

[load]
inertia = "0.02 kg*m^2"
drag = "1.2 N*m"

[mechanism]
kind = "direct"
endless = true

[[phase]]
name = "cut"
do = "follow"
tool = "rotary-knife"
line_speed = "1 m/s"
length = "0.35..0.8 m"
sync = "30 deg"
diameter = "160 mm"
law = "quintic"

[site]
mains = "230 V"
phases = 3
"""
PARTS = dl.Combination("XM116-2000H", "XG116-4")


def read(text: str) -> dl.Axis:
    return read_axis("axis.toml", text=text)


def single(length: str) -> dl.Axis:
    return read(KNIFE.replace("0.35..0.8 m", length))


def test_every_product_is_a_case():
    axis = read(KNIFE)
    assert [case.case for case in axis.cases] == [
        "length 350 mm", "length 425 mm", "length 500 mm", "length 650 mm",
        "length 725 mm", "length 800 mm",
    ]  # fmt: skip
    assert axis.cycle.duration == pytest.approx(0.575)
    for case, length in zip(axis.cases, (0.35, 0.425, 0.5, 0.65, 0.725, 0.8), strict=True):
        assert case.cycle.duration == pytest.approx(length)
    assert any("is swept from 350\u00a0mm to 800\u00a0mm" in note for note in axis.notes)
    assert not any(q.path == "phase.cut.length" for q in axis.questions)


def test_the_worst_product_is_that_of_files_with_one_length_each():
    """Second way: one file for each of 46 lengths; the sweep holds the worst of the checks."""
    swept = dl.verify(read(KNIFE), PARTS)
    worst: dict[str, float] = {}
    for k in range(46):
        for line in dl.verify(single(f"{0.35 + 0.01 * k:.2f} m"), PARTS).ledger:
            if line.margin is not None and line.severity == "must":
                worst[line.check] = min(worst.get(line.check, 1.0), line.margin)
    for line in swept.ledger:
        if line.severity == "must" and line.margin is not None:
            assert line.margin == pytest.approx(worst[line.check], rel=0.03, abs=0.01), line.check
    peak = next(line for line in swept.ledger if line.check == "peak-torque")
    assert peak.case == "length 350 mm"


def test_two_ranges_are_swept_together():
    axis = read(KNIFE.replace('"1 m/s"', '"0.5..1 m/s"'))
    assert len(axis.cases) == 8
    assert axis.cases[0].case == "line speed 0.5 m/s, length 350 mm"


def test_each_stated_case_is_swept():
    heavy = '\n[[case]]\nname = "blunt"\nset = { "load.drag" = "3 N*m" }\n'
    axis = read(KNIFE + heavy)
    names = [case.case for case in axis.cases]
    assert len(names) == 1 + 6 + 6
    assert "blunt, length 800 mm" in names
    blunt = next(c for c in axis.cases if c.case == "blunt, length 800 mm")
    assert blunt.train == axis.cases[0].train


def test_a_product_that_cannot_be_cut_is_named():
    with pytest.raises(dl.InputError) as caught:
        read(KNIFE.replace("0.8 m", "1.6 m"))
    assert {f.field for f in caught.value.faults} == {"phase.cut.length"}
    assert "with length 1 600 mm" in caught.value.faults[-1].read
    assert caught.value.faults[0].place == "axis.toml:19"


def test_too_many_products():
    cases = "".join(
        f'\n[[case]]\nname = "c{n}"\nset = {{ "load.drag" = "{n + 1} N*m" }}\n' for n in range(12)
    )
    with pytest.raises(dl.InputError, match="78 products"):
        read(KNIFE + cases)


@pytest.mark.parametrize(
    ("old", "new", "field", "words"),
    [
        ('tool = "rotary-knife"\n', "", "phase.cut.tool", "missing"),
        ('"rotary-knife"', '"rotary-knive"', "phase.cut.tool", "no such tool"),
        ('"0.35..0.8 m"', '"0 m"', "phase.cut.length", "above 0"),
        ('"30 deg"', '"30 kg"', "phase.cut.sync", '"30 kg"'),
        ('"160 mm"', '"160 mm"\nblades = 0', "phase.cut.blades", "1 or more"),
        ('diameter = "160 mm"\n', "", "phase.cut.diameter", "missing"),
        ('"quintic"', '"quintic"\njerk = "1 rad/s^3"', "phase.cut.jerk", "no such field"),
        ("endless = true", "", "phase", "ends 6.28319 rad"),
    ],
)
def test_fields_that_cannot_be_used(old, new, field, words):
    with pytest.raises(dl.InputError) as caught:
        read(KNIFE.replace(old, new))
    found = [f for f in caught.value.faults if f.field == field]
    assert found, [f.text() for f in caught.value.faults]
    assert words in found[0].read
    assert found[0].remedy


def test_sync_may_be_a_way_along_the_line():
    one = single("0.4 m")
    way = read(KNIFE.replace("0.35..0.8 m", "0.4 m").replace('"30 deg"', '"41.887902047863905 mm"'))
    for a, b in zip(one.cycle.pieces, way.cycle.pieces, strict=True):
        assert a.poly == pytest.approx(b.poly, rel=1e-12)
