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
    return tuple((kind, TITLES.get(kind, kind), drawing_of(kind)) for kind in KINDS)


@cache
def drawing_of(kind: str) -> str:
    """Line drawing of a mechanism as SVG."""
    symbol = kind if kind in SYMBOLS else "direct-linear" if kind == "direct" else "ratio-table"
    return drawing(symbol)
