"""Product lines of any content for property tests: folders of cells as people may write them."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import cache

from hypothesis import strategies as st

from dutyline.catalogue.columns import FORMS, FURTHER, PAIRING_KINDS, Column

RISKY = st.sampled_from(["=1+1", "@a", "-2+3", "'=x", "+a", "a;=b", "=a|'/b'!A0", "-2.5", "1,=2"])
"""Words that a spreadsheet may run, or that look like such words guarded."""
WORDS = RISKY | (
    st.text(st.characters(exclude_categories=("C", "Z")) | st.just(" "), min_size=1, max_size=12)
    .map(str.strip)
    .filter(bool)
)
INDEXED = ("motors", "gearheads", "drives", "brakes", "resistors")


@dataclass(frozen=True)
class Table:
    """One file as cells."""

    heading: list[str]
    rows: list[list[str]]

    def encoded(self, ends: str = "\n", quoting: int = csv.QUOTE_MINIMAL) -> bytes:
        text = io.StringIO(newline="")
        writer = csv.writer(text, lineterminator=ends, quoting=quoting)
        writer.writerow(self.heading)
        writer.writerows(self.rows)
        return text.getvalue().encode()


@cache
def numbers(column: Column) -> st.SearchStrategy[str]:
    """Cells of a column of numbers, in digits of several lengths and forms."""
    low, high = column.limits.low, min(column.limits.high, 1e9)
    plain = st.floats(
        low, high, exclude_min=column.limits.open_low, exclude_max=column.limits.open_high,
        allow_subnormal=False,
    ).filter(lambda v: v == 0 or abs(v) > 1e-12)  # fmt: skip
    said = st.sampled_from(("{!r}", "{:.4g}", "{:.10e}", "{:.17g}"))
    texts = st.builds(lambda form, v: form.format(v), said, plain)
    return texts.filter(lambda t: column.limits.hold(float(t)) and len(t) <= 40)


@cache
def cell(column: Column) -> st.SearchStrategy[str]:
    """Cells of a column that holds no name of another part."""
    if column.choices and column.kind != "ints":
        return st.sampled_from(column.choices)
    match column.kind:
        case "number":
            return numbers(column)
        case "int":
            low, high = int(column.limits.low), int(column.limits.high)
            return st.integers(low, high).map(str)
        case "ratio":
            whole = st.integers(1, 999)
            return st.builds("{}/{}".format, whole, whole) | st.builds(
                "{}.{:02}".format, whole, st.integers(0, 99)
            )
        case "list":
            return st.lists(numbers(column), min_size=1, max_size=3).map(";".join)
        case "ints":
            return st.lists(
                st.sampled_from(column.choices), min_size=1, max_size=2, unique=True
            ).map(";".join)
        case "pairs":
            return st.sampled_from(("1.5:3", "1.20:14;1.5:6.2;2:2.3", "1.1:1e3 ; 3:0.60"))
    return WORDS


@cache
def or_empty(column: Column) -> st.SearchStrategy[str]:
    """The same, or nothing stated."""
    return st.just("") | cell(column)


@st.composite
def parts(draw: st.DrawFn, form_index: int, names: list[str], brakes: list[str]) -> Table:
    form = FORMS[form_index]
    optional = [c for c in form.columns if not c.required]
    chosen = draw(st.lists(st.sampled_from(optional), max_size=6, unique=True))
    columns = draw(st.permutations([c for c in form.columns if c.required or c in chosen]))
    rows = []
    for name in names:
        row = []
        for column in columns:
            if column.field == "name":
                row.append(name)
            elif column.field == "brake":
                row.append(draw(st.sampled_from(["", *brakes])))
            else:
                row.append(draw(cell(column) if column.required else or_empty(column)))
        rows.append(row)
    return Table([c.name for c in columns], rows)


@st.composite
def curve_points(draw: st.DrawFn, motors: list[str]) -> Table:
    rows = []
    keys = st.tuples(
        st.sampled_from(motors), st.sampled_from(("115", "230", "400")),
        st.sampled_from("13"), st.sampled_from(("peak", "continuous")),
    )  # fmt: skip
    for key in draw(st.lists(keys, max_size=3, unique=True)):
        speeds = sorted(draw(st.sets(st.integers(1, 9000), min_size=1, max_size=4)))
        for speed in (0, *speeds):
            torque = draw(st.floats(0, 500).map("{:.6g}".format))
            rows.append([*key, str(speed), torque])
    return Table(["motor", "mains_v", "phases", "kind", "speed_rpm", "torque_nm"], rows)


@st.composite
def pairing_rows(draw: st.DrawFn, names: dict[str, list[str]]) -> Table:
    form = FORMS[6]
    extra = [c for c in form.columns if not c.required]
    possible = [
        (kind, left, right)
        for kind, files in PAIRING_KINDS.items()
        for left in names[files[0].removesuffix(".csv")]
        for right in names[files[1].removesuffix(".csv")]
    ]
    rows = []
    if possible:
        for key in draw(st.lists(st.sampled_from(possible), max_size=4, unique=True)):
            rows.append([*key, *(draw(or_empty(c)) for c in extra)])
    return Table(["kind", "left", "right", *(c.name for c in extra)], rows)


@st.composite
def accessories(draw: st.DrawFn) -> Table:
    own = {c.name: c for c in FURTHER[0].columns}
    rows = []
    for name in draw(st.lists(WORDS, max_size=2, unique=True)):
        row = [name, draw(cell(own["kind"])), draw(st.sampled_from(["", "*"]))]
        rows.append([*row, draw(or_empty(own["length_m"])), draw(cell(own["note"]))])
    return Table(["accessory", "kind", "fits_motors", "length_m", "note"], rows)


@st.composite
def any_line(draw: st.DrawFn, words: st.SearchStrategy[str] = WORDS) -> dict[str, Table]:
    """The tables of a line that can be read, its parts named by ``words``."""
    names = {
        kind: draw(
            st.lists(words, min_size=int(kind == "motors"), max_size=3, unique=True)
        )
        for kind in INDEXED
    }  # fmt: skip
    found = {
        f"{kind}.csv": draw(parts(k, names[kind], names["brakes"]))
        for k, kind in enumerate(INDEXED)
    }
    found["curves.csv"] = draw(curve_points(names["motors"]))
    found["pairings.csv"] = draw(pairing_rows(names))
    if draw(st.booleans()):
        found["accessories.csv"] = draw(accessories())
    return found
