"""Tables as text: columns side by side, as wide as the screen allows."""

from __future__ import annotations

from dutyline.app.line import Head, Sheet
from dutyline.cli.screen import Screen

_GAP = 2
_WIDE = 112
_LEAST = 10
_MOST_LINES = 3


def table_lines(screen: Screen, table: Sheet) -> list[str]:
    """Columns side by side; words are wrapped where the screen is too narrow."""
    shown = [k for k, head in enumerate(table.heads) if not head.wide or screen.width >= _WIDE]
    shown = [k for k in shown if any(row[k] for row in table.rows)]
    heads = [table.heads[k] for k in shown]
    rows = [[row[k] for k in shown] for row in table.rows]
    widths = _widths(screen, heads, rows)
    titled = [head.title for head in heads]
    body = [line for cells in rows for line in _row(screen, cells, widths, heads)]
    named = _row(screen, titled, widths, heads) if any(titled) else []
    return [*named, *body]


def _widths(screen: Screen, heads: list[Head], rows: list[list[str]]) -> list[int]:
    """As few lines of heads as the screen allows; then words give way."""
    room = screen.width - 2
    for lines in range(1, _MOST_LINES + 1):
        widths = [
            max(screen.width_of([row[k] for row in rows]), _head_width(screen, head, lines))
            for k, head in enumerate(heads)
        ]
        if sum(widths) + _GAP * (len(widths) - 1) <= room:
            return widths
    _shrink(widths, heads, room)
    return widths


def _head_width(screen: Screen, head: Head, lines: int) -> int:
    """The least width in which a head takes at most so many lines."""
    width = max(map(len, head.title.split(" ")))
    while len(_fold(screen, head.title, width)) > lines:
        width += 1
    return width


def _shrink(widths: list[int], heads: list[Head], room: int) -> None:
    """Take from the widest columns of words what all columns have too much."""
    words = [k for k, head in enumerate(heads) if not head.number]
    least = {k: max(_LEAST, *map(len, heads[k].title.split(" "))) for k in words}
    while sum(widths) + _GAP * (len(widths) - 1) > room:
        loose = [k for k in words if widths[k] > least[k]]
        if not loose:
            return
        widths[max(loose, key=lambda k: widths[k])] -= 1


def _row(screen: Screen, cells: list[str], widths: list[int], heads: list[Head]) -> list[str]:
    wrapped = [_fold(screen, cell, width) for cell, width in zip(cells, widths, strict=True)]
    lines = []
    for k in range(max(len(w) for w in wrapped)):
        texts = [w[k] if k < len(w) else "" for w in wrapped]
        told = [
            (screen.right if head.number else screen.left)(text, width)
            for text, width, head in zip(texts, widths, heads, strict=True)
        ]
        lines.append(("  " + (" " * _GAP).join(told)).rstrip())
    return lines


def _fold(screen: Screen, text: str, width: int) -> list[str]:
    narrow = Screen(width=width, ascii=screen.ascii)
    return narrow.wrap(text, "", "") if text else [""]
