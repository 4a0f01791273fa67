"""Cams with laws per section, and ratios through tabled points."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import pi

import numpy as np
from numpy.typing import NDArray

from dutyline.core.errors import RangeError
from dutyline.motion.laws import SHAPES, law_pieces
from dutyline.motion.pieces import Piece
from dutyline.motion.splines import Ends, spline_pieces, spline_slopes
from dutyline.physics.linkages import Course
from dutyline.train.bent_parameters import (
    CamParams,
    CamSectionParams,
    RatioTableParams,
)
from dutyline.train.burdens import added, linear_load, rotary_load
from dutyline.train.courses import CourseRatio
from dutyline.train.cranks import branch_around
from dutyline.train.mechanism_stage import mechanism_stage, stated_mechanism
from dutyline.train.parameters import LoadParams
from dutyline.train.records import Burden, Load, Stage
from dutyline.train.stated import Stated

Array = NDArray[np.float64]
TURN = 2 * pi
CLOSED = 1e-9
"""Share of a turn or of the largest lift by which a cam may miss its start."""
CAM_LAWS = tuple(SHAPES)
"""Laws of a section from dwell to dwell."""


@dataclass(frozen=True, slots=True)
class PieceCourse:
    """A course held by pieces, place of the input instead of time."""

    pieces: tuple[Piece, ...]
    origin: float = 0.0
    """Place of the input where the first piece begins [m or rad]."""
    comes_again: bool = True
    """Whether the course goes on with the first piece behind the last."""

    def __call__(self, place: Array) -> Course:
        """Value and derivatives at any places.

        Raises
        ------
        RangeError
            A place outside a course that does not come again.
        """
        x = np.asarray(place, dtype=float) - self.origin
        span = self.pieces[-1].end
        rounds = np.floor(x / span) if self.comes_again else np.zeros_like(x)
        if not self.comes_again and (np.any(x < -CLOSED * span) or np.any(x > span * (1 + CLOSED))):
            raise RangeError("the table does not reach as far as the cycle.")
        x = x - rounds * span
        starts = np.array([piece.start for piece in self.pieces])
        which = np.clip(np.searchsorted(starts, x, side="right") - 1, 0, starts.size - 1)
        found = [np.zeros_like(x) for _ in range(3)]
        for k in np.unique(which):
            here = which == k
            for order, values in enumerate(found):
                values[here] = self.pieces[k].derivative(order, x[here] - starts[k])
        first, last = self.pieces[0], self.pieces[-1]
        step = float(last.position(last.duration)) - float(first.position(0.0))
        return Course(found[0] + rounds * step, found[1], found[2])

    @property
    def joints(self) -> tuple[float, ...]:
        """Places of the input where pieces meet."""
        return tuple(self.origin + piece.start for piece in self.pieces)


def cam(params: CamParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a cam with a follower that moves along a line."""
    stated = stated_mechanism(params)
    path = PieceCourse(cam_pieces(params.sections, stated))
    stage = mechanism_stage(params, "Cam", CourseRatio(path, joints=path.joints, period=TURN))
    straight = linear_load(load, gravity, rides=params.motor_rides)
    spring = Burden(
        gravity=stated.not_negative("spring_force"),
        gravity_rise=stated.not_negative("spring_stiffness"),
    )
    return stage, replace(straight, base=added(straight.base, spring))


