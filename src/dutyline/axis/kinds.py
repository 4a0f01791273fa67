"""What every mechanism kind and stage kind is, in words and relations, with the smallest file."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache

from dutyline.axis.fields_mechanism import TITLES
from dutyline.axis.fields_train import STAGE_TITLES
from dutyline.axis.forms import STAGES
from dutyline.core.places import DATA


@dataclass(frozen=True, slots=True)
class Kind:
    """One mechanism kind or stage kind."""

    id: str
    title: str
    what: str
    """Two sentences or three."""
    travel: str
    """How the load (of a stage: its input) moves with the shaft, as a formula."""
    inertia: str
    """At its shaft, as a formula."""
    effort: str
    """At its shaft, or at the load, as a formula."""
    source: str
    """Of these relations."""
    watch: tuple[str, ...]
    """Sentences on what goes wrong silently."""
    example: str
    """A whole axis file, as short as it can be."""

    @property
    def relations(self) -> tuple[tuple[str, str], ...]:
        """Name and formula of the three relations."""
        return ("Travel", self.travel), ("Inertia", self.inertia), ("Effort", self.effort)


@cache
def kinds() -> dict[str, Kind]:
    """Every mechanism kind, then every stage kind, by id.

    >>> kinds()["worm"].title
    'Worm gear'
    """
    rows = tomllib.loads((DATA / "kinds.toml").read_text(encoding="utf-8"))["kind"]
    examples = {row["id"]: row["example"] for row in rows if "example" in row}
    titles = {**TITLES, **STAGE_TITLES}
    return {
        row["id"]: Kind(
            row["id"],
            titles[row["id"]],
            row["what"],
            row["travel"],
            row["inertia"],
            row["effort"],
            row["source"],
            tuple(row["watch"]),
            row.get("example") or _with_stage(row, examples),
        )
        for row in rows
    }


def is_stage(kind: Kind) -> bool:
    """Whether it is a stage; else it is a mechanism."""
    return kind.id in STAGES


def _with_stage(row: dict[str, str], examples: dict[str, str]) -> str:
    """The example of a mechanism with the stage in front of it."""
    under, stage = row["under"], STAGE_TITLES[row["id"]].lower()
    head, cycle = examples[under].split("[[phase]]", 1)
    title = f'title = "{TITLES[under]} behind a {stage}"'
    return f"{re.sub('title = .*', title, head)}{row['table']}\n[[phase]]{cycle}"
