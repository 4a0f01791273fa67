"""Drawings of mechanisms and stages: every kind, true symbols, nothing outside or on another."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

import dutyline
from dutyline.axis.fields import NESTED, SECTIONS
from dutyline.axis.forms import KINDS, STAGES
from dutyline.axis.kinds import kinds
from dutyline.report.figures.canvas import text_width
from dutyline.report.figures.colours import LIGHT
from dutyline.report.figures.dimensions import DIMENSIONS, STATES, symbols_on
from dutyline.report.figures.sketch import sketch
from dutyline.report.figures.symbols import SYMBOLS
from dutyline.report.sections.inputs import mechanism_sketch

ALL = [name for name in (*KINDS, *STAGES) if name != "direct"] + ["direct-linear", "direct-rotary"]
NUMBER = r"-?\d+(?:\.\d+)?"


def symbols_of(name):
    """Symbols that the fields of a kind have, its load's among them."""
    kind = "direct" if name.startswith("direct") else name
    section = "stage" if kind in STAGES else "mechanism"
    fields = [*SECTIONS[section].fields_of(kind), *SECTIONS["load"].fields]
    nested = [f for f in fields if f.of in ("payload", "section")]
    inner = [g for f in nested for g in NESTED[f.of].fields]
    return {s for f in (*fields, *inner) for s in f.symbol.split(", ") if s}


def test_every_kind_is_drawn():
    assert set(DIMENSIONS) == set(ALL)
    assert set(DIMENSIONS) <= set(SYMBOLS)


@pytest.mark.parametrize("name", ALL)
def test_letters_are_symbols_of_the_fields(name):
    strange = set(symbols_on(name)) - symbols_of(name) - set(STATES)
    assert not strange


@pytest.mark.parametrize("name", ALL)
def test_it_is_well_formed_in_known_colours(name):
    svg = sketch(name)
    known = {*LIGHT.values(), "none", None}
    for node in ElementTree.fromstring(svg).iter():
        assert node.get("fill") in known
        assert node.get("stroke") in known
    assert svg == sketch(name)


def boxes(name):
    """Left, top, right, bottom of every label on the canvas."""
    svg = sketch(name)
    shift = float(re.search(rf"translate\(0 ({NUMBER})\)", svg)[1])
    found = []
    for node in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text"):
        text = "".join(node.itertext()).replace("\u200b", "")
        size = float(node.get("font-size"))
        wide = 0.85 * text_width(text, size)
        x, y = float(node.get("x")), float(node.get("y")) + shift
        left = {"middle": x - wide / 2, "end": x - wide}.get(node.get("text-anchor"), x)
        found.append((text, left, y - 0.7 * size, left + wide, y + 0.2 * size))
    return found


@pytest.mark.parametrize("name", ALL)
def test_labels_stay_on_the_sheet_and_apart(name):
    _, _, wide, high = map(float, re.search(r'viewBox="([^"]+)"', sketch(name))[1].split())
    placed = boxes(name)
    for n, (text, left, top, right, bottom) in enumerate(placed):
        assert min(left, top, wide - right, high - bottom) >= 0, text
        for other, a, b, c, d in placed[:n]:
            assert right <= a or c <= left or bottom <= b or d <= top, (text, other)


def test_a_report_shows_the_mechanism_with_its_values():
    axis = dutyline.read_axis("pusher.toml", text=kinds()["slider-crank"].example)
    figure = mechanism_sketch(axis)
    assert figure.svg == sketch("slider-crank", "mechanism")
    said = figure.alt.replace("\u202f", " ").replace("\u00a0", " ")
    assert "slider-crank with r 60 mm, l 220 mm, m_r 1.2 kg, c 90 mm" in said