def cam_pieces(sections: tuple[CamSectionParams, ...], stated: Stated) -> tuple[Piece, ...]:
    """The lift over the angle of one turn."""
    if not sections:
        raise stated.fault("sections", "sections is missing; a cam needs its lift over a turn.")
    place, lift = 0.0, 0.0
    found: list[Piece] = []
    for number, section in enumerate(sections, 1):
        own = Stated(section, f"mechanism.sections.{number}.")
        angle, change = own.positive("angle"), own.needed("lift")
        law = own.choice("law", CAM_LAWS)
        pieces = law_pieces(law, change, angle) if change else (Piece(0.0, angle, (0.0,)),)
        for piece in pieces:
            poly = (piece.poly[0] + lift, *piece.poly[1:])
            found.append(replace(piece, start=piece.start + place, poly=poly))
        place, lift = place + angle, lift + change
    size = max(abs(section.lift) for section in sections)
    if abs(place - TURN) > CLOSED * TURN:
        raise stated.fault(
            "sections", f"the sections make {np.degrees(place):.6g} deg; a turn has 360 deg."
        )
    if abs(lift) > CLOSED * size:
        raise stated.fault(
            "sections", f"after a turn the follower is {lift:.6g} m from where it began."
        )
    return tuple(found)


def open_slopes(places: Array, values: Array) -> Array:
    """Slopes of the C2 cubic spline whose third derivative is the same in both end intervals.

    Parameters
    ----------
    places, values : (n,) ndarray
        Four points or more, places rising.

    Returns
    -------
    (n,) ndarray

    Source
    ------
    de Boor, *A Practical Guide to Splines* (not-a-knot), from memory.

    Examples
    --------
    >>> x = np.linspace(0.0, 1.0, 5)
    >>> open_slopes(x, x**3).round(9).tolist()
    [0.0, 0.1875, 0.75, 1.6875, 3.0]
    """
    none = np.zeros_like(values)
    plain = spline_slopes(places, values, Ends(0.0, 0.0))
    bent = [spline_slopes(places, none, Ends(*ends)) for ends in ((1.0, 0.0), (0.0, 1.0))]
    jumps = np.stack([_third_jumps(places, none, one) for one in bent], axis=1)
    share = np.linalg.solve(jumps, -_third_jumps(places, values, plain))
    result: Array = plain + share[0] * bent[0] + share[1] * bent[1]
    return result


def _third_jumps(places: Array, values: Array, slopes: Array) -> Array:
    """Jump of the third derivative at the second and at the last knot but one."""
    h = np.diff(places)
    third = 6 * (slopes[:-1] + slopes[1:] - 2 * np.diff(values) / h) / h**2
    return np.array([third[1] - third[0], third[-1] - third[-2]])


def ratio_table(params: RatioTableParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a mechanism told by points of input and load travel."""
    stated = stated_mechanism(params)
    points = params.points
    if len(points) < 4:
        raise stated.fault("points", f"points holds {len(points)}; four or more are needed.")
    places, values = (np.array(column) for column in zip(*points, strict=True))
    for n, (first, second) in enumerate(pairwise(places), 2):
        if not second > first:
            raise stated.fault(
                "points", f"point {n} does not lie beyond the one before; the input has to rise."
            )
    turn = params.input_travel == "rotary" and abs(places[-1] - places[0] - TURN) <= CLOSED * TURN
    slopes = spline_slopes(places, values, Ends()) if turn else open_slopes(places, values)
    path = PieceCourse(spline_pieces(places, values, slopes), float(places[0]), turn)
    start = 0.0 if turn or places[0] <= 0.0 <= places[-1] else float(places[0])
    ratio = CourseRatio(path, start, joints=path.joints, period=TURN if turn else 0.0)
    if stated.choice("motion", ("input", "load")) == "load":
        branch = branch_around(path, start, float(places[-1] - places[0]))
        if branch is None:
            raise stated.fault(
                "points",
                "at the start the load does not move with the input, a dead point from which its "
                'motion cannot be stated. State the motion of the input (motion = "input").',
            )
        ratio = replace(ratio, branch=branch)
    linear = params.load_travel == "linear"
    stage = replace(
        mechanism_stage(params, "Ratio table", ratio),
        linear_out=linear,
        linear_in=params.input_travel == "linear",
    )
    if linear:
        return stage, linear_load(load, gravity, rides=params.motor_rides)
    return stage, rotary_load(load, gravity)
