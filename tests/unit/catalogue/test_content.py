"""The content hash is over what a line says, and over all of it."""

from __future__ import annotations

import csv
import hashlib
import io
import math
import random
import subprocess
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from dutyline.catalogue.columns import FORMS, FURTHER, UNITS, Column
from dutyline.catalogue.content import content_hash, plain_tables, plain_text
from dutyline.catalogue.library import demo_line, read_line
from dutyline.catalogue.parts import Motor, ProductLine
from support.lines import SHIPPED, Edit, edited, edited_folder, tables, write

Rows = list[list[str]]
ALL = (*FORMS, *FURTHER)
SEVEN = replace(demo_line(), accessories=())
"""The line that ships without the table that a line may do without."""


def rewritten(folder: Path, change: Callable[[str, Rows], Rows], ends: str = "\n") -> Path:
    """The line that ships with every table passed through a function of its rows."""
    folder.mkdir()
    for form in ALL:
        rows = list(csv.reader(io.StringIO((SHIPPED / form.file).read_text("utf-8"))))
        text = io.StringIO(newline="")
        csv.writer(text, lineterminator=ends).writerows(change(form.file, rows))
        (folder / form.file).write_bytes(text.getvalue().encode())
    return folder


def number(text: str) -> bool:
    try:
        return Decimal(text).is_finite()
    except ArithmeticError:
        return False


def columns_shuffled(name: str, rows: Rows) -> Rows:
    order = list(range(len(rows[0])))
    random.Random(name).shuffle(order)
    return [[row[k] for k in order] for row in rows]


def other_digits(name: str, rows: Rows) -> Rows:
    """``1.5`` as ``+1.500``, ``120`` as ``0120.0`` where the column holds plain numbers."""
    kinds = {c.name: c.kind for form in ALL if form.file == name for c in form.columns}
    heading, *body = rows

    def cell(column: str, text: str) -> str:
        if kinds[column] != "number" or not number(text):
            return text
        return f"+{text}00" if "." in text else f"0{text}.0"

    return [heading, *([cell(c, t) for c, t in zip(heading, row, strict=True)] for row in body)]


def exponents(name: str, rows: Rows) -> Rows:
    kinds = {c.name: c.kind for form in ALL if form.file == name for c in form.columns}
    heading, *body = rows
    return [
        heading,
        *(
            [
                f"{Decimal(t):e}" if kinds[c] == "number" and number(t) else t
                for c, t in zip(heading, row, strict=True)
            ]
            for row in body
        ),
    ]


def blanks(name: str, rows: Rows) -> Rows:
    return [x for row in rows for x in ([f" {cell}  " for cell in row], [""] * len(row))]


def empty_columns(name: str, rows: Rows) -> Rows:
    known = [c.name for form in ALL if form.file == name for c in form.columns]
    more = [c for c in known if c not in rows[0]]
    return [[*rows[0], *more], *([*row, *[""] * len(more)] for row in rows[1:])]


@pytest.mark.parametrize(
    "change", [columns_shuffled, other_digits, exponents, blanks, empty_columns]
)
def test_layout_does_not_count(tmp_path: Path, change: Callable[[str, Rows], Rows]) -> None:
    line = read_line(rewritten(tmp_path / "line", change))
    assert content_hash(line) == content_hash(demo_line())


def test_bytes_around_the_text_do_not_count(tmp_path: Path) -> None:
    folder = rewritten(tmp_path / "line", lambda _, rows: rows, "\r\n")
    for form in ALL:
        path = folder / form.file
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert content_hash(read_line(folder)) == content_hash(demo_line())


def test_what_stands_beside_does_not_count(tmp_path: Path) -> None:
    folder = edited_folder(tmp_path / "line")
    (folder / "line.toml").write_text('[line]\nname = "other"\nedition = "9"\n', "utf-8")
    (folder / "audit.toml").write_text("schema = 1\n", "utf-8")
    (folder / "notes.txt").write_text("seen", "utf-8")
    assert content_hash(read_line(folder)) == content_hash(demo_line())


