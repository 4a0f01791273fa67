"""Cranks, toggles and four-bar linkages: the load follows a course over the input."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from math import cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from dutyline.core.errors import RangeError
from dutyline.physics.bodies import cylinder_inertia, cylinder_volume
from dutyline.physics.linkages import (
    Course,
    coupler_centre,
    four_bar,
    rod_centre,
    scotch_yoke,
    slider_crank,
    toggle,
)
from dutyline.train.bent_parameters import (
    CrankParams,
    FourBarParams,
    ScotchYokeParams,
    SliderCrankParams,
    ToggleParams,
)
from dutyline.train.burdens import incline_of, linear_load, rotary_load
from dutyline.train.courses import CourseRatio, Link, Path, Place
from dutyline.train.mechanism_stage import mechanism_stage, own_parts, stated_mechanism
from dutyline.train.parameters import LoadParams
from dutyline.train.records import ConstantRatio, Load, Stage
from dutyline.train.stated import Stated

Array = NDArray[np.float64]
TURN = 2 * pi
NEAR = 1e-9
"""Share of the largest ratio below which a place counts as a dead point."""
STEPS = 721
"""Places on which a dead point is searched."""


def slider(params: SliderCrankParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a slider-crank with the true inertia of its rod."""
    stated = stated_mechanism(params)
    crank, rod = stated.positive("crank"), stated.positive("rod")
    offset, start = stated.needed("offset"), stated.needed("start_angle")
    if abs(offset) >= crank + rod:
        raise stated.fault("offset", "offset is beyond crank and rod together.")
    path = partial(slider_crank, crank=crank, rod=rod, offset=offset)
    ratio = course_ratio(params, path, start, stated, "rod")
    slope = incline_of(load, 0.0)
    link = None
    if stated.not_negative("rod_mass") or stated.not_negative("rod_inertia"):
        link = Link(
            params.rod_mass,
            params.rod_inertia,
            partial(
                rod_centre, crank=crank, rod=rod, offset=offset,
                centre=stated.needed("rod_cg"),
            ),
            start,
            (gravity * sin(slope), gravity * cos(slope)),
        )  # fmt: skip
    stage = mechanism_stage(params, "Slider-crank", ratio, members=link)
    return stage, linear_load(load, gravity, rides=params.motor_rides)


