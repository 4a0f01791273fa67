"""Old and new motor beside each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from dutyline.catalogue.boundaries import (
    Place,
    boundary_limit,
    continuous_boundary,
    continuous_gap,
    peak_boundary,
    peak_gap,
)
from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.catalogue.protection import covers, digits
from dutyline.checks.records import Severity, State
from dutyline.core.numbers import SPACE
from dutyline.physics.plates import line_voltage
from dutyline.physics.torque_speed import bus_idle, bus_voltage
from dutyline.replacement.fields import INSULATION
from dutyline.replacement.records import Compared, Fact, Plate, Supply
from dutyline.replacement.rules import compared, worded

DutyBy = Literal["plate", "trace", "axis"]
_RANGE_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Beside:
    """A motor of a line beside the old one, behind a gearhead of the same or another ratio."""

    plate: Plate
    line: ProductLine
    index: int
    """Of the motor in the line."""
    scale: Fraction = Fraction(1)
    """New ratio over old one."""
    duty: DutyBy = "plate"
    """What tells the real duty: figures of the plate that it judges better only warn then."""

    @property
    def motor(self) -> Motor:
        """The new motor."""
        return self.line.motors[self.index]

    @property
    def rated(self) -> Severity | None:
        """Severity of torques and speeds of the motor."""
        return None if self.duty == "plate" else "caution"

    @property
    def around(self) -> Severity | None:
        """Severity of torques of brake and gearhead, which a record does not judge."""
        return "caution" if self.duty == "axis" else None

    def at_shaft(self, path: str, power: int) -> Fact | None:
        """A figure of the old motor at the shaft of the new one: times the scale to a power."""
        fact = self.plate.fact(path)
        if fact is None or self.scale == 1:
            return fact
        factor = float(self.scale) ** power

        def times(value: float | None) -> float | None:
            return None if value is None else value * factor

        method = f"{fact.method}; " if fact.method else ""
        return replace(
            fact, si=fact.si * factor, low=times(fact.low), high=times(fact.high),
            method=f"{method}at the new ratio",
        )  # fmt: skip


def motor_rows(b: Beside) -> Iterator[Compared]:
    """Every property of the motor alone."""
    yield from _torques(b)
    yield from _voltage(b)
    motor = b.motor
    yield compared("power", b.plate.fact("motor.power"), motor.power_rated, motor.name)
    yield compared("inertia", old_inertia(b), new_inertia(b), motor.name)
    mass = motor.mass_with_brake if b.plate.braked else motor.mass
    yield compared("mass", b.plate.fact("motor.mass"), mass, motor.name)
    yield from _classes(b)
    yield mains_row(b)
    yield from _fit(b)
    yield from _feedback(b)


def old_inertia(b: Beside) -> Fact | None:
    """Rotor and brake of the old motor at the new shaft."""
    rotor = b.at_shaft("motor.inertia", -2)
    brake = b.plate.si("brake.inertia") if b.plate.braked else None
    if rotor is None or brake is None:
        return rotor
    more = brake / float(b.scale) ** 2
    return replace(
        rotor, si=rotor.si + more, low=None if rotor.low is None else rotor.low + more,
        high=None if rotor.high is None else rotor.high + more,
    )  # fmt: skip


def new_inertia(b: Beside) -> float | None:
    """The same of the new motor: with its brake where that of the old one is known as well."""
    with_brake = b.plate.braked and b.plate.si("brake.inertia") is not None
    return b.motor.inertia_with_brake if with_brake else b.motor.inertia


def torque_at(b: Beside, speed: float, supply: Supply) -> tuple[float | None, str]:
    """Continuous torque of the new motor at a speed, or what is missing."""
    motor = b.motor
    boundary = continuous_boundary(b.line, b.index, supply.mains, supply.phases)
    if boundary is not None:
        return float(boundary_limit(boundary, speed)), ""
    wound = suits(motor, supply)
    if wound and None not in (motor.torque_rated, motor.speed_rated):
        assert motor.speed_rated is not None
        if speed <= motor.speed_rated * (1 + _RANGE_SLACK):
            return motor.torque_rated, ""
    gap = continuous_gap(b.line, b.index, supply.mains, supply.phases, Place())
    return None, f"{motor.name}: {gap}"


def suits(motor: Motor, supply: Supply) -> bool | None:
    """Whether a winding is made for a supply; None where it is not stated."""
    low, high = motor.mains_min, motor.mains_max
    if low is None or high is None:
        return None
    if supply.phases == "dc":
        low, high = float(bus_voltage(low, 3)), float(bus_idle(high, 3))
    return low * (1 - 1e-3) <= supply.mains <= high * (1 + 1e-3)


def _torques(b: Beside) -> Iterator[Compared]:
    motor, supply = b.motor, b.plate.supply
    torque, speed = b.at_shaft("motor.torque", -1), b.at_shaft("motor.speed", 1)
    new, gap = None, "the supply that stays"
    if speed is None:
        gap = "rated speed of the old motor"
    elif supply is not None:
        new, gap = torque_at(b, speed.most, supply)
    lacking = () if torque is not None else ("rated torque of the old motor",)
    missing = (*lacking, gap) if new is None else lacking
    yield compared("torque-at-speed", torque, new, motor.name, severity=b.rated,
                   missing=missing, stated=False)  # fmt: skip
    stall = compared("stall-torque", b.at_shaft("motor.stall_torque", -1), motor.torque_stall,
                     motor.name, severity=b.rated)  # fmt: skip
    if motor.torque_stall is None:  # a motor gives at rest at least what it gives at speed
        least = compared("stall-torque", b.at_shaft("motor.stall_torque", -1),
                         motor.torque_rated, motor.name, severity=b.rated)  # fmt: skip
        stall = least if least.state == "meets" else stall
    yield stall
    peak = b.at_shaft("motor.peak_torque", -1)
    yield compared("peak-torque", peak, motor.torque_peak, motor.name, severity=b.rated)
    yield _peak_at_speed(b, peak, speed)
    yield _top_speed(b)


def _peak_at_speed(b: Beside, peak: Fact | None, speed: Fact | None) -> Compared:
    motor, supply = b.motor, b.plate.supply
    new, gaps = None, []
    if peak is None:
        gaps.append("peak torque of the old motor")
    if speed is None:
        gaps.append("rated speed of the old motor")
    if supply is None:
        gaps.append("the supply that stays")
    elif speed is not None:
        boundary = peak_boundary(b.line, b.index, supply.mains, supply.phases)
        if boundary is None:
            gaps.append(f"{motor.name}: {peak_gap(b.line, b.index, supply.mains, supply.phases)}")
        else:
            new = float(boundary_limit(boundary, speed.most))
    return compared("peak-at-speed", peak, new, motor.name, missing=tuple(gaps), stated=False)


def _top_speed(b: Beside) -> Compared:
    """The speed that the machine uses, else that of the plate."""
    motor, supply = b.motor, b.plate.supply
    used = b.at_shaft("keep.top_speed", 1)
    asked = used or b.at_shaft("motor.top_speed", 1)
    new = motor.speed_max
    boundary = None
    if supply is not None:
        boundary = peak_boundary(b.line, b.index, supply.mains, supply.phases)
    if boundary is not None:
        new = float(boundary.speed[-1]) if new is None else min(new, float(boundary.speed[-1]))
    return compared("top-speed", asked, new, motor.name,
                    severity=b.rated, stated=boundary is None)  # fmt: skip


def _voltage(b: Beside) -> Iterator[Compared]:
    """Back-EMF at the old rated speed beside what the inverter forms at the lowest mains."""
    motor, supply = b.motor, b.plate.supply
    speed = b.at_shaft("motor.speed", 1)
    ke = motor.voltage_constant
    emf = None if ke is None or speed is None else ke * speed.most
    limit = None
    if supply is not None:
        bus = bus_voltage(supply.mains * (1.0 + supply.low), supply.phases)
        limit = Fact("", "", "V", float(line_voltage(bus)), method="computed")
    missing = [] if ke is not None else [f"voltage constant of {motor.name}"]
    missing += [] if speed is not None else ["rated speed of the old motor"]
    missing += [] if supply is not None else ["the supply that stays"]
    yield compared("voltage-at-speed", limit, emf, motor.name, severity=_emf_severity(b, emf),
                   missing=tuple(missing), stated=False)  # fmt: skip


def _emf_severity(b: Beside, emf: float | None) -> Severity | None:
    """A note where torque over speed at the supply is known anyhow."""
    supply = b.plate.supply
    if supply is None or emf is None:
        return None if supply is None else "caution"
    known = continuous_boundary(b.line, b.index, supply.mains, supply.phases) is not None
    return "caution" if known else None


def _classes(b: Beside) -> Iterator[Compared]:
    motor = b.motor
    old, new = b.plate.words.get("motor.insulation", ""), motor.insulation_class.upper()
    missing = _missing("insulation class", old, new, motor.name)
    state: State = "not-checked"
    if not missing:
        known = new in INSULATION
        state = (
            "not-checked" if not known
            else "meets" if INSULATION.index(new) >= INSULATION.index(old) else "fails"
        )  # fmt: skip
        missing = () if known else (f"class {new} of {motor.name} is not known here",)
    yield worded("insulation", old, new, state, missing=missing)
    old, new = b.plate.words.get("motor.protection", ""), motor.protection
    missing = _missing("protection class", old, new, motor.name)
    state = "not-checked"
    if not missing:
        needed, given = digits(old), digits(new)
        if needed is None or given is None:
            missing = (f'"{old if needed is None else new}" read as a protection class',)
        else:
            state = "meets" if covers(given, needed) else "fails"
    severity: Severity | None = "caution" if not old else None
    yield worded("protection", old, new, state, missing=missing, severity=severity)


def mains_row(b: Beside) -> Compared:
    """Range of the winding beside the supply that stays."""
    motor, supply = b.motor, b.plate.supply
    low, high = motor.mains_min, motor.mains_max
    new = ""
    if low is not None and high is not None:
        ends = f"{low:g} to {high:g}" if low != high else f"{low:g}"
        new = f"{ends}{SPACE}V"
    if supply is None:
        return worded("mains", "", new, "not-checked", missing=("the supply that stays",))
    fits = suits(motor, supply)
    if fits is None:
        return worded("mains", supply.text, new, "not-checked",
                      missing=(f"mains range of {motor.name}",))  # fmt: skip
    return worded("mains", supply.text, new, "meets" if fits else "fails")


def _missing(what: str, old: str, new: str, name: str) -> tuple[str, ...]:
    lacking = () if old else (f"{what} of the old motor",)
    return lacking if new else (*lacking, f"{what} of {name}")


def _fit(b: Beside) -> Iterator[Compared]:
    """What has to go on the machine, or on the gearhead that stays."""
    motor, plate = b.motor, b.plate
    if plate.ratio is not None and not plate.keeps_gearhead:
        return
    adapter: Severity | None = "caution" if plate.flag("keep.adapter") else None
    yield compared("flange", plate.fact("motor.flange"), motor.flange, motor.name,
                   severity=adapter)  # fmt: skip
    yield compared("pilot", plate.fact("motor.pilot"), motor.pilot, motor.name, severity=adapter)
    yield compared("bolt-circle", plate.fact("motor.bolt_circle"), motor.bolt_circle, motor.name,
                   severity=adapter)  # fmt: skip
    yield compared("shaft", plate.fact("motor.shaft"), motor.shaft, motor.name, severity=adapter)
    yield compared("shaft-length", plate.fact("motor.shaft_length"), None, motor.name)
    form = plate.words.get("motor.shaft_form", "")
    yield worded("shaft-form", form, "", "not-checked",
                 missing=_missing("shaft form", form, "", motor.name))  # fmt: skip
    yield compared("length", plate.fact("motor.length"), None, motor.name)


def feedback_of(motor: Motor) -> str:
    """Kind of feedback in the words of a plate; empty where it is not stated."""
    word = motor.encoder.strip().lower()
    if word == "absolute" and motor.encoder_turn_bits:
        return "absolute multi-turn"
    return word


def counts_of(motor: Motor) -> float | None:
    """Counts per turn [1]."""
    return None if motor.encoder_bits is None else 2.0**motor.encoder_bits


def _feedback(b: Beside) -> Iterator[Compared]:
    motor, plate = b.motor, b.plate
    old, new = plate.words.get("motor.feedback", ""), feedback_of(motor)
    severity: Severity | None = "must" if plate.keeps_drive else None
    readable = plate.feedbacks if plate.keeps_drive and plate.feedbacks else ()
    missing = _missing("feedback", " ".join(readable) or old, new, motor.name)
    state: State = "not-checked"
    if not missing:
        taken = {word.strip().lower() for word in readable} or {old}
        state = "meets" if new in taken else "fails"
    yield worded("feedback", old, new, state, missing=missing, severity=severity)
    yield compared("counts", plate.fact("motor.counts"), counts_of(motor), motor.name)
    connector = plate.words.get("motor.connector", "")
    yield worded("connector", connector, "", "not-checked",
                 missing=_missing("connectors", connector, "", motor.name))  # fmt: skip
