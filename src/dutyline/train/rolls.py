"""Winders and feed rolls: the load is a web."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import NDArray

from dutyline.physics.rolls import nip_resistance, roll_inertia, web_length, web_tension
from dutyline.train.bent_parameters import FeedRollsParams, WinderParams
from dutyline.train.burdens import added, linear_load
from dutyline.train.mechanism_stage import mechanism_stage, stated_mechanism
from dutyline.train.parameters import LoadParams
from dutyline.train.records import Burden, Load, MemberState, Stage

Array = NDArray[np.float64]
TURN = 2 * pi


@dataclass(frozen=True, slots=True)
class SpiralRatio:
    """A roll that gains or loses one thickness of web with every turn."""

    radius: float
    """[m] at the start of the cycle"""
    growth: float
    """[m/rad] thickness over a turn, negative where the roll gets smaller"""
    sign: float = 1.0

    @property
    def constant(self) -> float | None:
        """None: it depends on the place."""
        return None

    def radius_at(self, position_in: Array) -> Array:
        """Radius at turns of the shaft [m]."""
        result: Array = self.radius + self.growth * (self.sign * position_in)
        return result

    def at(self, position_in: Array) -> tuple[Array, Array]:
        """Radius and its derivative by the turning of the shaft."""
        radius = self.radius_at(position_in)
        return self.sign * radius, np.full_like(radius, self.growth)

    def output_of(self, position_in: Array) -> Array:
        """Length of web."""
        turned = self.sign * position_in
        return turned * (self.radius + self.growth * turned / 2)

    def input_of(self, position_out: Array) -> Array:
        """Turning of the shaft for a length of web."""
        square = self.radius**2 + 2 * self.growth * position_out
        return self.sign * 2 * position_out / (self.radius + np.sqrt(np.maximum(square, 0.0)))

    def kinks(self, low: float, high: float) -> tuple[float, ...]:
        """Nowhere."""
        return ()


@dataclass(frozen=True, slots=True)
class HeldRoll:
    """A roll looked at in one diameter: so much web is wound that a cycle hardly changes it.

    It still slows down at constant speed of the web, as a growing roll does.
    """

    radius: float | Array
    """[m] one, or one for each instant that is looked at"""
    growth: float
    """[m/rad] thickness over a turn, negative where the roll gets smaller"""
    sign: float = 1.0

    @property
    def constant(self) -> float | None:
        """The radius, with the direction; None where there are several."""
        return self.sign * self.radius if isinstance(self.radius, float) else None

    def radius_at(self, position_in: Array) -> Array:
        """The radius [m]."""
        return np.full_like(position_in, self.radius)

    def at(self, position_in: Array) -> tuple[Array, Array]:
        """Radius and its derivative by the turning of the shaft."""
        return self.sign * self.radius_at(position_in), np.full_like(position_in, self.growth)

    def output_of(self, position_in: Array) -> Array:
        """Length of web."""
        return self.sign * self.radius * position_in

    def input_of(self, position_out: Array) -> Array:
        """Turning of the shaft for a length of web."""
        return self.sign * position_out / self.radius

    def kinks(self, low: float, high: float) -> tuple[float, ...]:
        """Nowhere."""
        return ()


@dataclass(frozen=True, slots=True)
class WoundWeb:
    """The web on a roll: its inertia, and the tension that pulls at it."""

    params: WinderParams
    spiral: SpiralRatio | HeldRoll
    """Of the roll, whichever shaft is driven."""
    weight: float
    """[N/m^2] weight of the wound web over the square of the radius less that of the core"""
    nip: float | None
    """[N] force between roll and drum; None: the weight of the web"""
    drum: float | None = None
    """[m] radius of the driven drum; None: the roll's own shaft is driven"""
    sign: float = 1.0
    """-1 where + at the shaft is - at the web"""

    def _radius(self, position: Array) -> Array:
        turned = self.sign * position
        if self.drum is not None:
            turned = self.spiral.input_of(self.drum * turned)
        return self.spiral.radius_at(turned)

    def at(self, position: Array) -> MemberState:
        """Inertia, tension and rolling resistance.

        No ``J' q'^2 / 2``: the web arrives with the speed of the surface, and the momentum that
        it brings is what the growing inertia takes.
        """
        p = self.params
        radius = self._radius(position)
        core, full = (p.core or 0.0) / 2, (p.full or 0.0) / 2
        inertia = roll_inertia(radius, core, p.width or 0.0, p.density or 0.0)
        tension = web_tension(
            p.tension or 0.0, p.taper, radius, core, full, p.taper_law == "linear"
        )
        pull = self.sign * (tension if p.mode == "wind" else -tension)
        none = np.zeros_like(radius)
        if self.drum is None:
            return MemberState(inertia, none, none, pull * radius, none)
        share = (self.drum / radius) ** 2
        slowing = -self.sign * share * inertia * self.drum / radius**2 * self.spiral.growth
        pressed = self.weight * (radius**2 - core**2) if self.nip is None else self.nip + none
        rolling = nip_resistance(pressed, p.roll_resistance, self.drum, radius)
        return MemberState(share * inertia, slowing, none, pull * self.drum, rolling * self.drum)

    def height(self, position: Array) -> Array:
        """Nothing: the roll turns about its middle."""
        return np.zeros_like(position)

    def gained(self, position: Array, speed: Array) -> Array:
        """Half the mass that arrives per time, times the square of its speed [W].

        A held roll does not grow; driven at its surface it gives off what it loses in speed.
        """
        p = self.params
        here = self._radius(position)
        surface = self.sign * speed * (here if self.drum is None else self.drum)
        if isinstance(self.spiral, HeldRoll):
            if self.drum is None:
                return np.zeros_like(surface)
            inertia = roll_inertia(here, (p.core or 0.0) / 2, p.width or 0.0, p.density or 0.0)
            given: Array = inertia * self.spiral.growth * surface**3 / here**4
            return given
        area = TURN * self.spiral.growth * (p.width or 0.0)
        result: Array = (p.density or 0.0) * area * surface**3 / 2
        return result

    def drift(self, position: Array, speed: Array) -> Array:
        """How fast a held roll on a driven shaft slows down."""
        if self.drum is not None or isinstance(self.spiral, SpiralRatio):
            return np.zeros_like(speed)
        result: Array = self.spiral.growth * self.sign * speed / self.spiral.radius
        return result


