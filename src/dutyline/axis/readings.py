"""Statements that can be read in two ways: asked back, never guessed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import isclose

from dutyline.axis.model import Question
from dutyline.axis.stated import Tree
from dutyline.core.numbers import significant, stated_quantity
from dutyline.motion.pieces import Cycle, Phase
from dutyline.train.records import Load

UNPUSHED = ("conveyor", "hoist", "winder", "feed-rolls")
"""Kinds of linear travel that hardly press or cut anything at its end."""
LIKE = 0.2
"""Share of one another from which force and acceleration both count."""


def readings(tree: Tree, load: Load, cycle: Cycle, kind: str) -> Iterator[Question]:
    """Questions on what was stated, each once."""
    yield from _strokes(load, cycle)
    yield from _together(tree, load, cycle)
    yield from _pressed(tree, load, cycle, kind)


def _strokes(load: Load, cycle: Cycle) -> Iterator[Question]:
    """Whether strokes were counted singly: a travel to and fro that never rests."""
    phases = cycle.phases
    if not load.linear or any(p.do != "move" or p.distance == 0.0 for p in phases):
        return
    if len(phases) < 2 or not all(isclose(a.distance, -b.distance) for a, b in pairwise(phases)):
        return
    rate = 60.0 * len(phases) / 2 / cycle.duration
    yield Question(
        "Is a stroke there and back, or one way?",
        "duty.rate",
        "The other reading is half or twice as fast; twice as fast means four times the force of "
        "inertia and eight times its power.",
        f"{significant(rate)} times there and back per minute",
        12,
    )


def _together(tree: Tree, load: Load, cycle: Cycle) -> Iterator[Question]:
    """Whether a process force and the acceleration of its phase come together."""
    stated = {t.path: t for t in tree.many("phase")}
    for path, phase in zip(stated, _in_cycle(tree, cycle), strict=False):
        if phase is None or phase.do != "move" or phase.force * phase.distance <= 0.0:
            continue
        pushed = load.total(phase.carry).inertia * phase.top_acceleration
        force = abs(phase.force) * load.share
        if min(pushed, force) >= LIKE * max(pushed, force):
            said = stated_quantity(abs(phase.force), "N" if load.linear else "N*m")
            yield Question(
                f"Does the load of {said} in “{phase.name}” act while it speeds up, too?",
                f"{path}.{'force' if load.linear else 'torque'}",
                "Acting together, they make the peak torque; points in [[force]] part them.",
                "both at once",
                15,
            )
            return


def _pressed(tree: Tree, load: Load, cycle: Cycle, kind: str) -> Iterator[Question]:
    """Whether something is pressed, cut or held where no force is stated at all."""
    tables = tree.many("phase")
    named = any(t.has("force") or t.has("torque") for t in tables) or tree.many("force")
    moves = any(p.do == "move" for p in cycle.phases)
    if not load.linear or named or not moves or kind in UNPUSHED:
        return
    first = next(t for t in tables if t.kind == "move")
    yield Question(
        "Is anything pressed, cut or held on the way or at its end?",
        f"{first.path}.force",
        "Moves the peak torque, and the torque at rest.",
        "nothing",
        25,
    )


def _in_cycle(tree: Tree, cycle: Cycle) -> Iterator[Phase | None]:
    """The phase of the cycle of each table; None for stops, which stand apart."""
    rest = iter(cycle.phases)
    for table in tree.many("phase"):
        yield None if table.kind == "stop" else next(rest, None)
