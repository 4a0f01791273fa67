"""Assumed data in words: the names of their cells, their values and how they were found."""

from __future__ import annotations

from dutyline.catalogue.assumptions import Assumption
from dutyline.catalogue.columns import Column
from dutyline.catalogue.origins import KINDS, column_of, in_file_unit


def file_of(assumption: Assumption) -> str:
    """``motors.csv``"""
    return KINDS[f"{assumption.kind}s"].file


def heading(assumption: Assumption) -> Column:
    """Its column."""
    return column_of(f"{assumption.kind}s", assumption.field)


def path_of(assumption: Assumption) -> str:
    """Name among the assumed inputs of a line: ``XM72-0450H.resistance_ll_ohm_20c``."""
    return f"{assumption.part}.{heading(assumption).name}"


def in_words(assumption: Assumption) -> str:
    """``resistance_ll_ohm_20c of XM72-0450H 1.31 (1.1 to 1.5), like its other winding``"""
    column = heading(assumption)
    head = f"{column.name} of {assumption.part}"
    if assumption.value is not None:
        head += f" {in_file_unit(column, assumption.value, 4)}"
    low, high = assumption.low, assumption.high
    if low is not None and high is not None and low != high:
        head += f" ({in_file_unit(column, low, 4)} to {in_file_unit(column, high, 4)})"
    return f"{head}, {assumption.method}"
