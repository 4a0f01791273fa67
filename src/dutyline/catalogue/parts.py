"""Motors, gearheads, drives, brakes and resistors as data in SI units.

A datum that the product line does not give is ``None`` and every check that needs it says
*not checked*. Field names are the ones used in results; the column names of the CSV files with
their units stand in :mod:`dutyline.catalogue.columns`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from dutyline.catalogue.assumptions import Assumption


@dataclass(frozen=True, slots=True)
class Motor:
    """A servo motor with one winding."""

    name: str
    size: str = ""
    supply_class: str = ""
    mains_min: float | None = None  # [V]
    mains_max: float | None = None  # [V]
    flange: float | None = None  # [m]
    pilot: float | None = None  # [m]
    bolt_circle: float | None = None  # [m]
    shaft: float | None = None  # [m]
    power_rated: float | None = None  # [W]
    torque_rated: float | None = None  # [N*m]
    torque_stall: float | None = None  # [N*m]
    torque_peak: float | None = None  # [N*m]
    speed_rated: float | None = None  # [rad/s]
    speed_max: float | None = None  # [rad/s]
    inertia: float | None = None  # [kg*m^2] rotor alone
    inertia_with_brake: float | None = None  # [kg*m^2]
    mass: float | None = None  # [kg]
    mass_with_brake: float | None = None  # [kg]
    torque_constant: float | None = None  # [N*m per A rms]
    voltage_constant: float | None = None  # [V rms line-line per rad/s]
    resistance: float | None = None  # [ohm] terminal to terminal at 20 degC
    inductance: float | None = None  # [H] terminal to terminal
    pole_pairs: int | None = None
    current_rated: float | None = None  # [A rms]
    current_stall: float | None = None  # [A rms]
    current_peak: float | None = None  # [A rms]
    saturation_peak: float | None = None  # [1] torque_peak / (torque_constant * current_peak)
    iron_loss_rated: float | None = None  # [W]
    iron_exponent: float | None = None  # [1]
    rth_winding_housing: float | None = None  # [K/W]
    rth_housing_ambient: float | None = None  # [K/W]
    cth_winding: float | None = None  # [J/K]
    cth_housing: float | None = None  # [J/K]
    tau_winding: float | None = None  # [s]
    tau_housing: float | None = None  # [s]
    winding_limit: float | None = None  # [degC]
    insulation_class: str = ""
    ambient_max: float | None = None  # [degC]
    altitude_max: float | None = None  # [m]
    test_plate_side: float | None = None  # [m]
    test_plate_thickness: float | None = None  # [m]
    radial_load: float | None = None  # [N]
    axial_load: float | None = None  # [N]
    radial_load_point: float | None = None  # [m]
    bearing_offset: float | None = None  # [m]
    encoder: str = ""
    encoder_bits: int | None = None
    encoder_turn_bits: int | None = None
    protection: str = ""
    """Of the housing."""
    protection_shaft: str = ""
    """Where the shaft leaves it."""
    oil_seal_factor: float | None = None  # [1] on continuous torque
    brake_factor: float | None = None  # [1] on continuous torque
    brake: str = ""
    """Name of the brake that fits, or empty."""
    overload_curve: tuple[tuple[float, float], ...] = ()  # (load factor, s), factors rising
    series: str = ""
    """Rotor family inside the line (families are compared by the audit), or empty."""
    price: float | None = None  # in the user's own currency


@dataclass(frozen=True, slots=True)
class Gearhead:
    """An inline or right-angle gearhead."""

    name: str
    style: str = ""
    frame: float | None = None  # [m]
    ratio: float = 1.0  # [1] motor speed / output speed
    ratio_exact: Fraction = Fraction(1)
    stages: int | None = None
    torque_rated: float | None = None  # [N*m] at the output
    torque_acceleration: float | None = None  # [N*m] at the output
    torque_emergency: float | None = None  # [N*m] at the output
    emergency_count: float | None = None
    speed_in_mean: float | None = None  # [rad/s]
    speed_in_max: float | None = None  # [rad/s]
    efficiency: float | None = None  # [1] at rated torque, no-load torque included
    backlash: float | None = None  # [rad] at the output
    stiffness: float | None = None  # [N*m/rad] at the output
    inertia_in: float | None = None  # [kg*m^2] at the input
    no_load_torque: float | None = None  # [N*m] at the input
    radial: float | None = None  # [N]
    axial: float | None = None  # [N]
    tilting: float | None = None  # [N*m]
    bearing_offset: float | None = None  # [m]
    life: float | None = None  # [s] rated, at rated torque and rated output speed
    speed_rated_out: float | None = None  # [rad/s]
    shaft_in_max: float | None = None  # [m]
    mass: float | None = None  # [kg]
    input_flanges: tuple[float, ...] = ()  # [m]
    thermal_resistance: float | None = None  # [K/W] to the surroundings
    protection: str = ""
    shaft_out_length: float | None = None  # [m]
    price: float | None = None  # in the user's own currency


@dataclass(frozen=True, slots=True)
class Drive:
    """A servo drive."""

    name: str
    supply_class: str = ""
    mains_min: float | None = None  # [V]
    mains_max: float | None = None  # [V]
    mains_tolerance: float | None = None  # [1]
    phases: tuple[int, ...] = ()
    current_rated: float | None = None  # [A rms]
    current_peak: float | None = None  # [A rms]
    peak_time: float | None = None  # [s]
    bus_capacitance: float | None = None  # [F]
    chopper_on: float | None = None  # [V]
    overvoltage_trip: float | None = None  # [V]
    undervoltage_trip: float | None = None  # [V]
    resistor_min: float | None = None  # [ohm]
    internal_resistor_power: float | None = None  # [W] 0 = none
    internal_resistor_pulse: float | None = None  # [J]
    internal_resistor: float | None = None  # [ohm]
    logic_voltage: float | None = None  # [V] of a supply of its own for the electronics
    logic_power: float | None = None  # [W] 0 = fed from the mains
    loss_fixed: float | None = None  # [W]
    loss_per_ampere: float | None = None  # [W/A]
    idle_power: float | None = None  # [W]
    pwm_frequency: float | None = None  # [Hz]
    velocity_loop: float | None = None  # [Hz]
    input_current_rated: float | None = None  # [A rms]
    inrush_peak: float | None = None  # [A]
    ambient_max: float | None = None  # [degC]
    derate_per_kelvin: float | None = None  # [1/K]
    altitude_max: float | None = None  # [m]
    derate_per_metre: float | None = None  # [1/m]
    mass: float | None = None  # [kg]
    overload_curve: tuple[tuple[float, float], ...] = ()  # (load factor, s), factors rising
    price: float | None = None  # in the user's own currency


@dataclass(frozen=True, slots=True)
class Brake:
    """A spring-applied holding brake."""

    name: str
    torque_static: float | None = None  # [N*m]
    inertia: float | None = None  # [kg*m^2]
    release_time: float | None = None  # [s]
    engage_time: float | None = None  # [s]
    coil_voltage: float | None = None  # [V]
    coil_power: float | None = None  # [W]
    coil_resistance: float | None = None  # [ohm]
    work_per_stop: float | None = None  # [J]
    work_total: float | None = None  # [J]
    mass: float | None = None  # [kg]
    backlash: float | None = None  # [rad]
    speed_max: float | None = None  # [rad/s]
    price: float | None = None  # in the user's own currency


@dataclass(frozen=True, slots=True)
class Resistor:
    """A braking resistor."""

    name: str
    supply_class: str = ""
    resistance: float | None = None  # [ohm]
    power_mean: float | None = None  # [W]
    power_peak: float | None = None  # [W]
    pulse_energy: float | None = None  # [J]
    cycle: float | None = None  # [s] to which the pulse rating belongs
    tau: float | None = None  # [s]
    voltage_max: float | None = None  # [V]
    mass: float | None = None  # [kg]
    price: float | None = None  # in the user's own currency


@dataclass(frozen=True, slots=True)
class Accessory:
    """What is ordered beside the parts: a cable, a filter, a supply, an adapter, a spare."""

    name: str
    kind: str
    """``motor-cable``, ``mains-filter`` and the like, see
    :data:`dutyline.catalogue.columns.ACCESSORY_KINDS`."""
    fits_motors: str = ""
    """Names or patterns with ``*`` and ``?``, separated by ``;``; empty fits any motor. Likewise
    of the other parts."""
    fits_gearheads: str = ""
    fits_drives: str = ""
    fits_brakes: str = ""
    flange: float | None = None  # [m] of the motor
    shaft: float | None = None  # [m] of the motor
    current: float | None = None  # [A rms] that it carries
    voltage: float | None = None  # [V] it gives; of filters and the like the highest it bears
    phases: tuple[int, ...] = ()
    power: float | None = None  # [W] it gives
    length: float | None = None  # [m]; None where it is cut to length
    moving: str = ""
    """``yes`` where a cable may move, ``no`` where it may not."""
    price: float | None = None  # in the user's own currency
    note: str = ""


@dataclass(frozen=True, slots=True)
class Curve:
    """One tabulated torque-speed boundary."""

    motor: str
    mains: float  # [V]
    phases: int
    kind: str
    """``peak`` or ``continuous``"""
    speed: tuple[float, ...]  # [rad/s] strictly increasing, first 0
    torque: tuple[float, ...]  # [N*m]


@dataclass(frozen=True, slots=True)
class Pairing:
    """One row of pairings.csv."""

    kind: str
    """``motor-drive``, ``motor-brake``, ``motor-gearhead`` or ``drive-resistor``"""
    left: str
    right: str
    mains: float | None = None  # [V]
    phases: int | None = None
    torque_rated_out: float | None = None  # [N*m]
    torque_peak_out: float | None = None  # [N*m]
    speed_max_out: float | None = None  # [rad/s]
    limited_rated: str = ""
    limited_peak: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class ProductLine:
    """A loaded folder. Parts in the order of their files."""

    name: str
    folder: str
    motors: tuple[Motor, ...]
    gearheads: tuple[Gearhead, ...]
    drives: tuple[Drive, ...]
    brakes: tuple[Brake, ...]
    resistors: tuple[Resistor, ...]
    curves: tuple[Curve, ...]
    pairings: tuple[Pairing, ...]
    accessories: tuple[Accessory, ...] = ()
    edition: str = ""
    """As ``line.toml`` states it, like the next three; empty where it does not."""
    date: str = ""
    """Of the edition, ``2026-11-29``."""
    note: str = ""
    currency: str = ""
    """Of every price: ``EUR``."""
    thresholds: bytes | None = field(default=None, compare=False, repr=False)
    """Content of ``audit.toml`` beside the files; None where there is none."""
    assumed: tuple[Assumption, ...] = ()
    """Data that nobody stated and that were estimated instead; empty for a line as read."""
    as_stated: ProductLine | None = field(default=None, compare=False, repr=False)
    """The line before its estimates; None for a line as read."""
    files: dict[str, bytes] = field(init=False, compare=False, repr=False)
    """Content of the files as read, by name; empty for a line that no file gave, and for one made
    of another one by ``dataclasses.replace``, whose parts the files no longer tell."""
    motor_index: Mapping[str, int] = field(init=False, compare=False, repr=False)
    """Places of the motors by name; likewise of the other parts."""
    gearhead_index: Mapping[str, int] = field(init=False, compare=False, repr=False)
    drive_index: Mapping[str, int] = field(init=False, compare=False, repr=False)
    brake_index: Mapping[str, int] = field(init=False, compare=False, repr=False)
    resistor_index: Mapping[str, int] = field(init=False, compare=False, repr=False)
    derived: dict[str, Any] = field(init=False, compare=False, repr=False)
    """Arrays and boundaries computed from the data once and kept with it; a line made of another
    one by ``dataclasses.replace`` begins with none."""

    def __post_init__(self) -> None:
        for kind in ("motor", "gearhead", "drive", "brake", "resistor"):
            index = {part.name: k for k, part in enumerate(getattr(self, f"{kind}s"))}
            object.__setattr__(self, f"{kind}_index", index)
        object.__setattr__(self, "derived", {})
        object.__setattr__(self, "files", {})
