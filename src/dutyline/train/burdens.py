"""What sits on the load node: weight, friction and inertia of load, payloads and riding motor."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, sin

from dutyline.physics.friction import incline_forces
from dutyline.train.bodies import Body, body_masses, build_bodies
from dutyline.train.parameters import (
    FieldRangeError,
    LoadParams,
    PayloadParams,
)
from dutyline.train.records import Burden, Fading, Load
from dutyline.train.stated import Stated

UPRIGHT = 1.5707963267948966
"""[rad] 90 deg"""
NOTHING = Burden()


def linear_load(
    params: LoadParams,
    gravity: float,
    *,
    incline: float = 0.0,
    friction: float | None = None,
    extra: Burden = NOTHING,
    magnet_force: float = 0.0,
    rides: bool = False,
) -> Load:
    """Load on a straight axis.

    Parameters
    ----------
    params : LoadParams
    gravity : float [m/s^2]
    incline : float [rad]
        Used where the load states none.
    friction : float, optional [1]
        Takes the place of ``params.friction`` (bed of a conveyor).
    extra : Burden
        Added to the base: belt, rope, held goods.
    magnet_force : float [N]
        Adds to the normal force.
    rides : bool
        Whether the motor moves along.

    Returns
    -------
    Load

    Raises
    ------
    FieldRangeError
        An impossible number, or a field that only turning loads have.

    Notes
    -----
    Weight along + travel ``m g sin a``; friction ``mu (m g cos a + N) + drag``.
    """
    stated = Stated(params, "load.")
    for name in ("inertia", "arm", "angle"):
        if stated.has(name):
            raise stated.fault(name, f"{name} belongs to a load that turns; this one moves along.")
    slope = incline_of(params, incline)
    rub = stated.not_negative("friction") if friction is None else friction
    mass = stated.not_negative("mass") + _body_mass(params)
    if mass < 0:
        raise stated.fault("body", "The holes weigh more than the load.")
    pressed = stated.not_negative("normal_force") + magnet_force
    carried = straight_burden(mass, slope, gravity, rub, pressed)
    return Load(
        linear=True,
        base=added(carried, extra, _resistance(stated)),
        payloads={
            name: _payload(
                name, one, lambda mass, mu: straight_burden(mass, slope, gravity, mu), rub
            )
            for name, one in params.payloads.items()
        },
        breakaway=_breakaway(stated),
        fading=_fading(stated),
        rider=straight_burden(1.0, slope, gravity, rub) if rides else None,
    )


def added(*parts: Burden) -> Burden:
    """All parts as one burden."""
    return Burden(*map(sum, zip(*(part.numbers for part in parts), strict=True)))


def incline_of(params: LoadParams, usual: float) -> float:
    """Stated incline, or the usual one of the mechanism [rad]."""
    if params.incline is None:
        return usual
    tiny = 1e-9
    words = "from -90 to 90 deg (-90 deg where + is down)"
    return Stated(params, "load.").within("incline", -UPRIGHT - tiny, UPRIGHT + tiny, words)


def rotary_load(
    params: LoadParams,
    gravity: float,
    *,
    tilt: float = 0.0,
    bearing: float = 0.0,
    steady: float = 0.0,
    bare: bool = False,
) -> Load:
    """Load that turns about a fixed axis.

    Parameters
    ----------
    params : LoadParams
    gravity : float [m/s^2]
    tilt : float [rad]
        Axis from the vertical.
    bearing : float [m]
        Friction torque per axial force: friction coefficient times half the bearing diameter.
    steady : float [N*m]
        Friction torque that does not depend on the mass (tilting moment).
    bare : bool
        Whether the load may have no inertia of its own, because its shaft has.

    Returns
    -------
    Load

    Raises
    ------
    FieldRangeError
        An impossible number, or a field that only straight loads have.

    Notes
    -----
    Weight torque ``m g r sin(tilt) cos(angle + x)``, + where it has to be overcome in + travel.
    Each payload adds bearing friction for its own weight.
    """
    stated = Stated(params, "load.")
    for name in ("friction", "normal_force", "incline"):
        if stated.has(name):
            raise stated.fault(
                name, f"{name} belongs to a load that moves along; this one turns (use drag)."
            )
    bodies = _bodies(params)
    inertia = stated.not_negative("inertia") + sum(b.inertia for b in bodies)
    if inertia < 0 or (inertia == 0 and not bare):
        raise stated.fault("inertia", "inertia is missing or zero; a turning load needs it.")
    own = stated.not_negative("mass")
    mass = own + sum(b.mass for b in bodies)
    if mass < 0:
        raise stated.fault("body", "The holes weigh more than the load.")
    arm, angle = stated.not_negative("arm"), stated.needed("angle")
    if arm > 0 and own == 0 and tilt != 0:
        raise stated.fault("mass", "mass is missing; with an arm its weight is needed.")
    pull = gravity * sin(tilt)
    across = gravity * abs(cos(tilt)) * bearing
    level = own * arm * cos(angle) + sum(b.level for b in bodies)
    height = own * arm * sin(angle) + sum(b.height for b in bodies)
    base = Burden(
        inertia=inertia,
        gravity_cos=pull * level,
        gravity_sin=-pull * height,
        friction=across * mass + steady,
        mass=mass,
        lever_cos=level,
        lever_sin=height,
    )
    return Load(
        linear=False,
        base=added(base, _resistance(stated)),
        payloads={
            name: _turning_payload(name, one, pull, across) for name, one in params.payloads.items()
        },
        breakaway=_breakaway(stated),
        fading=_fading(stated),
    )


def straight_burden(
    mass: float, slope: float, gravity: float, friction: float, pressed: float = 0.0
) -> Burden:
    """A mass on an incline with Coulomb friction, ``pressed`` besides its weight [N]."""
    along, normal = (float(f) for f in incline_forces(mass, slope, gravity))
    return Burden(inertia=mass, gravity=along, friction=friction * (normal + pressed), mass=mass)


def _resistance(stated: Stated) -> Burden:
    return Burden(friction=stated.not_negative("drag"), viscous=stated.not_negative("viscous"))


def _payload(
    name: str, params: PayloadParams, straight: Callable[[float, float], Burden], friction: float
) -> Burden:
    stated = Stated(params, f"load.payloads.{name}.")
    for field in ("inertia", "radius", "angle"):
        if stated.has(field):
            raise stated.fault(
                field, f"{field} belongs to a load that turns; this one moves along."
            )
    own = friction if params.friction is None else stated.not_negative("friction")
    return straight(stated.not_negative("mass") * stated.whole("count"), own)


def _turning_payload(name: str, params: PayloadParams, pull: float, across: float) -> Burden:
    stated = Stated(params, f"load.payloads.{name}.")
    if stated.has("friction"):
        raise stated.fault("friction", "friction of a payload has no meaning on a load that turns.")
    count, mass = stated.whole("count"), stated.not_negative("mass")
    radius, angle = stated.not_negative("radius"), stated.needed("angle")
    level, height = count * mass * radius * cos(angle), count * mass * radius * sin(angle)
    return Burden(
        inertia=count * (stated.not_negative("inertia") + mass * radius**2),
        gravity_cos=pull * level,
        gravity_sin=-pull * height,
        friction=across * count * mass,
        mass=count * mass,
        lever_cos=level,
        lever_sin=height,
    )


def _bodies(params: LoadParams) -> tuple[Body, ...]:
    try:
        return build_bodies(params.body)
    except FieldRangeError as error:
        raise FieldRangeError("load." + error.field, str(error)) from error


def _body_mass(params: LoadParams) -> float:
    try:
        return body_masses(params.body)
    except FieldRangeError as error:
        raise FieldRangeError("load." + error.field, str(error)) from error


def _breakaway(stated: Stated) -> float:
    value = stated.positive("breakaway")
    if value < 1:
        raise stated.fault("breakaway", f"breakaway is {value:g}; it must be 1 or more.")
    return value


def _fading(stated: Stated) -> Fading | None:
    """How static friction fades; None where no speed is stated for it."""
    speed = stated.optional_positive("stribeck_speed")
    if speed is None:
        return None
    if _breakaway(stated) == 1.0:
        raise stated.fault(
            "breakaway", "breakaway is missing; stribeck_speed tells where it has faded."
        )
    return Fading(speed, stated.positive("stribeck_exponent"))
