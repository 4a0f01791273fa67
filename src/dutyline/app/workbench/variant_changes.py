"""What a page may change in variants: which is current, its name, its parts.

A look at other parts (*Show*, the fields of a part) stays with the variant it is made in and makes
no other. A remedy that takes another part, and *As variant*, make a variant that names the parts
in which it differs, so that the axis file says them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from dutyline.app.workbench.asked import LONGEST, Change, refused, word
from dutyline.app.workbench.judged import PARTS
from dutyline.axis.edit_variants import (
    add_variant,
    named_parts,
    names,
    remove_variant,
    rename_variant,
    set_value,
)
from dutyline.catalogue.pairing import NONE
from dutyline.store.records import Content

Parts = dict[str, str | None]


def parts_of(content: Content, name: str) -> Parts:
    """Parts with which a variant is shown; empty: the best of those that it names."""
    if name == content.variant:
        return content.parts
    if name in content.elsewhere:
        return content.elsewhere[name]
    if named_parts(content.text, name):
        return {}
    return content.elsewhere.get("", content.parts)


def parts_in(change: Change) -> Parts:
    """Names of parts that a change holds.

    Raises
    ------
    InputError
        There is no motor among them, or they are no texts.
    """
    given = change.get("names")
    if not isinstance(given, Mapping) or not isinstance(given.get("motor"), str):
        raise refused("names", "names of the parts are needed, with a motor among them.")
    parts = {k: given.get(k) for k in PARTS}
    if any(not isinstance(n, str | None) or len(n or "") > LONGEST for n in parts.values()):
        raise refused("names", "a name is a text.")
    return parts


def with_parts(content: Content, parts: Parts) -> Content:
    """Other parts looked at; where the variant names the part itself, its name is set anew."""
    text = content.text
    for kind in named_parts(text, content.variant):
        text = set_value(text, content.variant, f"choose.{kind}s", parts.get(kind) or NONE)
    return replace(content, text=text, parts=parts)


def take(content: Content, kind: str, name: str, parts: Parts | None = None) -> tuple[Content, str]:
    """A variant that takes another part in the place of the one there; what there is stays.

    Parameters
    ----------
    content : Content
    kind, name : str
        Kind of the part, and the part.
    parts : mapping, optional
        The whole combination where more has to change with it.

    Raises
    ------
    InputError
        There are enough variants.
    """
    named = None if name == NONE else name
    after = {**content.parts, kind: named, **(parts or {})}
    called = name if named else f"no {kind}"
    made = _made(content, called, after)
    was = content.parts.get(kind) or NONE
    return made, f"variant {made.variant}, {kind} {was} to {name}"


def _keep(content: Content, change: Change) -> tuple[Content, str]:
    parts = parts_in(change)
    differing = [n or f"no {k}" for k, n in parts.items() if n != content.parts.get(k)]
    made = _made(content, ", ".join(differing[:2]) or str(parts["motor"]), parts)
    return made, f"variant {made.variant}"


def _made(content: Content, called: str, parts: Parts) -> Content:
    """A new variant like the current one which names the parts in which it differs from it."""
    differing = {k: n for k, n in parts.items() if n != content.parts.get(k)}
    named = {**named_parts(content.text, content.variant), **differing}
    states = {f"choose.{k}s": [parts.get(k) or NONE] for k in named}
    name = _unused(called[:56], names(content.text))
    text = add_variant(content.text, name, content.variant, states)
    return replace(content, elsewhere=_left(content), text=text, variant=name, parts=parts)


def _left(content: Content) -> dict[str, Parts]:
    """Parts of all variants that are not shown once this one is left."""
    return {**content.elsewhere, content.variant: content.parts}


def _unused(name: str, taken: tuple[str, ...]) -> str:
    found, n = name, 2
    while found in taken:
        found, n = f"{name}, {n}", n + 1
    return found


def _select(content: Content, change: Change) -> tuple[Content, str]:
    name = word(change, "name")
    if name == content.variant:
        return content, ""
    parts = parts_of(content, name)
    elsewhere = {k: v for k, v in _left(content).items() if k != name}
    shown = replace(content, variant=name, parts=parts, elsewhere=elsewhere)
    return shown, f"variant {name}" if name else "as filed"


def _add(content: Content, change: Change) -> tuple[Content, str]:
    text = add_variant(content.text, word(change, "name"), content.variant)
    name = names(text)[-1]
    return replace(
        content, elsewhere=_left(content), text=text, variant=name
    ), f"variant {name} added"


def _rename(content: Content, change: Change) -> tuple[Content, str]:
    old = word(change, "name")
    text = rename_variant(content.text, old, word(change, "to"))
    new = next(n for n in names(text) if n not in names(content.text) or n == old)
    elsewhere = {new if k == old else k: v for k, v in content.elsewhere.items()}
    here = new if content.variant == old else content.variant
    told = f"variant {old} is now {new}"
    return replace(content, text=text, variant=here, elsewhere=elsewhere), told


def _remove(content: Content, change: Change) -> tuple[Content, str]:
    name = word(change, "name")
    told = f"variant {name} taken out"
    if name == content.variant:
        content, _ = _select(content, {"name": ""})
    elsewhere = {k: v for k, v in content.elsewhere.items() if k != name}
    return replace(content, text=remove_variant(content.text, name), elsewhere=elsewhere), told


CHANGES = {
    "variant": _select,
    "add-variant": _add,
    "rename-variant": _rename,
    "remove-variant": _remove,
    "keep-parts": _keep,
}
"""Changes by their word."""
