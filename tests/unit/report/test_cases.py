"""A report of several cases: a row for each, conditions that hold for all of them."""

from __future__ import annotations

import pytest

import dutyline as dl
from dutyline.axis.read import read_axis
from dutyline.report.build import build_document
from dutyline.report.html import to_html
from dutyline.report.sections.cases import cases
from support.axis_files import LIFT, edited

CASE = '\n[[case]]\nname = "heavy"\nset = { "load.mass" = "44 kg", "phase.up.time" = "0.5 s" }\n'
TEXT = edited(LIFT, ('"10 mm"', '"25 mm"')) + CASE
PARTS = dl.Combination("XM116-1300H", brake="XB116", resistor="XR-H56-180")


@pytest.fixture(scope="module")
def verdict():
    return dl.verify(read_axis("axis.toml", text=TEXT), PARTS)


def test_a_row_for_each_case(verdict):
    section = cases(verdict)
    assert section is not None
    assert len(section.blocks[0].rows) == 2
    alone = dl.verify(read_axis("axis.toml", text=TEXT.replace(CASE, "")), PARTS)
    assert cases(alone) is None


def test_conditions_hold_for_every_case(verdict):
    page = to_html(build_document(verdict))
    assert "moving mass 44" in page
    assert "moving mass 40" not in page
    assert "A cycle takes at least 1.9" in page
    assert "case heavy" in page
