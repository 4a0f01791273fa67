"""Mechanisms to pick from, as line drawings."""

from __future__ import annotations

from functools import cache

from dutyline.app.workbench.parts import drawing
from dutyline.axis.fields_mechanism import TITLES
from dutyline.axis.forms import KINDS
from dutyline.report.figures.symbols import SYMBOLS


@cache
def mechanisms() -> tuple[tuple[str, str, str], ...]:
    """Kind, title and drawing of every mechanism that a new axis may begin with."""
    found = []
    for kind in KINDS:
        symbol = kind if kind in SYMBOLS else "direct-linear" if kind == "direct" else "ratio-table"
        found.append((kind, TITLES.get(kind, kind), drawing(symbol)))
    return tuple(found)
