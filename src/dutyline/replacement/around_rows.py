"""Brake, gearhead and drive around old and new motor."""

from __future__ import annotations

from collections.abc import Iterator

from dutyline.catalogue.pairing import fits
from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor
from dutyline.checks.records import Severity, State
from dutyline.core.numbers import SPACE, stated_quantity
from dutyline.physics.gears import output_torque
from dutyline.replacement.motor_rows import Beside
from dutyline.replacement.records import Compared, Fact, Plate, Supply
from dutyline.replacement.rules import compared, judged, properties, worded

_SAME = 1e-5
"""[m] two stated lengths closer than this are one."""


def brake_rows(b: Beside, brake: Brake | None, offered: bool) -> Iterator[Compared]:
    """The old holding brake and the new one; an offer says nothing of its brake."""
    plate = b.plate
    if plate.braked is None:
        severity: Severity = "must" if plate.flag("keep.gravity") else "note"
        yield worded("brake", "", "with" if brake else "none", "not-checked", severity=severity,
                     missing=("whether the old motor has a brake",))  # fmt: skip
        return
    if not plate.braked:
        return
    if brake is None and offered:
        missing = (f"whether {b.motor.name} has a brake",)
        yield worded("brake", "with", "", "not-checked", missing=missing)
        return
    if brake is None:
        yield worded("brake", "with", "none", "fails")
        return
    name = brake.name
    yield worded("brake", "with", name, "meets")
    torque = b.at_shaft("brake.torque", -1)
    yield compared("brake-torque", torque, brake.torque_static, name, severity=b.around)
    voltage = plate.fact("brake.voltage") or plate.fact("drive.brake_voltage")
    yield compared("brake-voltage", voltage, brake.coil_voltage, name)
    yield compared("brake-release", plate.fact("brake.release_time"), brake.release_time, name)
    yield compared("brake-engage", plate.fact("brake.engage_time"), brake.engage_time, name)


def gear_limit(plate: Plate) -> Fact | None:
    """The torque that a kept gearhead takes in every cycle, else for its life.

    What it takes a few times in its life counts where it is less, or where nothing else is known.
    """
    names = ("acceleration_torque", "torque")
    found = (plate.fact(f"gearhead.{name}") for name in names)
    working = next((fact for fact in found if fact is not None), None)
    seldom = plate.fact("gearhead.emergency_torque")
    if working is None or seldom is None:
        return working or seldom
    return min(working, seldom, key=lambda fact: fact.si)


def gear_efficiency(plate: Plate) -> float:
    """Efficiency of the kept gearhead; 1, the safe side, where it is not known."""
    stated = plate.si("gearhead.efficiency")
    return 1.0 if stated is None else stated


def peak_at_output(plate: Plate, torque: float) -> float:
    """Torque behind the kept gearhead that a motor torque makes [N*m]."""
    assert plate.ratio is not None
    return float(output_torque(torque, float(plate.ratio), gear_efficiency(plate), 0.0))


def kept_gear_rows(b: Beside) -> Iterator[Compared]:
    """What a kept gearhead takes of the new motor."""
    plate, motor = b.plate, b.motor
    limit = gear_limit(plate)
    out = None if motor.torque_peak is None else peak_at_output(plate, motor.torque_peak)
    missing = [] if limit is not None else ["acceleration torque of the old gearhead"]
    missing += [] if out is not None else [f"peak torque of {motor.name}"]
    yield compared("gear-peak", limit, out, motor.name, missing=tuple(missing), stated=False)
    yield compared("gear-speed", plate.fact("gearhead.speed"), motor.speed_max, motor.name,
                   missing=() if plate.fact("gearhead.speed") and motor.speed_max else
                   ("input speed of the old gearhead or top speed of the motor",))  # fmt: skip
    yield _input_row(plate, motor)


def _input_row(plate: Plate, motor: Motor) -> Compared:
    """Flange and bore that the gearhead states; else those of the old motor tell."""
    adapter: Severity | None = "caution" if plate.flag("keep.adapter") else None
    wanted = {
        "flange": plate.si("gearhead.flange"),
        "pilot": plate.si("gearhead.pilot"),
        "bolt_circle": plate.si("gearhead.bolt_circle"),
        "shaft": plate.si("gearhead.shaft"),
    }
    stated = {name: value for name, value in wanted.items() if value is not None}
    if not stated:
        known = plate.fact("motor.flange") is not None and plate.fact("motor.shaft") is not None
        missing = ("input flange and bore of the old gearhead",)
        severity: Severity | None = "note" if known else adapter
        return worded("gear-input", "", "", "not-checked", missing=missing, severity=severity)
    old = ", ".join(f"{name.replace('_', ' ')}{SPACE}{stated_quantity(value, 'm')}"
                    for name, value in stated.items())  # fmt: skip
    state: State = "meets"
    gaps, new = [], []
    for name, value in stated.items():
        own = getattr(motor, name)
        if own is None:
            gaps.append(f"{name.replace('_', ' ')} of {motor.name}")
            continue
        new.append(f"{name.replace('_', ' ')}{SPACE}{stated_quantity(own, 'm')}")
        apart = own > value + _SAME if name == "shaft" else abs(own - value) > _SAME
        if apart:
            state = "fails"
    if gaps and state == "meets":
        state = "not-checked"
    told = tuple(gaps) if state == "not-checked" else ()
    return worded("gear-input", old, ", ".join(new), state, missing=told, severity=adapter)


