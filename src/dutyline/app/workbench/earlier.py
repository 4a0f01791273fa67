"""The last result that a kept axis had, for a program that has just been started."""

from __future__ import annotations

from dataclasses import replace

from dutyline.app.workbench.judged import Judged, Sheet, judge, sheet_of
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import InputError
from dutyline.store.records import Store

FARTHEST = 50
"""Revisions gone back at most."""


def last_good(store: Store, key: str, line: ProductLine) -> Judged | None:
    """The newest revision behind the head that can be computed.

    Where none can, because its parts are of another product line, the newest with the best parts
    of this one; None where that cannot be computed either.
    """
    kept = store.revisions(key)
    number: int | None = store.get(key).head.number
    sheets: list[Sheet] = []
    while number is not None and len(sheets) < FARTHEST:
        revision = kept[number - 1]
        sheets.append(sheet_of(revision.content))
        number = revision.parent
    for sheet in (*sheets, replace(sheets[0], combination=None)):
        try:
            return judge(sheet, line)
        except InputError:
            continue
    return None
