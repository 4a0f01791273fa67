"""What a reader has to know about payloads: what holds them, and what goes on without them."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

import numpy as np

from dutyline.axis.stated import Stated, Tree
from dutyline.core.numbers import stated_quantity
from dutyline.motion.pieces import Cycle, Piece
from dutyline.train.mechanisms import STANDARD_GRAVITY
from dutyline.train.records import Burden, Train

LYING = 0.2
"""Friction that keeps smooth goods where they lie; common practice, no single source."""
LOOKED_AT = 65
"""Places of a piece at which its braking is read."""


def load_remarks(tree: Tree, train: Train, cycle: Cycle) -> Iterator[str]:
    """Sentences on payloads; none where the phases state the motion of a crank or a cam."""
    yield from _pressing(cycle)
    if train.input_stated:
        return
    load = tree.one("load")
    if not train.chain.load.linear:
        yield from _points(load)
    entries = {} if load is None else load.entries.get("payloads", {})
    for name, burden in train.chain.load.payloads.items():
        own = entries.get(name) if isinstance(entries, dict) else None
        if own is not None and own.has("friction"):
            yield from _pushed(name, burden, cycle)
        else:
            yield from _held(name, burden, cycle, linear=train.chain.load.linear)


def _pressing(cycle: Cycle) -> Iterator[str]:
    """A force that the motor holds at rest, which nobody measures by it."""
    names = [
        phase.name
        for phase in cycle.phases
        if phase.do == "dwell" and phase.force and phase.hold not in ("brake", "off")
    ]
    if names:
        yield (
            f"In phase {', '.join(names)} the motor presses at rest: friction hides part of it "
            "from the current, so a force to be kept closely wants a sensor of its own."
        )


def _points(load: Stated | None) -> Iterator[str]:
    """Bodies away from the axis of which only the mass is known."""
    bodies = () if load is None else load.entries.get("body", ())
    if not isinstance(bodies, tuple):
        return
    for number, body in enumerate(bodies, 1):
        if isinstance(body, Stated) and body.word("shape") == "point" and body.number("radius"):
            yield (
                f"load.body {number} counts as a point: what it has about its own centre is left "
                "out."
            )


def _held(name: str, burden: Burden, cycle: Cycle, *, linear: bool) -> Iterator[str]:
    """With what a gripper, nest or vacuum has to hold a payload that would not stay by itself."""
    most = max((p.top_acceleration for p in cycle.phases if name in p.carry), default=0.0)
    effort = burden.inertia * most
    by_itself = 1.0 if burden.gravity else LYING
    gyration = 1.0 if linear else sqrt(burden.inertia / burden.mass) if burden.mass else 0.0
    if effort <= by_itself * burden.mass * STANDARD_GRAVITY * gyration:
        return
    travel, unit = ("m", "N") if linear else ("rad", "N*m")
    verb = "is moved" if linear else "is turned"
    yield (
        f"Payload {name} {verb} with up to {stated_quantity(most, f'{travel}/s^2')}: what holds it "
        f"has to carry {stated_quantity(effort, unit)} for that, weight and process apart."
    )


def _pushed(name: str, burden: Burden, cycle: Cycle) -> Iterator[str]:
    """Where a payload that slides on its own leaves the part that pushes it."""
    if burden.mass <= 0.0:
        return
    for phase_index, phase in enumerate(cycle.phases):
        if name not in phase.carry:
            continue
        braking = [_braking(p) for p in cycle.pieces if p.phase == phase_index]
        most, sense = max(braking, default=(0.0, 1.0))
        alone = (burden.friction + sense * burden.gravity) / burden.mass
        if most > max(alone, 0.0):
            yield (
                f"Payload {name} comes to rest by its own friction with "
                f"{stated_quantity(max(alone, 0.0), 'm/s^2')} and phase {phase.name} brakes with "
                f"{stated_quantity(most, 'm/s^2')}: it is taken as held; where it is only pushed, "
                "it slides on ahead and does not push back."
            )
            return


def _braking(piece: Piece) -> tuple[float, float]:
    """Largest deceleration of a piece and the direction it moves in then."""
    tau = np.linspace(0.0, piece.duration, LOOKED_AT)
    speed, acceleration = piece.speed(tau), piece.acceleration(tau)
    against = np.where(speed * acceleration < 0.0, np.abs(acceleration), 0.0)
    k = int(np.argmax(against))
    return float(against[k]), float(np.sign(speed[k]) or 1.0)
