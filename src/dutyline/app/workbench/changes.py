"""What a page may change, one edit at a time, in the text of the axis file or in the parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from dutyline.app.workbench.fields import field_of
from dutyline.app.workbench.judged import PARTS
from dutyline.axis.edit import add_table, remove_table, set_status, set_value
from dutyline.catalogue.pairing import NONE
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import quoted
from dutyline.core.toml_text import LARGEST, read_document
from dutyline.core.values import STATUSES
from dutyline.core.wording import lower_first
from dutyline.store.records import Content

LONGEST = 2_000
"""Characters of what is typed into one field."""
_NEW_PHASE = {"dwell": {"do": "dwell", "time": "0.5 s"}}

Change = Mapping[str, Any]


def applied(content: Content, change: Change) -> tuple[Content, str]:
    """The content after a change, and the change in words.

    Parameters
    ----------
    content : Content
    change : mapping
        ``do`` names it: ``set``, ``status``, ``add-phase``, ``remove-phase``, ``part``, ``parts``,
        ``variant``, ``text``.

    Raises
    ------
    InputError
        The change is not understood, or cannot be made.
    """
    do = change.get("do")
    change_of = _CHANGES.get(do) if isinstance(do, str) else None
    if change_of is None:
        raise _refused("do", f"read {quoted(str(do))}; one of {', '.join(_CHANGES)} is needed.")
    return change_of(content, change)


def _set(content: Content, change: Change) -> tuple[Content, str]:
    paths, typed = _word(change, "path"), _word(change, "typed")
    if paths in PARTS:  # a remedy that takes another part
        return _part(content, {"kind": paths, "name": typed.split(",")[0]})
    text = content.text
    places = [p.strip() for p in paths.split(",")]
    items = [t.strip() for t in typed.split(", ")] if len(places) > 1 else [typed]
    if len(items) != len(places):
        raise _refused("typed", f"{len(places)} fields are named and {len(items)} values given.")
    for path, item in zip(places, items, strict=True):
        text = set_value(text, path, item)
    names = ", ".join(_label(place) for place in places)
    return replace(content, text=text), f"{names}: {typed.strip() or 'taken out'}"


def _label(path: str) -> str:
    """A field as people call it."""
    field = field_of(path)
    of = path.split(".")[1] if path.startswith("phase.") else ""
    name = path if field is None else lower_first(field.label)
    return f"{name} of {of}" if of else name


def _status(content: Content, change: Change) -> tuple[Content, str]:
    path, status = _word(change, "path"), _word(change, "status")
    if status not in STATUSES[:-1]:
        raise _refused("status", f"read {quoted(status)}; one of {', '.join(STATUSES[:-1])}.")
    note = change.get("note")
    told = _word(change, "note") if note is not None else None
    return replace(
        content, text=set_status(content.text, path, status, told)
    ), f"{_label(path)}: {status}"


def _add_phase(content: Content, change: Change) -> tuple[Content, str]:
    after = _number(change, "after")
    text = add_table(content.text, "phase", after, dict(_NEW_PHASE["dwell"]))
    return replace(content, text=text), f"a dwell behind phase {after}"


def _remove_phase(content: Content, change: Change) -> tuple[Content, str]:
    number = _number(change, "number")
    text = remove_table(content.text, "phase", number)
    return replace(content, text=text), f"phase {number} taken out"


def _part(content: Content, change: Change) -> tuple[Content, str]:
    kind, name = _word(change, "kind"), _word(change, "name")
    if kind not in PARTS:
        raise _refused("kind", f"read {quoted(kind)}; one of {', '.join(PARTS)} is needed.")
    named = None if name in ("", NONE) else name
    if kind == "motor" and named is None:
        raise _refused("name", "a motor there must be.")
    return replace(content, parts={**content.parts, kind: named}), f"{kind}: {name or NONE}"


def _parts(content: Content, change: Change) -> tuple[Content, str]:
    names = change.get("names")
    if not isinstance(names, Mapping) or not isinstance(names.get("motor"), str):
        raise _refused("names", "names of the parts are needed, with a motor among them.")
    parts = {k: names.get(k) for k in PARTS}
    if any(not isinstance(n, str | None) or len(n or "") > LONGEST for n in parts.values()):
        raise _refused("names", "a name is a text.")
    told = ", ".join(n for n in parts.values() if n)
    return replace(content, parts=parts), told


def _variant(content: Content, change: Change) -> tuple[Content, str]:
    name = _word(change, "name")
    return replace(content, variant=name), f"variant {name}" if name else "the file itself"


def _text(content: Content, change: Change) -> tuple[Content, str]:
    text = change.get("text")
    if not isinstance(text, str):
        raise _refused("text", "the text of an axis file is needed.")
    if len(text.encode("utf-8", "surrogatepass")) > LARGEST:
        raise _refused("text", "it is larger than 1 MB; an axis file has a few kB.")
    read_document(content.file, text=text)
    return replace(content, text=text), "the text of the file"


def _word(change: Change, name: str) -> str:
    word = change.get(name)
    if not isinstance(word, str) or len(word) > LONGEST:
        raise _refused(name, f"a text of at most {LONGEST} characters is needed.")
    return word


def _number(change: Change, name: str) -> int:
    number = change.get(name)
    if not isinstance(number, int) or isinstance(number, bool):
        raise _refused(name, "a whole number is needed.")
    return number


def _refused(field: str, read: str) -> InputError:
    return InputError("the change", [Fault("", field, read)])


_CHANGES = {
    "set": _set,
    "status": _status,
    "add-phase": _add_phase,
    "remove-phase": _remove_phase,
    "part": _part,
    "parts": _parts,
    "variant": _variant,
    "text": _text,
}
