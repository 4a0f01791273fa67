"""The order list of a verdict, as text, JSON, CSV or a workbook."""

from __future__ import annotations

import os
import textwrap
from contextlib import AbstractContextManager
from dataclasses import replace
from pathlib import Path

from dutyline.app.records_json import Json, combination_json, number
from dutyline.app.targets import check_name
from dutyline.checks.records import Verdict
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.core.reader import Reader
from dutyline.grids.write import Look, csv_bytes, xlsx_bytes
from dutyline.orders.build import order_list as listed
from dutyline.orders.records import OrderList, Position
from dutyline.orders.table import BASIS_WIDTHS, PRICES, WIDTHS, heads, rows
from dutyline.orders.text import Said, body, opening

__all__ = [
    "FORMATS",
    "SEPARATORS",
    "OrderList",
    "Position",
    "Said",
    "body",
    "listed",
    "opening",
    "order_json",
    "order_list",
    "order_path",
    "separator_of",
    "served",
    "write_order",
]  # fmt: skip

FORMATS = (".csv", ".xlsx", ".txt")
"""Endings of an order list's name."""
SEPARATORS = (",", ";")
"""Between the cells of a CSV file; ``;`` goes with a decimal comma."""
_WIDTH = 80


def order_list(verdict: Verdict) -> OrderList:
    """Everything that has to be bought for a verdict, why, and what is still to be stated.

    Parameters
    ----------
    verdict : Verdict
        As verify or select returns it, whatever it says; the list carries its sentence.

    Returns
    -------
    OrderList
        Positions in the order motor to mains; prices where the product line states them, a sum
        only where every position has one.

    Raises
    ------
    InputError
        The argument is no verdict.
    """
    expect(verdict, Verdict, "verdict", "Take one from verify or select.")
    with verdict.axis.reader.served():
        return listed(verdict)


def served(verdict: Verdict, separator: str = ",") -> AbstractContextManager[None]:
    """For whom the list is written: with ``;`` between cells numbers have a decimal comma."""
    reader: Reader = verdict.axis.reader
    return (replace(reader, comma=True) if separator == ";" else reader).served()


def order_path(target: str | os.PathLike[str], separator: str | None = None) -> Path:
    """The file of an order list, checked before anything is computed.

    Raises
    ------
    InputError
        Another ending, another separator, or a folder that does not exist.
    """
    expect(target, PATH, "path", 'Name a file: "order.csv".')
    path = Path(os.fspath(target))
    fault = check_name(path)
    ending = path.suffix.lower()
    if fault is None and ending not in FORMATS:
        read = f'read "{path}"; the name of an order list ends in .csv, .xlsx or .txt.'
        fault = Fault("", "--to", read, f'Write "{path.stem.strip(".") or "order"}.csv".')
    elif fault is None and separator is not None and ending != ".csv":
        read = f"a separator belongs to a CSV file, {path.name} is none."
        fault = Fault("", "--separator", read, "Leave it out, or name a file that ends in .csv.")
    if fault:
        raise InputError(str(path), [fault])
    return path


def separator_of(text: str | None) -> str:
    """What stands between the cells of a CSV file.

    Raises
    ------
    InputError
        Neither a comma nor a semicolon.
    """
    if text is None:
        return ","
    if text not in SEPARATORS:
        read = f'read "{text}"; a comma or a semicolon is needed.'
        fault = Fault("", "--separator", read, "Write --separator ';' for a decimal comma.")
        raise InputError("the order list", [fault])
    return text


def write_order(order: OrderList, path: Path, separator: str = ",") -> None:
    """Write a list as CSV, workbook or text by the ending of its name; all of it or nothing.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    from dutyline.report.build import store

    content = content_of(order, path.suffix.lower(), separator)
    try:
        store(path, content)
    except OSError as error:
        reason = error.strerror or str(error)
        fault = Fault("", "--to", f"this cannot be written: {reason}.", "Name another with --to.")
        raise InputError(str(path), [fault]) from None


def content_of(order: OrderList, ending: str, separator: str) -> bytes:
    """The bytes of a list: ``.csv``, ``.xlsx`` or ``.txt``."""
    if ending == ".txt":
        return "\n".join(_text(order)).encode()
    table = [heads(order), *rows(order)]
    if ending == ".xlsx":
        basis = [("What it rests on", ""), *order.basis]
        looks = {"Order list": Look(WIDTHS, PRICES), "Basis": Look(BASIS_WIDTHS)}
        return xlsx_bytes({"Order list": table, "Basis": basis}, looks)
    decimal = "," if separator == ";" else "."
    return csv_bytes(table, separator=separator, decimal=decimal, mark=True)


def _text(order: OrderList) -> list[str]:
    lines = []
    for part in (*opening(order), Said(""), *body(order)):
        lines += textwrap.wrap(
            part.text,
            _WIDTH,
            initial_indent=part.first,
            subsequent_indent=part.rest,
            break_long_words=False,
            break_on_hyphens=False,
        ) or [""]
    return [*lines, ""]


def order_json(order: OrderList) -> Json:
    """``dutyline.order/1``: prices are numbers in ``currency``, null where not stated."""
    return {
        "schema": "dutyline.order/1",
        "axis": order.title,
        "combination": combination_json(order.combination),
        "verdict": order.verdict,
        "sentence": order.sentence,
        "warning": order.warning or None,
        "positions": [_position(position) for position in order.positions],
        "currency": order.currency or None,
        "total": number(order.total),
        "no_total": order.no_total or None,
        "basis": [{"name": name, "value": value} for name, value in order.basis],
    }


def _position(position: Position) -> Json:
    return {
        "position": position.number,
        "pieces": position.pieces,
        "kind": position.kind,
        "item": position.item,
        "part": position.part,
        "options": list(position.options),
        "why": position.why,
        "missing": list(position.missing),
        "state": position.state,
        "price_each": number(position.price_each),
        "price": number(position.price),
    }
