"""The drive train as data: what moves, what resists it, and the stages towards the motor.

A train is built by the mechanisms of this package and evaluated by :mod:`dutyline.train.recursion`.
Efforts are forces on linear nodes [N] and torques on rotary nodes [N*m].
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Ratio(Protocol):
    """Travel of the output per travel of the input, possibly depending on the place."""

    def at(self, position_in: Array) -> tuple[Array, Array]:
        """Ratio and its derivative by the input position, at input positions."""
        ...

    def input_of(self, position_out: Array) -> Array:
        """Input positions that belong to output positions (both zero at the start)."""
        ...

    def output_of(self, position_in: Array) -> Array:
        """Output positions that belong to input positions (both zero at the start)."""
        ...

    def kinks(self, low: float, high: float) -> Sequence[float]:
        """Input positions from ``low`` to ``high`` where the ratio or a derivative jumps."""
        ...

    @property
    def constant(self) -> float | None:
        """The ratio where it does not depend on the place, else None."""
        ...


@dataclass(frozen=True, slots=True)
class ConstantRatio:
    """The same ratio everywhere: lead / 2 pi, radius, 1 / reduction. Negative reverses."""

    value: float

    def at(self, position_in: Array) -> tuple[Array, Array]:
        """Ratio and derivative (zero)."""
        ratio = np.empty(position_in.shape)
        ratio.fill(self.value)
        return ratio, np.zeros(position_in.shape)

    def input_of(self, position_out: Array) -> Array:
        """Output position over ratio."""
        return position_out / self.value

    def output_of(self, position_in: Array) -> Array:
        """Input position times ratio."""
        return position_in * self.value

    def kinks(self, low: float, high: float) -> Sequence[float]:
        """Nowhere."""
        return ()

    @property
    def constant(self) -> float | None:
        """The ratio."""
        return self.value


@dataclass(frozen=True, slots=True)
class MemberState:
    """What members of a mechanism bring to its shaft at any number of places."""

    inertia: Array
    """``J(q)`` [kg*m^2]"""
    slope: Array
    """Torque per squared speed, ``J'(q) / 2`` of bodies [kg*m^2]."""
    weight: Array
    """``dV/dq`` [N*m]"""
    process: Array
    """Process torque, + when it has to be overcome [N*m]."""
    friction: Array
    """Torque that is always against motion, zero or more [N*m]."""


class Members(Protocol):
    """Bodies between shaft and load whose share depends on the place: a rod, a roll of web."""

    def at(self, position: Array) -> MemberState:
        """Their share at positions of the shaft."""
        ...

    def height(self, position: Array) -> Array:
        """Potential of their weight ``V(q)`` at positions of the shaft [J]."""
        ...

    def gained(self, position: Array, speed: Array) -> Array:
        """Power with which kinetic energy arrives by itself, with the web of a roll [W]."""
        ...

    def drift(self, position: Array, speed: Array) -> Array:
        """Share of its speed that a shaft loses per time beside the stated motion [1/s].

        Not zero only for a roll that is looked at in one diameter while it grows.
        """
        ...


@dataclass(frozen=True, slots=True)
class Burden:
    """What a load, or one payload on it, brings to the load node. All numbers add up.

    Effort at position x, speed v, acceleration a and direction s (-1, 0, +1)::

        inertia*a
        + gravity + gravity_rise*x + gravity_cos*cos(x) + gravity_sin*sin(x)
        + friction*s + viscous*v + steady
    """

    inertia: float = 0.0
    """Mass [kg] on a linear load node, inertia [kg*m^2] on a rotary one."""
    gravity: float = 0.0
    """Constant weight effort, + when it has to be overcome in + travel [N or N*m]."""
    gravity_rise: float = 0.0
    """Change of the weight effort per travel (rope) [N/m or N*m/rad]."""
    gravity_cos: float = 0.0
    """Weight torque times cos(travel) [N*m]; rotary loads only."""
    gravity_sin: float = 0.0
    """Weight torque times sin(travel) [N*m]; rotary loads only."""
    friction: float = 0.0
    """Coulomb friction and constant drag, always against motion, zero or more [N or N*m]."""
    viscous: float = 0.0
    """[N*s/m or N*m*s/rad], zero or more."""
    steady: float = 0.0
    """Process effort present whenever the load moves or stands (feed) [N or N*m]."""
    mass: float = 0.0
    """Mass in kg, for the record and for fall distances."""
    lever_cos: float = 0.0
    """Mass times its distance from the axis, along the level line at travel 0 [kg*m]."""
    lever_sin: float = 0.0
    """The same upright to it [kg*m]; rotary loads only, both for what the shaft carries."""

    @property
    def numbers(self) -> tuple[float, ...]:
        """All fields in their order."""
        return _numbers_of(self)


_numbers_of = attrgetter(*Burden.__dataclass_fields__)


@dataclass(frozen=True, slots=True)
class SpeedResistance:
    """A process effort that follows the speed: always against motion, zero at rest."""

    constant: float = 0.0
    """[N or N*m]"""
    per_speed: float = 0.0
    """[N*s/m or N*m*s/rad]"""
    per_speed2: float = 0.0
    """[N*s^2/m^2 or N*m*s^2/rad^2]"""
    power: float = 0.0
    """[W] constant above ``base_speed``; below it the effort is constant"""
    base_speed: float = 0.0
    """[m/s or rad/s]"""
    speeds: tuple[float, ...] = ()
    """[m/s or rad/s] of :attr:`values`, rising; held below the first and above the last"""
    values: tuple[float, ...] = ()
    """[N or N*m]"""

    def at(self, speed: Array) -> Array:
        """Magnitude at speeds of either sign [N or N*m]."""
        v = np.abs(speed)
        result: Array = self.constant + self.per_speed * v + self.per_speed2 * v**2
        if self.power:
            result = result + self.power / np.maximum(v, self.base_speed)
        if self.speeds:
            result = result + np.interp(v, self.speeds, self.values)
        return result

    @property
    def kinks(self) -> tuple[float, ...]:
        """Speeds, zero left out, at which the effort has a kink."""
        found = (*self.speeds, *((self.base_speed,) if self.power else ()))
        return tuple(v for v in found if v > 0)


