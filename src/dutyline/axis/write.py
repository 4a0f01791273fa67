"""An axis back as TOML text in canonical words."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from dutyline.axis.fields import SECTIONS
from dutyline.axis.model import Axis

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def write_axis(axis: Axis) -> str:
    """The text of an axis file that reads as the same axis.

    Parameters
    ----------
    axis : Axis
        As read.

    Returns
    -------
    str
        TOML with everything that was stated; defaults are left to defaults.
    """
    return text_of(axis.stated)


def text_of(stated: Mapping[str, list[dict[str, Any]]]) -> str:
    """TOML text of plain data by section; see :attr:`dutyline.axis.model.Axis.stated`."""
    parts = ["schema = 1\n"]
    for name, tables in stated.items():
        brackets = f"[[{name}]]" if SECTIONS[name].many else f"[{name}]"
        for table in tables:
            rows = [f"{_key(key)} = {_value(item)}\n" for key, item in table.items()]
            parts.append("".join([f"\n{brackets}\n", *rows]))
    return "".join(parts)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _string(key)


def _string(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(item: Any) -> str:
    if isinstance(item, bool):
        return str(item).lower()
    if isinstance(item, str):
        return _string(item)
    if isinstance(item, Mapping):
        inside = ", ".join(f"{_key(str(key))} = {_value(one)}" for key, one in item.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(item, list | tuple):
        return f"[{', '.join(_value(one) for one in item)}]"
    return repr(item)