def yoke(params: ScotchYokeParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a scotch yoke."""
    stated = stated_mechanism(params)
    path = partial(scotch_yoke, crank=stated.positive("crank"))
    ratio = course_ratio(params, path, stated.needed("start_angle"), stated, "crank")
    return mechanism_stage(params, "Scotch yoke", ratio), linear_load(
        load, gravity, rides=params.motor_rides
    )


def toggle_press(params: ToggleParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage of the two links and the load; the screw at the knee is :func:`knee_screw`."""
    stated = stated_mechanism(params)
    link = stated.positive("link")
    words = "from -89 to 89 deg"
    angle = stated.within("start_angle", -pi / 2 + NEAR, pi / 2 - NEAR, words)
    ratio = course_ratio(params, partial(toggle, link=link), link * sin(angle), stated, "link")
    plain = replace(
        params, efficiency=None, efficiency_back=None, inertia=None, body=(), drag=0.0, viscous=0.0
    )
    stage = replace(mechanism_stage(plain, "Toggle", ratio), linear_in=True)
    return stage, linear_load(load, gravity, rides=params.motor_rides)


def knee_screw(params: ToggleParams) -> Stage:
    """The screw that moves the knee of a toggle, with everything stated of its shaft."""
    stated = stated_mechanism(params)
    lead = stated.positive("lead", "the knee of a toggle is moved by a screw")
    shaft = own_parts(params)
    diameter, length = stated.optional_positive("diameter"), stated.optional_positive("length")
    if diameter is not None and length is not None:
        mass = stated.density() * float(cylinder_volume(diameter, length))
        shaft = (("knee screw", float(cylinder_inertia(mass, diameter))), *shaft)
    forward, back = stated.efficiencies()
    return Stage(
        name="Knee screw",
        kind="lead-screw",
        ratio=ConstantRatio(lead / TURN),
        efficiency=forward,
        efficiency_back=back,
        inertia_in=sum(j for _, j in shaft),
        drag_in=stated.not_negative("drag"),
        viscous_in=stated.not_negative("viscous"),
        linear_out=True,
        inertia_parts=tuple((label, value) for label, value in shaft if value),
    )


def linkage(params: FourBarParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a four-bar linkage; the load turns with the rocker."""
    stated = stated_mechanism(params)
    bars = {name: stated.positive(name) for name in ("crank", "coupler", "rocker", "ground")}
    crossed = stated.choice("circuit", ("open", "crossed")) == "crossed"
    tilt = stated.within("tilt", 0.0, pi, "from 0 to 180 deg")
    start = stated.needed("start_angle")
    both = partial(four_bar, **bars, crossed=crossed)
    ratio = course_ratio(params, partial(_rocker, both), start, stated, "coupler")
    link = None
    if stated.not_negative("coupler_mass") or stated.not_negative("coupler_inertia"):
        centre = partial(
            _coupler_place, both, crank=bars["crank"], centre=stated.needed("coupler_cg")
        )
        up = (0.0, gravity * sin(tilt))
        link = Link(params.coupler_mass, params.coupler_inertia, centre, start, up)
    stage = mechanism_stage(params, "Four-bar linkage", ratio, members=link)
    return stage, rotary_load(load, gravity, tilt=tilt)


def _rocker(both: Callable[..., tuple[Course, Course]], angle: Array) -> Course:
    return both(angle)[1]


def _coupler_place(
    both: Callable[..., tuple[Course, Course]], angle: Array, *, crank: float, centre: float
) -> Place:
    turned = both(angle)[0]
    x, y = coupler_centre(angle, crank, turned, centre)
    return x, y, turned


def course_ratio(
    params: CrankParams, path: Path, start: float, stated: Stated, field: str
) -> CourseRatio:
    """The ratio of a linkage, with its branch where the phases state the load.

    ``field`` is blamed where the linkage cannot stand at its start.
    """
    ratio = CourseRatio(path, start)
    try:
        path(np.array(start))
    except RangeError as error:
        raise stated.fault(field, f"At the start of the cycle {error}") from error
    if stated.choice("motion", ("input", "load")) == "load":
        branch = branch_around(path, start)
        if branch is None:
            raise stated.fault(
                "start_angle",
                f"start_angle is {start:.6g} rad or left out: there the mechanism is at a dead "
                "point, from which the motion of the load cannot be stated. Start between two "
                'dead points, or state the motion of the input (motion = "input").',
            )
        ratio = replace(ratio, branch=branch)
    return ratio


def branch_around(path: Path, start: float, reach: float = TURN) -> tuple[float, float] | None:
    """Places of the input around the start between which the load does not turn back.

    None where the start is a dead point. Where the linkage cannot go on, the branch ends short.
    """
    low = _end(path, start, -reach)
    high = _end(path, start, reach)
    return None if low is None or high is None else (low, high)


def _end(path: Path, start: float, reach: float) -> float | None:
    """Where the branch ends in one direction; None where it does not begin."""
    places: list[float] = []
    slopes: list[float] = []
    for share in np.linspace(0.0, 1.0, STEPS):
        place = start + reach * float(share)
        try:
            slopes.append(float(path(np.array(place)).slope))
        except RangeError:
            places.append(_last(path, places[-1], place))
            slopes.append(float(path(np.array(places[-1])).slope))
            break
        places.append(place)
    return _turning(path, places, slopes)


def _last(path: Path, inside: float, outside: float) -> float:
    """The last place that a mechanism reaches between one that it does and one that it does not."""
    for _ in range(60):
        middle = (inside + outside) / 2
        try:
            path(np.array(middle))
        except RangeError:
            outside = middle
        else:
            inside = middle
    return inside


def _turning(path: Path, places: list[float], slopes: list[float]) -> float | None:
    """The first dead point among places in a row, else the last place."""
    first = slopes[0]
    if abs(first) <= NEAR * max(abs(s) for s in slopes):
        return None
    beyond = next((k for k, s in enumerate(slopes) if s * first <= 0), None)
    if beyond is None:
        return places[-1]
    inside, outside = places[beyond - 1], places[beyond]
    for _ in range(60):
        middle = (inside + outside) / 2
        if float(path(np.array(middle)).slope) * first > 0:
            inside = middle
        else:
            outside = middle
    return inside
