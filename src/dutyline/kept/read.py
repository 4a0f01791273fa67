"""One file with kept verdicts, from bytes to records; nothing in it is trusted."""

from __future__ import annotations

import hashlib
import json
import math
import tomllib
from dataclasses import fields
from pathlib import Path
from typing import Any

from dutyline.checks.records import Combination
from dutyline.core.faults import quoted
from dutyline.kept.records import RANK, Kept, Row

MOST_VERDICTS = 1_000
"""Of one file."""
MOST_ROWS = 1_000
LONGEST = 300
_PARTS = tuple(f.name for f in fields(Combination))
_VERDICT, _SHORTLIST = "dutyline.verdict/1", "dutyline.shortlist/1"
_VARIANT, _REPORT = "dutyline.variant/1", "dutyline.report/1"
_KINDS = {s.rpartition("/")[0] for s in (_VERDICT, _SHORTLIST, _VARIANT, _REPORT)}


def kept_verdicts(path: Path, content: bytes) -> list[Kept]:
    """The verdicts that a file of JSON holds; none where it is about something else.

    One that cannot be used comes with its fault.
    """
    try:
        data = json.loads(content)
    except (ValueError, RecursionError):
        return [_broken(path, "is not JSON.")]
    schema = data.get("schema") if isinstance(data, dict) else None
    if schema in (_VERDICT, _REPORT):
        return [_kept(path, "", data)]
    if schema == _VARIANT:
        result = data.get("result")
        return [_kept(path, "", result)] if isinstance(result, dict) else [_broken(path)]
    if schema == _SHORTLIST:
        rows = data.get("candidates")
        if not isinstance(rows, list):
            return [_broken(path)]
        return [
            _kept(path, f", candidate {k}", row) for k, row in enumerate(rows[:MOST_VERDICTS], 1)
        ]
    if isinstance(schema, str) and schema.rpartition("/")[0] in _KINDS:
        return [_broken(path, f"is of schema {quoted(schema)}, which this version does not read.")]
    return []


def kept_axis(path: Path, content: bytes) -> Kept | None:
    """An axis file that names its parts, as if it were a verdict; None where it names none."""
    if b"[choose]" not in content:
        return None
    try:
        choose = tomllib.loads(content.decode("utf-8-sig")).get("choose")
    except (ValueError, RecursionError):
        return _broken(path, "is not TOML.")
    if not isinstance(choose, dict):
        return None
    names = {part: _one_name(choose.get(f"{part}s", [])) for part in _PARTS}
    if not names["motor"] or any(name is None for name in names.values()):
        return None
    chosen = {part: name for part, name in names.items() if name and name.casefold() != "none"}
    return Kept(
        source=str(path),
        folder=str(path.parent),
        axis_file=path.name,
        checksum=hashlib.sha256(content).hexdigest(),
        combination=Combination(**chosen),
    )


def _one_name(stated: Any) -> str | None:
    """The one part named, empty for none; None where several or patterns are."""
    if isinstance(stated, str):
        stated = [stated]
    if stated == []:
        return ""
    if not isinstance(stated, list) or len(stated) != 1 or not isinstance(stated[0], str):
        return None
    return None if any(c in stated[0] for c in "*?[") else stated[0]


class _UnfitError(Exception):
    """What a verdict lacks."""


def _kept(path: Path, which: str, data: Any) -> Kept:
    try:
        return _read(path, which, _table(data, "a verdict"))
    except _UnfitError as unfit:
        return _broken(path, f"cannot be used: {unfit}.", which)


def _broken(path: Path, fault: str = "is no verdict of dutyline.", which: str = "") -> Kept:
    return Kept(f"{path}{which}", str(path.parent), "", "", Combination(""), fault=fault)


def _read(path: Path, which: str, data: dict[str, Any]) -> Kept:
    axis = _table(data.get("axis"), "axis")
    line = _table(data.get("line") or {}, "line")
    named = _table(data.get("combination"), "combination")
    parts = {part: _text(named, part) or None for part in _PARTS}
    if not parts["motor"]:
        raise _UnfitError("combination.motor is missing")
    verdict = _text(data, "verdict")
    if verdict not in RANK:
        raise _UnfitError("verdict is missing")
    files = _table(axis.get("files") or {}, "axis.files")
    return Kept(
        source=f"{path}{which}",
        folder=str(path.parent),
        axis_file=_text(axis, "file"),
        checksum=_text(axis, "checksum"),
        combination=Combination(**parts),  # type: ignore[arg-type]
        title=_text(axis, "title"),
        files={str(name)[:LONGEST]: _text(files, name) for name in list(files)[:MOST_ROWS]},
        variant=_text(axis, "variant"),
        settled=isinstance(data.get("settling"), dict),
        estimated=bool(line.get("estimated")),
        verdict=verdict,
        binding=_text(data, "binding"),
        ledger=_ledger(data.get("ledger")),
        edition=_text(line, "edition"),
        content_hash=_text(line, "content_hash"),
        version=_text(data, "version"),
    )


def _ledger(rows: Any) -> tuple[Row, ...]:
    if not isinstance(rows, list):
        return ()
    tables = [_table(row, "ledger") for row in rows[:MOST_ROWS]]
    return tuple(
        Row(_text(r, "check"), _text(r, "part"), _text(r, "state"), _margin(r.get("margin")))
        for r in tables
    )


def _margin(value: Any) -> float | None:
    """A number that can be one; all else is none."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or abs(value) > 1e300:
        return None
    return float(value) if math.isfinite(value) else None


def _table(value: Any, name: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise _UnfitError(f"{name} is missing")
    return value


def _text(table: dict[str, Any], key: str) -> str:
    value = table.get(key)
    if value is None:
        return ""
    if not isinstance(value, str) or len(value) > LONGEST:
        raise _UnfitError(f"{key[:40]} is no text")
    return value
