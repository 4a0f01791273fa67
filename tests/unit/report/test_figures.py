"""Drawings: well-formed, the same every time, readable in grey, labels that do not collide."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.sample_verdict import sample_verdict

from dutyline.axis.forms import KINDS
from dutyline.checks.fitted import chosen
from dutyline.report.figures.bus import bus
from dutyline.report.figures.canvas import Canvas, number, thin
from dutyline.report.figures.colours import DARK, LIGHT
from dutyline.report.figures.cycle import cycle
from dutyline.report.figures.data import (
    DutyData,
    DutyMark,
    Part,
    SettleCurve,
    SettleData,
    TrainData,
    WarmData,
)
from dutyline.report.figures.duty import duty, meter
from dutyline.report.figures.frame import Frame, inside, stretches, tick_text, ticks
from dutyline.report.figures.gear import gear
from dutyline.report.figures.marks import MARKS, mark
from dutyline.report.figures.overload import overload
from dutyline.report.figures.plane import plane
from dutyline.report.figures.settle import settle
from dutyline.report.figures.symbols import SYMBOLS
from dutyline.report.figures.train import train, wrap
from dutyline.report.figures.warm import warm
from dutyline.report.sections.courses import bus_data, warm_data
from dutyline.report.sections.demand import cycle_data
from dutyline.report.sections.plots import gear_data, overload_data, plane_data

LONG = WarmData(
    np.linspace(0, 90, 40), np.linspace(40, 110, 40), np.linspace(40, 150, 40),
    np.linspace(40, 90, 40), *3 * (np.zeros(0),), 140.0, "limit", "From cold, min",
)  # fmt: skip
"""A motor that runs away: no settled cycle."""


@pytest.fixture(scope="module")
def verdict():
    return sample_verdict()


@pytest.fixture(scope="module")
def drawings(verdict):
    parts, trace = chosen(verdict), verdict.trace
    return {
        "plane": plane(plane_data(verdict, trace)),
        "cycle": cycle(cycle_data(verdict, trace)),
        "overload": overload(overload_data(verdict, trace, parts)),
        "gear": gear(gear_data(verdict, trace, parts)),
        "duty": duty(DutyData((DutyMark(0.5, "meets"), DutyMark(1.2, "fails", "peak 120 %")), 2)),
        "warm": warm(warm_data(verdict.extra["heat"])),
        "hot": warm(LONG),
        "bus": bus(bus_data(verdict.extra["bus"])),
        "train": train(TrainData(tuple(Part(kind, kind) for kind in SYMBOLS), upright=True)),
        "meter": meter(0.7, 0.1, "meets", "m"),
        "settle": settle(
            SettleData(
                (
                    SettleCurve("up", MS, 3 * np.exp(-MS / 40)),
                    SettleCurve("down", MS, -2 * np.exp(-MS / 60)),
                ),
                0.5,
                100.0,
                107.0,
                "Error of the load, mm",
            )
        ),
    }


MS = np.linspace(-50, 300, 200)
NAMES = (
    "plane", "cycle", "overload", "gear", "duty", "warm", "hot", "bus", "train", "meter", "settle",
)  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_drawings_are_well_formed_and_use_known_colours_only(drawings, name):
    tree = ElementTree.fromstring(drawings[name])
    known = {*LIGHT.values(), "none", None}
    for node in tree.iter():
        for attribute in ("fill", "stroke"):
            value = node.get(attribute)
            assert value in known or str(value).startswith("url(#"), value


@pytest.mark.parametrize("name", NAMES)
def test_coordinates_have_two_decimals_at_most(drawings, name):
    shapes = re.findall(r' (?:d|x|y|cx|cy|r|width|height)="([^"]+)"', drawings[name])
    assert shapes
    for figure in shapes:
        assert not re.search(r"\.\d{3,}", figure), figure


@pytest.mark.parametrize("name", NAMES)
def test_every_pattern_used_is_defined_under_the_key_of_its_figure(drawings, name):
    used = set(re.findall(r"url\(#([\w-]+)\)", drawings[name]))
    assert used == set(re.findall(r'<pattern id="([\w-]+)"', drawings[name]))


def test_no_text_is_smaller_than_seven_and_a_half_points(drawings):
    for drawing in drawings.values():
        sizes = re.findall(r'font-size="([\d.]+)"', drawing)
        assert all(float(s) >= 7.5 for s in sizes)


def test_causes_differ_by_pattern_and_not_by_colour_alone(drawings):
    for pattern in ("inertia", "friction", "loss", "returned"):
        assert f"url(#cycle-{pattern})" in drawings["cycle"]


def test_marks_differ_in_shape():
    shapes = {re.sub(r"#[0-9a-f]{6}", "", mark(state)) for state in MARKS}
    assert len(shapes) == len(MARKS)


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.1, definition of contrast ratio."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return float(np.dot(linear, [0.2126, 0.7152, 0.0722]))


def contrast(a: str, b: str) -> float:
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("tokens", [LIGHT, DARK])
@pytest.mark.parametrize(
    "token", ["ink", "soft", "act", "meets", "short", "fails", "caution", "open"]
)
def test_words_have_the_contrast_that_wcag_asks_for(tokens, token):
    assert contrast(tokens[token], tokens["sheet"]) >= 4.5
    assert contrast(tokens[token], tokens["sunk"]) >= 4.5


def test_every_token_has_a_colour_of_its_own_and_a_dark_one():
    assert len(set(LIGHT.values())) == len(LIGHT)
    assert set(DARK) == set(LIGHT)


def test_every_mechanism_of_the_axis_file_has_a_drawing():
    kinds = set(KINDS) - {"direct"}
    assert kinds <= set(SYMBOLS)
    assert {"direct-linear", "direct-rotary"} <= set(SYMBOLS)


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e4))
def test_ticks_are_few_round_and_cover(low, size):
    marks = ticks(low, low + size)
    assert marks[0] <= low + 1e-6 * size
    assert marks[-1] >= low + size - 1e-6 * size
    assert 2 <= len(marks) <= 8
    assert len({tick_text(m, marks) for m in marks}) == len(marks)


def test_ticks_inside_stay_inside():
    assert inside(-0.35, 2.62, 5) == (0.0, 1.0, 2.0)


@given(st.lists(st.floats(-50, 50), min_size=3, max_size=60))
def test_thinned_lines_stay_where_they_were(values):
    y = np.array(values)
    x = np.arange(y.size, dtype=float)
    kept_x, kept_y = thin(x, y, 0.1)
    assert (kept_x[0], kept_x[-1]) == (x[0], x[-1])
    slope = np.max(np.abs(np.diff(kept_y) / np.diff(kept_x)), initial=0.0)
    assert np.max(np.abs(np.interp(x, kept_x, kept_y) - y)) <= 0.1 * np.hypot(1, slope) + 1e-9


def test_labels_of_one_frame_do_not_touch():
    frame = Frame(Canvas(200, 200, "k"), 20, 20, 190, 180, (0.0, 1.0), (0.0, 1.0))
    for _ in range(6):
        frame.label("a label", frame.spots(0.5, 0.5))
    boxes = frame._boxes
    for n, (a0, b0, a1, b1) in enumerate(boxes):
        for c0, d0, c1, d1 in boxes[n + 1 :]:
            assert not (a0 < c1 and c0 < a1 and b0 < d1 and d0 < b1)


def test_a_label_takes_the_first_free_place_and_else_the_one_that_hides_least():
    frame = Frame(Canvas(200, 200, "k"), 20, 20, 190, 180, (0.0, 1.0), (0.0, 1.0))
    frame.avoid(np.array([20.0, 190.0]), np.array([100.0, 100.0]))
    on_line, free, also_free = (100.0, 103.0), (100.0, 60.0), (100.0, 150.0)
    places = iter([(on_line, "middle"), (free, "middle"), (also_free, "middle")])
    frame.label("a label", places)
    assert frame._boxes[0][1] < free[1] < frame._boxes[0][3]
    assert list(places) == [(also_free, "middle")]  # not looked at
    assert "fill-opacity" not in frame.canvas.svg()
    frame.hold(*free, 30.0)
    frame.label("another", [(free, "middle"), (on_line, "middle")])
    assert frame._boxes[-1][1] < on_line[1] < frame._boxes[-1][3]
    assert "fill-opacity" in frame.canvas.svg()  # laid over what it hides


@given(st.lists(st.booleans(), max_size=30))
def test_stretches_hold_all_that_is_set_and_nothing_else(flags):
    found = stretches(np.array(flags, dtype=bool))
    inside_any = [any(a <= k < b for a, b in found) for k in range(len(flags))]
    assert inside_any == flags
    assert all(b < c for (_, b), (c, _) in itertools.pairwise(found))


def test_part_names_are_wrapped_and_never_cut():
    assert "".join(wrap("XM116-2000H-long name", 40)).replace(" ", "") == "XM116-2000H-longname"


def test_text_in_drawings_is_data():
    canvas = Canvas(10, 10, "k")
    canvas.text((1, 1), '<script>&"')
    tree = ElementTree.fromstring(canvas.svg())
    assert [node.text for node in tree.iter() if node.text] == ['<script>&"']


def test_numbers_have_no_minus_zero():
    assert number(-0.001) == "0"


def test_stacked_causes_add_up_to_the_torque(verdict):
    data = cycle_data(verdict, verdict.trace)
    total = sum(c.torque for c in data.causes)
    assert np.allclose(total, data.torque, atol=5e-3 * np.abs(data.torque).max())


def test_a_trace_of_one_direction_only_is_drawn(verdict):
    data = plane_data(verdict, verdict.trace)
    forward = replace(data, forward=np.ones_like(data.forward), backward_label="")
    ElementTree.fromstring(plane(forward))


def test_longest_time_at_or_above_counts_over_the_end_of_the_cycle():
    from dutyline.report.sections.plots import _time_at_or_above

    # Triangle wave of period 2 s between 0 and 1: at or above 0.5 for half of it, in one go,
    # around the joint of two cycles (by hand).
    time, load = np.array([0.0, 1.0, 2.0]), np.array([1.0, 0.0, 1.0])
    assert _time_at_or_above(time, load, np.array([0.5]))[0] == pytest.approx(1.0)


def test_a_motion_that_never_settles_is_seen():
    """It ends eight windows off; the plot reaches as far, and the curve is drawn in it."""
    time = np.linspace(0.0, 400.0, 101)
    far = SettleData((SettleCurve("there", time, 1.6 + 5.0 * np.exp(-time / 100.0)),), 0.2, None,
                     None, "Error of the load, mm")  # fmt: skip
    near = replace(far, curves=(SettleCurve("there", time, 0.1 * np.exp(-time / 100.0)),))
    assert "there" in settle(far)
    assert ">2<" in settle(far) or ">2.0<" in settle(far)
    assert ">2<" not in settle(near)
    assert ">2.0<" not in settle(near)


def test_names_on_the_duty_line_do_not_touch() -> None:
    """Three far beyond the limit: the text of each stands free of the others in its row."""
    import re
    from itertools import pairwise

    from dutyline.report.figures.canvas import text_width
    from dutyline.report.figures.data import DutyData, DutyMark
    from dutyline.report.figures.duty import duty

    names = {"emergency stop by the brake 162 %": 1.62, "hold ratio 125 %": 1.25,
             "holding at standstill 106 %": 1.06}  # fmt: skip
    drawing = duty(DutyData(tuple(DutyMark(u, "fails", n) for n, u in names.items()), 0))
    rows: dict[str, list[tuple[float, float]]] = {}
    for attributes, said in re.findall(r"<text ([^>]*)>([^<]*)</text>", drawing):
        if said not in names:
            continue
        x, y = (re.search(rf'\b{a}="([^"]+)"', attributes)[1] for a in "xy")
        width = text_width(said, 8.2, 600)
        start = float(x) - (width if 'text-anchor="end"' in attributes else 0.0)
        rows.setdefault(y, []).append((start, start + width))
    assert sum(map(len, rows.values())) == 3
    for spans in rows.values():
        spans.sort()
        assert all(a[1] < b[0] for a, b in pairwise(spans))
