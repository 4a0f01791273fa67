"""Rows of ours before they are written, each cell with the foreign one behind it."""

from __future__ import annotations

from dataclasses import dataclass

from dutyline.catalogue.origins import Trace

__all__ = ["Cell", "Record", "Trace"]


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of ours."""

    text: str
    trace: Trace


Record = dict[str, Cell]
"""One row of ours, by field."""