def test_points_of_curves_may_be_mixed(tmp_path: Path) -> None:
    """Rows of one curve keep their order; those of two may alternate."""

    def mixed(name: str, rows: Rows) -> Rows:
        if name != "curves.csv":
            return rows
        first = [r for r in rows[1:] if r[0] == rows[1][0]]
        kinds = {r[3] for r in first}
        assert len(kinds) == 2
        heads = list(dict.fromkeys(tuple(r[:4]) for r in first))
        by = {h: [r for r in first if tuple(r[:4]) == h] for h in heads}
        turns = max(map(len, by.values()))
        woven = [by[h][k] for k in range(turns) for h in heads if k < len(by[h])]
        assert woven != first
        return [rows[0], *woven, *[r for r in rows[1:] if r[0] != rows[1][0]]]

    line = read_line(rewritten(tmp_path / "line", mixed))
    assert content_hash(line) == content_hash(demo_line())


def test_the_order_of_rows_counts(tmp_path: Path) -> None:
    """The first pairing of a motor gives its drive, and lists keep the order of the files."""
    content = tables()
    content["pairings"][0], content["pairings"][1] = (
        content["pairings"][1],
        content["pairings"][0],
    )
    line = read_line(write(tmp_path / "line", content))
    assert content_hash(line) != content_hash(SEVEN)


def cells() -> Iterator[tuple[str, int, str, str]]:
    for name, rows in tables().items():
        for k in random.Random(name).sample(range(len(rows)), min(len(rows), 5)):
            for column, text in rows[k].items():
                yield name, k, column, text


def altered(name: str) -> Iterator[tuple[int, str, str]]:
    """Row, column and cell with one digit more, for every number in five rows of a table."""
    for file, k, column, text in cells():
        if file == name and number(text) and column not in ("phases", "ratio"):
            unit = Decimal(1).scaleb(int(Decimal(text).as_tuple().exponent))
            yield k, column, str(Decimal(text) + unit)


def require_all_differ(lines: Iterable[ProductLine]) -> None:
    seen = [content_hash(SEVEN), *map(content_hash, lines)]
    assert len(set(seen)) == len(seen) >= 6


@pytest.mark.parametrize("name", ["motors", "gearheads", "drives", "brakes", "resistors"])
def test_every_value_of_a_part_counts(tmp_path: Path, name: str) -> None:
    """One digit more in any cell of five rows gives another hash, all of them different.

    The changed rows are read as parts more, under names of their own, and each takes the place of
    the part that it was made from.
    """
    content = tables()
    rows, first = content[name], next(iter(content[name][0]))
    changes = list(altered(name))
    content[name] = rows + [
        {**rows[k], column: text, first: f"Z{n}"} for n, (k, column, text) in enumerate(changes)
    ]
    read = getattr(read_line(write(tmp_path / "line", content)), name)
    parts, others = read[: len(rows)], read[len(rows) :]
    assert parts == getattr(SEVEN, name)
    assert len(others) == len(changes)
    require_all_differ(
        replace(SEVEN, **{name: (*parts[:k], replace(one, name=parts[k].name), *parts[k + 1 :])})
        for (k, _, _), one in zip(changes, others, strict=True)
    )


@pytest.mark.parametrize("name", ["pairings", "accessories"])
def test_every_value_beside_the_parts_counts(tmp_path: Path, name: str) -> None:
    lines = []
    for n, (k, column, text) in enumerate(altered(name)):
        content = tables()
        content[name][k][column] = text
        lines.append(read_line(write(tmp_path / str(n), content)))
    require_all_differ(lines)


def test_every_value_of_a_curve_counts() -> None:
    """A curve may refuse a point; its numbers are changed in place."""
    curves = SEVEN.curves
    require_all_differ(
        replace(SEVEN, curves=(*curves[:k], replace(c, **{field: moved}), *curves[k + 1 :]))
        for k, c in enumerate(curves[:5])
        for field, values in (("torque", c.torque), ("speed", c.speed))
        for at in range(len(values))
        for moved in [tuple(v + 1e-9 * (n == at) for n, v in enumerate(values))]
    )


@pytest.mark.parametrize(
    "edit",
    [
        Edit("motors", "encoder", "incremental", {"motor": "XM38-0050L"}),
        Edit("motors", "price", "12", {}),
        Edit("gearheads", "ratio", "40/9", {"gearhead": "XG54-4"}),
        Edit("gearheads", "input_flanges_mm", "38", {"gearhead": "XG54-4"}),
        Edit("drives", "overload_curve", "1.2:14;1.5:6.2;2:2.3;3:0.5", {"drive": "XD-L2"}),
        Edit("drives", "phases", "1;3", {"drive": "XD-L2"}),
        Edit("motors", "tau_winding_s", "", {"motor": "XM38-0050L"}),
        Edit("pairings", "note", "seen", {"left": "XM38-0050L", "mains_v": "115"}),
    ],
)
def test_every_kind_of_cell_counts(tmp_path: Path, edit: Edit) -> None:
    if edit.column == "price":
        content = tables()
        content["motors"] = [{**row, "price": "12"} for row in content["motors"]]
        line = read_line(write(tmp_path / "line", content))
    else:
        line = edited(tmp_path / "line", edit)
    assert content_hash(line) != content_hash(SEVEN)


