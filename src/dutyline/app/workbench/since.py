"""Fields typed since the last good result: they show what stands in the file, not what was used."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from dutyline.app.workbench.records import Wrong
from dutyline.axis.edit import shown
from dutyline.store.records import Content


def typed_since(content: Content, good: str) -> dict[str, Wrong]:
    """Fields of the content that the good text states otherwise, by their path.

    Phases are left out, as the page reads them from the content; so is what a variant sets.
    """
    if content.variant:
        return {}
    try:
        now, then = (dict(_values(tomllib.loads(text))) for text in (content.text, good))
    except (tomllib.TOMLDecodeError, RecursionError):
        return {}
    changed = (path for path in {**then, **now} if now.get(path) != then.get(path))
    return {path: Wrong(now.get(path, ""), "", gone=path not in now) for path in changed}


def _values(data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for name, held in data.items():
        if isinstance(held, dict):
            yield from _fields(name, held)
        elif name == "stage" and isinstance(held, list):
            for each in held:
                if isinstance(each, dict) and isinstance(each.get("name"), str):
                    yield from _fields(f"stage.{each['name']}", each)


def _fields(base: str, table: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for key, held in table.items():
        if typed := shown(held):
            yield f"{base}.{key}", typed
