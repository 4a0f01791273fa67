"""Changes of the variants in the text of an axis file; what others state stays as it is."""

from __future__ import annotations

import re
from collections.abc import Mapping, MutableMapping
from typing import TYPE_CHECKING, Any

from dutyline.axis import edit
from dutyline.axis.entries import changes
from dutyline.axis.fields import plain
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import ValueFault

if TYPE_CHECKING:
    from tomlkit import TOMLDocument

MOST_VARIANTS = 8
"""Variants that the page makes; with the file itself as many as there are keys 1 to 9."""
LONGEST_NAME = 60
_PATTERN = re.compile(r"[*?\[]")
_KINDS = ("motor", "gearhead", "drive", "brake", "resistor")

Table = MutableMapping[str, Any]


def names(text: str) -> tuple[str, ...]:
    """Names of the variants in order; none where the text is no TOML."""
    import tomllib

    try:
        tables = tomllib.loads(text).get("variant")
    except (ValueError, RecursionError):
        return ()
    tables = tables if isinstance(tables, list) else []
    found = (t.get("name") for t in tables if isinstance(t, Mapping))
    return tuple(n for n in found if isinstance(n, str) and n)


def add_variant(
    text: str, name: str, like: str = "", states: Mapping[str, Any] | None = None
) -> str:
    """The text with one more variant at the end of them.

    Parameters
    ----------
    text : str
    name : str
        One that no other has.
    like : str
        A variant whose changes it begins with; empty: none.
    states : mapping of str to object, optional
        Paths with what stands there instead, beside them.

    Raises
    ------
    InputError
        The name cannot be used, or there are enough variants.
    """
    import tomlkit

    document = edit.parsed(text if names(text) else f"{text.rstrip()}\n\n")
    name = _free(document, name)
    if len(document.get("variant") or []) >= MOST_VARIANTS:
        read = f"there are {MOST_VARIANTS} variants already."
        raise _refused("variant", read, "Take one out first.")
    table = tomlkit.table()
    table["name"] = name
    source = find_variant(document, like).unwrap() if like else {}
    given = {**_set_of(source), **(states or {})}
    if source.get("note"):
        table["note"] = source["note"]
    if given:
        table["set"] = _table_of(given)
    if source.get("phase"):
        table["phase"] = list_of(source["phase"])
    _last_of(table).add(tomlkit.nl())
    if document.get("variant") is None:
        document["variant"] = tomlkit.aot()
    document["variant"].append(table)
    return document.as_string()


def rename_variant(text: str, name: str, new: str) -> str:
    """The text with a variant under another name.

    Raises
    ------
    InputError
        There is no such variant, or the new name cannot be used.
    """
    document = edit.parsed(text)
    table = find_variant(document, name)
    table["name"] = _free(document, new)
    return document.as_string()


def remove_variant(text: str, name: str) -> str:
    """The text without a variant.

    Raises
    ------
    InputError
        There is no such variant.
    """
    document = edit.parsed(text)
    number = list(document.get("variant") or []).index(find_variant(document, name))
    del document["variant"][number]
    if not document["variant"]:
        document.pop("variant")
    return document.as_string()


def set_value(text: str, variant: str, path: str, typed: str) -> str:
    """The text with one field set in a variant; what the file itself states stays.

    An empty text takes the change out of the variant, as does what the file states too. Status and
    note of what the file states go along to the value of the variant; its range does not.

    Parameters
    ----------
    text : str
    variant : str
        Empty: the file itself.
    path, typed : str
        As :func:`dutyline.axis.edit.set_value`.

    Raises
    ------
    InputError
        There is no such field or variant, or the file states what the variant would take out.
    """
    import tomlkit

    if not variant:
        return edit.set_value(text, path, typed)
    document = edit.parsed(text)
    table = find_variant(document, variant)
    if _in_own_phases(table, path):
        holder, key, field = edit.place(table, path)
        edit.put(holder, key, field, typed.strip())
        return document.as_string()
    holder, key, field = edit.place(document, path)
    own = table.get("set")
    own = own if isinstance(own, MutableMapping) else tomlkit.table()
    spelled = _spelled(document, own, path)
    typed, stated = typed.strip(), holder.get(key)
    same = typed == edit.typed_at(text, path)
    if not typed or (same and _words_of(own.get(spelled, stated)) == _words_of(stated)):
        if not typed and spelled not in own and stated is not None:
            read = "the file itself states it; a variant can only state something else."
            raise _refused(path, read, "State another value, or take it out of the file as filed.")
        own.pop(spelled, None)
    else:
        words = _words_of(stated)
        if spelled not in own and words:
            own[spelled] = _copy({"value": typed, **words})
        edit.put(own, spelled, field, typed, stated)
    if not own:
        table.pop("set", None)
    elif "set" not in table:
        table["set"] = own
    return document.as_string()


def typed_at(text: str, variant: str, path: str) -> str:
    """What a variant states at a field, as it was typed; else what the file states there."""
    if not variant:
        return edit.typed_at(text, path)
    try:
        document = edit.parsed(text)
        table = find_variant(document, variant)
        if _in_own_phases(table, path):
            holder, key, _ = edit.place(table, path)
            return edit.shown(holder.get(key))
        own = table.get("set")
        own = own if isinstance(own, MutableMapping) else {}
        held = own.get(_spelled(document, own, path))
    except InputError:
        return ""
    return edit.typed_at(text, path) if held is None else edit.shown(held)


