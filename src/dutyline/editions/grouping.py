"""Changes told together: the same one in many rows once, with its count and range."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from dutyline.editions.records import Change, Group

ALIKE = 0.01
"""Relative distance up to which ratios count as one: what rounding to three digits leaves."""
MOST_CLUSTERS = 3
"""Clusters of ratios of one column told apart; more are told as one range."""
_RANK = {"less": 0, "": 2, "more": 4}


def grouped(changes: Iterable[Change], counts: Mapping[str, int]) -> tuple[Group, ...]:
    """Groups of changes, most tightening first, within that the largest first.

    Parameters
    ----------
    changes : iterable of Change
    counts : mapping
        Rows by kind that both lines have.
    """
    columns: dict[tuple[str, str, str, str], list[Change]] = {}
    for change in changes:
        way = _way(change)
        columns.setdefault((change.kind, change.field, change.nature, way), []).append(change)
    found = [
        _group(members, counts[kind])
        for (kind, *_), own in columns.items()
        for members in _apart(own)
    ]
    return tuple(sorted(found, key=_urgency))


def _way(change: Change) -> str:
    """Up and down are told apart even where nobody can say which is safer."""
    if change.effect:
        return change.effect
    if change.ratio is None:
        return ""
    return "up" if change.ratio > 1 else "down"


def _apart(changes: list[Change]) -> list[list[Change]]:
    """Changes of one column and direction, apart where a few different ones stand in it."""
    if changes[0].nature != "value":
        return [changes]
    if any(change.ratio is None for change in changes):
        pairs: dict[tuple[str, str], list[Change]] = {}
        for change in changes:
            pairs.setdefault((change.old, change.new), []).append(change)
        return list(pairs.values()) if len(pairs) <= MOST_CLUSTERS else [changes]
    clusters: list[list[Change]] = []
    for change in sorted(changes, key=_ratio):
        if clusters and _ratio(change) <= _ratio(clusters[-1][0]) * (1 + ALIKE):
            clusters[-1].append(change)
        else:
            clusters.append([change])
    if len(clusters) > MOST_CLUSTERS:
        return [changes]
    place = {id(change): k for k, change in enumerate(changes)}
    return [sorted(own, key=lambda c: place[id(c)]) for own in clusters]


def _ratio(change: Change) -> float:
    return 1.0 if change.ratio is None else change.ratio


def _group(changes: list[Change], of: int) -> Group:
    ratios = [c.ratio for c in changes if c.ratio is not None]
    first = changes[0]
    return Group(
        kind=first.kind,
        field=first.field,
        column=first.column,
        changes=tuple(changes),
        low=min(ratios, default=None),
        high=max(ratios, default=None),
        nature=first.nature,
        effect=first.effect,
        of=of,
    )


def _urgency(group: Group) -> tuple[int, float]:
    rank = {"value": _RANK[group.effect], "unstated": 1, "stated": 3}[group.nature]
    ends = [v for v in (group.low, group.high) if v is not None]
    return rank, -max((abs(math.log(v)) for v in ends), default=0.0)