@dataclass(frozen=True, slots=True)
class Fading:
    """How friction falls from its static to its running value."""

    speed: float
    """[m/s or rad/s]"""
    exponent: float = 2.0


@dataclass(frozen=True, slots=True)
class Load:
    """The load node."""

    linear: bool
    base: Burden
    payloads: Mapping[str, Burden] = field(default_factory=dict)
    breakaway: float = 1.0
    """Static over running friction at starts, for the peak only unless it fades."""
    fading: Fading | None = None
    """Given: static friction acts at all low speeds, not at starts alone."""
    resistance: SpeedResistance | None = None
    """Process effort over speed: fan, pump, mixer, spindle."""
    rider: Burden | None = None
    """What each kg of a motor, gearhead or brake that rides along adds; None: they stand still."""
    share: float = 1.0
    """Share of everything at the load that the motor looked at carries."""

    def total(self, carry: tuple[str, ...]) -> Burden:
        """Base and the named payloads added up, as far as the motor looked at carries them."""
        parts = [self.base, *(self.payloads[name] for name in carry)]
        columns = zip(*(part.numbers for part in parts), strict=True)
        return Burden(*[self.share * sum(column) for column in columns])


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage: input on the motor side, output on the load side (mechanics 2.1)."""

    name: str
    """Label for people: ``Ball screw``, ``coupling``."""
    kind: str
    ratio: Ratio
    """Output travel over input travel."""
    efficiency: float = 1.0
    """Power motor to load; more than 0, at most 1."""
    efficiency_back: float = 1.0
    """Power load to motor; at most 1, zero or less is self-locking."""
    inertia_in: float = 0.0
    """Rigid with the input [kg*m^2]."""
    inertia_out: float = 0.0
    """Rigid with the output [kg*m^2 or kg]."""
    drag_in: float = 0.0
    drag_out: float = 0.0
    viscous_in: float = 0.0
    viscous_out: float = 0.0
    stiffness: float | None = None
    """At the output [N/m or N*m/rad]."""
    backlash: float = 0.0
    """Full width at the output [m or rad]."""
    linear_out: bool = False
    """True when the output is linear."""
    linear_in: bool = False
    """True when the input is linear."""
    members: Members | None = None
    """Bodies of the mechanism that belong neither to its shaft nor to its load alone."""
    joined: tuple[Chain, ...] = ()
    """Further loads on the input shaft of this stage (counterweight); efforts add there."""
    inertia_parts: tuple[tuple[str, float], ...] = ()
    """What ``inertia_in`` and ``inertia_out`` consist of, (label, value), for the report."""
    torque_limit: float | None = None
    peak_torque_limit: float | None = None
    speed_limit: float | None = None
    """Stated limits of this stage: output torque, output peak [N*m], input speed [rad/s]."""

    @property
    def self_locking(self) -> bool:
        """True when the load cannot drive the motor."""
        return self.efficiency_back <= 0.0


@dataclass(frozen=True, slots=True)
class Chain:
    """A load and its stages in order from the load towards the motor."""

    load: Load
    stages: tuple[Stage, ...]


@dataclass(frozen=True, slots=True)
class Force:
    """A process force or torque at the load besides the constant ones of the phases."""

    name: str
    values: tuple[float, ...]
    """[N or N*m]; one value when constant. + has to be overcome in + travel."""
    places: tuple[float, ...] = ()
    """Travel [m or rad] or time [s] of each value; empty when constant. Zero outside."""
    over: str = "constant"
    """``constant``, ``travel`` or ``time``"""
    between: str = "linear"
    """``linear`` or ``step`` (a value holds from its place to the next)"""
    phases: tuple[int, ...] | None = None
    """Phases it acts in (then time counts from the phase's start); None: the whole cycle."""
    only: str = "both"
    """``both``, ``forward`` or ``backward``"""
    sense: str = "fixed"
    """``fixed``, or ``opposing``: always against motion, zero at rest."""


@dataclass(frozen=True, slots=True)
class Train:
    """Everything between the load and the shaft to which a gearhead or motor is fitted."""

    chain: Chain
    forces: tuple[Force, ...] = ()
    kind: str = ""
    """Mechanism kind."""
    self_locking: bool = False
    """True when some stage is."""
    input_stated: bool = False
    """True where the cycle states the motion of the input of the first stage (a crank, a cam)."""

    @property
    def curved(self) -> bool:
        """True where effort or motion is no polynomial of a polynomial motion."""
        stages = self.chain.stages
        bent = any(stage.ratio.constant is None or stage.members is not None for stage in stages)
        joined = [other.load for stage in stages for other in stage.joined]
        turned = any(load.base.gravity_cos or load.base.gravity_sin for load in joined)
        loads = [self.chain.load, *joined]
        return (
            bent
            or turned
            or any(load.resistance is not None or load.fading is not None for load in loads)
        )

    @property
    def linear_motor(self) -> bool:
        """True where the shaft asked for is the slide of a linear motor: efforts in N."""
        if self.chain.stages and self.chain.stages[-1].linear_in:
            return True
        turning = [stage for stage in self.chain.stages if stage.kind != "direct"]
        return self.chain.load.linear and not turning

    unbalanced: Chain | None = None
    """The chain with the balances gone that may be lost; None where none may. For the brake."""
