"""Workbooks written part by part, as no spreadsheet would write them."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping

RELATIONS = "<Relationships>{}</Relationships>"
RELATION = '<Relationship Id="r{0}" Type="http://x/{1}" Target="{2}"/>'


def sheet_xml(cells: str, after: str = "", before: str = "") -> str:
    """A sheet with these rows."""
    return f"<worksheet>{before}<sheetData>{cells}</sheetData>{after}</worksheet>"


def parts_of(
    *sheets: str | bytes,
    texts: Iterable[str] = (),
    styles: str = "<styleSheet/>",
    workbook: str = "",
) -> dict[str, str | bytes]:
    """Parts of a workbook with sheets of this XML."""
    count = range(1, len(sheets) + 1)
    named = "".join(f'<sheet name="S{n}" sheetId="{n}" r:id="r{n}"/>' for n in count)
    relations = [RELATION.format(n, "worksheet", f"worksheets/sheet{n}.xml") for n in count]
    relations.append(RELATION.format("t", "sharedStrings", "sharedStrings.xml"))
    relations.append(RELATION.format("s", "styles", "/xl/styles.xml"))
    shared = "".join(f"<si><t>{text}</t></si>" for text in texts)
    return {
        "_rels/.rels": RELATIONS.format(RELATION.format(1, "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": f'<workbook xmlns:r="r">{workbook}<sheets>{named}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": RELATIONS.format("".join(relations)),
        "xl/sharedStrings.xml": f"<sst>{shared}</sst>",
        "xl/styles.xml": styles,
        **{f"xl/worksheets/sheet{n}.xml": sheet for n, sheet in zip(count, sheets, strict=True)},
    }


def packed(
    parts: Mapping[str, str | bytes] | Iterable[tuple[str, str | bytes]],
    method: int = zipfile.ZIP_DEFLATED,
) -> bytes:
    """Parts as the bytes of a file."""
    out = io.BytesIO()
    pairs = parts.items() if isinstance(parts, Mapping) else parts
    with zipfile.ZipFile(out, "w", method) as archive:
        for name, content in pairs:
            archive.writestr(name, content)
    return out.getvalue()


def workbook(cells: str, **options: object) -> bytes:
    """A workbook with one sheet of these rows."""
    return packed(parts_of(sheet_xml(cells), **options))  # type: ignore[arg-type]
