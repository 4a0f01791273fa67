"""Limits of a branch, which no check looks at."""

from __future__ import annotations

from collections.abc import Iterator

from dutyline.axis.stated import Stated, Tree

LIMITS = (
    "dynamic_rating",
    "hub_force",
    "key",
    "overhang",
    "pretension",
    "static_rating",
    "speed_value",
    "traction",
    "traction_friction",
)
"""Fields besides those called ``_limit`` that only a check reads."""


def branch_limits(tree: Tree) -> Iterator[str]:
    """Paths of what mechanism and stages of a branch are said to bear."""
    for branch in tree.many("branch"):
        own = branch.entries.get("mechanism")
        tables = [*branch.tables("stage"), *([own] if isinstance(own, Stated) else [])]
        for table in tables:
            for name in table.entries:
                if name.endswith("_limit") or name in LIMITS:
                    yield f"{table.path}.{name}"
