"""Accessories by a mapping, files of our own form beside it, and faults between tables."""

from __future__ import annotations

from pathlib import Path

import pytest

from dutyline.app.bring import bring, read_line, write_line
from dutyline.catalogue.content import content_hash
from dutyline.catalogue.origins import origin
from dutyline.core.errors import InputError

MAPPING = """schema = 1
[[table]]
into = "motors"
file = "motoren.csv"
[table.columns]
"Typ" = "name"
"Bremse" = "brake"

[[table]]
into = "brakes"
file = "bremsen.csv"
[table.columns]
"Bez." = "name"
"M [Ncm]" = "torque_static"
"""
ACCESSORIES = """
[[table]]
into = "accessories"
file = "zubehoer.csv"
decimal = ","
[table.columns]
"Artikel" = "name"
"Art" = { field = "kind", values = { Motorkabel = "motor-cable" } }
"Strom [Arms]" = { field = "current", ampere = "rms" }
"""


def folder(path: Path, mapping: str, **files: str) -> Path:
    (path / "mapping.toml").write_text(mapping, "utf-8")
    (path / "motoren.csv").write_text("Typ,Bremse\nM1,B1\n", "utf-8")
    (path / "bremsen.csv").write_text("Bez.,M [Ncm]\nB1,250\n", "utf-8")
    for name, text in files.items():
        (path / name.replace("_", ".")).write_text(text, "utf-8")
    return path


def test_accessories_come_by_a_table(tmp_path):
    table = ACCESSORIES.replace(', ampere = "rms"', "")
    source = folder(
        tmp_path, MAPPING + table, zubehoer_csv="Artikel;Art;Strom [Arms]\nK5;Motorkabel;12,5\n"
    )
    line = read_line(source)
    (cable,) = line.accessories
    assert (cable.name, cable.kind, cable.current) == ("K5", "motor-cable", 12.5)
    told = origin(line, "accessories", ("K5",), "current", 12.5).source
    assert told is not None
    assert told.text().startswith('zubehoer.csv, cell C2: "12,5"')
    again = read_line(write_line(line, tmp_path / "out"))
    assert content_hash(again) == content_hash(line)
    told = origin(again, "accessories", ("K5",), "current", 12.5).source
    assert told is not None
    assert told.cell == "C2"


def test_our_own_files_are_read_where_the_mapping_says_so(tmp_path):
    ours = "accessory,kind,fits_motors\nK5,motor-cable,M1\n"
    source = folder(tmp_path, MAPPING, accessories_csv=ours)
    assert read_line(source).accessories == ()
    folder(tmp_path, MAPPING.replace("schema = 1", 'schema = 1\nours = ["accessories.csv"]'))
    assert [a.name for a in read_line(source).accessories] == ["K5"]


@pytest.mark.parametrize(
    ("ours", "told"),
    [
        ('["accessory.csv"]', 'The nearest is "accessories.csv"'),
        ('["motors.csv"]', "comes from a table of the mapping"),
        ('["accessories.csv"]', "accessories.csv .mapping.toml:2.: the file is missing"),
        ('["../accessories.csv"]', "a file of ours is needed"),
    ],
)
def test_files_that_are_none_of_ours(tmp_path, ours, told):
    mapping = MAPPING.replace("schema = 1", f"schema = 1\nours = {ours}")
    with pytest.raises(InputError, match=told):
        bring(folder(tmp_path, mapping))


def test_faults_in_our_own_files_keep_their_place(tmp_path):
    mapping = MAPPING.replace("schema = 1", 'schema = 1\nours = ["accessories.csv"]')
    source = folder(tmp_path, mapping, accessories_csv="accessory,kind\nK5,rope\n")
    with pytest.raises(InputError, match=r"accessories\.csv, row 2, column kind"):
        bring(source)


def test_a_name_that_no_table_has_is_told_of_the_foreign_tables(tmp_path):
    source = folder(tmp_path, MAPPING, bremsen_csv="Bez.,M [Ncm]\nB7,250\nB7,250\n")
    with pytest.raises(InputError) as error:
        bring(source)
    told = error.value.text()
    assert 'motoren.csv, cell B2: brake: read "B1"; a name from bremsen.csv is needed' in told
    assert '"B7" stands in bremsen.csv, cell A2 already' in told
    assert "brakes.csv" not in told
    assert "row 2" not in told
