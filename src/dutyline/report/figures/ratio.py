"""Used share of each check over the gearhead ratio: where a workable band lies."""

from __future__ import annotations

import numpy as np

from dutyline.core.numbers import significant
from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import RatioCurve, RatioData
from dutyline.report.figures.frame import Frame

_STYLE = {
    "plain": ("ink", 1.1, ""),
    "dash": ("meets", 1.1, "5.2 1.8"),
    "dot": ("ink", 0.9, "1.8 1.8"),
    "chain": ("caution", 1.0, "5 1.6 1 1.6"),
    "thin": ("soft", 0.8, ""),
    "bold": ("short", 1.3, ""),
}
_TOP = 1.5


def _ends(frame: Frame, curves: tuple[RatioCurve, ...]) -> None:
    """Names beside the right end, spread so that none touches another."""
    spots = []
    for curve in curves:
        seen = np.flatnonzero((curve.used <= _TOP) & np.isfinite(curve.used))
        if seen.size:
            k = int(seen[-1])
            x, y = frame.across(curve.ratio[k]), frame.upright(curve.used[k])
            spots.append((x, y, curve.label))
    spots.sort(key=lambda s: s[1])
    low = frame.top + 4.0
    rows: list[float] = []
    for _, y, _label in spots:
        low = max(y + 2.6, low)
        rows.append(low)
        low += 8.8
    over = max(0.0, (rows[-1] if rows else 0.0) - frame.bottom)
    for (x, y, label), row in zip(spots, rows, strict=True):
        frame.canvas.line((x, y), (frame.right + 4, row - over - 2.6), "edge", 0.4)
        frame.canvas.text((frame.right + 6, row - over), label)


def ratio(data: RatioData, key: str = "ratio") -> str:
    """Used shares over the ratio as SVG 238 pt wide."""
    canvas = Canvas(238, 196, key)
    low = min(float(c.ratio.min()) for c in data.curves)
    high = max(float(c.ratio.max()) for c in data.curves)
    frame = Frame(canvas, 28, 16, 126, 168, (low, high), (0.0, _TOP), x_log=True)
    frame.ground()
    if data.band is not None:
        a, b = frame.across(data.band[0]), frame.across(data.band[1])
        canvas.rect((a, frame.top), (b - a, frame.bottom - frame.top), "meets", opacity=0.11)
        middle, text = (a + b) / 2, f"{significant(data.band[0])} to {significant(data.band[1])}"
        canvas.text((middle, frame.top + 9), text, "middle", "meets", 600)
        canvas.text((middle, frame.top + 18), "all met", "middle", "meets")
    frame.y_grid((0.0, 0.5, 1.5), ("0", "50", "150"))
    y90, y100 = frame.upright(0.9), frame.upright(1.0)
    canvas.rect((frame.left, y100), (frame.right - frame.left, y90 - y100), "hatch:reserve")
    canvas.line((frame.left, y100), (frame.right, y100), "ink", 1.3)
    canvas.text((frame.left - 4, y100 + 2.6), "100", "end", weight=600)
    frame.titles("Used share, %", "Gearhead ratio")
    for offered in data.offered:
        x, mine = frame.across(offered), offered == data.chosen
        canvas.line(
            (x, frame.top),
            (x, frame.bottom),
            "act" if mine else "rule",
            0.85 if mine else 0.6,
            "" if mine else "1.2 1.8",
        )
        colour, weight = ("act", 600) if mine else ("soft", 400)
        canvas.text((x, frame.bottom + 10), significant(offered, 2), "middle", colour, weight)
    for curve in data.curves:
        seen = (curve.used <= _TOP) & np.isfinite(curve.used)
        colour, width, dash = _STYLE[curve.style]
        if seen.any():
            frame.curve(curve.ratio[seen], curve.used[seen], colour, width, dash)
    _ends(frame, data.curves)
    return canvas.svg()
