"""What every store must do; each store runs the same tests."""

from __future__ import annotations

from dutyline.store.records import Content


def content(text: str = "a") -> Content:
    return Content("lift.toml", text, {"motor": "XM"}, "")
