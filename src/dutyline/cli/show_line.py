"""A product line as text."""

from __future__ import annotations

from dutyline.app.line import Overview, ProductLine, Sheet, content_hash, titled
from dutyline.cli.screen import Screen
from dutyline.cli.sheets import table_lines


def show_line(
    screen: Screen, found: Overview, tables: tuple[Sheet, ...], *, quiet: bool = False
) -> list[str]:
    """Counts in one sentence, then every table."""
    line = found.line
    sized = f" in {_counted(len(found.sizes), 'size')}" if line.motors else ""
    parts = [f"{_counted(len(line.motors), 'motor')}{sized}"]
    parts += [
        _counted(len(getattr(line, f"{kind}s")), kind)
        for kind in ("gearhead", "drive", "brake", "resistor")
    ]
    lines = screen.wrap(f"{titled(line)}: {', '.join(parts)}.")
    if quiet:
        return lines
    lines += [text for part in _identity(line) for text in screen.wrap(part)]
    for table in tables:
        lines += ["", screen.bold(table.title), *table_lines(screen, table)]
        if table.note:
            lines += screen.wrap(table.note, "  ", "  ")
    return lines


def _identity(line: ProductLine) -> list[str]:
    stated = (
        f"Edition of {line.date}." if line.date else "",
        line.note,
        f"Prices in {line.currency}." if line.currency else "",
    )
    return [*filter(None, stated), f"Content hash {content_hash(line)}"]


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