def set_status(text: str, variant: str, path: str, status: str, note: str | None = None) -> str:
    """The text with the status of a value set, in a variant where it states the value.

    Raises
    ------
    InputError
        There is no such variant, or no value stands there.
    """
    if not variant:
        return edit.set_status(text, path, status, note)
    import tomlkit

    document = edit.parsed(text)
    table = find_variant(document, variant)
    if _in_own_phases(table, path):
        holder, key, _ = edit.place(table, path)
        edit.mark(holder, key, path, status, note)
        return document.as_string()
    own = table.setdefault("set", tomlkit.table())
    spelled = _spelled(document, own, path)
    if spelled not in own:
        holder, key, _ = edit.place(document, path)
        if holder.get(key) is None:
            raise _refused(path, "nothing is stated there whose status could be set.")
        own[spelled] = _copy(holder[key])
    edit.mark(own, spelled, path, status, note)
    return document.as_string()


def named_parts(text: str, variant: str) -> dict[str, str | None]:
    """Parts that a variant names one by one in what it states of ``choose``, by kind."""
    if not variant or variant not in names(text):
        return {}
    own = _set_of(find_variant(edit.parsed(text), variant).unwrap())
    found: dict[str, str | None] = {}
    for kind in _KINDS:
        listed = own.get(f"choose.{kind}s")
        one = listed[0] if isinstance(listed, list) and len(listed) == 1 else None
        if isinstance(one, str) and not _PATTERN.search(one):
            found[kind] = None if one == "none" else one
    return found


def with_own_phases(document: TOMLDocument, variant: str) -> Any:
    """The table of a variant, which from now on states its phases itself.

    Raises
    ------
    InputError
        There is no such variant.
    """
    table = find_variant(document, variant)
    if "phase" in table:
        return table
    held = document.get("phase")
    held = held if isinstance(held, list) else []
    rows = [plain_of(row) for row in held if isinstance(row, Mapping)]
    table["phase"] = list_of(rows)
    own = table.get("set")
    if isinstance(own, MutableMapping):
        for path in [p for p in own if plain(p.partition(".")[0]) == "phase"]:
            holder, key, _ = edit.place(table, path)
            holder[key] = _copy(own.pop(path))
        if not own:
            table.pop("set")
    return table


def find_variant(document: TOMLDocument, name: str) -> Any:
    """The table of a variant.

    Raises
    ------
    InputError
        There is no such variant.
    """
    for table in document.get("variant") or []:
        if table.get("name") == name:
            return table
    raise _refused("variant", f'there is no variant "{name}".')


def _free(document: TOMLDocument, name: str) -> str:
    """The name, where it may be given."""
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise _refused("name", f"a name of 1 to {LONGEST_NAME} characters is needed.")
    if any(table.get("name") == name for table in document.get("variant") or []):
        raise _refused(
            "name", f'"{name}" is the name of another one.', "Give it a name of its own."
        )
    return name


def _set_of(source: Mapping[str, Any]) -> dict[str, Any]:
    try:
        return changes(source.get("set"))
    except ValueFault:
        return {}


def _words_of(held: Any) -> dict[str, Any]:
    """Status and note of what is stated."""
    whole = plain_of(held)
    kept = whole if isinstance(whole, Mapping) and "value" in whole else {}
    return {word: kept[word] for word in ("status", "note") if word in kept}


def _in_own_phases(table: Table, path: str) -> bool:
    return plain(path.partition(".")[0]) == "phase" and "phase" in table


def _spelled(document: TOMLDocument, own: Mapping[str, Any], path: str) -> str:
    """The path under which a variant states a field already, else the path itself."""
    if path in own:
        return path
    holder, key, _ = edit.place(document, path)
    for other in own:
        try:
            found, name, _ = edit.place(document, other)
        except InputError:
            continue
        if found is holder and name == key:
            return other
    return path


def plain_of(held: Any) -> Any:
    """What stands somewhere, without the form in which it is written."""
    return held.unwrap() if hasattr(held, "unwrap") else held


def _copy(held: Any) -> Any:
    """A value to stand at another place too."""
    import tomlkit

    plain_value = plain_of(held)
    if isinstance(plain_value, Mapping):
        table = tomlkit.inline_table()
        table.update(plain_value)
        return table
    return plain_value


def _table_of(given: Mapping[str, Any]) -> Any:
    import tomlkit

    table = tomlkit.table()
    for path, held in given.items():
        table[path] = _copy(held)
    return table


def list_of(rows: list[Mapping[str, Any]]) -> Any:
    """Plain rows as tables that stand one by one."""
    import tomlkit

    found = tomlkit.aot()
    for row in rows:
        table = _table_of(row)
        table.add(tomlkit.nl())
        found.append(table)
    return found


def _last_of(table: Any) -> Any:
    """The table that is written last of a table and those in it."""
    if "phase" in table:
        return table["phase"][-1]
    return table.get("set", table)


def _refused(field: str, read: str, remedy: str = "") -> InputError:
    return InputError("the change", [Fault("", field, read, remedy)])
