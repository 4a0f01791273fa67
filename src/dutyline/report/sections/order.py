"""What to order: the order list of the verdict as a table."""

from __future__ import annotations

from dutyline.checks.records import Verdict
from dutyline.orders.build import order_list
from dutyline.orders.records import OrderList, Position
from dutyline.orders.text import closing, money
from dutyline.report.tree import (
    Block,
    Cell,
    Column,
    Inline,
    Mark,
    Paragraph,
    Row,
    Run,
    Section,
    Table,
    cell,
    strong,
    words,
)


def order(verdict: Verdict) -> Section:
    """Every piece that has to be bought, why, and what is still open."""
    found = order_list(verdict)
    columns = [
        Column(words("Pos."), 8),
        Column(words("Pieces"), 11, "right"),
        Column(words("Item"), 78),
        Column(words("Why, and what is still to be stated")),
    ]
    if found.priced:
        unit = f" [{found.currency}]" if found.currency else ""
        columns += [Column(words(f"{w}{unit}"), 18, "right") for w in ("Each", "Price")]
    table = Table(tuple(columns), tuple(_row(found, p) for p in found.positions), pad=0.95)
    blocks: list[Block] = [table, Paragraph(words(closing(found)), "table")]
    if found.warning:
        blocks.insert(0, Paragraph(words(strong(found.warning)), "table"))
    loose = len(found.open)
    note = "complete" if not loose else f"{loose} of {len(found.positions)} positions still open"
    return Section("order", "Order list", tuple(blocks), words(note), room=60.0)


def _row(found: OrderList, position: Position) -> Row:
    item: list[str | Inline] = [strong(position.name)]
    item += [Run(f", {option}", "soft") for option in position.options]
    told: list[str | Inline] = [position.why]
    if position.missing:
        gap = "; " if position.why else ""
        told += [gap, Mark("open"), f" {'; '.join(position.missing)}"]
    pieces = cell(Mark("open")) if position.pieces is None else cell(str(position.pieces))
    cells = [cell(str(position.number)), pieces, cell(*item), cell(*told)]
    if found.priced:
        cells += [_price(found, position.price_each), _price(found, position.price)]
    return Row(tuple(cells))


def _price(found: OrderList, amount: float | None) -> Cell:
    if amount is None:
        return cell(Run("not stated", "soft"))
    return cell(money(found, amount).removesuffix(found.currency).strip())
