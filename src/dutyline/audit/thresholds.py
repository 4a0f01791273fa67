"""``audit.toml`` beside the files of a line: its own thresholds, and figures that are confirmed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from dutyline.audit.confirmed import FIELDS, NOTE, Confirmed, key_of, misread
from dutyline.audit.records import Band, Finding, Rule
from dutyline.catalogue.library import THRESHOLDS
from dutyline.catalogue.parts import ProductLine
from dutyline.catalogue.side_files import table_of
from dutyline.core.errors import Fault, InputError
from dutyline.core.spelling import nearest

_LARGEST = 10**300


@dataclass(frozen=True, slots=True)
class Settings:
    """How a line wants to be audited."""

    rules: tuple[Rule, ...]
    """With the thresholds of the line; those switched off are left out."""
    off: tuple[str, ...] = ()
    confirmed: tuple[Confirmed, ...] = ()
    """Figures that somebody stands for, each once."""

    def holds(self, finding: Finding) -> bool:
        """Whether the very cell is confirmed."""
        return key_of(finding) in self.confirmed


def settings_of(line: ProductLine, rules: Sequence[Rule]) -> Settings:
    """The rules with the thresholds of a line.

    Raises
    ------
    InputError
        Its ``audit.toml`` cannot be used; every fault at once.
    """
    data = line.thresholds
    if data is None:
        return Settings(tuple(rules))
    faults: list[Fault] = []
    table = table_of(THRESHOLDS, data, faults)
    unknown = [key for key in table if key not in ("schema", "rule", "confirmed")]
    for key in unknown:
        faults.append(_fault("", f'there is no section "{key}"; rule and confirmed are known.'))
    if table and table.get("schema") != 1:
        faults.append(_fault("schema", "schema = 1 is needed.", "Write it in the first line."))
    by_id = {rule.id: rule for rule in rules}
    stated = table.get("rule", {})
    if not isinstance(stated, dict):
        faults.append(_fault("rule", "a table for each rule is needed.", "Write [rule.ID]."))
        stated = {}
    off = []
    for name, own in stated.items():
        if name not in by_id or not isinstance(own, dict):
            close = nearest(name, by_id)
            remedy = f'The nearest is "{close}".' if close else "docs/reference/audit.md has all."
            faults.append(_fault(f"rule.{name}", "there is no such rule.", remedy))
            continue
        by_id[name] = replace(by_id[name], bands=_bands(by_id[name], own, faults))
        if own.get("off") is True:
            off.append(name)
    confirmed = tuple(dict.fromkeys(_confirmed(table.get("confirmed", []), faults)))
    if faults:
        raise InputError(f"{THRESHOLDS} of {line.name}", faults)
    return Settings(tuple(r for r in by_id.values() if r.id not in off), tuple(off), confirmed)


def _fault(field: str, read: str, remedy: str = "") -> Fault:
    return Fault(THRESHOLDS, field, read, remedy)


def _bands(rule: Rule, own: dict[str, Any], faults: list[Fault]) -> dict[str, Band]:
    bands = dict(rule.bands)
    for key, value in own.items():
        place = f"rule.{rule.id}.{key}"
        if key == "off":
            if not isinstance(value, bool):
                faults.append(_fault(place, "true or false is needed."))
        elif key not in bands:
            known = ", ".join([*bands, "off"])
            faults.append(_fault(place, f"there is no such threshold; {known} are known."))
        elif not _is_band(value):
            need = "two numbers are needed, the lower first."
            low, high = bands[key]
            faults.append(_fault(place, need, f"It is [{low:g}, {high:g}] by default."))
        else:
            bands[key] = (float(value[0]), float(value[1]))
    return bands


def _is_band(value: Any) -> bool:
    pair = isinstance(value, list) and len(value) == 2
    numbers = pair and all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in value)
    if not numbers or not all(isinstance(v, float) or abs(v) < _LARGEST for v in value):
        return False
    return not any(math.isnan(v) for v in value) and bool(value[0] <= value[1])


def _confirmed(rows: Any, faults: list[Fault]) -> list[Confirmed]:
    found: list[Confirmed] = []
    if not isinstance(rows, list):
        faults.append(_fault("confirmed", "a list is needed.", "Write [[confirmed]]."))
        return found
    for number, row in enumerate(rows, start=1):
        place = f"confirmed {number}"
        if not isinstance(row, dict) or not all(isinstance(v, str) for v in row.values()):
            faults.append(_fault(place, "text is needed, in quotes, for each of its fields."))
            continue
        if set(row) - {NOTE} != set(FIELDS):
            read = f"needs {', '.join(FIELDS)}; {NOTE} is free."
            faults.append(_fault(place, read, "value is the cell as it is written."))
            continue
        entry = Confirmed(*(row[field] for field in FIELDS))
        read, remedy = misread(entry)
        if read:
            faults.append(_fault(place, read, remedy))
        else:
            found.append(entry)
    return found
