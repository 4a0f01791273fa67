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
from dutyline.physics.linkages import Course
from dutyline.train.burdens import added, linear_load, rotary_load
from dutyline.train.courses import CourseRatio
from dutyline.train.cranks import branch_around
from dutyline.train.mechanism_stage import mechanism_stage, stated_mechanism
from dutyline.train.parameters import CamParams, CamSectionParams, LoadParams, RatioTableParams
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
    """A course held by pieces of motion laws, angle instead of time; comes again after a turn."""

    pieces: tuple[Piece, ...]

    def __call__(self, angle: Array) -> Course:
        """Lift and derivatives at any angles."""
        angle = np.asarray(angle, dtype=float)
        turn = self.pieces[-1].end
        place = np.mod(angle, turn)
        starts = np.array([piece.start for piece in self.pieces])
        which = np.clip(np.searchsorted(starts, place, side="right") - 1, 0, starts.size - 1)
        found = [np.zeros_like(place) for _ in range(3)]
        for k in np.unique(which):
            here = which == k
            for order, values in enumerate(found):
                values[here] = self.pieces[k].derivative(order, place[here] - starts[k])
        return Course(*found)


def cam(params: CamParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a cam with a follower that moves along a line."""
    stated = stated_mechanism(params)
    path = PieceCourse(cam_pieces(params.sections, stated))
    joints = tuple(piece.start for piece in path.pieces)
    stage = mechanism_stage(params, "Cam", CourseRatio(path, joints=joints, period=TURN))
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


@dataclass(frozen=True, slots=True)
class Spline:
    """A cubic spline with continuous second derivative; outside it goes on or comes again."""

    knots: tuple[float, ...]
    values: tuple[float, ...]
    bends: tuple[float, ...]
    """Second derivative at the knots."""
    step: float | None = None
    """Gain of the load over a period; None: the table does not repeat."""

    def __call__(self, place: Array) -> Course:
        """Value and derivatives.

        Raises
        ------
        RangeError
            A place outside a table that does not repeat.
        """
        x = np.asarray(place, dtype=float)
        knots, values, bends = (np.array(a) for a in (self.knots, self.values, self.bends))
        span = knots[-1] - knots[0]
        round_ = np.zeros_like(x)
        if self.step is not None:
            round_ = np.floor((x - knots[0]) / span)
        elif np.any(x < knots[0] - CLOSED * span) or np.any(x > knots[-1] + CLOSED * span):
            raise RangeError("the table does not reach as far as the cycle.")
        x = x - round_ * span
        k = np.clip(np.searchsorted(knots, x, side="right") - 1, 0, knots.size - 2)
        h = knots[k + 1] - knots[k]
        a, b = (knots[k + 1] - x) / h, (x - knots[k]) / h
        value = (
            a * values[k] + b * values[k + 1]
            + ((a**3 - a) * bends[k] + (b**3 - b) * bends[k + 1]) * h**2 / 6
        )  # fmt: skip
        slope = (values[k + 1] - values[k]) / h + (
            (3 * b**2 - 1) * bends[k + 1] - (3 * a**2 - 1) * bends[k]
        ) * h / 6
        return Course(value + round_ * (self.step or 0.0), slope, a * bends[k] + b * bends[k + 1])


def spline(places: Array, values: Array, step: float | None = None) -> Spline:
    """The cubic spline through points whose second derivative does not jump.

    Parameters
    ----------
    places : (n,) ndarray
        Rising, four or more (three where it repeats).
    values : (n,) ndarray
    step : float, optional
        Gain over a period where the course repeats: ``values[-1] - values[0]``.

    Returns
    -------
    Spline

    Notes
    -----
    The slope is continuous at inner knots. At the ends the third derivative does not jump at the
    knots next to them, or slope and second derivative agree where the course repeats.

    Source
    ------
    de Boor, *A Practical Guide to Splines*, from memory.

    Examples
    --------
    >>> x = np.linspace(0.0, 1.0, 5)
    >>> spline(x, x**3)(np.array(0.3)).value.round(12).item()
    0.027
    """
    n = places.size
    h, rise = np.diff(places), np.diff(values) / np.diff(places)
    matrix, right = np.zeros((n, n)), np.zeros(n)
    for k in range(1, n - 1):
        matrix[k, k - 1 : k + 2] = h[k - 1], 2 * (h[k - 1] + h[k]), h[k]
        right[k] = 6 * (rise[k] - rise[k - 1])
    if step is None:
        matrix[0, :3] = h[1], -(h[0] + h[1]), h[0]
        matrix[-1, -3:] = h[-1], -(h[-2] + h[-1]), h[-2]
    else:
        matrix[0, [0, -1]] = 1.0, -1.0
        matrix[-1, [0, 1]] += 2 * h[0], h[0]
        matrix[-1, [-2, -1]] += h[-1], 2 * h[-1]
        right[-1] = 6 * (rise[0] - rise[-1])
    bends = np.linalg.solve(matrix, right)
    return Spline(tuple(places.tolist()), tuple(values.tolist()), tuple(bends.tolist()), step)


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
    path = spline(places, values, float(values[-1] - values[0]) if turn else None)
    start = 0.0 if turn or places[0] <= 0.0 <= places[-1] else float(places[0])
    joints = tuple(places.tolist())
    ratio = CourseRatio(path, start, joints=joints, period=TURN if turn else 0.0)
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
