"""Laws of the difference between two lines."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.catalogue.library import line_of
from dutyline.catalogue.parts import ProductLine
from dutyline.editions.find import difference
from dutyline.editions.words import chapters, headline
from support.any_lines import Table, any_line
from support.editions import KINDS, applied, by_key

pytestmark = pytest.mark.property
FEW = st.sampled_from(["A", "B", "C", "D"])
LINES = any_line(FEW)


def read(tables: dict[str, Table]) -> ProductLine:
    return line_of("any", "", {name: table.encoded() for name, table in tables.items()}, [])


@settings(max_examples=30, deadline=None)
@given(LINES)
def test_a_line_does_not_differ_from_itself(tables: dict[str, Table]) -> None:
    found = difference(read(tables), read(tables))
    assert found.empty
    assert found.same
    assert (found.said, found.reordered, found.groups, found.successors) == ((), (), (), ())
    assert not chapters(found)
    assert "same content" in headline(found)


@settings(max_examples=60, deadline=None)
@given(LINES, LINES)
def test_applied_to_the_first_it_gives_the_second(
    first: dict[str, Table], second: dict[str, Table]
) -> None:
    one, other = read(first), read(second)
    found = difference(one, other)
    rows = applied(found)
    assert rows == {kind: by_key(other, kind) for kind in KINDS}
    for kind in KINDS:
        old, new = by_key(one, kind), by_key(other, kind)
        moved = [k for k in old if k in new] != [k for k in new if k in old]
        assert moved == (f"{kind}.csv" in found.reordered)
    order = all(list(by_key(one, k)) == list(by_key(other, k)) for k in KINDS)
    assert found.same == (found.empty and order)


@settings(max_examples=40, deadline=None)
@given(LINES, LINES)
def test_turned_round_it_says_the_reverse(
    first: dict[str, Table], second: dict[str, Table]
) -> None:
    one, other = read(first), read(second)
    there, back = difference(one, other), difference(other, one)
    turn = {"less": "more", "more": "less", "": ""}
    nature = {"stated": "unstated", "unstated": "stated", "value": "value"}

    def told(found, ahead):
        return Counter(
            (c.kind, c.key, c.column, c.old, c.new, c.effect, c.nature)
            if ahead
            else (c.kind, c.key, c.column, c.new, c.old, turn[c.effect], nature[c.nature])
            for c in found.changes
        )

    assert told(there, True) == told(back, False)
    assert [i.key for i in there.gone] == [i.key for i in back.new]
    assert [i.key for i in there.new] == [i.key for i in back.gone]
    assert {(c.key, c.effect) for c in there.curves} == {
        (c.key, turn[c.effect]) for c in back.curves
    }
    for ahead in there.changes:
        for behind in back.changes:
            if (ahead.kind, ahead.key, ahead.field) == (behind.kind, behind.key, behind.field):
                assert (ahead.ratio is None) == (behind.ratio is None)
                if ahead.ratio is not None and behind.ratio is not None:
                    assert ahead.ratio * behind.ratio == pytest.approx(1.0)


@settings(max_examples=40, deadline=None)
@given(LINES, LINES)
def test_every_change_is_told_in_one_group(
    first: dict[str, Table], second: dict[str, Table]
) -> None:
    found = difference(read(first), read(second))
    grouped = Counter((c.kind, c.key, c.field) for g in found.groups for c in g.changes)
    assert grouped == Counter((c.kind, c.key, c.field) for c in found.changes)
    for group in found.groups:
        assert len({(c.kind, c.field, c.nature, c.effect) for c in group.changes}) == 1
        assert len(group.changes) <= group.of
        ratios = [c.ratio for c in group.changes if c.ratio is not None]
        assert group.low == min(ratios, default=None)
        assert group.high == max(ratios, default=None)
    named = {s.gone.key for s in found.successors}
    assert named <= {i.key for i in found.gone}
    assert len(named) == len({s.new.key for s in found.successors}) == len(found.successors)
    told = [row for c in chapters(found, every=True) for row in (c.rows)]
    assert all(row.head.strip() for row in told)
