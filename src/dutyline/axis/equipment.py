"""What the file says about guide, accuracy, control, cable and cabinet: SI numbers.

One record per section, with the names of the file. None means not stated.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Guide:
    """``[guide]``: the linear guide."""

    kind: str = "ball"
    carriages: int = 4
    spacing: tuple[float, float] | None = None  # [m] along and across the travel
    dynamic_rating: float | None = None  # [N] of one carriage
    static_rating: float | None = None  # [N] of one carriage
    rating_travel: float | None = None  # [m] 50 km or 100 km
    seal: float = 0.0  # [N]
    mass_at: tuple[float, float, float] | None = None  # [m] from the middle of the carriages
    drive_at: tuple[float, float] | None = None  # [m] across and up


@dataclass(frozen=True, slots=True)
class Accuracy:
    """``[accuracy]``: data of the accuracy budget."""

    encoder_at: str = "motor"
    encoder_error: float | None = None  # [rad or m] half width
    lead_error: float | None = None  # [m] width over the travel
    temperature_change: float | None = None  # [K]
    expansion: float = 1.15e-5  # [1/K]
    length: float | None = None  # [m]
    abbe_angle: float | None = None  # [rad]
    abbe_offset: float | None = None  # [m]
    hysteresis: float | None = None  # [m or rad]
    scatter: tuple[float, ...] = ()  # [m or rad] standard deviations


@dataclass(frozen=True, slots=True)
class Control:
    """``[control]``: settings of the loops."""

    position_gain: float | None = None  # [1/s]
    velocity_gain: float | None = None  # [1/s]
    feed_forward: float = 0.0
    notch: bool = False
    damping: float = 0.03


@dataclass(frozen=True, slots=True)
class Cable:
    """``[cable]``: between drive and motor."""

    length: float = 5.0  # [m]
    section: float | None = None  # [m^2]
    moving: bool = False
    bend_radius: float | None = None  # [m]


@dataclass(frozen=True, slots=True)
class Cabinet:
    """``[cabinet]``: electrical surroundings."""

    axes: int = 1
    surface: float | None = None  # [m^2]
    fan: float = 0.0  # [W/K]
    other_loss: float = 0.0  # [W]
    power_factor: float | None = None
    fuse: float | None = None  # [A]
    conductor: float | None = None  # [m^2]
    method: str | None = None
    feed_length: float | None = None  # [m]
    let_through: float | None = None  # [A^2*s]
    shared_bus: bool = False
    bus_supply: float | None = None  # [W]
    other_power: float = 0.0  # [W]


@dataclass(frozen=True, slots=True)
class Equipment:
    """The sections that judge more than motor, gearhead and drive; None where not in the file."""

    guide: Guide | None = None
    accuracy: Accuracy | None = None
    control: Control | None = None
    cable: Cable | None = None
    cabinet: Cabinet | None = None
