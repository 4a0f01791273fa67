"""What every store must do; each store runs the same tests."""

from __future__ import annotations

from pathlib import Path

from dutyline.store.memory import MemoryStore
from dutyline.store.opening import named, open_file
from dutyline.store.records import Content, Store
from support.postgresql import Cluster

KINDS = ("memory", "sqlite", "postgresql")


def content(text: str = "a") -> Content:
    return Content("lift.toml", text, {"motor": "XM"}, "")


def made(kind: str, folder: Path, cluster: Cluster | None) -> Store:
    """A new and empty store."""
    if kind == "memory":
        return MemoryStore()
    if kind == "sqlite":
        return open_file(folder / "axes.sqlite")
    assert cluster is not None
    return named(cluster.database())[0]
