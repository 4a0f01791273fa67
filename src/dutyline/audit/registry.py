"""The explicit list of rules: texts and thresholds from ``data/rules.toml``, and what runs."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator

from dutyline.audit import (
    brake_data,
    column_data,
    curve_data,
    drive_data,
    family_data,
    gearhead_data,
    motor_data,
    pair_data,
)
from dutyline.audit.look import Look
from dutyline.audit.records import Rule, Tested
from dutyline.core.places import DATA

_MODULES = (
    motor_data, brake_data, family_data, column_data, curve_data, drive_data, gearhead_data,
    pair_data,
)  # fmt: skip


def _run(rule: str) -> Callable[[Look], Iterator[Tested]]:
    """The function of a rule: its id with underscores."""
    name = rule.replace("-", "_")
    found: Callable[[Look], Iterator[Tested]] = next(
        getattr(module, name) for module in _MODULES if hasattr(module, name)
    )
    return found


def _listed() -> tuple[Rule, ...]:
    rows = tomllib.loads((DATA / "rules.toml").read_text(encoding="utf-8"))["rule"]
    usual = {"severity": "caution", "weight": 1.0, "near": 0.05, "few": ""}
    return tuple(
        Rule(
            **{
                **usual,
                **row,
                "needs": tuple(row["needs"]),
                "bands": {name: (low, high) for name, (low, high) in row["bands"].items()},
            },
            run=_run(row["id"]),
        )
        for row in rows
    )


RULES: tuple[Rule, ...] = _listed()
"""In the order in which they are told."""
