"""What a reader of the results has to know about the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from dutyline.axis.beside import checksum_beside
from dutyline.axis.build_stops import RAMPED
from dutyline.axis.gaps import spoken, weightless
from dutyline.axis.remarks_back import driven_back
from dutyline.axis.remarks_branch import branch_limits
from dutyline.axis.remarks_load import load_remarks
from dutyline.axis.remarks_parts import part_remarks
from dutyline.axis.remarks_web import web_remarks
from dutyline.axis.stated import Stated, Tree
from dutyline.axis.sweep import swept_ranges
from dutyline.core.numbers import bare, judged, stated_quantity
from dutyline.core.values import Value
from dutyline.motion.pieces import Cycle
from dutyline.train.records import Train

UNJUDGED = "Wanted, but judged by no check of this version; compare by hand"
"""How the note begins that names limits and wishes without a check."""


def notes_of(tree: Tree, train: Train, cycle: Cycle, files: Mapping[str, str]) -> tuple[str, ...]:
    """Sections and fields stated but unused, and how missing data were completed."""
    unused = [
        path
        for name, tables in tree.tables.items()
        for path in ((f"[{name}]",) if _set_aside(tables) else _paths(tables))
    ]
    wanted = [path for path in unused if _is_wish(path)]
    wanted += [*_unjudged_stops(tree), *branch_limits(tree)]
    rest = [path for path in unused if path not in wanted]
    unjudged = [f"{UNJUDGED}: {', '.join(wanted)}."] if wanted else []
    stated = [f"Stated, but used by no check of this version: {', '.join(rest)}."] if rest else []
    warnings = [f"In phase {p.name} {p.warning}." for p in cycle.phases if p.warning]
    completed = [f"Phase {phase.name}: {phase.note}." for phase in cycle.phases if phase.note]
    slow = _slow(train, cycle)
    found = [*_ranges(tree), *_sum(tree, train), *part_remarks(tree, train), *driven_back(tree)]
    found += slow
    found += [
        *_powerless(tree),
        *_swept(tree),
        *_together(tree, train),
        *_guided(tree),
        *web_remarks(tree, cycle),
        *load_remarks(tree, train, cycle),
    ]
    return (*unjudged, *stated, *found, *warnings, *_sources(tree, files), *completed)


def _sources(tree: Tree, files: Mapping[str, str]) -> Iterator[str]:
    """Which files beside the axis file it was computed from."""
    for phase in tree.many("phase"):
        name = phase.word("file")
        if name is not None and name in files:
            yield f"{phase.path}: samples from {name}, SHA-256 {checksum_beside(files[name])[:16]}."
    mechanism = tree.one("mechanism")
    name = None if mechanism is None else mechanism.word("file")
    if name is not None and name in files:
        yield f"mechanism: points from {name}, SHA-256 {checksum_beside(files[name])[:16]}."


def _unjudged_stops(tree: Tree) -> Iterator[str]:
    """What stops without a ramp state beyond the facts of ``[stop]``, by which they are judged."""
    for phase in _rampless(tree):
        if phase.word("from") != "worst":
            yield f"{phase.path}.from"
        if phase.has("reaction"):
            yield f"{phase.path}.reaction"


def _rampless(tree: Tree) -> Iterator[Stated]:
    """Stops that no ramp of the drive makes."""
    for phase in tree.many("phase"):
        if phase.kind == "stop" and phase.word("means") not in RAMPED:
            yield phase


def _powerless(tree: Tree) -> Iterator[str]:
    for phase in _rampless(tree):
        yield (
            f"{phase.path}: a stop by the {phase.word('means')} is judged from every state of "
            "the cycle, by the facts of [stop]."
        )


def _swept(tree: Tree) -> Iterator[str]:
    """Ranges of which every product is judged."""
    for path, value in swept_ranges(tree.many("phase")):
        low, high = (
            stated_quantity(end, value.unit) for end in (value.low or 0.0, value.high or 0.0)
        )
        yield (
            f"{path} is swept from {low} to {high}; the ledger names the worst product of each "
            f"check, and figures are those of {stated_quantity(value.si, value.unit)}."
        )


def _is_wish(path: str) -> bool:
    """Whether something that has to be kept stands there, not a fact of the machine."""
    return path.startswith(("require.", "stop.")) or path.endswith("_limit")


def _sum(tree: Tree, train: Train) -> Iterator[str]:
    """Mass and bodies of one load add; whoever meant one of them sees the sum."""
    load = tree.one("load")
    if load is None or "body" not in load.entries or train.kind in ("conveyor", "hoist"):
        return
    base = train.chain.load.base
    for name, whole, unit in (("mass", base.mass, "kg"), ("inertia", base.inertia, "kg*m^2")):
        own = load.entries.get(name)
        if not isinstance(own, Value) or own.si == 0.0:
            continue
        if name == "mass" and weightless(load, train.kind):
            shown = stated_quantity(own.si, unit)
            yield f"load.mass of {shown} turns without an inertia: only load.body counts as one."
            continue
        parts = f"load.{name} of {stated_quantity(own.si, unit)} and load.body add"
        yield f"{parts}: {stated_quantity(whole, unit)} together."


def _guided(tree: Tree) -> Iterator[str]:
    """What keeps the follower of a cam on it where no spring does."""
    mechanism = tree.one("mechanism")
    if mechanism is None or mechanism.kind != "cam":
        return
    if not (mechanism.number("spring_force") or mechanism.number("spring_stiffness")):
        yield "No spring is stated: the follower is taken to be guided on both sides."


def _together(tree: Tree, train: Train) -> Iterator[str]:
    """Of several motors on one load, which one the figures are of."""
    table = tree.one("tandem")
    if table is None:
        return
    count, share = table.number("motors") or 0.0, train.chain.load.share
    yield (
        f"{count:.0f} equal motors move the load: torque, energy, inertia and brake are those of "
        f"the most loaded one, which carries {bare(100 * share, 3)} % of it; mechanism and stages "
        "count as its own. What the others have to do when one of them stops is not judged."
    )


def _slow(train: Train, cycle: Cycle) -> Iterator[str]:
    """Runs so slow that friction still falls with the speed: they may stick and slip."""
    fading = train.chain.load.fading
    if fading is None or train.input_stated:
        return
    slow = [p.name for p in cycle.phases if p.do == "run" and 0 < p.top_speed < fading.speed]
    if slow:
        yield (
            f"Below the Stribeck speed friction falls as speed rises; phase {', '.join(slow)} "
            "may move in jerks (stick-slip)."
        )


def _ranges(tree: Tree) -> Iterator[str]:
    """Values stated as a range: which one was judged."""
    for tables in tree.tables.values():
        for table in tables:
            if table.section.used:
                yield from _ranges_of(table)


def _ranges_of(table: Stated) -> Iterator[str]:
    for name, entry in table.entries.items():
        field = table.field(name)
        if not isinstance(entry, Value):
            inner = tuple(entry.values()) if isinstance(entry, Mapping) else entry
            for own in inner if isinstance(inner, tuple) else ():
                if isinstance(own, Stated):
                    yield from _ranges_of(own)
            continue
        if field is None or not field.used:
            continue
        if entry.low is not None and entry.high is not None and not field.swept:
            label = spoken(table, field)
            said = judged(entry.si, entry.low, entry.high, entry.unit, inch=entry.inch)
            yield f"{label[:1].upper()}{label[1:]}: judged at {said}; ask or judge the upper end."


def _set_aside(tables: tuple[Stated, ...]) -> bool:
    return bool(tables) and not tables[0].section.used


def _paths(tables: tuple[Stated, ...]) -> tuple[str, ...]:
    return tuple(
        f"{table.path}.{name}" for table in tables for name in table.entries if _unused(table, name)
    )


def _unused(table: Stated, name: str) -> bool:
    field = table.field(name)
    return field is not None and not field.used
