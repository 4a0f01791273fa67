"""How far the combination carries, and the ratio band as data for its plot."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.records import Verdict
from dutyline.remedies.records import Effect, RatioBand, Reach
from dutyline.remedies.words import band_words, each, end_words, sensitivity
from dutyline.report.figures.data import RatioCurve, RatioData
from dutyline.report.tree import Block, Column, Paragraph, Row, Section, Table, cell, strong, words

Array = NDArray[np.float64]

_STYLES = ("plain", "bold", "dash", "chain", "dot", "thin")
_TOP = 1.5
_LOW = 0.2
"""Shares below which a check is not drawn."""
_AROUND = 2.5
"""Times above and below band and chosen ratio that the plot shows at least."""


def reach_of(verdict: Verdict) -> Reach | None:
    """What was found around a verdict, None where nobody looked."""
    found = verdict.extra.get("reach")
    return found if isinstance(found, Reach) else None


def how_far(verdict: Verdict) -> Section | None:
    """How far each input may go, the most the combination carries, and smaller parts."""
    reach = reach_of(verdict)
    if reach is None or not (reach.effects or reach.answers or reach.smaller):
        return None
    blocks: list[Block] = []
    if reach.effects:
        columns = (
            Column(words("Input"), 44),
            Column(words("Now"), 22),
            Column(words("How far it may go"), 58),
            Column(words("What one percent does, points of the limit")),
        )
        rows = tuple(_row(effect) for effect in reach.effects)
        blocks.append(Table(columns, rows, pad=0.92, size=8.0))
    told = [*(a.text for a in reach.answers), *(s.text for s in reach.smaller)]
    blocks += [Paragraph(words(text), "table") for text in told]
    remark = words("one input changed at a time, each found by judging the whole axis anew")
    return Section("reach", "How far it carries", tuple(blocks), remark)


def _row(effect: Effect) -> Row:
    name = effect.name.removeprefix("the ")
    ends = "; ".join(end_words(one) for one in effect.ranges)
    percent = sensitivity(effect.slope).removeprefix("One percent ").replace("one percent ", "")
    return Row(
        (
            cell(strong(name[:1].upper() + name[1:])),
            cell(each(effect.before)),
            cell(ends),
            cell(percent),
        )
    )


def ratio_data(verdict: Verdict) -> RatioData | None:
    """The ratio band as its plot takes it: the checks that bind somewhere, six at most."""
    reach = reach_of(verdict)
    band = None if reach is None else reach.band
    if band is None or verdict.combination.gearhead is None:
        return None
    ratio = np.array(band.ratio)
    marks = [band.chosen, *(edge for pair in band.bands for edge in pair)]
    low, high = min(marks) / _AROUND, max(marks) * _AROUND
    inside = (ratio >= low) & (ratio <= high)
    curves = _curves(band, ratio[inside], inside)
    if not curves:
        return None
    offered = tuple(row.ratio for row in band.listed if low <= row.ratio <= high)
    mine = [pair for pair in band.bands if pair[0] <= band.chosen <= pair[1]]
    return RatioData(curves, band.chosen, offered, mine[0] if mine else None)


def _curves(band: RatioBand, ratio: Array, inside: NDArray[np.bool_]) -> tuple[RatioCurve, ...]:
    """The checks that come highest inside the band, each course once."""
    used = {key: np.array(row)[inside] for key, row in band.used.items()}
    edges = [edge for pair in band.bands for edge in pair] or [float(ratio[0]), float(ratio[-1])]
    near = (ratio >= min(edges) / 1.05) & (ratio <= max(edges) * 1.05)
    height = {key: float(np.nanmax(np.minimum(row[near], _TOP))) for key, row in used.items()}
    kept: list[str] = []
    for key in sorted(used, key=lambda k: -height[k]):
        same = any(np.allclose(used[key], used[k], atol=0.01, equal_nan=True) for k in kept)
        if height[key] > _LOW and not same:
            kept.append(key)
    return tuple(
        RatioCurve(band.titles[key], ratio, used[key], style)
        for key, style in zip(kept, _STYLES, strict=False)
    )


def ratio_words(verdict: Verdict) -> str:
    """The workable band and the optima in sentences, for the caption."""
    reach = reach_of(verdict)
    return "" if reach is None or reach.band is None else " ".join(band_words(reach.band))
