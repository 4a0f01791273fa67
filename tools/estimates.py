"""Writes the tables of docs/how-to/partial-data.md: the methods, and how far off they are."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from dutyline.catalogue.library import demo_line
from dutyline.catalogue.origins import column_of
from dutyline.estimates.fill import METHODS, estimated

PAGE = Path(__file__).resolve().parents[1] / "docs" / "how-to" / "partial-data.md"
DATA = tuple(dict.fromkeys((m.kind, m.field) for m in METHODS))


def heading(kind: str, field: str) -> str:
    """Column of a datum."""
    return column_of(f"{kind}s", field).name


def methods() -> list[str]:
    """Rows of the table of methods."""
    rows = ["| of | datum | method | end used |", "|---|---|---|---|"]
    for kind, field in DATA:
        own = [m for m in METHODS if (m.kind, m.field) == (kind, field)]
        names = "; ".join(m.name for m in own)
        rows.append(f"| {kind} | {heading(kind, field)} | {names} | {own[0].end} |")
    return rows


def errors(kind: str, field: str) -> tuple[int, list[float]]:
    """Parts that state a datum, and value used over true one less 1 where it is left out."""
    line = demo_line()
    parts = getattr(line, f"{kind}s")
    found: list[float] = []
    stated = [k for k, part in enumerate(parts) if getattr(part, field)]
    for k in stated:
        own = (*parts[:k], replace(parts[k], **{field: None}), *parts[k + 1 :])
        filled = estimated(replace(line, **{f"{kind}s": own}))
        true = getattr(parts[k], field)
        found += [a.value / true - 1 for a in filled.assumed if a.field == field and a.value]
    return len(stated), found


def accuracy() -> list[str]:
    """Rows of the table of errors."""
    rows = ["| of | datum | estimated | least | most |", "|---|---|---|---|---|"]
    for kind, field in DATA:
        count, off = errors(kind, field)
        ends = [f"{100 * e:+.0f} %".replace("-0 %", "0 %").replace("+0 %", "0 %")
                for e in ((min(off), max(off)) if off else ())]  # fmt: skip
        least, most = ends or ["none", "none"]
        rows.append(
            f"| {kind} | {heading(kind, field)} | {len(off)} of {count} | {least} | {most} |"
        )
    return rows


def page(text: str) -> str:
    """The page with its tables made anew."""
    for name, rows in (("methods", methods()), ("errors", accuracy())):
        head, _, rest = text.partition(f"<!-- {name} -->\n")
        _, _, tail = rest.partition("<!-- end -->")
        text = f"{head}<!-- {name} -->\n" + "\n".join(rows) + f"\n<!-- end -->{tail}"
    return text


if __name__ == "__main__":
    before = PAGE.read_text(encoding="utf-8")
    after = page(before)
    if "--check" in sys.argv:
        sys.exit(0 if before == after else "docs/how-to/partial-data.md is not current.")
    PAGE.write_text(after, encoding="utf-8")
