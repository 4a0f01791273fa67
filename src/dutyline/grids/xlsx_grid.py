"""Grids of a workbook, one for each sheet: read as text, with nothing run and no link followed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from dutyline.core.faults import quoted
from dutyline.grids.archive import Archive, joined
from dutyline.grids.limits import MOST_SHEETS, Budget, refused
from dutyline.grids.markup import Kept, attribute, follow
from dutyline.grids.records import Cells, Grid, letters
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
    cells = SheetCells(book, name, part)
    follow(archive, part, cells)
    for area, formula in cells.ranges:
        _fill_by_formula(cells, book, area, formula)
    merged = tuple(_spread(cells, book))
    seen = [f"Sheet {name}: {word}" for word in _hidden(cells)]
    for row, column in cells.formulas:
        for kept in (cells.numbers, cells.percents, cells.errors):
            kept.fill(row, column, column, False)
    return Grid(
        book.file,
        name,
        cells.rows,
        numbers=cells.numbers,
        formulas=cells.formulas,
        merged=merged,
        errors=cells.errors,
        percents=cells.percents,
        hidden=hidden,
        remarks=(*remarks, *seen),
    )


def _clipped(cells: SheetCells, book: Book, area: Range) -> Range:
    """The part of a range where the sheet is filled; its cells are counted."""
    width = max(map(len, cells.rows), default=0)
    top, left, bottom, right = area
    bottom, right = min(bottom, len(cells.rows) - 1), min(right, width - 1)
    book.budget.take(max(bottom + 1 - top, 0) * max(right + 1 - left, 0) + 1, 0, cells.place)
    return top, left, bottom, right


def _fill_by_formula(cells: SheetCells, book: Book, area: Range, formula: str) -> None:
    """Put a formula that fills a range in place of the values that it last gave."""
    top, left, bottom, right = _clipped(cells, book, area)
    for row in range(top, bottom + 1):
        texts = cells.rows[row]
        for column in range(left, min(right + 1, len(texts))):
            if texts[column]:
                texts[column] = formula
                cells.take_formula(row, column, formula)


def _spread(cells: SheetCells, book: Book) -> Iterator[Range]:
    """Give every cell of merged ranges what the first one holds."""
    told = (cells.numbers, cells.percents, cells.errors)
    taken = Cells()
    for area in cells.merged:
        top, left, bottom, right = _clipped(cells, book, area)
        if bottom < top or right < left or (bottom, right) == (top, left):
            continue
        first, count = (top, left), right + 1 - left
        text = cells.rows[top][left] if left < len(cells.rows[top]) else ""
        formula = cells.formulas.get(first)
        kinds = [first in kept for kept in told]
        book.budget.take(0, len(text) * count * (bottom + 1 - top), cells.place)
        for row in range(top, bottom + 1):
            if taken.meet(row, left, right):
                read = f"merges {letters(left)}{top + 1}:{letters(right)}{bottom + 1}, of which "
                raise refused(book.file, cells.place, f"{read}cells are merged already.", _ANEW)
            taken.fill(row, left, right, True)
            texts = cells.rows[row]
            texts.extend([""] * (left - len(texts)))
            texts[left : right + 1] = [text] * count
            for kept, whether in zip(told, kinds, strict=True):
                kept.fill(row, left, right, whether)
            if cells.formulas:
                _spread_formula(cells, row, left, right, formula)
        yield top, left, bottom, right


def _spread_formula(
    cells: SheetCells, row: int, left: int, right: int, formula: str | None
) -> None:
    for column in range(left, right + 1):
        cells.formulas.pop((row, column), None)
        if formula is not None:
            cells.take_formula(row, column, formula)


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


def _formats(archive: Archive, part: str) -> Mapping[str, Shown]:
    """How cell formats show numbers, by their number, where it is not a plain number."""
    target = _target(archive, part, "styles")
    if not target:
        return {}
    kept = Kept(archive.file, target, ("numFmt", "xf"))
    follow(archive, target, kept)
    codes = {
        attribute(found, "numFmtId"): attribute(found, "formatCode")[:255]
        for around, name, found in kept.found
        if name == "numFmt" and around == "numFmts"
    }
    formats = [
        attribute(found, "numFmtId") or "0"
        for around, name, found in kept.found
        if name == "xf" and around == "cellXfs"
    ]
    shown = {}
    for place, number in enumerate(formats):
        known = int(number) if number.isdecimal() and len(number) < 9 else 0
        how = shown_by(known, codes.get(number))
        if how != "number":
            shown[str(place)] = how
    return shown
