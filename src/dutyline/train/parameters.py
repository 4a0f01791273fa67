"""What a file says about loads, mechanisms and stages: SI numbers under the names of the file.

One record per kind. ``None`` means not stated. The numbers are judged by the builders, which
raise :class:`FieldRangeError` with the name of the field at fault.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from dutyline.core.errors import RangeError


class FieldRangeError(RangeError):
    """A stated number that cannot be.

    ``field`` is its name in the record, with dots inside tables (``payloads.crate.mass``). Builders
    that read two records put ``load.`` or ``mechanism.`` before it.
    """

    def __init__(self, field: str, text: str) -> None:
        self.field = field
        super().__init__(text)


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyParams:
    """One ``body`` table: a shape with mass or density or material, or mass and inertia."""

    shape: str | None = None
    """``cylinder``, ``ring``, ``cuboid``, ``rod``, ``sphere``, ``cone``, ``point``"""
    mass: float | None = None  # [kg]
    density: float | None = None  # [kg/m^3]
    material: str | None = None
    """Name in ``data/materials.toml``."""
    diameter: float | None = None  # [m]
    bore: float = 0.0  # [m]
    length: float | None = None  # [m] along the body's own axis
    width: float | None = None  # [m]
    height: float | None = None  # [m]
    radius: float = 0.0  # [m] axis of rotation to the centre of mass
    angle: float = 0.0  # [rad] above the level line at travel 0
    turn: str = "axial"
    """Axis of rotation: the body's own (``axial``) or across it (``transverse``)."""
    inertia: float | None = None  # [kg*m^2] about its own centre
    count: float = 1.0
    """Negative for holes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PayloadParams:
    """One entry of ``load.payloads``."""

    mass: float  # [kg]
    inertia: float = 0.0  # [kg*m^2] about its own centre; rotary only
    radius: float = 0.0  # [m] axis to centre of mass; rotary only
    angle: float = 0.0  # [rad] as LoadParams.angle; rotary only
    count: int = 1
    """So many alike, all at the same radius and angle."""
    friction: float | None = None
    """Force over normal force; None: as the load (conveyor: as the bed)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadParams:
    """``[load]``."""

    mass: float | None = None  # [kg]
    inertia: float | None = None  # [kg*m^2]
    payloads: Mapping[str, PayloadParams] = field(default_factory=dict)
    incline: float | None = None  # [rad] None: level; hoist straight up
    arm: float = 0.0  # [m]
    angle: float = 0.0  # [rad] above the level line at travel 0
    friction: float | None = None  # None: none
    normal_force: float = 0.0  # [N]
    drag: float = 0.0  # [N or N*m]
    viscous: float = 0.0  # [N*s/m or N*m*s/rad]
    breakaway: float = 1.0
    stribeck_speed: float | None = None  # [m/s or rad/s]
    stribeck_exponent: float = 2.0
    body: tuple[BodyParams, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MechanismParams:
    """Fields that every mechanism has."""

    kind: ClassVar[str] = ""
    linear: ClassVar[bool] = True
    """True when the travel of the load is linear."""

    efficiency: float | None = None
    """None: 1, or from the geometry of a sliding contact."""
    efficiency_back: float | None = None
    """None: 2 - 1/efficiency, or from the geometry of a sliding contact."""
    inertia: float | None = None  # [kg*m^2] on its shaft, besides what geometry gives
    drag: float = 0.0  # [N*m] on its shaft
    viscous: float = 0.0  # [N*m*s/rad] on its shaft
    stiffness: float | None = None  # [N/m or N*m/rad] at the load
    backlash: float = 0.0  # [m or rad] at the load
    travel: float | None = None  # [m or rad]
    reverse: bool = False
    motor_rides: bool = False
    overhang: float | None = None  # [m] force to the shoulder of the shaft that carries it
    radial_force: float | None = None  # [N] on that shaft, besides what belt, teeth or load bring
    axial_force: float | None = None  # [N] along that shaft, besides what teeth or load bring
    axial_arm: float = 0.0  # [m] of the axial force from the axis of that shaft
    endless: bool | None = None
    material: str | None = None
    """Of what geometry gives; None: steel."""
    body: tuple[BodyParams, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewParams(MechanismParams):
    """Fields that ball screw and lead screw share."""

    lead: float | None = None  # [m per turn]; or pitch and starts
    pitch: float | None = None  # [m]
    starts: int = 1
    diameter: float | None = None  # [m]
    length: float | None = None  # [m]
    rotating: str = "screw"
    """``screw`` or ``nut``"""
    preload: float | None = None  # [N]
    root_diameter: float | None = None  # [m]
    ends: str = "fixed-supported"
    unsupported: float | None = None  # [m]
    buckling_length: float | None = None  # [m]
    speed_value: float | None = None  # [m*rad/s] diameter times speed
    nut_stiffness: float | None = None  # [N/m]
    bearing_stiffness: float | None = None  # [N/m]


@dataclass(frozen=True, slots=True, kw_only=True)
class BallScrewParams(ScrewParams):
    """``ball-screw``."""

    kind: ClassVar[str] = "ball-screw"

    dynamic_rating: float | None = None  # [N]
    static_rating: float | None = None  # [N]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadScrewParams(ScrewParams):
    """``lead-screw``: ``friction`` with geometry, or ``efficiency``."""

    kind: ClassVar[str] = "lead-screw"

    mean_diameter: float | None = None  # [m]
    friction: float | None = None
    flank: float = 0.2617993877991494  # [rad] 15 deg, angle of the flank from the normal plane
    collar_friction: float = 0.0
    collar_diameter: float | None = None  # [m]
    nut_area: float | None = None  # [m^2]
    pressure_speed_limit: float | None = None  # [W/m^2]


@dataclass(frozen=True, slots=True, kw_only=True)
class TractionParams:
    """``traction``: what a driven wheel or drum can transmit by friction."""

    normal_force: float | None = None  # [N]
    friction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RackParams(MechanismParams):
    """``rack``, also a driven wheel."""

    kind: ClassVar[str] = "rack"

    diameter: float | None = None  # [m] pitch circle; or teeth and module
    teeth: float | None = None
    module: float | None = None  # [m] in the normal section
    helix: float = 0.0  # [rad]
    pressure_angle: float = 0.3490658503988659  # [rad] 20 deg
    force_limit: float | None = None  # [N]
    traction: TractionParams | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerParams:
    """One entry of ``rollers``: idlers that turn with the belt."""

    inertia: float  # [kg*m^2] each
    diameter: float  # [m]
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class BeltParams(MechanismParams):
    """``belt``: carriage on a toothed belt or chain."""

    kind: ClassVar[str] = "belt"

    diameter: float | None = None  # [m] pitch circle; or teeth and pitch
    teeth: float | None = None
    pitch: float | None = None  # [m]
    element: str = "belt"
    """``belt`` or ``chain``"""
    layout: str = "loop"
    """``loop``, ``omega`` or ``reeved``"""
    belt_mass: float | None = None  # [kg/m]
    belt_length: float | None = None  # [m]
    rollers: tuple[RollerParams, ...] = ()
    belt_stiffness: float | None = None  # [N] EA
    branches: tuple[float, float] | None = None  # [m] pulley to carriage on either side
    pretension: float | None = None  # [N]
    force_limit: float | None = None  # [N]
    tooth_limit: float | None = None  # [N]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConveyorParams(MechanismParams):
    """``conveyor``; the goods are ``load.mass`` and the payloads."""

    kind: ClassVar[str] = "conveyor"

    diameter: float | None = None  # [m] drum
    thickness: float = 0.0  # [m] belt
    bed: str = "slider"
    """``slider`` or ``roller``"""
    friction: float | None = None
    return_friction: float | None = None
    belt_mass: float = 0.0  # [kg] carrying side
    return_mass: float = 0.0  # [kg]
    held: float = 0.0  # [kg] part of load.mass held by a stop
    goods_friction: float | None = None
    feed: float | None = None  # [kg/s]
    feed_speed: float = 0.0  # [m/s]
    rollers: tuple[RollerParams, ...] = ()
    pretension: float | None = None  # [N] in one side of the belt at rest
    traction: TractionParams | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RotaryTableParams(MechanismParams):
    """``rotary-table``."""

    kind: ClassVar[str] = "rotary-table"
    linear: ClassVar[bool] = False

    tilt: float = 0.0  # [rad] axis from vertical
    friction: float | None = None
    bearing_diameter: float | None = None  # [m]
    tilting_moment: float = 0.0  # [N*m]


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingArmParams(RotaryTableParams):
    """``swing-arm``: a table whose axis lies level."""

    kind: ClassVar[str] = "swing-arm"

    tilt: float = 1.5707963267948966  # [rad]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoistParams(MechanismParams):
    """``hoist``."""

    kind: ClassVar[str] = "hoist"

    diameter: float | None = None  # [m] to the rope centre
    parts: int = 1
    sheave_efficiency: float | None = None
    rope_mass: float | None = None  # [kg/m]
    rope_length: float | None = None  # [m] rope hanging at travel 0, all parts together


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectParams(MechanismParams):
    """``direct``: linear when the load has a mass and no inertia."""

    kind: ClassVar[str] = "direct"

    magnet_force: float = 0.0  # [N] adds to the normal force


@dataclass(frozen=True, slots=True, kw_only=True)
class StageParams:
    """Fields that every stage has."""

    kind: ClassVar[str] = ""

    name: str = ""
    ratio: float | None = None
    """Speed in over speed out; negative reverses."""
    efficiency: float | None = None
    efficiency_back: float | None = None
    inertia: float = 0.0  # [kg*m^2]
    inertia_out: float = 0.0  # [kg*m^2]
    drag: float = 0.0  # [N*m]
    drag_out: float = 0.0  # [N*m]
    viscous: float = 0.0  # [N*m*s/rad]
    viscous_out: float = 0.0  # [N*m*s/rad]
    stiffness: float | None = None  # [N*m/rad] at its output
    backlash: float = 0.0  # [rad] at its output
    torque_limit: float | None = None  # [N*m] output
    peak_torque_limit: float | None = None  # [N*m] output
    speed_limit: float | None = None  # [rad/s] input
    material: str | None = None
    body: tuple[BodyParams, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReductionParams(StageParams):
    """``reduction``: gears, or a friction wheel."""

    kind: ClassVar[str] = "reduction"

    teeth: tuple[float, float] | None = None  # in, out
    diameters: tuple[float, float] | None = None  # [m] in, out
    traction: TractionParams | None = None
    overhang: float | None = None  # [m] teeth to the shoulder of the shaft on its motor side


@dataclass(frozen=True, slots=True, kw_only=True)
class RightAngleParams(ReductionParams):
    """``right-angle``."""

    kind: ClassVar[str] = "right-angle"


@dataclass(frozen=True, slots=True, kw_only=True)
class BeltReductionParams(StageParams):
    """``belt-reduction``: belt or chain between two shafts."""

    kind: ClassVar[str] = "belt-reduction"

    teeth: tuple[float, float] | None = None  # in, out
    pitch: float | None = None  # [m]
    diameters: tuple[float, float] | None = None  # [m] in, out
    element: str = "belt"
    belt_mass: float | None = None  # [kg/m]
    centre_distance: float | None = None  # [m]
    pretension: float | None = None  # [N]
    belt_stiffness: float | None = None  # [N] EA
    force_limit: float | None = None  # [N]
    tooth_limit: float | None = None  # [N]
    overhang: float | None = None  # [m] belt to the shoulder of the shaft on its motor side


@dataclass(frozen=True, slots=True, kw_only=True)
class WormParams(StageParams):
    """``worm``: ``lead_angle`` and ``friction``, or ``efficiency``."""

    kind: ClassVar[str] = "worm"

    lead_angle: float | None = None  # [rad]
    friction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CouplingParams(StageParams):
    """``coupling``."""

    kind: ClassVar[str] = "coupling"

    hub_force: float | None = None  # [N]
    hub_friction: float | None = None
    bore: float | None = None  # [m]
    key: tuple[float, float, float] | None = None  # [m] width, height, length
    key_limit: float | None = None  # [N/m^2] pressure that its flank bears


@dataclass(frozen=True, slots=True, kw_only=True)
class ShaftParams(StageParams):
    """``shaft``: geometry gives inertia and stiffness."""

    kind: ClassVar[str] = "shaft"

    diameter: float | None = None  # [m]
    bore: float = 0.0  # [m]
    length: float | None = None  # [m]
    overhang: float | None = None  # [m]
    bearing_span: float | None = None  # [m]
    bearing_ratings: tuple[float, float] | None = None  # [N] dynamic, front and rear
    bearing_kind: str = "ball"
    """``ball`` or ``roller``"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CounterweightParams:
    """``[[balance]]`` of kind ``counterweight``: a branch of its own at the mechanism's shaft."""

    kind: ClassVar[str] = "counterweight"

    mass: float  # [kg]
    ratio: float = 1.0
    """Its travel per travel of the load, opposite."""
    efficiency: float = 1.0
    efficiency_back: float | None = None
    name: str = "counterweight"


@dataclass(frozen=True, slots=True, kw_only=True)
class TandemParams:
    """``[tandem]``: several equal motors on one load."""

    motors: int
    share: float | None = None
    """Of the load that the most loaded one carries; None: equal shares."""
    preload: float = 0.0  # [N*m] of one motor against the others, at the output shaft


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringParams:
    """``[[balance]]`` of kind ``spring``, ``gas-spring`` or ``pneumatic``."""

    kind: str = "spring"
    force: float = 0.0  # [N or N*m] relief at travel 0
    force_end: float | None = None  # [N or N*m] relief at the end of ``travel``
    travel: float | None = None  # [m or rad] ``mechanism.travel``
    hysteresis: float = 0.0
    """Half width of the loop over the force."""
    mass: float = 0.0  # [kg]
    name: str = "spring"
