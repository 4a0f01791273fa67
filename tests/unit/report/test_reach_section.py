"""How far the combination carries, on paper: table, sentences, plot of the ratio, open points."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from dutyline.report.build import build_document
from dutyline.report.sections.inputs import open_points
from dutyline.report.sections.reach import how_far, ratio_data
from dutyline.report.tree import plain
from support.remedied import met, reached

pytestmark = pytest.mark.slow


@cache
def examined():
    return replace(met(), extra={**met().extra, "reach": reached()})


def test_nothing_is_printed_where_nobody_looked():
    assert how_far(met()) is None
    assert ratio_data(met()) is None


def test_every_input_and_answer_is_printed():
    section = how_far(examined())
    printed = json.dumps(plain(section), ensure_ascii=False)
    reach = examined().extra["reach"]
    for effect in reach.effects:
        name = effect.name.removeprefix("the ")
        assert name[1:] in printed
    for one in (*reach.answers, *reach.smaller):
        assert one.text in printed


def test_the_plot_shows_the_band_around_the_chosen_ratio():
    data = ratio_data(examined())
    low, high = data.band
    assert low < data.chosen < high
    assert 2 <= len(data.curves) <= 6
    for curve in data.curves:
        inside = (curve.ratio >= low) & (curve.ratio <= high)
        assert np.all(curve.used[inside] <= 1.0)
    assert data.chosen in data.offered


def test_the_checks_that_end_the_band_are_drawn():
    labels = {curve.label for curve in ratio_data(examined()).curves}
    assert {"Top speed", "Hold ratio"} <= labels


def test_open_points_are_ranked_by_weight():
    reach = examined().extra["reach"]
    table = open_points(examined()).blocks[0]
    printed = [json.dumps(plain(row.cells[1]), ensure_ascii=False) for row in table.rows]
    assert len(printed) == len(reach.doubts)
    for text, doubt in zip(printed, reach.doubts, strict=True):
        assert doubt.text in text


def test_the_document_holds_section_and_figure():
    keys = [getattr(s, "key", "") for s in build_document(examined()).sections]
    assert "reach" in keys
    assert keys.index("ledger") < keys.index("reach") < keys.index("plots")
