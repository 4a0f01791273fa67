"""Whatever stands in a plate file: a plate, or faults."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.catalogue.library import demo_line
from dutyline.core.errors import InputError
from dutyline.replacement.fields import SECTIONS
from dutyline.replacement.read import read_plate
from dutyline.replacement.search import find

pytestmark = pytest.mark.property

NAMES = [(s.name, f.name) for s in SECTIONS.values() for f in s.fields if not s.many]
WORDS = ["2 N*m", "3000 r/min", "4 A", "1e300 N*m", "0.1..0.2 m", "about 3 kg", "-1 V", "91/9",
         "0/0", "rms", "resolver", "24 V", "%", "", "GD2 1 kg*m^2", "1,250 m", "72 mm",
         "0 kg*m^2", "IP65", "3", "dc", "2.1e-9 N*m", "9e14 A", "0.0001 V/krpm"]  # fmt: skip
VALUES = st.one_of(
    st.sampled_from(WORDS), st.text(max_size=8), st.integers(-3, 10**9), st.floats(-1e9, 1e9),
    st.booleans(), st.lists(st.sampled_from(WORDS), max_size=3),
)  # fmt: skip


def toml(value: object) -> str:
    if isinstance(value, str):
        return json.dumps(value).replace("\\/", "/")
    if isinstance(value, list):
        return f"[{', '.join(map(toml, value))}]"
    return json.dumps(value)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(st.sampled_from(NAMES), VALUES, max_size=8))
def test_a_plate_or_faults(entries):
    sections: dict[str, list[str]] = {"plate": ['title = "x"'], "motor": []}
    for (section, field), value in entries.items():
        if field != "title":
            sections.setdefault(section, []).append(f"{field} = {toml(value)}")
    text = "schema = 1\n" + "".join(
        f"[{name}]\n" + "".join(f"{row}\n" for row in rows) for name, rows in sections.items()
    )
    try:
        plate = read_plate("plate.toml", text=text)
    except InputError:
        return
    found = find(plate, demo_line())
    for one in found.equivalents:
        for row in one.rows:
            assert row.state != "not-checked" or row.missing


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(NAMES), st.sampled_from(WORDS))
def test_one_field_at_a_time(name, word):
    section, field = name
    if (section, field) == ("plate", "title"):
        return
    rows = {"plate": 'title = "x"\n', "motor": ""}
    rows[section] = rows.get(section, "") + f"{field} = {toml(word)}\n"
    text = "schema = 1\n" + "".join(f"[{name}]\n{row}" for name, row in rows.items())
    try:
        plate = read_plate("plate.toml", text=text)
    except InputError:
        return
    find(plate, demo_line())
