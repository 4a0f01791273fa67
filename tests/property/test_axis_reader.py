"""Whatever stands in a file: it becomes an axis, or an input error that can be acted on."""

import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.support.axis_files import LIFT, TABLE

from dutyline.axis.fields import SECTIONS
from dutyline.axis.model import Axis
from dutyline.axis.read import read_axis
from dutyline.axis.write import text_of, write_axis
from dutyline.core.errors import Fault, InputError
from dutyline.core.toml_lines import line_index

pytestmark = pytest.mark.property

WORDS = sorted({f.name for s in SECTIONS.values() for f in s.fields} | set(SECTIONS))
VALUES = st.one_of(
    st.sampled_from(
        ["40 kg", "1,250 mm", "-3 s", "0 mm", "90 deg", "24/7", "about 0.1", "12..15 kg", "10 %",
         "", "kg", "1e400 N", "nan", "ball-screw", "belt", "move", "yes", "2x35 kg", "33 lb"]
    ),
    st.text(max_size=12),
    st.integers(-(10**20), 10**20),
    st.floats(),
    st.booleans(),
)  # fmt: skip
NESTED = st.recursive(
    VALUES,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.sampled_from(["value", "range", "status", *WORDS]), inner, max_size=3),
    ),
    max_leaves=6,
)
TABLES = st.dictionaries(st.sampled_from(WORDS), NESTED, max_size=6)
QUICK = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)


def judge(text: str) -> Axis | None:
    """The axis, or None after checking that every fault can be acted on."""
    axis, faults = attempt(text)
    assert axis is not None or faults
    for fault in faults:
        assert fault.place.startswith("any.toml")
        assert fault.read.strip()
    return axis


def attempt(text: str) -> tuple[Axis | None, tuple[Fault, ...]]:
    """The axis or its faults; anything else that is raised fails the test."""
    try:
        return read_axis("any.toml", text=text), ()
    except InputError as error:
        return None, error.faults


@settings(QUICK, max_examples=60)
@given(st.dictionaries(st.sampled_from(sorted(SECTIONS)), st.one_of(TABLES, st.lists(TABLES))))
def test_any_data_under_known_names(data):
    lists = {k: v if isinstance(v, list) else [v] for k, v in data.items()}
    judge(text_of(lists))


@QUICK
@given(st.text(max_size=300))
def test_any_text(text):
    judge(text)


@QUICK
@given(st.binary(max_size=300))
def test_any_bytes(raw):
    judge(raw.decode("utf-8", "surrogateescape"))


@QUICK
@given(st.sampled_from([LIFT, TABLE]), st.integers(0, 2**32), st.integers(1, 4))
def test_files_with_slips(text, seed, slips):
    """Characters lost, doubled and exchanged; lines lost, doubled and moved."""
    rng = random.Random(seed)
    for _ in range(slips):
        rows = text.split("\n")
        at, row = rng.randrange(len(text)), rng.randrange(len(rows))
        text = rng.choice(
            [
                text[:at] + text[at + 1 :],
                text[:at] + text[at] + text[at:],
                text[:at] + rng.choice('=[]{}".,#-_ \n0e9') + text[at + 1 :],
                "\n".join(rows[:row] + rows[row + 1 :]),
                "\n".join([*rows[:row], rows[row], *rows[row:]]),
                "\n".join([*rows[:row], rng.choice(rows), *rows[row:]]),
            ]
        )
    judge(text)


@QUICK
@given(
    st.sampled_from([LIFT, TABLE]),
    st.sampled_from(WORDS),
    NESTED,
    st.integers(0, 60),
)
def test_one_more_field_anywhere(text, word, value, row):
    rows = text.split("\n")
    extra = text_of({"load": [{word: value}]}).split("\n", 3)[3]
    judge("\n".join([*rows[:row], extra.strip(), *rows[row:]]))


def _can_be_shown(text):
    return text.isprintable() and text.strip() != ""


@QUICK
@given(
    st.sampled_from(["2", "33 lb", "36..46 kg", "about 40 kg", "0,5 t", "12 kg + 15.5 lb"]),
    st.integers(-90, 90),
    st.sampled_from(["trapezoid", "s-curve", "quintic", "cycloid"]),
    st.floats(0.05, 5.0),
    st.text(st.characters(codec="utf-8"), min_size=1, max_size=30).filter(_can_be_shown),
)
def test_what_is_written_reads_as_the_same_axis(mass, slope, law, time, note):
    mass = mass if not mass.isdigit() else f"{mass} kg"
    data = {
        "axis": [{"title": "a", "note": note}],
        "load": [{"mass": mass, "incline": f"{slope} deg", "payloads": {"b c": "1 kg"}}],
        "mechanism": [{"kind": "belt", "teeth": 24, "pitch": "8 mm", "efficiency": "95 %"}],
        "phase": [
            {"do": "move", "by": "0.3 m", "time": f"{time!r} s", "law": law, "carry": ["b c"]},
            {"do": "dwell", "time": "1 s"},
            {"do": "move", "to": "0 m", "time": f"{time!r} s"},
        ],
    }
    first = judge(text_of(data))
    assert first is not None
    again = judge(write_axis(first))
    assert again is not None
    assert again.train == first.train
    assert again.cycle == first.cycle
    assert write_axis(again) == write_axis(first)
    assert [(i.path, i.value) for i in again.inputs] == [(i.path, i.value) for i in first.inputs]


@QUICK
@given(st.text(alphabet="[]{}=\".\n#a1 ,\\'", max_size=200))
def test_the_walk_for_lines_always_ends(text):
    index = line_index(text)
    assert all(1 <= line <= text.count("\n") + 1 for line in index.lines.values())
