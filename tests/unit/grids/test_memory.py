"""Files that would fill the memory are refused within what a small machine has."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from support.workbooks import packed, parts_of, sheet_xml

resource = pytest.importorskip(
    "resource", reason="the system does not tell the memory of a process"
)

pytestmark = pytest.mark.slow

MOST_MEMORY = 200
"""[MB] at the worst moment; the file itself may take 50 of them, the program starts with 40."""
MOST_SPACE = 1_500
"""[MB] of address space beyond which the process is stopped."""
READ = f"""
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, ({MOST_SPACE}_000_000,) * 2)
from dutyline.core.errors import InputError
from dutyline.grids.read import read_grids
try:
    read_grids(sys.argv[1])
except InputError as error:
    print(error.text())
for line in open("/proc/self/status"):
    if line.startswith("VmHWM:"):
        print(line.split()[1])
"""
SIZE = 49_000_000


def streamed(path: Path, head: str, piece: str, times: int, tail: str, **options: object) -> None:
    """A workbook whose sheet repeats a piece, without holding it."""
    parts = parts_of("", **options)  # type: ignore[arg-type]
    del parts["xl/worksheets/sheet1.xml"]
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
        with archive.open("xl/worksheets/sheet1.xml", "w") as sheet:
            sheet.write(head.encode())
            for _ in range(times):
                sheet.write(piece.encode())
            sheet.write(tail.encode())


def bomb(path: Path) -> None:
    streamed(path, "<worksheet><sheetData>", "<c/>" * 250_000, 300, "</sheetData></worksheet>")


def attributes(path: Path) -> None:
    streamed(path, '<worksheet a="', "x" * 1_000_000, 90, '"/>')


def one_text_many_times(path: Path) -> None:
    row = "<row>" + '<c t="s"><v>0</v></c>' * 1_000 + "</row>"
    streamed(path, "<worksheet><sheetData>", row, 2_000, "</sheetData></worksheet>",
             texts=["x" * 30_000])  # fmt: skip


def far_away(path: Path) -> None:
    cells = '<c r="A1"><v>1</v></c><c r="XFD1048576"><v>1</v></c>'
    path.write_bytes(packed(parts_of(sheet_xml(cells))))


def rows_far_right(path: Path) -> None:
    rows = "".join(f'<c r="ALL{n}"><v>1</v></c>' for n in range(1, 9_000))
    path.write_bytes(packed(parts_of(sheet_xml(rows))))


def merged(path: Path) -> None:
    rows = "".join(f'<c r="ALL{n}"><v>1</v></c>' for n in range(1, 3_000))
    ranges = '<mergeCell ref="A1:XFD1048576"/>' * 10_000
    path.write_bytes(packed(parts_of(sheet_xml(rows, ranges))))


def laughs(path: Path) -> None:
    names = "abcdefghij"
    text = '<!ENTITY a "ha">' + "".join(
        f'<!ENTITY {new} "{f"&{old};" * 10}">' for old, new in pairwise(names)
    )
    parts = parts_of(sheet_xml("<c t='str'><v>&j;</v></c>"))
    parts["xl/worksheets/sheet1.xml"] = f"<!DOCTYPE w [{text}]>{parts['xl/worksheets/sheet1.xml']}"
    path.write_bytes(packed(parts))


def many_parts(path: Path) -> None:
    entry = b"PK\x01\x02" + bytes(24) + b"\x01" + bytes(17) + b"a"
    path.write_bytes(b"PK\x03\x04" + entry * (SIZE // len(entry)))


def repeated(piece: bytes) -> Callable[[Path], None]:
    def write(path: Path) -> None:
        path.write_bytes((piece * (SIZE // len(piece) + 1))[:SIZE])

    return write


ATTACKS = {
    "bomb.xlsx": (bomb, "more than 18000000 beginnings and ends"),
    "attributes.xlsx": (attributes, "has a mark of more than 1000000 bytes"),
    "one-text.xlsx": (one_text_many_times, "beyond the 100000000 characters"),
    "far-away.xlsx": (far_away, "beyond the 200000 rows"),
    "far-right.xlsx": (rows_far_right, "beyond the 4000000 cells"),
    "merged.xlsx": (merged, "beyond the 4000000 cells"),
    "laughs.xlsx": (laughs, "declares a document type"),
    "parts.xlsx": (many_parts, "packs more than the 2000 parts"),
    "commas.csv": (repeated(b","), "more than 2000000 characters"),
    "quote.csv": (repeated(b'"' + b"x" * 50 + b"\n"), "is not a CSV row"),
    "lines-in-quotes.csv": (repeated(b'"a\n",'), "more than 2000000 characters"),
    "newlines.csv": (repeated(b"\n"), "beyond the 4000000 cells"),
    "narrow.csv": (repeated(b"a\n"), "beyond the 200000 rows"),
    "wide.csv": (repeated("\N{GRINNING FACE}".encode()), "more than 2000000 characters"),
    "cells.csv": (repeated(b"1,2,3,4,5,6,7,8,9,0," * 20 + b"\n"), "beyond the 4000000 cells"),
    "large.csv": (lambda path: path.write_bytes(b"a,b\n" * 13_000_000), "is larger than 50 MB"),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_memory_stays_bounded(name, tmp_path):
    write, told = ATTACKS[name]
    write(tmp_path / name)
    done = subprocess.run(
        [sys.executable, "-c", READ, str(tmp_path / name)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-500:]
    *lines, kilobytes = done.stdout.splitlines()
    assert told in "\n".join(lines)
    assert int(kilobytes) / 1_000 < MOST_MEMORY
