"""``line.toml`` names a line and its edition, and is refused with its place where it cannot."""

from __future__ import annotations

import datetime
import tomllib
from pathlib import Path

import pytest

from dutyline.catalogue.edition import Edition, edition_text, read_edition, titled
from dutyline.catalogue.library import demo_line, read_line
from dutyline.core.errors import Fault, InputError
from support.lines import edited_folder

FULL = """\
schema = 1

[line]
name = "Fine line"
edition = "2026/2"
date = 2026-11-29
note = 'Prices "ex works"'
currency = "EUR"
"""


def test_a_line_states_its_edition(tmp_path: Path) -> None:
    folder = edited_folder(tmp_path / "folder")
    assert read_line(folder).name == "folder"
    (folder / "line.toml").write_text(FULL, "utf-8")
    line = read_line(folder)
    assert (line.name, line.edition, line.date) == ("Fine line", "2026/2", "2026-11-29")
    assert (line.note, line.currency) == ('Prices "ex works"', "EUR")
    assert titled(line) == "Fine line, edition 2026/2"


def test_the_line_that_ships_has_an_edition() -> None:
    line = demo_line()
    assert line.name == "demo line"
    assert line.edition
    assert datetime.date.fromisoformat(line.date)
    assert "nvented" in line.note


def test_written_text_says_the_same() -> None:
    stated = Edition('A "b" \\ c', "3", "2026-01-02", "ü = µ", "CHF")
    faults: list[Fault] = []
    assert read_edition(edition_text(stated).encode(), faults) == stated
    assert not faults
    assert tomllib.loads(edition_text(Edition(edition="3"))) == {
        "schema": 1,
        "line": {"edition": "3"},
    }


@pytest.mark.parametrize(
    ("text", "field", "told"),
    [
        ("[line", "", "is not TOML"),
        ("x = " + "9" * 5000, "", "is not TOML"),
        ("[lines]\n", "lines", "no section"),
        ("line = 3\n", "line", "a table [line] is needed"),
        ("", "line", "a table [line] is needed"),
        ("schema = 2\n[line]\n", "schema", "schema = 1"),
        ("[line]\neditoin = '3'\n", "line.editoin", "no such field"),
        ("[line]\nedition = 3\n", "line.edition", "text in quotes"),
        ("[line]\nedition = ''\n", "line.edition", "text on one line"),
        (f"[line]\nname = '{'x' * 81}'\n", "line.name", "at most 80"),
        ('[line]\nname = "a\\nb"\n', "line.name", "one line"),
        ("[line]\ndate = '3 March'\n", "line.date", "a day is needed"),
        ("[line]\ndate = 2026-11-29T10:00:00\n", "line.date", "a day is needed"),
        ("[line]\ndate = 20261129\n", "line.date", "a day is needed"),
        ("[line]\ncurrency = 'euro'\n", "line.currency", "three capital letters"),
    ],
)
def test_what_cannot_be_used(tmp_path: Path, text: str, field: str, told: str) -> None:
    folder = edited_folder(tmp_path / "line")
    (folder / "line.toml").write_text(text, "utf-8")
    with pytest.raises(InputError) as caught:
        read_line(folder)
    faults = [f for f in caught.value.faults if f.field == field]
    assert faults
    assert faults[0].place == "line.toml"
    assert told in faults[0].read
    assert all(f.remedy for f in caught.value.faults)


def test_the_nearest_field_is_named(tmp_path: Path) -> None:
    faults: list[Fault] = []
    read_edition(b"[line]\neditoin = '3'\n", faults)
    assert faults[0].remedy == 'The nearest is "edition".'


def test_faults_of_tables_and_edition_come_together(tmp_path: Path) -> None:
    folder = edited_folder(tmp_path / "line")
    (folder / "line.toml").write_text("[line]\nedition = 3\ndate = 1\n", "utf-8")
    (folder / "brakes.csv").write_text("brake,mass_kg\nB,heavy\n", "utf-8")
    with pytest.raises(InputError) as caught:
        read_line(folder)
    places = [f.place.partition(",")[0] for f in caught.value.faults]
    assert places.count("line.toml") == 2
    assert "brakes.csv" in places


def test_bytes_that_are_no_text_and_links(tmp_path: Path) -> None:
    folder = edited_folder(tmp_path / "line")
    (folder / "line.toml").write_bytes(b"\xff\xfe[line]")
    with pytest.raises(InputError, match=r"line\.toml"):
        read_line(folder)
    (folder / "line.toml").unlink()
    outside = tmp_path / "outside.toml"
    outside.write_text(FULL, "utf-8")
    (folder / "line.toml").symlink_to(outside)
    with pytest.raises(InputError, match="leaves the folder"):
        read_line(folder)
