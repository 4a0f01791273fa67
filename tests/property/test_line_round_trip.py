"""Laws of the content hash and of writing a line, on lines of any content."""

from __future__ import annotations

import csv
import random
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.catalogue.content import content_hash, plain_tables
from dutyline.catalogue.export import write_line
from dutyline.catalogue.library import line_of, read_line
from dutyline.catalogue.parts import ProductLine
from support.any_lines import Table, any_line

pytestmark = pytest.mark.property


def read(tables: dict[str, Table]) -> ProductLine:
    return line_of("any", "", {name: table.encoded() for name, table in tables.items()}, [])


def parts(line: ProductLine) -> tuple[object, ...]:
    return (line.motors, line.gearheads, line.drives, line.brakes, line.resistors, line.curves,
            line.pairings, line.accessories)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(any_line())
def test_written_and_read_again_it_is_the_same(tables: dict[str, Table]) -> None:
    line = read(tables)
    with tempfile.TemporaryDirectory() as folder:
        again = read_line(write_line(line, Path(folder) / "line"))
    assert parts(again) == parts(line)
    assert content_hash(again) == content_hash(line)


@settings(max_examples=40, deadline=None)
@given(any_line())
def test_plain_tables_of_plain_tables_are_themselves(tables: dict[str, Table]) -> None:
    plain = plain_tables(read(tables))
    assert plain_tables(line_of("other", "", plain, [])) == plain


@settings(max_examples=40, deadline=None)
@given(any_line(), st.integers())
def test_layout_does_not_count(tables: dict[str, Table], seed: int) -> None:
    rng = random.Random(seed)
    other = {}
    for name, table in tables.items():
        order = list(range(len(table.heading)))
        rng.shuffle(order)
        moved = Table(
            [f" {table.heading[k]}" for k in order],
            [[f"{row[k]} " for k in order] for row in table.rows],
        )
        other[name] = b"\xef\xbb\xbf" + moved.encoded("\r\n", csv.QUOTE_ALL)
    assert content_hash(line_of("other", "", other, [])) == content_hash(read(tables))


@settings(max_examples=40, deadline=None)
@given(any_line(), any_line())
def test_one_hash_means_one_content(first: dict[str, Table], second: dict[str, Table]) -> None:
    one, other = read(first), read(second)
    assert (content_hash(one) == content_hash(other)) == (parts(one) == parts(other))
