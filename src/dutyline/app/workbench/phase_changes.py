"""What a page may change in the order and the kinds of phases; their places count from 1."""

from __future__ import annotations

from dataclasses import replace

from dutyline.app.workbench.asked import Change, number, word
from dutyline.axis import edit_phases as edit
from dutyline.store.records import Content


def _name(content: Content, place: int) -> str:
    rows = edit.stated(content.text, content.variant)
    own = rows[place - 1].get("name") if 1 <= place <= len(rows) else None
    return str(own or f"phase {place}")


def _add(content: Content, change: Change) -> tuple[Content, str]:
    after = number(change, "after")
    kind = word(change, "kind") if "kind" in change else "dwell"
    text = edit.add_phase(content.text, content.variant, after, kind)
    where = f"behind {_name(content, after)}" if after else "at the start"
    return replace(content, text=text), f"a {kind} {where}"


def _remove(content: Content, change: Change) -> tuple[Content, str]:
    place = number(change, "number")
    text = edit.remove_phase(content.text, content.variant, place)
    return replace(content, text=text), f"{_name(content, place)} taken out"


def _move(content: Content, change: Change) -> tuple[Content, str]:
    place, to = number(change, "number"), number(change, "to")
    text = edit.move_phase(content.text, content.variant, place, to)
    if to == place:
        return content, ""
    told = f"{_name(content, place)} {'before' if to < place else 'behind'} {_name(content, to)}"
    return replace(content, text=text), told


def _copy(content: Content, change: Change) -> tuple[Content, str]:
    place = number(change, "number")
    text = edit.copy_phase(content.text, content.variant, place)
    return replace(content, text=text), f"{_name(content, place)} a second time"


def _rename(content: Content, change: Change) -> tuple[Content, str]:
    place, name = number(change, "number"), word(change, "name")
    text = edit.rename_phase(content.text, content.variant, place, name)
    return replace(content, text=text), f"{_name(content, place)} is now {name or 'without a name'}"


def _kind(content: Content, change: Change) -> tuple[Content, str]:
    place, kind = number(change, "number"), word(change, "kind")
    text = edit.change_kind(content.text, content.variant, place, kind)
    return replace(content, text=text), f"{_name(content, place)}: {kind}"


CHANGES = {
    "add-phase": _add,
    "remove-phase": _remove,
    "move-phase": _move,
    "copy-phase": _copy,
    "rename-phase": _rename,
    "phase-kind": _kind,
}
"""Changes by their word."""
