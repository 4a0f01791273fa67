"""Which fields may stand for each other, and which go together."""

from __future__ import annotations

from dataclasses import dataclass

from dutyline.axis.forms import BARE_KINDS, LINEAR_LOADS, ROTARY_LOADS
from dutyline.axis.stated import Stated
from dutyline.axis.tables import FaultList

_SCREWS = ("ball-screw", "lead-screw")
_LINEAR = tuple(kind for kind in LINEAR_LOADS if kind not in BARE_KINDS)
_ROTARY = tuple(kind for kind in ROTARY_LOADS if kind not in BARE_KINDS)


@dataclass(frozen=True, slots=True)
class Need:
    """Several ways to say one thing."""

    section: str
    kinds: tuple[str, ...]
    ways: tuple[tuple[str, ...], ...]
    """Each way is a group of fields that go together."""
    sample: str
    """How the first way is written."""
    exactly: bool = True
    """False: more than one way may stand together."""


SCREW_BODY = Need(
    "mechanism",
    _SCREWS,
    (("inertia",), ("body",), ("diameter", "length")),
    'diameter = "20 mm" and length = "600 mm"',
    exactly=False,
)
"""A screw that stands still (rotating nut) needs none of these."""

NEEDS: tuple[Need, ...] = (
    Need("load", _LINEAR, (("mass",), ("body",)), 'mass = "40 kg"', exactly=False),
    Need("load", _ROTARY, (("inertia",), ("body",)), 'inertia = "0.2 kg*m^2"', exactly=False),
    Need("mechanism", _SCREWS, (("lead",), ("pitch",)), 'lead = "10 mm"'),
    SCREW_BODY,
    Need("mechanism", ("lead-screw",), (("efficiency",), ("friction",)), "friction = 0.12"),
    Need("mechanism", ("rack",), (("diameter",), ("teeth", "module")),
         'teeth = 20 and module = "2 mm"'),
    Need("mechanism", ("belt",), (("diameter",), ("teeth", "pitch")),
         'teeth = 24 and pitch = "8 mm"'),
    Need("mechanism", ("ratio-table",), (("points",), ("file",)),
         'points = [["0 deg", "0 mm"], ["90 deg", "12 mm"], ...]'),
    Need("stage", ("reduction", "right-angle", "belt-reduction"),
         (("ratio",), ("teeth",), ("diameters",)), "ratio = 5"),
    Need("stage", ("worm",), (("ratio",),), "ratio = 30"),
    Need("stage", ("worm",), (("efficiency",), ("lead_angle", "friction")),
         "efficiency = 0.7"),
)  # fmt: skip


def check_needs(stated: Stated, faults: FaultList) -> None:
    """Tell of everything that a table lacks, or says twice."""
    for need in NEEDS:
        if need.section != stated.section.name or stated.kind not in need.kinds:
            continue
        if need is SCREW_BODY and stated.word("rotating") == "nut":
            continue
        _check(need, stated, faults)
    if stated.section.name == "mechanism" and stated.kind in _SCREWS:
        _check_starts(stated, faults)


def _check_starts(stated: Stated, faults: FaultList) -> None:
    """A lead beside a number of threads may be meant as a pitch; the factor is that number."""
    starts = stated.value("starts")
    if not stated.has("lead") or "starts" not in stated.entries or starts is None:
        return
    count, lead = round(starts.si), stated.value("lead")
    if count <= 1 or stated.has("pitch"):
        return
    keys = (*stated.keys, stated.spelled.get("starts", "starts"))
    typed = "" if lead is None else lead.typed
    read = f"read {count} beside lead; a lead is for the whole turn and has the starts in it."
    remedy = (
        f"If the nut travels {typed} a turn, leave starts out; if {typed} is from thread to "
        f'thread, write pitch = "{typed}" instead of lead: {count} times the travel.'
    )
    faults.add(keys, f"{stated.path}.starts", read, remedy)


def _check(need: Need, stated: Stated, faults: FaultList) -> None:
    begun = [way for way in need.ways if any(stated.has(name) for name in way)]
    if not begun:
        names = " or ".join(" and ".join(way) for way in need.ways)
        verb = "are" if len(need.ways) == 1 and len(need.ways[0]) > 1 else "is"
        where = f"{stated.path}.{need.ways[0][0]}"
        faults.add(stated.keys, where, f"{names} {verb} missing.", f"Add {need.sample}.")
        return
    if need.exactly and len(begun) > 1:
        both = " and ".join(" and ".join(way) for way in begun)
        name = next(n for n in begun[1] if stated.has(n))
        keys = (*stated.keys, stated.spelled.get(name, name))
        read = f"{both} say the same thing; one way is needed."
        faults.add(keys, f"{stated.path}.{name}", read, "Leave one of them out.")
        return
    if any(all(stated.has(name) for name in way) for way in begun):
        return
    way = begun[0]
    lacking = [name for name in way if not stated.has(name)]
    there = " and ".join(name for name in way if stated.has(name))
    read = f"{' and '.join(lacking)} is missing beside {there}."
    faults.add(stated.keys, f"{stated.path}.{lacking[0]}", read, f"Add {lacking[0]}.")
