"""The fields of the axis file as text, and what a kind is."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.schema import Field, Kind, Section, takes
from dutyline.cli.screen import Screen


def _field(screen: Screen, field: Field, kind: str | None) -> list[str]:
    """Name and what it takes, then what it means and what holds without it."""
    said = [field.meaning]
    if field.required:
        said.append("Required.")
    elif field.default:
        said.append(f"Default {field.default}{', assumed' if field.assumed else ''}.")
    if usual := field.usual():
        said.append(f"Usual {usual}.")
    if not field.used:
        said.append("Read and kept, not yet used.")
    if field.kinds and kind is None:
        said.append(f"Only for {', '.join(field.kinds)}.")
    symbol = f" ({field.symbol})" if field.symbol else ""
    head = screen.wrap(f"{field.name}{symbol}: {takes(field, kind)}", "  ", "    ")
    return [*head, *screen.wrap(" ".join(said), "    ", "    ")]


def show_card(screen: Screen, kind: Kind) -> list[str]:
    """What a kind is, its relations with their source, and what to watch."""
    lines = [screen.bold(kind.title), *screen.wrap(kind.what, "  ")]
    for name, formula in (*kind.relations, ("Source", kind.source)):
        lines += screen.wrap(f"{name}: {formula}", "  ", "    ")
    lines += ["", screen.bold("Watch")]
    for sentence in kind.watch:
        lines += screen.wrap(sentence, "  ", "  ")
    return [*lines, ""]


def show_example(screen: Screen, kind: Kind) -> list[str]:
    """The smallest file of a kind, as it may be written."""
    return ["", screen.bold("The smallest file"), *kind.example.strip().splitlines()]


def show_schema(
    screen: Screen,
    sections: Sequence[tuple[Section, str | None, tuple[Field, ...]]],
    kind: Kind | None = None,
    *,
    quiet: bool = False,
) -> list[str]:
    """Every line that ``dutyline schema`` prints."""
    lines: list[str] = [] if kind is None or quiet else show_card(screen, kind)
    for section, own, fields in sections:
        bracket = f"[[{section.name}]]" if section.many else f"[{section.name}]"
        title = section.title if own is None else f'{section.selector} = "{own}"'
        head = title if section.nested else f"{bracket} {title}"
        lines += [screen.bold(head), *screen.wrap(section.meaning, "  ")]
        shown = [f for f in fields if own is None or f.name != section.selector]
        if quiet:
            lines += screen.wrap(", ".join(field.name for field in shown), "  ")
        else:
            lines += [row for f in shown for row in _field(screen, f, own)]
        lines.append("")
    lines = lines[:-1]
    return lines if kind is None or quiet else [*lines, *show_example(screen, kind)]
