"""Hostile tables through the command line: a sentence with place, code 2, nothing written."""

from __future__ import annotations

import os

import pytest

from support.command import dutyline
from support.workbooks import packed, parts_of, sheet_xml, workbook

pytestmark = pytest.mark.e2e

MAPPING = """schema = 1
[line]
name = "Pappel"
[[table]]
into = "motors"
file = "{file}"
[table.columns]
"Typ" = "name"
"Nm" = {{ field = "torque_rated", unit = "Nm" }}
"""
HEADS = '<row><c t="str"><v>Typ</v></c><c t="str"><v>Nm</v></c></row>'
PARTS = parts_of(sheet_xml(HEADS))
SHEET = "xl/worksheets/sheet1.xml"

ATTACKS = [
    ("far away", "a.xlsx", workbook(HEADS + '<c r="XFD1048576"><v>1</v></c>'), "cell XFD1048576"),
    ("a bomb", "a.xlsx", workbook(HEADS + " " * 20_000_000), "400 times its size"),
    ("entities", "a.xlsx", packed({**PARTS, SHEET: f"<!DOCTYPE a>{PARTS[SHEET]}"}),
     "declares a document type"),
    ("a formula", "a.xlsx",
     workbook(f'{HEADS}<row><c t="str"><v>P1</v></c><c><f>1+1</f><v>2</v></c></row>'), "formula"),
    ("a name that leaves", "a.xlsx", packed({**PARTS, "../a": ""}), "is named out of the workbook"),
    ("no workbook", "a.xlsx", b"Typ,Nm\nP1,1\n", "is not a workbook by what it holds"),
    ("another form", "a.ods", packed(PARTS), ".csv, .tsv, .txt or .xlsx is needed"),
    ("an open quote", "a.csv", b'Typ,Nm\n"P1,1\n', "Look for a quote left open"),
    ("old letters", "a.csv", "Typ,Nm\nPäppel,1\n".encode("cp1252"), 'encoding = "cp1252"'),
    ("bytes", "a.csv", b"Typ,Nm\nP1\0,1\n", "zero character"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "data", "told"), [a[1:] for a in ATTACKS],
                         ids=[a[0] for a in ATTACKS])  # fmt: skip
def test_tables_that_cannot_be_brought(name, data, told, tmp_path):
    (tmp_path / name).write_bytes(data)
    refused(name, told, tmp_path)


@pytest.mark.parametrize(
    ("name", "told"),
    [("../secret.csv", "leaves the folder"), ("/etc/hostname", "is a path from a root"),
     ("link.csv", "link that leaves the folder"), ("pipe.csv", "is not a file"),
     ("none.csv", "the file is missing")],
)  # fmt: skip
def test_files_that_are_not_in_the_folder(name, told, tmp_path):
    (tmp_path / "secret.csv").write_text("Typ,Nm\nP1,1\n", encoding="utf-8")
    folder = tmp_path / "line"
    folder.mkdir()
    (folder / "link.csv").symlink_to(tmp_path / "secret.csv")
    os.mkfifo(folder / "pipe.csv")
    refused(name, told, folder)


def refused(name, told, folder):
    (folder / "mapping.toml").write_text(MAPPING.format(file=name), encoding="utf-8")
    before = sorted(folder.iterdir())
    done = dutyline("bring", "mapping.toml", "--to", "out", cwd=folder)
    assert done.code == 2, done.err + done.out
    assert told in " ".join(done.err.replace("\u00a0", " ").split())
    assert "Traceback" not in done.err
    assert sorted(folder.iterdir()) == before
