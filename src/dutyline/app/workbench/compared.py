"""Combinations side by side: what differs in parts and in checks."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.workbench.judged import PARTS, Judged
from dutyline.app.workbench.ledger import key_of, row
from dutyline.app.workbench.records import CompareView
from dutyline.catalogue.pairing import NONE
from dutyline.core.numbers import quantity
from dutyline.report.sections.answer import answer
from dutyline.report.sections.ledger import counted
from dutyline.selection.rank import moved_mass

MOST_COMPARED = 3
_ABSENT = ("", "no such check")


def side_by_side(several: Sequence[Judged]) -> CompareView:
    """What differs between combinations on one axis.

    Parameters
    ----------
    several : sequence of Judged
        On the same axis.
    """
    heads, columns = [], []
    parts: dict[str, list[str]] = {kind.capitalize(): [] for kind in PARTS}
    parts["Mass on the machine"] = []
    titles: dict[str, str] = {}
    for one in several:
        with one.axis.reader.served():
            heads.append((one.verdict.combination.text(), answer(one.verdict).states))
            mass = moved_mass(one.verdict, one.verdict.line)
            parts["Mass on the machine"].append(
                quantity(mass, "kg", n=2) if mass < float("inf") else "not stated"
            )
            column = {}
            for line in counted(one.verdict):
                shown = row(line)
                titles.setdefault(key_of(line), f"{line.title}, {line.part}")
                said = shown.used or shown.state
                column[key_of(line)] = (shown.mark, said)
            columns.append(column)
        for kind in PARTS:
            parts[kind.capitalize()].append(getattr(one.verdict.combination, kind) or NONE)
    rows = [(titles[key], tuple(column.get(key, _ABSENT) for column in columns)) for key in titles]
    differing = [r for r in rows if len(set(r[1])) > 1]
    return CompareView(
        heads=tuple(heads),
        parts=tuple((k, tuple(v)) for k, v in parts.items() if len(set(v)) > 1),
        rows=tuple(differing),
        alike=len(rows) - len(differing),
    )
