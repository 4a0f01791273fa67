"""A mapping file: read, and everything wrong with it told at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from dutyline.catalogue.library import THRESHOLDS
from dutyline.catalogue.origins import KINDS
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.reading import read_value
from dutyline.core.spelling import nearest
from dutyline.core.toml_lines import Path as KeyPath
from dutyline.core.toml_text import MOST_FAULTS, Document, read_document
from dutyline.intake import fields
from dutyline.intake.conventions import BY_KEY, CONVENTIONS, answers_of, keys_of
from dutyline.intake.keys import COLUMN, IGNORE, LINE, POINTS, TABLE, TOP, Key
from dutyline.intake.mapping import LineMap, Rule, TableRule, Target
from dutyline.intake.numerals import Numerals

NOUN = "mapping file"
OURS = (*(form.file for form in KINDS.values()), THRESHOLDS)
"""Files that may be read as they are."""
MOST_TABLES = 200
MOST_ROW = 10_000_000
_TEMPERATURES = ("at", "over")
_RPM = 9.549296585513721  # 30/pi, for a threshold alone


@dataclass(slots=True)
class _Reader:
    """The document with the faults found so far."""

    document: Document
    faults: list[Fault] = field(default_factory=list)

    def fault(self, keys: KeyPath, read: str, remedy: str = "") -> None:
        where = ".".join(str(k + 1) if isinstance(k, int) else k for k in keys)
        self.faults.append(Fault(self.document.place(keys), where, read, remedy))
        if len(self.faults) >= MOST_FAULTS:
            raise InputError(self.document.file, self.faults)

    def known(self, table: Any, keys: KeyPath, known: Sequence[Key], more: Sequence[str] = ()
              ) -> dict[str, Any]:  # fmt: skip
        """The entries of a table whose keys are known; the others are faults."""
        if not isinstance(table, dict):
            self.fault(keys, f"read {_shown(table)}; a table is needed.")
            return {}
        names = [*(k.name for k in known), *more]
        found = {}
        for name, value in table.items():
            if name in names:
                found[name] = value
                continue
            near = nearest(name, names)
            remedy = f'The nearest is "{near}".' if near else f"Known are {', '.join(names)}."
            self.fault((*keys, name), "there is no such key.", remedy)
        for key in known:
            if key.required and key.name not in found:
                self.fault(keys, f"{key.name} is missing; it is needed.", key.meaning)
        return found

    def take(self, table: Mapping[str, Any], keys: KeyPath, key: Key) -> Any:
        """One entry by what its key takes; None where it is left out or at fault."""
        if key.name not in table:
            return None
        value = table[key.name]
        place = (*keys, key.name)
        if value is True or value is False:
            good = key.takes == "flag"
        else:
            good = _TAKES[key.takes](value)
        if not good:
            self.fault(place, f"read {_shown(value)}; {_NEEDS[key.takes]} is needed.", key.meaning)
            return None
        if key.choices and value not in key.choices:
            choices = ", ".join(f'"{c}"' for c in key.choices)
            self.fault(place, f"read {_shown(value)}; one of {choices} is needed.", key.meaning)
            return None
        return value


def _texts(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(v, str) for v in value)


def _row(value: Any) -> bool:
    return isinstance(value, int) and 0 <= value <= MOST_ROW


_TAKES: dict[str, Callable[[Any], bool]] = {
    "text": lambda v: isinstance(v, str),
    "word": lambda v: isinstance(v, str),
    "temperature": lambda v: isinstance(v, str),
    "speed": lambda v: isinstance(v, str),
    "texts": _texts,
    "row": _row,
    "rows": lambda v: (
        _row(v)
        or (isinstance(v, list) and all(_row(r) and r is not True and r is not False for r in v))
    ),
    "flag": lambda v: isinstance(v, bool),
    "table": lambda v: isinstance(v, dict),
}
_NEEDS = {
    "text": "a text", "word": "a text", "temperature": "a temperature as text", "speed":
    "a speed as text", "texts": "a list of texts", "row": "the number of a row",
    "rows": "the number of a row or a list of such", "flag": "true or false", "table": "a table",
}  # fmt: skip


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | dict):
        return "a list" if isinstance(value, list) else "a table"
    return quoted(value)


def read_mapping(source: str | Path, text: str | None = None) -> LineMap:
    """The mapping of a file, or of a text in its place.

    Raises
    ------
    InputError
        Everything wrong with it, each with its line.
    """
    mapping = mapping_of(source, text)
    if mapping.faults:
        raise InputError(mapping.document.file, mapping.faults)
    return mapping


def mapping_of(source: str | Path, text: str | None = None) -> LineMap:
    """As :func:`read_mapping`, with the faults handed back; what is at fault is left out.

    Raises
    ------
    InputError
        The file cannot be read at all, or is not TOML.
    """
    document = read_document(source, text, noun=NOUN)
    reader = _Reader(document, list(document.faults))
    data = document.data
    top = reader.known(data, (), TOP)
    if "schema" in top and (top["schema"] != 1 or top["schema"] is True):
        reader.fault(("schema",), f"read {_shown(top['schema'])}; schema = 1 is needed.")
    stated = reader.known(top.get("line", {}), ("line",), LINE)
    stated = {k: v.isoformat() if isinstance(v, date) else v for k, v in stated.items()}
    line = {key.name: reader.take(stated, ("line",), key) for key in LINE}
    answers = _answers(reader, top.get("conventions", {}), ("conventions",))
    tables = top.get("table", [])
    if not isinstance(tables, list) or not all(isinstance(t, dict) for t in tables):
        reader.fault(("table",), "a list of tables is needed.", "Write [[table]] before each.")
        tables = []
    if len(tables) > MOST_TABLES:
        reader.fault(("table",), f"there are {len(tables)} tables; at most {MOST_TABLES} are read.")
        tables = tables[:MOST_TABLES]
    rules = [_table(reader, table, ("table", k)) for k, table in enumerate(tables)]
    return LineMap(
        document,
        document.folder,
        tuple(r for r in rules if r is not None),
        {name: value for name, value in line.items() if value},
        answers,
        _ours(reader, top, rules),
        tuple(reader.faults),
    )


def _ours(
    reader: _Reader, top: Mapping[str, Any], rules: Sequence[TableRule | None]
) -> tuple[str, ...]:
    """Files of our own form that are read beside the tables."""
    key = next(k for k in TOP if k.name == "ours")
    given = {rule.form.file for rule in rules if rule is not None}
    found = []
    for k, name in enumerate(reader.take(top, (), key) or ()):
        if name not in OURS:
            near = nearest(name, OURS)
            remedy = f'The nearest is "{near}".' if near else f"Known are {', '.join(OURS)}."
            reader.fault(("ours", k), f"read {quoted(name)}; a file of ours is needed.", remedy)
        elif name in given or name in found:
            read = f"{name} comes from a table of the mapping, or is named twice."
            reader.fault(("ours", k), read, "Keep one of the two.")
        else:
            found.append(name)
    return tuple(found)


def _answers(
    reader: _Reader, table: Any, keys: KeyPath, kind: str = "", field: str = ""
) -> dict[str, str]:
    """Conventions that are answered, by key."""
    if not isinstance(table, dict):
        reader.fault(keys, f"read {_shown(table)}; a table is needed.")
        return {}
    allowed = keys_of(kind, field) if field else tuple(BY_KEY)
    found: dict[str, str] = {}
    for key, answer in table.items():
        place = (*keys, key)
        if key not in allowed:
            near = nearest(key, allowed) if allowed else ""
            remedy = f'The nearest is "{near}".' if near else f"Known are {', '.join(allowed)}."
            if field:
                remedy = remedy if allowed else f"{field} has none."
            reader.fault(place, "there is no such convention here.", remedy)
        elif not isinstance(answer, str):
            reader.fault(place, f"read {_shown(answer)}; a text is needed.", BY_KEY[key].question)
        elif _answer_fits(reader, place, key, answer, field):
            found[key] = answer
    return found


def _answer_fits(reader: _Reader, place: KeyPath, key: str, answer: str, field: str) -> bool:
    if key in _TEMPERATURES:
        try:
            read_value(answer, "temperature")
        except ValueFault as fault:
            reader.fault(place, fault.read, fault.remedy)
            return False
        return True
    choices = answers_of(key, field) if field else tuple(BY_KEY[key].answers)
    if answer in choices:
        return True
    known = ", ".join(f'"{c}"' for c in choices)
    read = f"read {quoted(answer)}; one of {known} is needed."
    reader.fault(place, read, BY_KEY[key].question)
    return False


def _table(reader: _Reader, raw: dict[str, Any], keys: KeyPath) -> TableRule | None:
    table = reader.known(raw, keys, TABLE)
    got = {
        key.name: reader.take(table, keys, key)
        for key in TABLE
        if key.name not in ("columns", "constants", "conventions")
    }
    kind = got["into"]
    if kind is None or got["file"] is None:
        return None
    if kind not in KINDS:
        near = nearest(kind, KINDS)
        remedy = f'The nearest is "{near}".' if near else f"Known are {', '.join(KINDS)}."
        reader.fault((*keys, "into"), f"read {quoted(kind)}; a kind of part is needed.", remedy)
        return None
    _check_file(reader, (*keys, "file"), got["file"])
    if got["decimal"] and got["decimal"] == got["thousands"]:
        reader.fault((*keys, "thousands"), "is the decimal mark too; two marks are needed.")
    _check_strip(reader, (*keys, "strip"), got)
    columns = table.get("columns", {})
    rules: list[Rule] = []
    if isinstance(columns, dict):
        rules = [_rule(reader, kind, h, v, (*keys, "columns", h)) for h, v in columns.items()]
    else:
        reader.fault((*keys, "columns"), f"read {_shown(columns)}; a table is needed.")
    return TableRule(
        kind=kind,
        form=fields.form_of(kind),
        keys=keys,
        file=got["file"],
        sheet=got["sheet"] or "",
        heading=_heading(got["heading"]),
        units=got["units"] or None,
        first=got["first"] or None,
        last=got["last"] or None,
        skip=frozenset(_listed(got["skip"])),
        separator=got["separator"],
        encoding=got["encoding"],
        numerals=Numerals(got["decimal"] or "", got["thousands"] or ""),
        unknown=frozenset(word.casefold().strip() for word in got["unknown"] or ()),
        strip=tuple(mark for mark in got["strip"] or () if mark),
        turned=bool(got["turned"]),
        join=bool(got["join"]),
        sort=bool(got["sort"]),
        zero_below=_threshold(reader, (*keys, "zero_below"), got["zero_below"]),
        wide=_wide(reader, (*keys, "wide"), got["wide"], kind),
        rules=tuple(rules),
        constants=_constants(reader, kind, table.get("constants", {}), (*keys, "constants")),
        answers=_answers(reader, table.get("conventions", {}), (*keys, "conventions")),
    )


def _check_file(reader: _Reader, keys: KeyPath, name: str) -> None:
    parts = name.replace("\\", "/").split("/")
    if not name.strip() or "\0" in name:
        reader.fault(keys, "the name of a file is needed.")
    elif name.startswith(("/", "\\", "~")) or ".." in parts or ":" in parts[0]:
        read = f"read {quoted(name)}; a file in the folder of the mapping, or below it, is needed."
        reader.fault(keys, read, "Copy the file beside the mapping.")


def _check_strip(reader: _Reader, keys: KeyPath, got: Mapping[str, Any]) -> None:
    """A mark to leave out may be no part of a number: what is left would be another one."""
    own = {"+", "-", "\u2212", got["decimal"], got["thousands"]} - {None}
    for mark in got["strip"] or ():
        if mark.strip() in own or any(c.isdigit() for c in mark):
            read = f"read {quoted(mark)}; a mark that belongs to no number is needed."
            reader.fault(keys, read, "Correct the cells; values replaces whole cells.")


def _listed(value: Any) -> list[int]:
    return [] if value is None else [value] if isinstance(value, int) else list(value)


def _heading(value: Any) -> tuple[int, ...]:
    return (1,) if value is None else tuple(row for row in _listed(value) if row)


def _threshold(reader: _Reader, keys: KeyPath, text: str | None) -> float | None:
    if text is None:
        return None
    try:
        return abs(read_value(text, "angular-speed").si) * _RPM
    except ValueFault as fault:
        reader.fault(keys, fault.read, fault.remedy)
        return None


def _wide(reader: _Reader, keys: KeyPath, table: Any, kind: str) -> tuple[str, str] | None:
    if table is None:
        return None
    if kind != "curves":
        reader.fault(keys, "is for curves alone.")
        return None
    if set(table) != {"speed", "torque"} or not all(isinstance(v, str) for v in table.values()):
        reader.fault(keys, "needs speed and torque, each with its unit as text.",
                     'Write wide = { speed = "r/min", torque = "N*m" }.')  # fmt: skip
        return None
    return table["speed"], table["torque"]


def _constants(
    reader: _Reader, kind: str, table: Any, keys: KeyPath
) -> tuple[tuple[Target, str], ...]:
    if not isinstance(table, dict):
        reader.fault(keys, f"read {_shown(table)}; a table is needed.")
        return ()
    found = []
    for name, value in table.items():
        place = (*keys, name)
        text = str(value) if isinstance(value, int | float) and value is not True else value
        target = _target(reader, kind, {"field": name, "unit": "cell"}, place)
        if not isinstance(text, str) or value is False:
            reader.fault(place, f"read {_shown(value)}; a text is needed.")
        elif target is not None:
            found.append((target, text))
    return tuple(found)


def _rule(reader: _Reader, kind: str, heading: str, value: Any, keys: KeyPath) -> Rule:
    if value == IGNORE:
        return Rule(heading, (), keys)
    items = value if isinstance(value, list) else [value]
    targets = []
    for k, item in enumerate(items):
        place = (*keys, k) if isinstance(value, list) else keys
        if isinstance(item, str):
            target = _target(reader, kind, {"field": item}, place)
        elif isinstance(item, dict):
            target = _target(reader, kind, item, place)
        else:
            read = f"read {_shown(item)}; a field, a table or {quoted(IGNORE)} is needed."
            reader.fault(place, read)
            target = None
        if target is not None:
            targets.append(target)
    return Rule(heading, tuple(targets), keys)


def _target(reader: _Reader, kind: str, raw: dict[str, Any], keys: KeyPath) -> Target | None:
    name = raw.get("field")
    own = [key.name for key in COLUMN]
    answered = {key: value for key, value in raw.items() if key not in own and key in BY_KEY}
    table = reader.known(
        {k: v for k, v in raw.items() if k not in answered}, keys, COLUMN,
        [c.key for c in CONVENTIONS],
    )  # fmt: skip
    if not isinstance(name, str):
        return None
    if name not in fields.names(kind):
        near = nearest(name, fields.names(kind))
        remedy = f'The nearest is "{near}".' if near else "docs/reference/mapping.md has all."
        reader.fault(keys, f"{kind} have no field {quoted(name)}.", remedy)
        return None
    got = {key.name: reader.take(table, keys, key) for key in COLUMN}
    words = got["values"] or {}
    if not all(isinstance(word, str) for word in words.values()):
        reader.fault((*keys, "values"), "texts are needed for the words.", 'Write "ja" = "IP65".')
        words = {}
    factor = None
    column = fields.column_for(kind, name)
    if got["factor"] is not None and (column is None or column.kind != "pairs"):
        read = f"{name} has no load factors; the factor would change nothing."
        reader.fault((*keys, "factor"), read, "Say what the numbers are with unit.")
    elif got["factor"] is not None:
        try:
            factor = Numerals(".").read(got["factor"])[0]
        except ValueFault as fault:
            reader.fault((*keys, "factor"), fault.read, fault.remedy)
    if name == POINTS and not (got["speed"] and got["torque"]):
        reader.fault(keys, "points need the units of speed and torque.",
                     'Write speed = "r/min", torque = "N*m".')  # fmt: skip
    return Target(
        field=name,
        column=column,
        keys=keys,
        unit=got["unit"] or "",
        part=got["part"] or "",
        values={key.casefold().strip(): word for key, word in words.items()},
        answers=_answers(reader, answered, keys, kind, name),
        repeat=bool(got["repeat"]),
        items=got["list"] or "",
        pair=got["pair"] or "",
        factor=factor,
        speed=got["speed"] or "",
        torque=got["torque"] or "",
    )
