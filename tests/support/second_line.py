"""The second invented line in its other shape: a German workbook and CSV files in inch sizes.

Cells come from the SI twin by the exact sizes of :mod:`support.second_forms`, not by the program.
"""

from __future__ import annotations

import csv
import io
import re
import shutil
from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from support.second_forms import TOLD, Told

DATA = Path(__file__).resolve().parents[1] / "data"
TWIN = DATA / "second-line-si"
MAPPING = DATA / "second-line-inch" / "mapping.toml"
WORKBOOK = "Katalog.xlsx"
FIRST = 5
"""First row of data in the sheets with two rows of headings and one of units."""

Rows = list[dict[str, str]]

WORDS = {
    "peak": "Spitze", "continuous": "Dauer",
    "motor-drive": "Regler", "motor-brake": "Bremse", "motor-gearhead": "Getriebe",
    "drive-resistor": "Widerstand",
}  # fmt: skip
GROUPS = {
    "Bezeichnung": ("motor", "size"),
    "Anbau": ("flange_mm", "pilot_mm", "bolt_circle_mm", "shaft_mm"),
    "Leistung": ("power_rated_w", "torque_rated_nm", "torque_stall_nm", "torque_peak_nm",
                 "speed_rated_rpm", "speed_max_rpm"),
    "Läufer": ("inertia_kgcm2", "inertia_with_brake_kgcm2", "mass_kg", "mass_with_brake_kg",
               "pole_pairs"),
    "Einsatz": ("winding_limit_c", "insulation_class", "ambient_max_c", "altitude_max_m",
                "test_plate_side_mm", "test_plate_thick_mm", "protection", "protection_shaft",
                "oil_seal_continuous_factor", "brake_continuous_factor"),
    "Welle": ("radial_load_n", "axial_load_n", "radial_load_point_mm", "bearing_offset_mm"),
    "Zubehör": ("encoder", "encoder_bits", "encoder_turn_bits", "brake", "price"),
}  # fmt: skip
"""Upper heading over the columns of the sheet of motors; the others stand with the windings."""
_SPEEDS_IN_A_CELL = ("175L-23", "225L-23")
_PICKED = "500L-46"


def twin_rows(file: str) -> Rows:
    """Cells of one file of the SI twin."""
    text = (TWIN / f"{file}.csv").read_text("utf-8")
    return list(csv.DictReader(io.StringIO(text)))


def german(text: str) -> str:
    """A number with a decimal comma and points between thousands."""
    whole, _, part = text.partition(".")
    grouped = f"{int(whole):,}".replace(",", ".")
    return f"{grouped},{part}" if part else grouped


def foreign_rows(file: str) -> Rows:
    """The cells of one file in the sizes of the other shape, numbers with a decimal point."""
    return [
        {told.column: _cell(told, row[told.column], _turn(row)) for told in TOLD[file]}
        for row in twin_rows(file)
    ]


def _turn(row: dict[str, str]) -> Fraction:
    return Fraction(row["ratio"]) * Fraction(row["efficiency"]) if "ratio" in row else Fraction(1)


def _cell(told: Told, text: str, turn: Fraction) -> str:
    if not text or not is_number(text):
        return text
    return told.foreign(text, turn)


def is_number(text: str) -> bool:
    """Digits with at most one point."""
    return text.replace(".", "", 1).isdigit()


def write_second_line(folder: Path) -> Path:
    """The whole line in its other shape in a new folder; the path of its mapping."""
    folder.mkdir(parents=True, exist_ok=True)
    book = Workbook()
    notes = book.active
    notes.title = "Hinweise"
    notes["A1"] = "Erfundene Baureihe. Maße in Zoll, Ströme und Konstanten je Scheitelwert."
    _motors(book)
    _windings(book)
    _sheet(book, "Getriebe", "gearheads", {"ratio": lambda t: t.replace("/", ":"),
                                           "input_flanges_mm": _flanges})  # fmt: skip
    _sheet(book, "Regler", "drives", {"phases": lambda t: t.replace(";", " / "),
                                      "overload_curve": _overload})  # fmt: skip
    _brakes(book)
    _short_curves(book)
    _wide_curves(book)
    book.save(folder / WORKBOOK)
    _resistors(folder)
    _pairings(folder)
    _picked(folder)
    return Path(shutil.copy(MAPPING, folder))


def _flanges(text: str) -> str:
    told = next(t for t in TOLD["gearheads"] if t.column == "input_flanges_mm")
    return "; ".join(german(told.foreign(item)) for item in text.split(";"))