def test_ratios_are_fractions() -> None:
    ratio = next(c for c in FORMS[1].columns if c.kind == "ratio")
    assert plain_text(ratio, Fraction("12.25")) == "49/4"
    assert plain_text(ratio, Fraction(18, 2)) == "9"


def test_redone_by_hand_from_the_bytes(tmp_path: Path) -> None:
    """A second way to the hash: no part of the reader, decimals instead of doubles."""
    digest = hashlib.sha256()
    for form in ALL:
        rows = list(csv.reader(io.StringIO((SHIPPED / form.file).read_text("utf-8"))))
        place = {name: k for k, name in enumerate(rows[0])}
        kept = [
            c
            for c in form.columns
            if c.name in place and (c.required or any(r[place[c.name]] for r in rows[1:]))
        ]
        digest.update((",".join(c.name for c in kept) + "\n").encode())
        for row in rows[1:]:
            plain = (by_hand(c, row[place[c.name]]) for c in kept)
            digest.update((",".join(plain) + "\n").encode())
    assert digest.hexdigest() == content_hash(demo_line())


def by_hand(column: Column, text: str) -> str:
    """Zeros that say nothing taken away; the line that ships holds no comma and no exponent."""
    if column.kind in ("number", "ratio", "list", "pairs") and text:
        for mark in (";", ":"):
            if mark in text:
                return mark.join(by_hand(column, part) for part in text.split(mark))
        return f"{Decimal(text).normalize():f}"
    return text


def test_what_the_shell_gives(tmp_path: Path) -> None:
    for name, content in plain_tables(demo_line()).items():
        (tmp_path / name).write_bytes(content)
    names = " ".join(form.file for form in ALL)
    done = subprocess.run(
        f"cat {names} | sha256sum", shell=True, cwd=tmp_path, capture_output=True, text=True,
        check=True,
    )  # fmt: skip
    assert done.stdout.split()[0] == content_hash(demo_line())


@pytest.mark.parametrize("unit", sorted(UNITS))
def test_plain_numbers_are_the_shortest_that_give_the_value(unit: str) -> None:
    """Up to 15 digits come back as written; whatever was written is read as the same double."""
    column = Column("x", "x", unit=unit)
    rng = random.Random(unit)
    for _ in range(2000):
        digits = rng.randint(1, 17)
        text = f"{rng.randint(1, 10**digits - 1)}e{rng.randint(-12, 4)}"
        plain = plain_text(column, column.si(float(text)))
        assert column.si(float(plain)) == column.si(float(text))
        assert len(plain) <= 40
        if digits <= 15:
            assert Decimal(plain) == Decimal(text)


def test_a_value_that_no_text_gives_settles(tmp_path: Path) -> None:
    """A double between those that the unit reaches becomes one that it reaches, once for all."""
    column = next(c for c in FORMS[0].columns if c.field == "speed_max")
    rng = random.Random(3)
    for _ in range(500):
        si = math.ldexp(rng.random(), rng.randint(1, 12))
        plain = plain_text(column, si)
        read = column.si(float(plain))
        assert read == pytest.approx(si, rel=1e-15)
        assert plain_text(column, read) == plain


def test_nothing_stated_is_an_empty_table() -> None:
    line = replace(
        demo_line(), motors=(Motor("A"),), gearheads=(), drives=(), brakes=(), resistors=(),
        curves=(), pairings=(), accessories=(),
    )  # fmt: skip
    files = plain_tables(line)
    assert files["motors.csv"] == b"motor\nA\n"
    assert files["gearheads.csv"] == b"gearhead,ratio\n"
    assert files["pairings.csv"] == b"kind,left,right\n"


def test_a_changed_copy_has_its_own_hash() -> None:
    line = demo_line()
    other = replace(line, motors=line.motors[1:])
    assert content_hash(line) != content_hash(other)
