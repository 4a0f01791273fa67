"""Whether a mechanism reaches as far, and a table as fast, as the cycle of the file wants."""

from __future__ import annotations

import numpy as np

from dutyline.axis.build_motion import stated_range
from dutyline.axis.records import record_of
from dutyline.axis.stated import Stated, Tree
from dutyline.axis.tables import FaultList
from dutyline.core.errors import RangeError
from dutyline.core.numbers import quantity
from dutyline.motion.pieces import Cycle
from dutyline.train.bent_parameters import WinderParams
from dutyline.train.courses import CourseRatio
from dutyline.train.records import Train
from dutyline.train.rolls import web_left

PROBES = 1441
"""Places at which a linkage is tried over its travel."""
ASIDE = 1e-4
"""Share of the stroke that a stated motion of the load has to keep from a dead point."""


def load_range(
    train: Train, cycle: Cycle, tree: Tree, faults: FaultList
) -> tuple[float, float] | None:
    """Ends of the travel of the load [m or rad]; None after a fault that the cycle has."""
    low, high = stated_range(cycle)
    mechanism = tree.one("mechanism")
    if mechanism is None:
        return None
    if mechanism.kind == "rotary-load":
        _check_speed(train, cycle, mechanism, faults)
    if mechanism.kind == "winder" and mechanism.has("start"):
        _check_roll(mechanism, (low, high), faults)
    ratio = train.chain.stages[0].ratio if train.chain.stages else None
    if not isinstance(ratio, CourseRatio):
        return low, high
    if train.input_stated:
        return _reached(ratio, (low, high), tree, faults)
    return _kept_aside(ratio, (low, high), tree, faults)


def _reached(
    ratio: CourseRatio, span: tuple[float, float], tree: Tree, faults: FaultList
) -> tuple[float, float] | None:
    """Travel of the load where the input is stated; a fault where the input cannot go there."""
    try:
        places = ratio.output_of(np.linspace(*span, PROBES))
        return float(places.min()), float(places.max())
    except RangeError as error:
        unit = "m" if tree.linear else "rad"
        ends = " to ".join(quantity(x, unit) for x in span)
        read = f"the input goes from {ends} of its start, and there {error}"
        remedy = "Check the lengths and the start, or let the input go less far."
        faults.add(("phase",), "phase", read, remedy)
        return None


def _kept_aside(
    ratio: CourseRatio, span: tuple[float, float], tree: Tree, faults: FaultList
) -> tuple[float, float] | None:
    """The stated travel of the load; a fault where it meets a dead point or the end of a table."""
    assert ratio.branch is not None
    ends = ratio.output_of(np.array(ratio.branch) - ratio.start)
    low, high = float(ends.min()), float(ends.max())
    aside = ASIDE * (high - low)
    if low + aside <= span[0] and span[1] <= high - aside:
        return span
    below = span[0] < low + aside
    place, end = (span[0], low) if below else (span[1], high)
    index = int(np.argmin(ends) if below else np.argmax(ends))
    inside = round(ratio.branch[index], 9)
    slope = abs(float(ratio.course(np.array(inside)).slope))
    largest = float(np.abs(ratio.course(np.linspace(*ratio.branch, 181)).slope).max())
    dead = slope <= 1e-6 * largest
    own, load = ("m" if linear else "rad" for linear in (_turns_in(tree), tree.load_linear))
    where = f"{quantity(end, load)} from the start (input at {quantity(inside, own)})"
    read = (
        f"the load is to go to {quantity(place, load)}, but at {where} the mechanism is at a dead "
        "point: there the input would have to move infinitely fast."
        if dead
        else f"the load is to go to {quantity(place, load)}, but the mechanism ends at {where}."
    )
    free = " to ".join(quantity(x, load) for x in (low + aside, high - aside))
    remedy = f'Stay within {free}, or state the motion of the input (motion = "input").'
    faults.add(("phase",), "phase", read, remedy)
    return None


def _turns_in(tree: Tree) -> bool:
    """Whether the input of a mechanism with a course moves along."""
    mechanism = tree.one("mechanism")
    if mechanism is None or mechanism.kind == "toggle":
        return True
    points = mechanism.entries.get("points")
    first = points[0] if isinstance(points, tuple) else None
    return isinstance(first, tuple) and first[0].unit == "m"


def _check_speed(train: Train, cycle: Cycle, mechanism: Stated, faults: FaultList) -> None:
    """A table of torque over speed has to go as far as the cycle."""
    resistance = train.chain.load.resistance
    top = max(phase.top_speed for phase in cycle.phases)
    if resistance is None or not resistance.speeds or top <= resistance.speeds[-1] * (1 + 1e-9):
        return
    keys = (*mechanism.keys, mechanism.spelled.get("points", "points"))
    last, fast = (quantity(v, "rad/s") for v in (resistance.speeds[-1], top))
    read = f"the points end at {last}, the cycle reaches {fast}."
    faults.add(keys, "mechanism.points", read, "Add a point at the top speed, or go slower.")


def _check_roll(mechanism: Stated, span: tuple[float, float], faults: FaultList) -> None:
    """A roll that follows the web has to stay between core and full."""
    back, on = web_left(record_of(WinderParams, mechanism))
    if back - 1e-9 <= span[0] and span[1] <= on + 1e-9:
        return
    read = (
        f"the web moves from {quantity(span[0], 'm')} to {quantity(span[1], 'm')} in a cycle, "
        f"but between core and full there are {quantity(back, 'm')} to {quantity(on, 'm')} of it."
    )
    keys = (*mechanism.keys, mechanism.spelled.get("start", "start"))
    faults.add(keys, "mechanism.start", read, "Start at another diameter, or move less web.")
