"""Assumed data in words: the names of their cells, their values and how they were found."""

from __future__ import annotations

from dutyline.catalogue.assumptions import Assumption
from dutyline.catalogue.column_words import spoken, spoken_unit
from dutyline.catalogue.columns import Column
from dutyline.catalogue.origins import KINDS, column_of, in_file_unit
from dutyline.core.numbers import with_unit
from dutyline.core.wording import upper_first


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
    """``Peak current of XM72-0450H: 9.6 A (9 A to 10 A), from peak torque``"""
    head = upper_first(named(assumption))
    low, high = (written(assumption, end) for end in (assumption.low, assumption.high))
    span = f" ({low} to {high})" if low and high and low != high else ""
    value = written(assumption, assumption.value)
    return (
        f"{head}: {value}{span}, {assumption.method}" if value else f"{head}: {assumption.method}"
    )


def named(assumption: Assumption) -> str:
    """``resistance of the built-in braking resistor of XD-H9``"""
    return f"{spoken(f'{assumption.kind}s', assumption.field)} of {assumption.part}"


def written(assumption: Assumption, value: float | None) -> str:
    """A value of its datum with the unit; empty for none."""
    if value is None:
        return ""
    number = in_file_unit(heading(assumption), value, 4)
    unit = spoken_unit(f"{assumption.kind}s", assumption.field)
    return with_unit(number, unit) if unit else number
