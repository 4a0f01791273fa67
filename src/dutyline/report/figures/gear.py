"""How long the gearhead output carries how much torque, with the limits of the gearhead."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import GearData
from dutyline.report.figures.frame import Frame, inside


def gear(data: GearData, key: str = "gear") -> str:
    """Histogram of the output torque over the cycle as SVG 238 pt wide."""
    canvas = Canvas(238, 196, key)
    reach = max([float(data.torque.max()), *(p.value for p in (*data.posts, *data.marks))])
    top = reach * 1.06
    edges = np.linspace(0.0, top, 61)
    share, _ = np.histogram(np.minimum(data.torque, edges[-1]), edges, weights=data.weight)
    share = 100.0 * share / float(data.weight.sum())
    high = max(min(float(share.max()) * 1.7, 130.0), 1.0)
    frame = Frame(canvas, 28, 16, 232, 168, (0.0, top), (0.0, high))
    frame.ground()
    frame.y_grid(inside(0.0, min(high, 100.0), 5))
    frame.x_grid(inside(0.0, top, 5))
    frame.titles(data.title, data.across_title)
    for (a, b), height in zip(pairwise(edges), share, strict=True):
        if height > 0:
            x0, x1, y = frame.across(a), frame.across(b), frame.upright(height)
            tall = max(frame.bottom - y, 0.5)
            canvas.rect((x0 + 0.4, frame.bottom - tall), (x1 - x0 - 0.8, tall), "act")
            frame.avoid(np.array([x0, x1]), np.array([y, y]))
    _posts(frame, data)
    return canvas.svg()


def _posts(frame: Frame, data: GearData) -> None:
    """Limits as solid lines, demands as dotted ones, each with its name beside it."""
    rows = sorted((*data.posts, *data.marks), key=lambda p: -p.value)
    for post in rows:
        x, limit = frame.across(post.value), post in data.posts
        width = 1.3 if limit and post.strong else 0.85
        top = frame.top if limit else frame.top + 12
        frame.canvas.line(
            (x, top),
            (x, frame.bottom),
            "ink" if limit else "act",
            width,
            "" if limit else "1.8 1.8",
        )
        frame.avoid(np.array([x, x]), np.array([top, frame.bottom]))
    for post in rows:
        x, limit = frame.across(post.value), post in data.posts
        places = [
            ((x + side * 3.5, frame.top + 9 + 10.0 * row), "start" if side > 0 else "end")
            for row in range(12)
            for side in (1, -1)
        ]
        colour, weight = ("ink", 400) if limit else ("act", 600)
        frame.label(post.label, places, colour, weight)
