"""The fields of the axis file as text."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.schema import Field, Section
from dutyline.cli.screen import Screen


def _takes(field: Field) -> str:
    words = ", ".join(field.choices) if field.choices else field.takes
    return "a bare number" if words == "1" else words


def _field(screen: Screen, field: Field) -> list[str]:
    """Name and what it takes, then what it means and what holds without it."""
    said = [field.meaning]
    if field.required:
        said.append("Required.")
    elif field.default:
        said.append(f"Default {field.default}{', assumed' if field.assumed else ''}.")
    if field.typical:
        said.append(f"Usual {field.typical}.")
    if field.kinds:
        said.append(f"Only for {', '.join(field.kinds)}.")
    head = screen.wrap(f"{field.name}: {_takes(field)}", "  ", "    ")
    return [*head, *screen.wrap(" ".join(said), "    ", "    ")]


def show_schema(
    screen: Screen, sections: Sequence[tuple[Section, tuple[Field, ...]]], *, quiet: bool = False
) -> list[str]:
    """Every line that ``dutyline schema`` prints."""
    lines: list[str] = []
    for section, fields in sections:
        bracket = f"[[{section.name}]]" if section.many else f"[{section.name}]"
        head = section.title if section.nested else f"{bracket} {section.title}"
        lines += [screen.bold(head), *screen.wrap(section.meaning, "  ")]
        if quiet:
            lines += screen.wrap(", ".join(field.name for field in fields), "  ")
        else:
            lines += [row for field in fields for row in _field(screen, field)]
        lines.append("")
    return lines[:-1]
