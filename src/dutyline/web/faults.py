"""Faults as programs and pages read them."""

from __future__ import annotations

from dutyline.core.errors import Fault


def fault_json(fault: Fault) -> dict[str, str | list[str]]:
    """A fault for a program."""
    return {
        "place": fault.place, "field": fault.field, "read": fault.read, "remedy": fault.remedy,
        "meanings": list(fault.meanings),
    }  # fmt: skip
