"""Grids of a workbook, one for each sheet: read as text, with nothing run and no link followed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dutyline.core.faults import quoted
from dutyline.grids.archive import Archive, joined
from dutyline.grids.limits import MOST_SHEETS, Budget, refused
from dutyline.grids.markup import Kept, attribute, follow
from dutyline.grids.records import Grid, letters
from dutyline.grids.xlsx_cells import Book, Range, SheetCells
from dutyline.grids.xlsx_styles import Shown, shown_by
from dutyline.grids.xlsx_texts import SharedTexts

_ANEW = "Open it in a spreadsheet and save it anew as .xlsx."
_PACKAGE = "_rels/.rels"


def xlsx_grids(file: str, data: bytes) -> tuple[Grid, ...]:
    """Sheets of a workbook in its order, hidden ones too.

    Parameters
    ----------
    file : str
        Its name, for faults and places.
    data : bytes
        What it holds.

    Raises
    ------
    InputError
        The file is no whole workbook or goes beyond a limit.
    """
    archive = Archive(file, data)
    part = _target(archive, "", "officeDocument") or "xl/workbook.xml"
    if not archive.holds(part) or part.endswith(".bin"):
        raise refused(file, "", "holds no workbook of the form .xlsx; one is needed.", _ANEW)
    kept = Kept(file, part, ("sheet", "workbookPr"))
    follow(archive, part, kept)
    from_1904 = any(
        name == "workbookPr" and attribute(found, "date1904") in ("1", "true")
        for _, name, found in kept.found
    )
    texts = _texts(archive, part)
    book = Book(file, texts, _formats(archive, part), from_1904, Budget(file))
    relations = {rel: (kind, name) for rel, kind, name in _relations(archive, part)}
    sheets = [found for _, name, found in kept.found if name == "sheet"]
    if len(sheets) > MOST_SHEETS:
        read = f"has {len(sheets)} sheets; at most {MOST_SHEETS} are read."
        raise refused(file, "", read, "Split the file.")
    remarks = _remarks(archive)
    grids = []
    for found in sheets:
        kind, target = relations.get(attribute(found, "id"), ("", ""))
        if kind in ("chartsheet", "dialogsheet"):
            continue
        name = attribute(found, "name")
        if kind != "worksheet" or not archive.holds(target):
            read = "is named in the workbook but not in it."
            raise refused(file, f"sheet {quoted(name)}", read, _ANEW)
        hidden = attribute(found, "state") in ("hidden", "veryHidden")
        grids.append(_grid(archive, book, name, target, hidden, remarks))
    if not grids:
        raise refused(file, "", "has no sheet with cells; one is needed.", _ANEW)
    return tuple(grids)


def _grid(
    archive: Archive, book: Book, name: str, part: str, hidden: bool, remarks: Sequence[str]
) -> Grid:
    cells = SheetCells(book, name)
    follow(archive, part, cells)
    for area, formula in cells.ranges:
        for row, column in _within(cells, book, name, area):
            if column < len(cells.rows[row]) and cells.rows[row][column]:
                cells.rows[row][column] = formula
                cells.formulas[row, column] = formula
    merged = tuple(_spread(cells, book, name))
    seen = [f"Sheet {name}: {word}" for word in _hidden(cells)]
    formulas = {at: text for at, text in cells.formulas.items() if at[0] < len(cells.rows)}
    at_all = formulas.keys()
    return Grid(
        book.file,
        name,
        cells.rows,
        numbers=frozenset(cells.numbers - at_all),
        formulas=formulas,
        merged=merged,
        errors=frozenset(cells.errors - at_all),
        percents=frozenset(cells.percents - at_all),
        hidden=hidden,
        remarks=(*remarks, *seen),
    )


def _clipped(cells: SheetCells, area: Range) -> Range:
    """The part of a range where the sheet is filled."""
    width = max(map(len, cells.rows), default=0)
    return area[0], area[1], min(area[2], len(cells.rows) - 1), min(area[3], width - 1)


def _within(cells: SheetCells, book: Book, name: str, area: Range) -> Iterator[tuple[int, int]]:
    top, left, bottom, right = _clipped(cells, area)
    count = max(bottom + 1 - top, 0) * max(right + 1 - left, 0)
    book.budget.take(count, 0, f"sheet {name}")
    for row in range(top, bottom + 1):
        for column in range(left, right + 1):
            yield row, column


def _spread(cells: SheetCells, book: Book, name: str) -> Iterator[Range]:
    """Give every cell of merged ranges what the first one holds."""
    for area in cells.merged:
        top, left, bottom, right = _clipped(cells, area)
        if bottom < top or right < left or (bottom, right) == (top, left):
            continue
        first = top, left
        text = cells.rows[top][left] if left < len(cells.rows[top]) else ""
        for at in _within(cells, book, name, area):
            row = cells.rows[at[0]]
            row.extend([""] * (at[1] + 1 - len(row)))
            book.budget.take(0, len(text), f"sheet {name}")
            row[at[1]] = text
            for kept in (cells.numbers, cells.percents, cells.errors):
                if first in kept:
                    kept.add(at)
                else:
                    kept.discard(at)
            if first in cells.formulas:
                cells.formulas[at] = cells.formulas[first]
            else:
                cells.formulas.pop(at, None)
        yield top, left, bottom, right


def _hidden(cells: SheetCells) -> Iterator[str]:
    rows = sum(1 for row in cells.hidden_rows if row < len(cells.rows) and any(cells.rows[row]))
    if rows:
        yield f"{rows} hidden {'row is' if rows == 1 else 'rows are'} read as the others."
    width = max(map(len, cells.rows), default=0)
    columns = sorted(column for column in cells.hidden_columns if 0 <= column < width)
    if columns:
        names = ", ".join(letters(column) for column in columns[:10])
        more = " and more" if len(columns) > 10 else ""
        yield f"hidden columns are read as the others: {names}{more}."


def _remarks(archive: Archive) -> tuple[str, ...]:
    names = [name.lower() for name in archive.names]
    found = []
    if any(name.startswith("xl/externallinks/") for name in names):
        found.append("The workbook refers to other files; they are not opened.")
    if any("vbaproject" in name or name.startswith("xl/macrosheets/") for name in names):
        found.append("The workbook holds macros; they are not run.")
    if any(name in ("xl/connections.xml",) for name in names):
        found.append("The workbook holds connections to data; they are not opened.")
    return tuple(found)


def _relations(archive: Archive, part: str) -> Iterator[tuple[str, str, str]]:
    """Name, kind and target of what a part relates to in the workbook."""
    folder, _, name = part.rpartition("/")
    rels = f"{folder}/_rels/{name}.rels" if part else _PACKAGE
    rels = rels.lstrip("/")
    if not archive.holds(rels):
        return
    kept = Kept(archive.file, rels, ("Relationship",))
    follow(archive, rels, kept)
    for _, _, found in kept.found:
        if attribute(found, "TargetMode") != "External":
            kind = attribute(found, "Type").rpartition("/")[2]
            yield attribute(found, "Id"), kind, joined(part, attribute(found, "Target"))


def _target(archive: Archive, part: str, kind: str) -> str:
    for _, found, target in _relations(archive, part):
        if found == kind:
            return target
    return ""


def _texts(archive: Archive, part: str) -> Sequence[str]:
    target = _target(archive, part, "sharedStrings")
    if not target:
        return ()
    texts = SharedTexts(archive.file, target)
    follow(archive, target, texts)
    return texts.found


def _formats(archive: Archive, part: str) -> Sequence[Shown]:
    """How each cell format shows numbers."""
    target = _target(archive, part, "styles")
    if not target:
        return ()
    kept = Kept(archive.file, target, ("numFmt", "xf"))
    follow(archive, target, kept)
    codes = {
        attribute(found, "numFmtId"): attribute(found, "formatCode")[:255]
        for around, name, found in kept.found
        if name == "numFmt" and around == "numFmts"
    }
    shown: list[Shown] = []
    for around, name, found in kept.found:
        if name == "xf" and around == "cellXfs":
            number = attribute(found, "numFmtId") or "0"
            known = int(number) if number.isdecimal() and len(number) < 9 else 0
            shown.append(shown_by(known, codes.get(number)))
    return shown
