"""The page of an audit: one file, findings in it, the outlier marked by shape and name."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from xml.etree import ElementTree

import numpy as np
import pytest

from dutyline.app.audit import audit, page_path, write_page
from dutyline.audit.plots import curve_plots, family_plots
from dutyline.audit.power_law import law
from dutyline.catalogue.library import demo_line
from dutyline.core.errors import InputError
from dutyline.report.audit_page import audit_document
from dutyline.report.figures.colours import LIGHT
from dutyline.report.html import to_html
from dutyline.report.tree import Figure, Side
from support.lines import Edit, edited

INERTIA = Edit("motors", "inertia_kgcm2", "2857.0", {"size": "XM116-2000"})
POINT = Edit(
    "curves", "torque_nm", "21.55",
    {"motor": "XM116-2000H", "mains_v": "230", "kind": "peak", "speed_rpm": "3334"},
)  # fmt: skip


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    return audit(edited(tmp_path_factory.mktemp("page") / "line", INERTIA, POINT))


def figures(result):
    document = audit_document(result)
    sides = [b for s in document.sections for b in s.blocks if isinstance(b, Side)]
    return [f for side in sides for f in (*side.left, *side.right) if isinstance(f, Figure)]


def test_figures_are_well_formed_and_named(result):
    for figure in figures(result):
        ElementTree.fromstring(figure.svg)
        assert figure.alt


def test_the_outlier_is_told_by_shape_and_name_not_colour_alone(result):
    inertia = next(f for f in figures(result) if f.alt.startswith("Rotor inertia"))
    assert "in doubt: XM116-2000H" in inertia.alt
    assert ">XM116-2000H</text>" in inertia.svg
    diamond = rf'<path d="M[^"]*Z" fill="{LIGHT["sheet"]}" stroke="{LIGHT["caution"]}"'
    assert len(re.findall(diamond, inertia.svg)) == 1
    mass = next(f for f in figures(result) if f.alt.startswith("Mass"))
    assert not re.findall(diamond, mass.svg)


def test_the_curve_with_the_point_comes_first(result):
    first = curve_plots(result)[0]
    assert first.motor == "XM116-2000H"
    ((_, speed, torque),) = first.doubted
    assert speed * 30 / np.pi == pytest.approx(3334)
    assert torque == 21.55


def test_the_law_drawn_leaves_the_outlier_out(result):
    """Against a fit by a general library through the other sizes."""
    plot = next(p for p in family_plots(result) if p.name == "inertia")
    keep = np.array([n != "XM116-2000H" for n in plot.names])
    size, first = np.unique(plot.size[keep].round(6), return_index=True)
    slope, start = np.polyfit(np.log(size), np.log(plot.value[keep][first]), 1)
    assert plot.slope == pytest.approx(slope, abs=1e-4)
    assert plot.start == pytest.approx(start, abs=1e-3)


def test_law_of_an_exact_power():
    x = np.linspace(0, 3, 7)
    assert law(x, 2.0 - 1.5 * x) == pytest.approx((-1.5, 2.0))


class Text(HTMLParser):
    def __init__(self):
        super().__init__()
        self.tags, self.text = [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)

    def handle_data(self, data):
        self.text.append(data)


def test_the_page_needs_nothing_else(result):
    page = to_html(audit_document(result))
    parsed = Text()
    parsed.feed(page)
    assert "script" not in parsed.tags
    assert "http" not in re.sub(r'xmlns="http://www.w3.org/2000/svg"|http-equiv', "", page)
    said = " ".join(parsed.text)
    assert "Audit of a product line" in said
    assert "motors.csv, row 12" in said
    assert "386.1" in said
    assert "prefers-color-scheme:dark" in page
    assert "@media print" in page


def test_a_clean_line_has_a_page_too(tmp_path):
    target = tmp_path / "clean.html"
    write_page(audit(), target)
    page = target.read_text("utf-8")
    assert "no finding" in page
    before = target.read_bytes()
    write_page(audit(demo_line()), target)
    assert target.read_bytes() == before


@pytest.mark.parametrize("name", ["a.pdf", "missing/a.html", "."])
def test_names_are_checked_first(name, tmp_path):
    with pytest.raises(InputError):
        page_path(tmp_path / name)


def test_text_of_cells_is_data(tmp_path):
    evil = Edit("motors", "motor", "<b>&x", {"motor": "XM148-3000H"})
    names = [
        Edit("curves", "motor", "<b>&x", {"motor": "XM148-3000H"}),
        Edit("pairings", "left", "<b>&x", {"left": "XM148-3000H"}),
        Edit("accessories", "fits_motors", "XM116-*", {"accessory": "XK-M20"}),
        Edit("motors", "mass_kg", "134", {"motor": "XM148-3000H"}),
    ]
    line = edited(tmp_path / "line", names[-1], evil, *names[:-1])
    page = to_html(audit_document(audit(line)))
    assert "<b>&x" not in page
    assert "&lt;b&gt;&amp;x" in page


def test_a_band_without_an_end_is_said_in_words(result):
    page = to_html(audit_document(result))
    assert "1 or more" in page
    assert not re.search(r"\bto inf\b|\bnan\b", page)
