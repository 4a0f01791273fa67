"""An order list as text: what is said of each position, and where it is indented."""

from __future__ import annotations

from dataclasses import dataclass

from dutyline.core.numbers import group
from dutyline.core.wording import lower_first
from dutyline.orders.records import OrderList, Position


@dataclass(frozen=True, slots=True)
class Said:
    """One paragraph to be wrapped."""

    text: str
    first: str = ""
    """What stands before its first line."""
    rest: str = ""
    """What stands before its other lines."""
    strong: bool = False


def money(order: OrderList, amount: float) -> str:
    """A price with two decimals and its currency."""
    return f"{group(amount, 2)} {order.currency}".rstrip()


def opening(order: OrderList) -> list[Said]:
    """What stands at the head: whether the combination meets, before anything else."""
    warned = [Said(order.warning, strong=True)] if order.warning else []
    return [*warned, Said(order.sentence)]


def body(order: OrderList) -> list[Said]:
    """Every position, and the sum or why there is none."""
    count, loose = len(order.positions), len(order.open)
    still = "none open" if not loose else f"{loose} still open"
    said = [Said(f"Order list of {order.title}: {count} positions, {still}", strong=True)]
    deep = len(str(count)) + max(len(_pieces(p)) for p in order.positions) + 6
    for position in order.positions:
        number = str(position.number).rjust(len(str(count)))
        pieces = _pieces(position).rjust(deep - len(str(count)) - 6)
        first = f"  {number}  {pieces}  "
        ending = "" if position.state == "complete" else ", open"
        said.append(Said(f"{position.name}{ending}", first, " " * deep, strong=True))
        said += [Said(text, " " * deep, " " * deep) for text in _below(order, position)]
    return [*said, Said(""), Said(closing(order)), *_basis(order)]


def _basis(order: OrderList) -> list[Said]:
    """Of which axis file and product line, in one sentence."""
    told = dict(order.basis)
    file, line = told.get("Axis file"), told.get("Product line")
    parts = []
    if file:
        parts.append(f"{file}, SHA-256 {told.get('SHA-256 of the axis file', '')[:8]}")
    if line:
        parts.append(f"{line}, content {told.get('Content hash of the product line', '')[:8]}")
    return [Said(f"Made from {'; '.join(parts)}.")] if parts else []


def _pieces(position: Position) -> str:
    return "?" if position.pieces is None else str(position.pieces)


def _below(order: OrderList, position: Position) -> list[str]:
    said = []
    if position.options:
        said.append(", ".join(position.options))
    if position.why:
        said.append(f"Why: {lower_first(position.why)}")
    if position.missing:
        said.append(f"Still to state: {'; '.join(position.missing)}")
    if position.price_each is not None:
        said.append(_price(order, position, position.price_each))
    return said


def _price(order: OrderList, position: Position, each: float) -> str:
    if position.price is None or position.pieces == 1:
        return f"Price {money(order, each)}" + ("" if position.pieces == 1 else " each")
    return f"Price {money(order, each)} each, {money(order, position.price)} together"


def closing(order: OrderList) -> str:
    """The sum, or why there is none."""
    total = order.total
    return order.no_total if total is None else f"Sum {money(order, total)}."