def _overload(text: str) -> str:
    pairs = (item.split(":") for item in text.split(";"))
    return "; ".join(f"{german(load)}: {german(time)}" for load, time in pairs)


def _price(text: str) -> str:
    return f"{german(f'{Decimal(text):.2f}')} €"


def _motors(book: Workbook) -> None:
    """Texts with decimal commas, a size merged over its windings, headings in two rows."""
    sheet = book.create_sheet("Motoren")
    sheet["A1"] = "Motoren, alle Wicklungen"
    told = {t.column: t for t in TOLD["motors"]}
    rows = foreign_rows("motors")
    place = 1
    for group, columns in GROUPS.items():
        sheet.cell(2, place, group)
        if len(columns) > 1:
            sheet.merge_cells(start_row=2, end_row=2, start_column=place,
                              end_column=place + len(columns) - 1)  # fmt: skip
        for column in columns:
            sheet.cell(3, place, told[column].heading)
            sheet.cell(4, place, told[column].unit)
            for k, row in enumerate(rows):
                text = row[column]
                if column == "price":
                    text = _price(text)
                elif column not in ("motor", "size") and is_number(text):
                    text = german(text)
                sheet.cell(FIRST + k, place, text)
            place += 1
    for k in range(0, len(rows), 2):
        assert rows[k]["size"] == rows[k + 1]["size"]
        sheet.merge_cells(start_row=FIRST + k, end_row=FIRST + k + 1, start_column=2, end_column=2)


def _windings(book: Workbook) -> None:
    """Numbers as numbers, in another order of rows; the mains as a range in one cell."""
    sheet = book.create_sheet("Wicklungen")
    elsewhere = {column for columns in GROUPS.values() for column in columns} - {"motor"}
    told = [t for t in TOLD["motors"] if t.column not in (*elsewhere, "mains_max_v")]
    _head(sheet, told, {"mains_min_v": ("Netz", "V")})
    rows = foreign_rows("motors")
    for k, row in enumerate(reversed(rows)):
        row["mains_min_v"] = f"{row['mains_min_v']}–{row['mains_max_v']}"
        _data(sheet, FIRST + k, told, row)


def _head(sheet: Worksheet, told: Sequence[Told], other: dict[str, tuple[str, str]]) -> None:
    """A title, a row of headings, an empty one and one of units."""
    sheet["A1"] = sheet.title
    for place, one in enumerate(told, start=1):
        heading, unit = other.get(one.column, (one.heading, one.unit))
        sheet.cell(2, place, heading)
        sheet.cell(4, place, unit)


def _data(sheet: Worksheet, row: int, told: Sequence[Told], cells: dict[str, str]) -> None:
    names = ("motor", "gearhead", "drive", "brake")
    for place, one in enumerate(told, start=1):
        text = cells[one.column]
        number = is_number(text) and one.column not in names
        sheet.cell(row, place, float(text) if number else text or None)


def _sheet(book: Workbook, title: str, file: str, words: dict[str, Callable[[str], str]]) -> None:
    sheet = book.create_sheet(title)
    told = TOLD[file]
    _head(sheet, told, {})
    for k, (row, si) in enumerate(zip(foreign_rows(file), twin_rows(file), strict=True)):
        changed = {column: change(si[column]) for column, change in words.items()}
        _data(sheet, FIRST + k, told, {**row, **changed, "price": _price(row["price"])})


def _brakes(book: Workbook) -> None:
    """Brakes side by side, figures below each other."""
    sheet = book.create_sheet("Bremsen")
    sheet.append(["Haltebremsen"])
    rows = foreign_rows("brakes")
    for told in TOLD["brakes"]:
        texts = [row[told.column] for row in rows]
        if told.column == "price":
            texts = [_price(text) for text in texts]
        elif told.column != "brake":
            texts = [german(text) for text in texts]
        sheet.append([told.heading, told.unit, *texts])


def _curves() -> dict[tuple[str, str, str, str], list[tuple[str, str]]]:
    """Points of every curve as told in the other shape."""
    found: dict[tuple[str, str, str, str], list[tuple[str, str]]] = {}
    for row in foreign_rows("curves"):
        key = (row["motor"], row["mains_v"], row["phases"], row["kind"])
        found.setdefault(key, []).append((row["speed_rpm"], row["torque_nm"]))
    return found


def _short_curves(book: Workbook) -> None:
    """A whole polyline in one cell."""
    sheet = book.create_sheet("Kennlinien kurz")
    sheet.append(["Motor", "Netz [V]", "Phasen", "Art", "Punkte 1/min | lbf·in"])
    for (motor, mains, phases, kind), points in _curves().items():
        if motor in _SPEEDS_IN_A_CELL:
            text = " / ".join(f"{german(s)} | {german(t)}" for s, t in points)
            sheet.append([motor, int(mains), int(phases), WORDS[kind], text])


