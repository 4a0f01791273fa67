"""The document tree as PDF, set by typst: same tree, same bytes."""

from __future__ import annotations

import json
from collections.abc import Callable
from importlib.resources import as_file, files
from typing import Any

from dutyline.core.errors import DutylineError
from dutyline.report.formula import to_text, to_typst
from dutyline.report.tree import Document, plain

_ASSETS = files("dutyline.report") / "assets"
_EPOCH = 946728000
"""Clock of the typesetter: fixed, so that the day of printing leaves no trace."""
_STAND_IN = "\u25a1"
_RANGES = (
    (0x20, 0x7E),
    (0xA0, 0x17F),
    (0x374, 0x377),
    (0x37A, 0x37F),
    (0x384, 0x38A),
    (0x38C, 0x38C),
    (0x38E, 0x3A1),
    (0x3A3, 0x3CE),
    (0x3D0, 0x3E1),
    (0x3F0, 0x3FF),
    (0x400, 0x45F),
    (0x2010, 0x2015),
    (0x2018, 0x201E),
    (0x2020, 0x2022),
    (0x2026, 0x2026),
    (0x202F, 0x2030),
    (0x2032, 0x2033),
    (0x2039, 0x203A),
    (0x2070, 0x2071),
    (0x2074, 0x208E),
    (0x20AC, 0x20AC),
    (0x2126, 0x2126),
    (0x2190, 0x2193),
    (0x2212, 0x2212),
    (0x221A, 0x221A),
    (0x221E, 0x221E),
    (0x2248, 0x2248),
    (0x2260, 0x2265),
    (0x25A1, 0x25A1),
)
"""Characters that the type faces hold; a glyph that is missing would break PDF/UA."""


class ReportError(DutylineError):
    """The report could not be set; the sentence says what to do."""


def printable(text: str) -> str:
    r"""The text with every character that no type face holds replaced by a square.

    >>> printable("Lift 升\tA")
    'Lift □ A'
    """
    spaced = " ".join(text.split(" ")).replace("\t", " ").replace("\n", " ").replace("\r", " ")
    return "".join(c if any(a <= ord(c) <= b for a, b in _RANGES) else _STAND_IN for c in spaced)


def _swept(node: Any, clean: Callable[[str], str]) -> Any:
    """All text of a plain tree cleaned, formulas turned into typst mathematics."""
    if isinstance(node, dict):
        if node.get("kind") == "math":
            text = clean(node["text"])
            return {
                "kind": "math",
                "typst": to_typst(text, node["display"]),
                "alt": to_text(text),
                "display": node["display"],
            }
        return {k: (v if k == "svg" else _swept(v, clean)) for k, v in node.items()}
    if isinstance(node, list):
        return [_swept(part, clean) for part in node]
    return clean(node) if isinstance(node, str) else node


def _clean_svg(svg: str) -> str:
    return "".join(
        c if c == "\n" or any(a <= ord(c) <= b for a, b in _RANGES) else _STAND_IN for c in svg
    )


def _figures_cleaned(node: Any) -> Any:
    if isinstance(node, dict):
        return {k: _clean_svg(v) if k == "svg" else _figures_cleaned(v) for k, v in node.items()}
    return [_figures_cleaned(part) for part in node] if isinstance(node, list) else node


def _data(document: Document) -> str:
    body = _figures_cleaned(_swept(plain(document), printable))
    body["numbers"] = dict(document.numbers())
    return json.dumps(body, ensure_ascii=False, sort_keys=True, allow_nan=False)


def to_pdf(document: Document) -> bytes:
    """The document as PDF/UA-1.

    Raises
    ------
    ReportError
        typst is not installed, or it refused the document (a figure without description).
    """
    try:
        import typst
    except ImportError as error:
        raise ReportError(
            "The PDF needs typst, which is not installed. "
            "Install dutyline with its report extra, or ask for HTML."
        ) from error
    with as_file(_ASSETS) as assets:
        try:
            return bytes(
                typst.compile(
                    assets / "report.typ",
                    root=assets,
                    font_paths=[assets / "fonts"],
                    ignore_system_fonts=True,
                    pdf_standards=["ua-1"],
                    timestamp=_EPOCH,
                    sys_inputs={"document": _data(document)},
                )
            )
        except typst.TypstError as error:
            raise ReportError(f"The report could not be set: {error}") from error
