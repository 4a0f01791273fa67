"""Candidates side by side: the tightest check of each family, and why others were rejected."""

from __future__ import annotations

import math
from dataclasses import replace

from dutyline.app.workbench.records import CandidateView, RejectedView, ShortlistView
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.core.numbers import group, quantity
from dutyline.report.sections.answer import answer
from dutyline.report.words import mark_of, share
from dutyline.selection.rank import moved_mass
from dutyline.selection.records import Shortlist

FAMILIES: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("Speed", ("top-speed", "gear-max-speed", "gear-mean-speed", "speed-on-low-mains"), ""),
    ("Peak", ("peak-torque",), ""),
    ("Continuous", ("continuous-use", "winding-temperature", "overload-accumulated"), "motor"),
    ("Holding", ("standstill-torque", "brake-hold"), ""),
    ("Drive", ("drive-peak-current", "drive-continuous-current", "overload-accumulated"), "drive"),
    ("Gearhead", ("gear-peak", "gear-equivalent", "gear-emergency", "gear-life"), ""),
    ("Brake", ("brake-stop-energy", "brake-life", "brake-gear-load", "brake-stop-distance"), ""),
    ("Inertia", ("inertia-ratio",), ""),
)
"""Heading, checks under it, and the part they speak of where it matters."""
MOST_CANDIDATES = 12
MOST_REJECTED = 6


def shortlist(found: Shortlist, here: Combination) -> ShortlistView:
    """Rows of the shortlist."""
    kept = found.candidates[:MOST_CANDIDATES]
    works = f"{len(found.candidates)} of {group(found.pairs)} pairs fail no check"
    said = f"tightest check of each family; {works}"
    return ShortlistView(
        said=said,
        order=found.order,
        candidates=tuple(_candidate(v, n, here) for n, v in enumerate(kept)),
        rejected=tuple(
            RejectedView(r.combination.text(), _sentence(r.text), _sentence(r.near_miss))
            for r in found.rejected[:MOST_REJECTED]
        ),
        more=sum(r.pairs for r in found.rejected[MOST_REJECTED:]),
        none=found.none_works,
    )


def looked_at(found: ShortlistView, here: Combination) -> ShortlistView:
    """The same rows with another combination looked at."""
    names = names_of(here)
    rows = tuple(replace(c, here=c.names == names) for c in found.candidates)
    return replace(found, candidates=rows)


def _candidate(verdict: Verdict, number: int, here: Combination) -> CandidateView:
    names = verdict.combination
    mass = moved_mass(verdict, verdict.line)
    return CandidateView(
        key=f"candidate-{number}",
        motor=names.motor,
        gearhead=names.gearhead or "no gearhead",
        marks=answer(verdict).states,
        shares=tuple(_tightest(verdict, *family) for family in FAMILIES),
        mass=quantity(mass, "kg", n=2) if math.isfinite(mass) else "",
        mass_kg=mass,
        here=names == here,
        names=names_of(names),
    )


def names_of(names: Combination) -> dict[str, str | None]:
    """Part names by kind."""
    kinds = ("motor", "gearhead", "drive", "brake", "resistor")
    return {kind: getattr(names, kind) for kind in kinds}


def _tightest(
    verdict: Verdict, family: str, checks: tuple[str, ...], part: str
) -> tuple[str, str, float, str]:
    own = [
        line
        for line in verdict.ledger
        if line.check in checks and (not part or line.part == part) and not line.yes_no
    ]
    measured = [line for line in own if line.used is not None and math.isfinite(line.used)]
    worst: Line | None = max(measured, key=lambda line: line.used or 0.0, default=None)
    if worst is None or worst.used is None:
        open_ = any(line.state == "not-checked" for line in own)
        return family, "", math.nan, "open" if open_ else "none"
    return family, share(worst.used), worst.used, mark_of(worst)


def _sentence(text: str) -> str:
    if not text:
        return ""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?")) else ".")