def _wide_curves(book: Workbook) -> None:
    """One row a curve, one column a speed."""
    sheet = book.create_sheet("Kennlinien")
    shown = {k: p for k, p in _curves().items() if k[0] not in (*_SPEEDS_IN_A_CELL, _PICKED)}
    speeds = sorted({int(s) for points in shown.values() for s, _ in points})
    sheet.append(["Moment in lbf·in über der Drehzahl in 1/min"])
    sheet.append(["Motor", "Netz [V]", "Phasen", "Art", *speeds])
    for (motor, mains, phases, kind), points in shown.items():
        torque = {int(s): float(t) for s, t in points}
        sheet.append([motor, int(mains), int(phases), WORDS[kind], *map(torque.get, speeds)])


def _csv(rows: Sequence[Sequence[str]], separator: str = ";") -> str:
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerows(rows)
    return text.getvalue()


def _resistors(folder: Path) -> None:
    """Semicolons, decimal commas, the code page of an older Windows."""
    told = TOLD["resistors"]
    rows = [[f"{t.heading} [{t.unit.replace('Ω', 'Ohm')}]" if t.unit else t.heading for t in told]]
    for row in foreign_rows("resistors"):
        rows.append([german(row[t.column]) if is_number(row[t.column]) else row[t.column]
                     for t in told])  # fmt: skip
    (folder / "Widerstände.csv").write_bytes(_csv(rows).encode("cp1252"))


def _pairings(folder: Path) -> None:
    """A byte-order mark; what goes together in four words."""
    told = TOLD["pairings"]
    rows = [[f"{t.heading} [{t.unit}]" if t.unit else t.heading for t in told]]
    for row in foreign_rows("pairings"):
        texts = [WORDS.get(row[t.column], row[t.column]) for t in told]
        rows.append([german(text) if is_number(text) else text for text in texts])
    (folder / "Zuordnung.csv").write_bytes(_csv(rows).encode("utf-8-sig"))


def _picked(folder: Path) -> None:
    """Points picked from a plot, a file a motor, not in the order of speed."""
    (folder / "Kurven").mkdir(exist_ok=True)
    rows = [["Netz", "Art", "n in 1/min", "M in lbf·in"]]
    for (motor, mains, _, kind), points in _curves().items():
        if motor == _PICKED:
            mixed = [*points[1::2], *points[0::2]]
            rows += [[mains, WORDS[kind], german(s), german(t)] for s, t in mixed]
    (folder / "Kurven" / f"{_PICKED}.csv").write_bytes(_csv(rows).encode("utf-8"))


def write_second_line_as_csv(folder: Path, encoding: str, separator: str) -> Path:
    """The same with every sheet of the workbook as a CSV file; the path of its mapping."""
    write_second_line(folder)
    book = load_workbook(folder / WORKBOOK)
    for sheet in book:
        name = f"{sheet.title}.csv"
        (folder / name).write_bytes(_csv(_texts(sheet), separator).encode(encoding))
    (folder / WORKBOOK).unlink()
    stated = "" if encoding.startswith("utf-8") else f'encoding = "{encoding}"\n'
    text = MAPPING.read_text("utf-8")
    text = re.sub(rf'file = "{WORKBOOK}"\nsheet = "(.*)"\n', rf'file = "\1.csv"\n{stated}', text)
    marks = 'decimal = ","\nthousands = "."\n'
    for sheet_only in ("join = true\n", "wide = {"):
        text = text.replace(sheet_only, f"{marks}{sheet_only}")
    if encoding == "cp1252":
        text = text.replace("Ω", "Ohm")
    mapping = folder / MAPPING.name
    mapping.write_text(text, encoding="utf-8")
    return mapping


def _texts(sheet: Worksheet) -> list[list[str]]:
    """Cells as a German spreadsheet saves them; headings over several columns stand over each."""
    rows = [["" if v is None else v for v in row] for row in sheet.iter_rows(values_only=True)]
    for block in sheet.merged_cells.ranges:
        for row, column in block.cells:
            rows[row - 1][column - 1] = rows[block.min_row - 1][block.min_col - 1]
    return [[_shown(value) for value in row] for row in rows]


def _shown(value: object) -> str:
    text = repr(value).removesuffix(".0") if isinstance(value, int | float) else str(value)
    return text.replace(".", ",") if isinstance(value, float) else text.replace("Ω", "Ohm")
