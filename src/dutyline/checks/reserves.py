"""The rows of ``data/checks.toml`` and the reserves in them."""

from __future__ import annotations

import tomllib
from typing import Any

from dutyline.axis.model import Axis
from dutyline.core.places import DATA

ROWS: tuple[dict[str, Any], ...] = tuple(
    tomllib.loads((DATA / "checks.toml").read_text(encoding="utf-8"))["check"]
)
DEFAULTS: dict[str, float] = {row["id"]: float(row["reserve"]) for row in ROWS}


def required_reserve(check: str, axis: Axis) -> float:
    """The reserve stated in the axis file for a check id, else its default."""
    return float(axis.reserve.get(check, DEFAULTS[check]))
