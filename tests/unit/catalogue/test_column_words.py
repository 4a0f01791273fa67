"""Readers meet words, not headings: every column of every file has some."""

from __future__ import annotations

import pytest

from dutyline.catalogue.column_words import WORDS, meaning, spoken, spoken_heading
from dutyline.catalogue.columns import FORMS, FURTHER

FILES = {form.file.removesuffix(".csv"): form for form in (*FORMS, *FURTHER)}


@pytest.mark.parametrize("kind", FILES)
def test_words_and_columns_are_the_same_set(kind: str) -> None:
    assert set(WORDS[kind]) == {column.field for column in FILES[kind].columns}


@pytest.mark.parametrize("kind", FILES)
def test_no_words_hold_a_heading_and_no_two_columns_share_theirs(kind: str) -> None:
    said = [spoken(kind, field) for field in WORDS[kind]]
    assert not [words for words in said if "_" in words]
    assert len(set(said)) == len(said)


def test_what_explains_is_no_part_of_the_name() -> None:
    assert meaning("motors", "size") == "size: motors of one size differ in the winding alone"
    assert spoken("motors", "size") == "size"


def test_a_heading_and_an_unknown_one() -> None:
    assert spoken_heading("drives.csv", "internal_resistor_ohm") == (
        "resistance of the built-in braking resistor",
        "Ω",
    )
    assert spoken_heading("motors.csv", "length_mm") == ("length_mm", "")
