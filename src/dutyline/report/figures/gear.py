"""How long the gearhead output carries how much torque, with the limits of the gearhead."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.data import GearData
from dutyline.report.figures.frame import Frame, ticks


def gear(data: GearData, key: str = "gear") -> str:
    """Histogram of the output torque over the cycle as SVG 238 pt wide."""
    canvas = Canvas(238, 196, key)
    reach = max([float(data.torque.max()), *(p.value for p in (*data.posts, *data.marks))])
    x_marks = ticks(0.0, reach * 1.04, 5)
    edges = np.linspace(0.0, x_marks[-1], 49)
    share, _ = np.histogram(np.minimum(data.torque, edges[-1]), edges, weights=data.weight)
    share = 100.0 * share / float(data.weight.sum())
    y_marks = ticks(0.0, max(float(share.max()) * 1.9, 1.0), 5)
    frame = Frame(canvas, 28, 16, 232, 168, (0.0, x_marks[-1]), (0.0, y_marks[-1]))
    frame.ground()
    frame.y_grid(y_marks)
    frame.x_grid(x_marks)
    frame.titles(data.title, data.across_title)
    for (a, b), height in zip(pairwise(edges), share, strict=True):
        if height > 0:
            x0, x1, y = float(frame.x(a)), float(frame.x(b)), float(frame.y(height))
            tall = max(frame.bottom - y, 0.5)
            canvas.rect((x0 + 0.4, frame.bottom - tall), (x1 - x0 - 0.8, tall), "act")
            frame.avoid(np.array([x0, x1]), np.array([y, y]))
    rows = sorted((*data.posts, *data.marks), key=lambda p: -p.value)
    for k, post in enumerate(rows):
        x = float(frame.x(post.value))
        limit = post in data.posts
        top = frame.top if limit else frame.top + 10.0 * k + 6
        width = 1.3 if limit and post.strong else 0.85
        dash = "" if limit else "1.8 1.8"
        canvas.line((x, top), (x, frame.bottom), "ink" if limit else "act", width, dash)
        y = frame.top + 10.0 * k + 9
        left = ((x - 3.5, y), "end")
        right = ((x + 3.5, y), "start")
        frame.label(post.label, [left, right], "ink" if limit else "act", 400 if limit else 600)
    return canvas.svg()