def new_gear_rows(b: Beside, gear: Gearhead | None) -> Iterator[Compared]:
    """The old gearhead and the new one."""
    plate = b.plate
    if plate.ratio is None:
        return
    if gear is None:
        yield worded("gear-ratio", plate.ratio_text, "none", "fails", severity="must")
        return
    same = gear.ratio_exact == plate.ratio
    yield worded("gear-ratio", plate.ratio_text, str(gear.ratio_exact),
                 "meets" if same else "fails", tolerance="the same fraction")  # fmt: skip
    name = gear.name
    yield compared("gear-torque", plate.fact("gearhead.torque"), gear.torque_rated, name,
                   severity=b.around)  # fmt: skip
    yield compared("gear-acceleration", plate.fact("gearhead.acceleration_torque"),
                   gear.torque_acceleration, name, severity=b.around)  # fmt: skip
    yield compared("gear-emergency", plate.fact("gearhead.emergency_torque"),
                   gear.torque_emergency, name, severity=b.around)  # fmt: skip
    yield compared("gear-backlash", plate.fact("gearhead.backlash"), gear.backlash, name)
    reason = fits(b.motor, gear)
    yield worded("gear-input", b.motor.name, name, "meets" if reason is None else "fails",
                 tolerance=reason or "must suit")  # fmt: skip


def drive_rows(b: Beside, drive: Drive | None) -> Iterator[Compared]:
    """The drive that stays, or the new one, beside the new motor."""
    plate, motor = b.plate, b.motor
    if plate.keeps_drive:
        current, peak = plate.fact("drive.current"), plate.fact("drive.peak_current")
        who = "the old drive"
    elif drive is None:
        yield worded("drive-current", "", "", "not-checked", severity="caution",
                     missing=(f"a drive for {motor.name}",))  # fmt: skip
        return
    else:
        current, peak = _of_drive(drive.current_rated), _of_drive(drive.current_peak)
        who = drive.name
        yield _drive_mains(drive, plate.supply)
    yield _limited("drive-current", current, motor.current_stall, who, motor.name, "rated current")
    yield _limited("drive-peak", peak, motor.current_peak, who, motor.name, "peak current")


def _of_drive(value: float | None) -> Fact | None:
    return None if value is None else Fact("", "", "A", value)


def _limited(
    key: str, limit: Fact | None, new: float | None, who: str, motor: str, word: str
) -> Compared:
    missing = [] if limit is not None else [f"{word} of {who}"]
    stall = "stall" if key == "drive-current" else "peak"
    missing += [] if new is not None else [f"{stall} current of {motor}"]
    return compared(key, limit, new, motor, missing=tuple(missing))


def _drive_mains(drive: Drive, supply: Supply | None) -> Compared:
    phases = " or ".join(f"{p}~" for p in drive.phases)
    ends = "" if drive.mains_min is None or drive.mains_max is None else (
        f"{drive.mains_min:g} to {drive.mains_max:g}{SPACE}V"
    )  # fmt: skip
    new = ", ".join(filter(None, (drive.name, ends, phases)))
    if supply is None:
        return worded("drive-mains", "", new, "not-checked", missing=("the supply that stays",))
    if supply.phases == "dc":
        missing = (f"whether {drive.name} takes a bus",)
        return worded("drive-mains", supply.text, new, "not-checked", severity="caution",
                      missing=missing)  # fmt: skip
    if not ends or not drive.phases:
        missing = (f"mains range and phases of {drive.name}",)
        return worded("drive-mains", supply.text, new, "not-checked", missing=missing)
    assert drive.mains_min is not None
    assert drive.mains_max is not None
    inside = drive.mains_min * 0.999 <= supply.mains <= drive.mains_max * 1.001
    state: State = "meets" if inside and supply.phases in drive.phases else "fails"
    return worded("drive-mains", supply.text, new, state)


def carries(drive: Drive, motor: Motor, supply: Supply | None) -> tuple[bool, float]:
    """Whether a drive suits motor and supply, and how large it is: the order of trying."""
    rules = properties()
    suited = _drive_mains(drive, supply).state != "fails"
    for key, limit, new in (
        ("drive-current", drive.current_rated, motor.current_stall),
        ("drive-peak", drive.current_peak, motor.current_peak),
    ):
        if limit is not None and new is not None:
            suited = suited and judged(rules[key], limit, new) == "meets"
    return suited, drive.current_rated or float("inf")
