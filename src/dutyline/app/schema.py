"""Every field of the axis file: kind, unit, default, meaning."""

from __future__ import annotations

from typing import Any

from dutyline.axis import schema as axis_schema


def schema(kind: str | None = None) -> dict[str, Any]:
    """The fields that may stand in an axis file, as JSON Schema.

    Parameters
    ----------
    kind : str, optional
        A mechanism, stage or phase kind: its fields only.
    """
    return axis_schema.schema(kind)
