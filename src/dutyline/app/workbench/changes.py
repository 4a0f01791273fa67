"""What a page may change, one edit at a time, in the text of the axis file or in the parts."""

from __future__ import annotations

from dataclasses import replace

from dutyline.app.workbench import phase_changes as phases
from dutyline.app.workbench import variant_changes as variants
from dutyline.app.workbench.asked import Change, refused, word
from dutyline.app.workbench.fields import field_of
from dutyline.app.workbench.judged import PARTS
from dutyline.axis.edit_variants import set_status, set_value
from dutyline.catalogue.pairing import NONE
from dutyline.core.faults import quoted
from dutyline.core.toml_text import LARGEST, read_document
from dutyline.core.values import STATUSES
from dutyline.core.wording import lower_first
from dutyline.store.records import Content

_NAMED = ("phase.", "load.payloads.", "stage.")
"""Before the name that tells one of several apart."""


def applied(content: Content, change: Change) -> tuple[Content, str]:
    """The content after a change, and the change in words.

    Parameters
    ----------
    content : Content
    change : mapping
        ``do`` names it: ``set``, ``status``, ``part``, ``parts``, ``text``, or one of the
        changes of phases and variants in the modules beside.

    Raises
    ------
    InputError
        The change is not understood, or cannot be made.
    """
    do = change.get("do")
    change_of = _CHANGES.get(do) if isinstance(do, str) else None
    if change_of is None:
        raise refused("do", f"read {quoted(str(do))}; one of {', '.join(_CHANGES)} is needed.")
    return change_of(content, change)


def _set(content: Content, change: Change) -> tuple[Content, str]:
    paths, typed = word(change, "path"), word(change, "typed")
    if paths in PARTS:  # a remedy that takes another part
        together = variants.parts_in(change) if "names" in change else None
        return variants.take(content, paths, typed.split(",")[0], together)
    text = content.text
    places = [p.strip() for p in paths.split(",")]
    items = [t.strip() for t in typed.split(", ")] if len(places) > 1 else [typed]
    if len(items) != len(places):
        raise refused("typed", f"{len(places)} fields are named and {len(items)} values given.")
    for path, item in zip(places, items, strict=True):
        text = set_value(text, content.variant, path, item)
    names = ", ".join(_label(place) for place in places)
    return replace(content, text=text), f"{names}: {typed.strip() or 'taken out'}"


def _label(path: str) -> str:
    """A field as people call it."""
    field = field_of(path)
    of = next((path.removeprefix(p).split(".")[0] for p in _NAMED if path.startswith(p)), "")
    name = path if field is None else lower_first(field.label)
    return f"{name} of {of}" if of else name


def _status(content: Content, change: Change) -> tuple[Content, str]:
    path, status = word(change, "path"), word(change, "status")
    if status not in STATUSES[:-1]:
        raise refused("status", f"read {quoted(status)}; one of {', '.join(STATUSES[:-1])}.")
    note = change.get("note")
    told = word(change, "note") if note is not None else None
    return replace(
        content, text=set_status(content.text, content.variant, path, status, told)
    ), f"{_label(path)}: {status}"


def _part(content: Content, change: Change) -> tuple[Content, str]:
    kind, name = word(change, "kind"), word(change, "name")
    if kind not in PARTS:
        raise refused("kind", f"read {quoted(kind)}; one of {', '.join(PARTS)} is needed.")
    named = None if name in ("", NONE) else name
    if kind == "motor" and named is None:
        raise refused("name", "a motor there must be.")
    parts = {**content.parts, kind: named}
    return variants.with_parts(content, parts), f"{kind}: {name or NONE}"


def _parts(content: Content, change: Change) -> tuple[Content, str]:
    parts = variants.parts_in(change)
    told = ", ".join(n for n in parts.values() if n)
    return variants.with_parts(content, parts), told


def _text(content: Content, change: Change) -> tuple[Content, str]:
    text = change.get("text")
    if not isinstance(text, str):
        raise refused("text", "the text of an axis file is needed.")
    if len(text.encode("utf-8", "surrogatepass")) > LARGEST:
        raise refused("text", "it is larger than 1 MB; an axis file has a few kB.")
    read_document(content.file, text=text)
    return replace(content, text=text), "the text of the file"


_CHANGES = {
    "set": _set,
    "status": _status,
    "part": _part,
    "parts": _parts,
    "text": _text,
    **phases.CHANGES,
    **variants.CHANGES,
}
