"""An empty plate file with every field explained."""

from __future__ import annotations

from dutyline.axis.entries import example
from dutyline.axis.forms import Field
from dutyline.replacement.fields import SECTIONS

_ALWAYS = ("plate", "motor", "keep")
_HEAD = """\
schema = 1

# What the plate and the papers of the old motor say, as they say it, with units. Everything but
# the title may stay unknown: take away the # of what you know. A value may say more of itself:
#     torque = { value = "2.4 N*m", status = "measured", range = "2.3..2.5 N*m" }
"""


def blank() -> str:
    """The text of an empty plate file; it can be read as it is."""
    blocks = [_HEAD]
    for section in SECTIONS.values():
        bracket = f"[[{section.name}]]" if section.many else f"[{section.name}]"
        used = section.name in _ALWAYS
        lines = [f"# {section.meaning}", bracket if used else f"# {bracket}"]
        for field in section.fields:
            if section.name == "plate" and field.name == "title":
                lines.append('title = "Old motor"')
                continue
            lines.append(f"# {field.name} = {_sample(field)}  # {field.meaning}")
        blocks.append("\n".join(lines) + "\n")
    return "\n".join(blocks)


def _sample(field: Field) -> str:
    if field.choices:
        return f'"{field.default or field.choices[0]}"'
    if field.takes == "flag":
        return "true" if field.default == "yes" else "false"
    if field.takes in ("whole",):
        return "4"
    if field.takes == "fraction":
        return '"91/9"'
    if field.takes == "phases":
        return "3"
    if field.takes == "names":
        return '["resolver"]'
    if field.takes == "number":
        return f'"{field.default}"' if field.default else "0.95"
    return f'"{example(field.takes) if field.quantity else field.default}"'
