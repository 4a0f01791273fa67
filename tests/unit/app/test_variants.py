"""Variants on a desk: which is shown, what is edited in it, what differs, and undo of that."""

from __future__ import annotations

import tomllib

import pytest

import dutyline as dl
from dutyline.app.workbench.desk import Desk, Page
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination
from dutyline.core.errors import InputError
from dutyline.report.words import share
from dutyline.store.memory import MemoryStore


class Bench:
    """One axis of a desk, edited step by step."""

    def __init__(self) -> None:
        self.desk = Desk(MemoryStore(), demo_line())
        self.key = self.desk.open_example().id

    @property
    def head(self):
        return self.desk.store.get(self.key).head

    @property
    def file(self) -> dict:
        return tomllib.loads(self.head.content.text)

    def do(self, word: str, **more) -> Page:
        return self.desk.edit(self.key, self.head.number, {"do": word, **more})

    def undo(self) -> Page:
        document = self.desk.store.get(self.key)
        return self.desk.move(self.key, document.head.number, document.undo)

    def chips(self) -> list[tuple[str, bool]]:
        return [(v.name, v.here) for v in self.desk.variants(self.key).each]


@pytest.fixture
def bench() -> Bench:
    return Bench()


def test_a_variant_is_added_edited_and_left_and_the_file_stays(bench: Bench) -> None:
    assert bench.chips() == [("", True)]
    bench.do("add-variant", name="heavier")
    page = bench.do("set", path="load.mass", typed="34 kg")
    assert page.faults == ()
    weighed = {"status": "measured", "note": "carriage and fork, weighed"}
    mass = {"value": "34 kg", **weighed}
    assert bench.file["variant"] == [{"name": "heavier", "set": {"load.mass": mass}}]
    assert bench.file["load"]["mass"]["value"] == "28 kg"
    assert bench.chips() == [("", False), ("heavier", True)]
    field = next(f for part in page.picture.parts for f in part.fields if f.path == "load.mass")
    assert field.typed == "34 kg"
    back = bench.do("variant", name="")
    field = next(f for part in back.picture.parts for f in part.fields if f.path == "load.mass")
    assert field.typed == "28 kg"


def test_every_step_can_be_undone(bench: Bench) -> None:
    before = bench.head.content
    bench.do("add-variant", name="A")
    bench.do("rename-variant", name="A", to="B")
    bench.do("remove-variant", name="B")
    assert bench.chips() == [("", True)]
    bench.undo()
    assert bench.chips() == [("", False), ("B", True)]
    bench.undo()
    assert bench.chips() == [("", False), ("A", True)]
    bench.undo()
    assert bench.head.content == before


def test_each_has_its_own_parts(bench: Bench) -> None:
    own = bench.head.content.parts
    other = {**own, "gearhead": "XG72-16"}
    bench.do("add-variant", name="B")
    bench.do("parts", names=other)
    assert bench.do("variant", name="").picture.names == own
    assert bench.do("variant", name="B").picture.names == other
    assert "set" not in bench.file["variant"][0], "a look states nothing"


def test_a_look_makes_no_variant_and_a_remedy_that_takes_a_part_does(bench: Bench) -> None:
    own = bench.head.content.parts
    bench.do("parts", names={**own, "gearhead": "XG72-16"})
    assert bench.chips() == [("", True)]
    page = bench.do("set", path="gearhead", typed="XG72-24")
    assert bench.chips() == [("", False), ("XG72-24", True)]
    assert page.picture.names["gearhead"] == "XG72-24"
    assert bench.file["variant"] == [{"name": "XG72-24", "set": {"choose.gearheads": ["XG72-24"]}}]
    assert bench.do("variant", name="").picture.names["gearhead"] == "XG72-16"


def test_the_parts_that_a_variant_names_follow_its_fields(bench: Bench) -> None:
    bench.do("set", path="gearhead", typed="XG72-16")
    bench.do("part", kind="gearhead", name="XG72-9")
    assert bench.file["variant"][0]["set"] == {"choose.gearheads": ["XG72-9"]}
    assert bench.do("part", kind="gearhead", name="XG72-7000").faults, "not in the line, and told"
    assert [c["name"] for c in bench.file["variant"]] == ["XG72-16"]


def test_a_candidate_becomes_a_variant_that_names_what_differs(bench: Bench) -> None:
    own = bench.head.content.parts
    page = bench.do("keep-parts", names={**own, "gearhead": "XG72-16"})
    assert page.picture.names["gearhead"] == "XG72-16"
    assert bench.file["variant"][0] == {
        "name": "XG72-16",
        "set": {"choose.gearheads": ["XG72-16"]},
    }


def test_the_command_line_reads_the_same_variant(bench: Bench) -> None:
    """The used shares of `verify` on the variant of the downloaded file."""
    bench.do("add-variant", name="heavier")
    page = bench.do("set", path="load.mass", typed="34 kg")
    axis = dl.read_axis("lift.toml", text=bench.head.content.text)
    own = next(v for v in axis.variants if v.variant == "heavier")
    verdict = dl.verify(own, Combination(**page.picture.names))
    wanted = {f"{ln.check}--{ln.part}": share(ln.used) for ln in verdict.ledger if ln.used}
    shown = {r.key: r.used for g in page.picture.groups for r in g.rows if r.share}
    assert shown
    assert all(wanted[key] == used for key, used in shown.items())


def test_a_value_that_cannot_be_used_is_told_at_the_field_of_the_variant(bench: Bench) -> None:
    bench.do("add-variant", name="heavier")
    page = bench.do("set", path="load.mass", typed="34 kN")
    assert page.faults
    field = next(f for part in page.picture.parts for f in part.fields if f.path == "load.mass")
    assert field.typed == "34 kN"
    assert "kN" in field.fault
    assert bench.chips() == [("", False), ("heavier", True)], "chips outlive a bad value"


def test_differences_only(bench: Bench) -> None:
    bench.do("add-variant", name="heavier")
    bench.do("set", path="load.mass", typed="34 kg")
    seen = bench.desk.variants(bench.key)
    assert seen.difference.inputs == (("Moving mass", ("28 kg", "34 kg")),)
    titles = dict(seen.difference.checks)
    peak = titles["Peak torque, motor"]
    assert len({said for _, said in peak}) == 2
    first, last = seen.each
    assert (last.bars, last.duty, last.loop) == ({}, "", ""), "the one shown needs none"
    assert first.marks
    assert first.duty.count("M") == len(first.bars) > 5
    page = bench.desk.page(bench.key)
    rows = {r.key: r.share for g in page.picture.groups for r in g.rows}
    assert first.bars["peak-torque--motor"] / 80 < rows["peak-torque--motor"], "lighter needs less"
    assert first.loop.startswith("M")


def test_a_variant_alike_differs_in_nothing(bench: Bench) -> None:
    bench.do("add-variant", name="B")
    seen = bench.desk.variants(bench.key)
    assert (seen.difference.inputs, seen.difference.checks) == ((), ())
    assert seen.difference.alike == bench.desk.page(bench.key).picture.below.checks


@pytest.mark.parametrize(
    "change",
    [
        {"do": "variant", "name": 3},
        {"do": "add-variant"},
        {"do": "add-variant", "name": "  "},
        {"do": "rename-variant", "name": "no", "to": "yes"},
        {"do": "remove-variant", "name": ""},
        {"do": "keep-parts", "names": []},
    ],
)
def test_what_no_page_sends_is_refused(bench: Bench, change: dict) -> None:
    with pytest.raises(InputError):
        bench.desk.edit(bench.key, 1, change)
    assert bench.head.number == 1