def winder(params: WinderParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of a winder or unwinder.

    With ``start`` the roll follows the web through the cycle, else it is held at ``roll``.
    """
    stated = stated_mechanism(params)
    core, full = stated.positive("core"), stated.positive("full")
    if full <= core:
        raise stated.fault("full", f"full is {full:g} m, not more than core, {core:g} m.")
    stated.alone(("start",), ("roll",))
    field = "start" if params.start is not None else "roll"
    diameter = full if params.start is None and params.roll is None else stated.positive(field)
    if not core <= diameter <= full:
        raise stated.fault(
            field,
            f"{field} is {diameter:g} m; it must be from core, {core:g} m, to full, {full:g} m.",
        )
    for name in ("width", "thickness", "density", "tension"):
        stated.positive(name)
    stated.within("taper", 0.0, 1.0, "from 0 to 1")
    stated.choice("taper_law", ("hyperbolic", "linear"))
    winds = stated.choice("mode", ("wind", "unwind")) == "wind"
    thickness = stated.positive("thickness")
    growth = (1 if winds else -1) * thickness / TURN
    kind = HeldRoll if params.start is None else SpiralRatio
    spiral = kind(diameter / 2, growth)
    drum = None
    if stated.choice("drive", ("centre", "surface")) == "surface":
        drum = stated.positive("drum_diameter", "a surface winder is driven by its drum") / 2
    weight = pi * stated.positive("density") * stated.positive("width") * gravity
    nip = None if params.nip_force is None else stated.not_negative("nip_force")
    web = WoundWeb(params, spiral, weight, nip, drum, -1.0 if params.reverse else 1.0)
    ratio = spiral if drum is None else drum
    stage = mechanism_stage(params, "Winder" if winds else "Unwinder", ratio, members=web)
    return stage, linear_load(load, gravity)


def held_in(stage: Stage, radius: Array) -> Stage:
    """The stage of a held roll with another radius for each instant [m]."""
    web, ratio = stage.members, stage.ratio
    assert isinstance(web, WoundWeb)
    assert isinstance(web.spiral, HeldRoll)
    if isinstance(ratio, HeldRoll):
        ratio = replace(ratio, radius=radius)
    return replace(
        stage, ratio=ratio, members=replace(web, spiral=replace(web.spiral, radius=radius))
    )


def web_left(params: WinderParams) -> tuple[float, float]:
    """Lengths of web by which the cycle may go back and forth from its start [m]."""
    core, full, start = ((d or 0.0) / 2 for d in (params.core, params.full, params.start))
    inside = float(web_length(core, start, params.thickness or 0.0))
    outside = float(web_length(start, full, params.thickness or 0.0))
    return (-inside, outside) if params.mode == "wind" else (-outside, inside)


def feed_rolls(params: FeedRollsParams, load: LoadParams, gravity: float) -> tuple[Stage, Load]:
    """Stage and load of driven rolls between the tensions of a web.

    Every roll is pressed to another of its own diameter that it drives.
    """
    stated = stated_mechanism(params)
    radius = stated.positive("diameter") / 2
    count = stated.whole("count")
    tension = stated.not_negative("tension_in") - stated.not_negative("tension_out")
    pressed, lever = stated.not_negative("nip_force"), stated.not_negative("roll_resistance")
    rolling = count * float(nip_resistance(pressed, lever, radius, radius))
    stage = mechanism_stage(params, "Feed rolls", radius)
    own = ("inertia_in", "drag_in", "viscous_in")
    stage = replace(stage, **{name: count * getattr(stage, name) for name in own})
    parts = tuple((label, count * value) for label, value in stage.inertia_parts)
    straight = linear_load(load, gravity)
    web = Burden(steady=tension, friction=rolling)
    return replace(stage, inertia_parts=parts), replace(straight, base=added(straight.base, web))
