"""An order list as rows of plain cells, for spreadsheets and the programs of a purchase office."""

from __future__ import annotations

from dutyline.checks.sentence import VERDICT_WORDS
from dutyline.core.numbers import SPACE, THIN
from dutyline.orders.records import OrderList, Position

Cell = str | int | float | None

WIDTHS = (10, 9, 24, 18, 40, 50, 40, 17, 15, 13)
"""Of the columns, in characters."""
BASIS_WIDTHS = (34, 72)
"""Of the columns of the sheet that says what the list rests on."""
PRICES = frozenset({8, 9})
"""Columns of prices."""
_BETWEEN = "; "


def heads(order: OrderList) -> tuple[str, ...]:
    """Names of the columns, the currency in those of prices where it is known."""
    money = f" [{order.currency}]" if order.currency else ""
    return (
        "Position", "Pieces", "Item", "Part", "Options", "Why", "Still to state", "State",
        f"Price each{money}", f"Price{money}",
    )  # fmt: skip


def rows(order: OrderList) -> tuple[tuple[Cell, ...], ...]:
    """The verdict as row 0, every position, and the sum or why there is none as the last."""
    named = " with ".join(n for n in (order.combination.motor, order.combination.gearhead) if n)
    said = " ".join(text for text in (order.warning, order.sentence) if text)
    state = VERDICT_WORDS[order.verdict].lower()
    first = (0, None, "Verdict", named, "", said, "", state, None, None)
    last = (None, None, "Sum", "", "", "", order.no_total, "", None, order.total)
    return tuple(
        tuple(_plain(c) if isinstance(c, str) else c for c in row)
        for row in (first, *map(_row, order.positions), last)
    )


def _row(position: Position) -> tuple[Cell, ...]:
    return (
        position.number,
        position.pieces,
        position.item,
        position.part or "",
        _BETWEEN.join(position.options),
        position.why,
        _BETWEEN.join(position.missing),
        position.state,
        position.price_each,
        position.price,
    )


def _plain(text: str) -> str:
    """Plain spaces, which every program searches and breaks alike."""
    return text.replace(SPACE, " ").replace(THIN, " ")
