"""Motor and load behind a spring under a sampled position loop, marched through time.

Everything is referred to the motor shaft. The friction of the load is smooth about zero speed:
it brakes, but holds nothing at rest, so that neither wind-up nor hunting can be seen here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, inf, isinf, sqrt, tanh

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dutyline.core.errors import RangeError, ShapeError

Array = NDArray[np.float64]
State = tuple[float, float, float, float, float]
"""Angles and speeds of motor and load, torque of the motor."""
March = Callable[[State, float, float], State]
"""From one sample to the next under a held command and a weight."""

SUBSTEPS = 10
"""Steps between two samples of the controller, at least."""
MOST_SUBSTEPS = 80
"""Steps between two samples, at most; a spring that asks for more is taken as rigid."""
FINE = 0.3
"""[rad] by which the resonance may turn within a step."""
FRICTION_WIDTH = 0.02
"""[rad/s] speed of the load at which its friction has three quarters of its size."""


@dataclass(frozen=True, slots=True)
class TwoMass:
    """Motor and load on either side of a spring, both at the motor shaft."""

    inertia_motor: float
    """[kg*m^2] more than 0"""
    inertia_load: float
    """[kg*m^2] more than 0"""
    stiffness: float
    """[N*m/rad] more than 0; infinite for a rigid train"""
    damping_ratio: float = 0.03
    """[1] of motor and load against each other"""
    gap: float = 0.0
    """[rad] full width of the play between them"""
    friction: float = 0.0
    """[N*m] at the load, against its motion"""
    friction_share: float = 0.0
    """[1] further friction there as a share of the torque in the spring (losses of gears)"""
    friction_width: float = FRICTION_WIDTH
    """[rad/s]"""

    @property
    def damping(self) -> float:
        """[N*m*s/rad] between motor and load"""
        own = self.inertia_motor * self.inertia_load / (self.inertia_motor + self.inertia_load)
        return 2.0 * self.damping_ratio * sqrt(self.stiffness * own)

    @property
    def resonance(self) -> float:
        """[rad/s] motor and load against each other"""
        return sqrt(self.stiffness * (1.0 / self.inertia_motor + 1.0 / self.inertia_load))


@dataclass(frozen=True, slots=True)
class Loop:
    """A position loop with proportional gain around a velocity loop with integral part."""

    velocity_gain: float
    """[N*m*s/rad] torque per error of speed"""
    integral_time: float
    """[s]"""
    position_gain: float
    """[1/s]"""
    sample: float
    """[s] between two runs of the controller; its output acts one sample later"""
    current_lag: float
    """[s] of the torque behind its command"""
    torque_limit: float = inf
    """[N*m]"""
    feed_forward: float = 0.0
    """[1] share of the speed of the reference"""
    inertia_feed_forward: float = 0.0
    """[kg*m^2] times the acceleration of the reference"""
    at_load: bool = False
    """True where the place is measured at the load"""


@dataclass(frozen=True, slots=True)
class Course:
    """States at the samples, from the first on; at the motor shaft."""

    time: Array
    """[s]"""
    motor: Array
    """[rad]"""
    load: Array
    """[rad]"""
    motor_speed: Array
    """[rad/s]"""
    load_speed: Array
    """[rad/s]"""
    torque: Array
    """[N*m] of the motor"""
    rest: float
    """[rad] by which the load lies behind the motor at the end at rest: sag under its weight"""
    limited: int
    """Samples at which the torque limit cut the command"""


def substeps(plant: TwoMass, sample: float) -> int:
    """Steps between two samples at which the march is stable and exact enough.

    0 where the spring is so stiff that the train counts as rigid.

    Parameters
    ----------
    plant : TwoMass
    sample : float [s]

    Source
    ------
    Limit of stability of semi-implicit steps; the number per period is own choice, held against
    runs with twice as many.

    Examples
    --------
    >>> substeps(TwoMass(5e-5, 2e-4, 28.424), 125e-6)
    10
    """
    if isinf(plant.stiffness):
        return 0
    needed = ceil(plant.resonance * sample / FINE)
    return 0 if needed > MOST_SUBSTEPS else max(SUBSTEPS, needed)


def course(
    plant: TwoMass,
    loop: Loop,
    reference: ArrayLike,
    speed: ArrayLike,
    acceleration: ArrayLike,
    weight: ArrayLike = 0.0,
    *,
    steps: int | None = None,
) -> Course:
    r"""March of motor and load behind a reference, from a standstill or a steady speed.

    Parameters
    ----------
    plant : TwoMass
    loop : Loop
    reference, speed, acceleration : (n,) array_like [rad, rad/s, rad/s^2]
        At every sample, at the motor shaft.
    weight : array_like [N*m]
        Torque that the load asks for at rest, one number or one per sample.
    steps : int, optional
        Between two samples; from :func:`substeps` where left out.

    Returns
    -------
    Course

    Raises
    ------
    ShapeError
        The references differ in length.
    RangeError
        An inertia, the stiffness, a gain or a time is not above zero.

    Notes
    -----
    At every sample :math:`e = K_v(\varphi - \theta_1) + k_f \dot\varphi - \omega_1` and
    :math:`u = K_p(e + I/T_i) + J_f \ddot\varphi`, cut at the torque limit; :math:`I` grows by
    :math:`e T_s` where it was not cut. The torque follows the command of the sample before with a
    lag of first order. Speeds are stepped before angles (semi-implicit Euler). In the gap no
    torque passes; at its flanks the spring with its damper may push, never pull.

    *Valid for* one spring; a row of several has further frequencies above the first. *Limits:*
    friction goes through zero with ``tanh``: a load at rest creeps on, and stiction, wind-up and
    hunting are not in it.

    Source
    ------
    Equations of motion; structure of the loops as in Leonhard, Control of Electrical Drives
    (from memory). Checked against a general solver of differential equations.

    Examples
    --------
    One radian in a tenth of a second, at constant speed: the load ends where it was sent.

    >>> at = np.minimum(np.arange(4000) * 125e-6 / 0.1, 1.0)
    >>> still = np.zeros(4000)
    >>> loop = Loop(0.04, 0.02, 40.0, 125e-6, 4e-4)
    >>> found = course(TwoMass(5e-5, 2e-4, 28.424), loop, at, still, still)
    >>> round(float(found.load[-1]), 3)
    1.0
    """
    place, rate, change = _references(reference, speed, acceleration)
    _refuse(plant, loop)
    lean = np.broadcast_to(np.asarray(weight, dtype=float), place.shape)
    given = steps is not None and not isinf(plant.stiffness)
    count = steps if given and steps else substeps(plant, loop.sample)
    march = _rigid(plant, loop) if count == 0 else _elastic(plant, loop, count)
    state = _start(plant, loop, float(place[0]), float(rate[0]), float(lean[0]))
    rows = zip(place.tolist(), rate.tolist(), change.tolist(), lean.tolist(), strict=True)
    held, total, limited, states = state[4], state[4] * loop.integral_time, 0, []
    total /= loop.velocity_gain
    for wanted, forward, more, burden in rows:
        states.append(state)
        a, b, u, _, _ = state
        error = loop.position_gain * (wanted - (b if loop.at_load else a))
        error += loop.feed_forward * forward - u
        raw = loop.velocity_gain * (error + total / loop.integral_time)
        raw += loop.inertia_feed_forward * more
        command = min(max(raw, -loop.torque_limit), loop.torque_limit)
        if command == raw:
            total += error * loop.sample
        else:
            limited += 1
        state = march(state, held, burden)
        held = command
    columns: Array = np.array(states).T
    motor, load, motor_speed, load_speed, torque = columns
    sag = 0.0 if loop.at_load else _twist(plant, float(lean[-1]))
    time = np.arange(place.size, dtype=np.float64) * loop.sample
    return Course(time, motor, load, motor_speed, load_speed, torque, sag, limited)


def settled(time: ArrayLike, error: ArrayLike, tolerance: float, end: float) -> float:
    """Time from the end of a move until an error stays within a tolerance [s].

    Parameters
    ----------
    time : (n,) array_like [s]
    error : (n,) array_like [rad or m]
    tolerance : float [rad or m]
    end : float [s]
        Of the move.

    Returns
    -------
    float [s]
        0 or more; infinite where the last error is outside.

    Source
    ------
    Definition.

    Examples
    --------
    >>> settled([0.0, 0.1, 0.2, 0.3], [1.0, 0.5, 1.5, 0.2], 1.0, 0.1)
    0.1
    """
    outside = np.nonzero(np.abs(np.asarray(error, dtype=float)) > tolerance)[0]
    moments = np.asarray(time, dtype=float)
    if outside.size == 0:
        return 0.0
    if outside[-1] == moments.size - 1:
        return inf
    return max(float(moments[outside[-1]]) - end, 0.0)


def _references(*given: ArrayLike) -> tuple[Array, Array, Array]:
    place, rate, change = (np.asarray(one, dtype=float) for one in given)
    if place.ndim != 1 or place.size == 0 or not place.shape == rate.shape == change.shape:
        shapes = f"reference {place.shape}, speed {rate.shape}, acceleration {change.shape}"
        raise ShapeError(f"got {shapes}; three vectors of one length are needed")
    return place, rate, change


def _refuse(plant: TwoMass, loop: Loop) -> None:
    needed = {
        "inertia_motor": plant.inertia_motor,
        "inertia_load": plant.inertia_load,
        "stiffness": plant.stiffness,
        "friction_width": plant.friction_width,
        "velocity_gain": loop.velocity_gain,
        "integral_time": loop.integral_time,
        "position_gain": loop.position_gain,
        "sample": loop.sample,
        "current_lag": loop.current_lag,
        "torque_limit": loop.torque_limit,
    }
    for name, value in needed.items():
        if not value > 0:
            raise RangeError(f"{name} is {value:g}; it must be more than 0")


def _start(plant: TwoMass, loop: Loop, place: float, speed: float, weight: float) -> State:
    """At rest, or at a steady speed behind the reference."""
    carried = weight + plant.friction * tanh(speed / plant.friction_width)
    behind = (1.0 - loop.feed_forward) * speed / loop.position_gain
    twist = _twist(plant, carried)
    load = place - behind - (0.0 if loop.at_load else twist)
    return load + twist, load, speed, speed, carried


def _elastic(plant: TwoMass, loop: Loop, count: int) -> March:
    """The march over one sample in a number of steps."""
    dt = loop.sample / count
    share = dt / loop.current_lag
    push, pull = dt / plant.inertia_motor, dt / plant.inertia_load
    k, d, half = plant.stiffness, plant.damping, 0.5 * plant.gap
    rub, lost, steep = plant.friction, plant.friction_share, 1.0 / _width(plant, dt)

    def march(state: State, held: float, burden: float) -> State:
        a, b, u, v, torque = state
        for _ in range(count):
            torque += (held - torque) * share
            bent = a - b
            if half:
                bent = bent - half if bent > half else bent + half if bent < -half else 0.0
                spring = k * bent + d * (u - v) if bent else 0.0
                if spring * bent < 0.0:
                    spring = 0.0
            else:
                spring = k * bent + d * (u - v)
            u += push * (torque - spring)
            v += pull * (spring - burden - (rub + lost * abs(spring)) * tanh(v * steep))
            a += dt * u
            b += dt * v
        return a, b, u, v, torque

    return march


def _rigid(plant: TwoMass, loop: Loop) -> March:
    """The same for motor and load as one body."""
    dt = loop.sample / SUBSTEPS
    share, push = dt / loop.current_lag, dt / (plant.inertia_motor + plant.inertia_load)
    rub, steep = plant.friction, 1.0 / _width(plant, dt)

    def march(state: State, held: float, burden: float) -> State:
        a, b, u, _, torque = state
        behind = a - b
        for _ in range(SUBSTEPS):
            torque += (held - torque) * share
            u += push * (torque - burden - rub * tanh(u * steep))
            a += dt * u
        return a, a - behind, u, u, torque

    return march


def _width(plant: TwoMass, dt: float) -> float:
    """Speed over which friction changes its sign, no less than the step can follow [rad/s]."""
    return max(plant.friction_width, 2.0 * plant.friction * dt / plant.inertia_load)


def _twist(plant: TwoMass, torque: float) -> float:
    """[rad] that spring and gap give under a torque at rest"""
    return torque / plant.stiffness + 0.5 * plant.gap * float(np.sign(torque))
