"""An order list as text."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.order import OrderList, Said, body, opening
from dutyline.cli.screen import Screen


def show_order(screen: Screen, order: OrderList, *, quiet: bool = False) -> list[str]:
    """The sentence of the verdict, then every position."""
    lines = _told(screen, opening(order))
    return lines if quiet else [*lines, "", *_told(screen, body(order))]


def _told(screen: Screen, said: Sequence[Said]) -> list[str]:
    lines = []
    for part in said:
        wrapped = screen.wrap(part.text, part.first, part.rest)
        lines += [screen.bold(line) if part.strong and line.strip() else line for line in wrapped]
    return lines
