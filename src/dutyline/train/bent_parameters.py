"""What a file says about cranks, linkages, cams, webs and driven loads: SI numbers under its names.

As :mod:`dutyline.train.parameters`; ``None`` means not stated.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from dutyline.train.parameters import MechanismParams


@dataclass(frozen=True, slots=True, kw_only=True)
class RotaryLoadParams(MechanismParams):
    """``rotary-load``: a process torque over speed, always against motion."""

    kind: ClassVar[str] = "rotary-load"
    linear: ClassVar[bool] = False

    torque: float = 0.0  # [N*m]
    torque_per_speed: float = 0.0  # [N*m*s/rad]
    torque_per_speed2: float = 0.0  # [N*m*s^2/rad^2]
    power: float | None = None  # [W] constant above base_speed
    base_speed: float | None = None  # [rad/s]
    points: tuple[tuple[float, float], ...] = ()  # [rad/s], [N*m]


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRollsParams(MechanismParams):
    """``feed-rolls``: driven rolls between two tensions of a web."""

    kind: ClassVar[str] = "feed-rolls"

    diameter: float | None = None  # [m]
    count: int = 1
    tension_in: float = 0.0  # [N] upstream, against + travel
    tension_out: float = 0.0  # [N] downstream, along + travel
    nip_force: float = 0.0  # [N] of one roll
    roll_resistance: float = 0.0  # [m] lever arm
    traction_friction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrankParams(MechanismParams):
    """Fields of mechanisms with an input of its own motion."""

    motion: str = "input"
    """What the phases state: ``input`` or ``load``"""
    start_angle: float = 0.0  # [rad] input at the start of the cycle


@dataclass(frozen=True, slots=True, kw_only=True)
class SliderCrankParams(CrankParams):
    """``slider-crank``; the load is the slider, + away from the crank."""

    kind: ClassVar[str] = "slider-crank"

    crank: float | None = None  # [m]
    rod: float | None = None  # [m]
    offset: float = 0.0  # [m]
    rod_mass: float = 0.0  # [kg]
    rod_cg: float = 0.0  # [m] from the crank pin
    rod_inertia: float = 0.0  # [kg*m^2] about its own centre


@dataclass(frozen=True, slots=True, kw_only=True)
class ScotchYokeParams(CrankParams):
    """``scotch-yoke``; the load is the yoke."""

    kind: ClassVar[str] = "scotch-yoke"

    crank: float | None = None  # [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToggleParams(CrankParams):
    """``toggle``: two equal links, a screw at the knee."""

    kind: ClassVar[str] = "toggle"

    link: float | None = None  # [m]
    lead: float | None = None  # [m per turn] knee screw
    diameter: float | None = None  # [m] knee screw
    length: float | None = None  # [m] knee screw


@dataclass(frozen=True, slots=True, kw_only=True)
class FourBarParams(CrankParams):
    """``four-bar``; the load turns with the rocker."""

    kind: ClassVar[str] = "four-bar"
    linear: ClassVar[bool] = False

    crank: float | None = None  # [m]
    coupler: float | None = None  # [m]
    rocker: float | None = None  # [m]
    ground: float | None = None  # [m]
    circuit: str = "open"
    """``open`` or ``crossed``"""
    tilt: float = 0.0  # [rad] plane of motion from the level
    coupler_mass: float = 0.0  # [kg]
    coupler_cg: float = 0.0  # [m] from the crank pin
    coupler_inertia: float = 0.0  # [kg*m^2] about its own centre


@dataclass(frozen=True, slots=True, kw_only=True)
class CamSectionParams:
    """One entry of ``sections``."""

    angle: float  # [rad]
    lift: float = 0.0  # [m] change, + outward
    law: str = "modified-sine"


@dataclass(frozen=True, slots=True, kw_only=True)
class CamParams(MechanismParams):
    """``cam``; the load is the follower, + outward."""

    kind: ClassVar[str] = "cam"

    sections: tuple[CamSectionParams, ...] = ()
    base_diameter: float | None = None  # [m]
    offset: float = 0.0  # [m]
    spring_force: float = 0.0  # [N] at the start of the first section
    spring_stiffness: float = 0.0  # [N/m]


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioTableParams(MechanismParams):
    """``ratio-table``: a spline through stated pairs of input and load travel."""

    kind: ClassVar[str] = "ratio-table"

    motion: str = "input"
    points: tuple[tuple[float, float], ...] = ()  # [m or rad] both
    input_travel: str = "rotary"
    """``linear`` or ``rotary``"""
    load_travel: str = "linear"


@dataclass(frozen=True, slots=True, kw_only=True)
class WinderParams(MechanismParams):
    """``winder``; the load is the web, + into the roll when winding, out of it when unwinding."""

    kind: ClassVar[str] = "winder"

    core: float | None = None  # [m] diameter
    full: float | None = None  # [m] diameter
    start: float | None = None  # [m] diameter at the start of every cycle
    roll: float | None = None  # [m] diameter through the whole cycle; None, as start: full
    width: float | None = None  # [m]
    thickness: float | None = None  # [m]
    density: float | None = None  # [kg/m^3] of the wound web
    tension: float | None = None  # [N] at the core
    taper: float = 0.0
    taper_law: str = "hyperbolic"
    """``hyperbolic`` or ``linear``"""
    mode: str = "wind"
    """``wind`` or ``unwind``"""
    drive: str = "centre"
    """``centre`` or ``surface``"""
    drum_diameter: float | None = None  # [m]
    nip_force: float | None = None  # [N] None: the weight of the roll
    roll_resistance: float = 0.0  # [m] lever arm
