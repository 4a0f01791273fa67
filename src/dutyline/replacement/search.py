"""Equivalents of an old motor over a whole line, the nearest first."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from dutyline.catalogue.pairing import partners
from dutyline.catalogue.parts import Brake, Drive, Gearhead, ProductLine
from dutyline.checks.records import Combination, VerdictWord
from dutyline.replacement.around_rows import (
    brake_rows,
    carries,
    drive_rows,
    kept_gear_rows,
    new_gear_rows,
)
from dutyline.replacement.family import with_family
from dutyline.replacement.hurts import cautions, hurts
from dutyline.replacement.motor_rows import Beside, DutyBy, motor_rows
from dutyline.replacement.records import Compared, Equivalent, Plate, Replacement

MOST_MOTORS = 60
"""Motors compared in full, those nearest in torque and speed."""
_LIKE = ("torque-at-speed", "stall-torque", "peak-torque", "top-speed", "inertia")
_ORDER: tuple[VerdictWord, ...] = ("meets", "short", "incomplete", "fails")


def find(plate: Plate, line: ProductLine, *, duty: DutyBy = "plate") -> Replacement:
    """Every motor of a line, and every offered one, beside an old motor.

    Parameters
    ----------
    plate : Plate
    line : ProductLine
    duty : "plate", "trace" or "axis"
        What tells the real duty: with the last two torques and speeds of the plate only warn.
    """
    plate = with_family(plate, line)
    whole = with_offers(line, plate)
    chosen = _nearest(plate, whole, len(line.motors))
    found = [
        _equivalent(beside, gear, brake, drive, index >= len(line.motors))
        for index in chosen
        for beside, gear, brake, drive in _choices(plate, whole, index, duty)
    ]
    return Replacement(
        plate=plate,
        line=line,
        equivalents=tuple(sorted(found, key=rank)),
        compared=len(found),
        motors=len(whole.motors),
        left_out=len(whole.motors) - len(chosen),
        cautions=cautions(plate),
    )


def with_offers(line: ProductLine, plate: Plate) -> ProductLine:
    """The line with the offered motors behind its own, each by a name of its own."""
    if not plate.offers:
        return line
    taken = set(line.motor_index)
    own = []
    for motor in plate.offers:
        name = motor.name
        while name in taken:
            name = f"{name} (offered)"
        taken.add(name)
        own.append(replace(motor, name=name))
    return replace(line, motors=(*line.motors, *own))


def rank(one: Equivalent) -> tuple[int, int, int, float, str, str]:
    """The order of equivalents: what meets first, then what is nearest."""
    fails = sum(row.counts and row.state == "fails" for row in one.rows)
    told = sum(not row.counts and row.state == "fails" for row in one.rows)
    gear = one.combination.gearhead or ""
    return _ORDER.index(one.state), fails, told, one.distance, one.combination.motor, gear


def state_of(rows: tuple[Compared, ...]) -> VerdictWord:
    """The first of fails, incomplete and short that some deciding row is; else meets."""
    states = {row.state for row in rows if row.counts}
    if "fails" in states:
        return "fails"
    if "not-checked" in states or not states:
        return "incomplete"
    return "short" if "short" in states else "meets"


def _nearest(plate: Plate, line: ProductLine, own: int) -> list[int]:
    """Motors to compare in full: the offered ones, and those nearest in torque and speed."""
    if own <= MOST_MOTORS:
        return list(range(len(line.motors)))
    torque, speed = plate.si("motor.torque"), plate.si("motor.speed")

    def away(index: int) -> float:
        motor = line.motors[index]
        pairs = ((torque, motor.torque_rated), (speed, motor.speed_rated))
        return sum(abs(math.log(new / old)) if old and new else 1.0 for old, new in pairs)

    kept = sorted(sorted(range(own), key=away)[:MOST_MOTORS])
    return [*kept, *range(own, len(line.motors))]


def _choices(
    plate: Plate, line: ProductLine, index: int, duty: DutyBy
) -> Iterator[tuple[Beside, Gearhead | None, Brake | None, Drive | None]]:
    """What goes with one motor."""
    brake = _brake(plate, line, index)
    drive = None if plate.keeps_drive else _drive(plate, line, index)
    beside = Beside(plate, line, index, Fraction(1), duty)
    gears = _gearheads(plate, line, index)
    several: list[Gearhead | None] = [*gears] or [None]
    for gear in several:
        if gear is not None and plate.ratio is not None:
            yield replace(beside, scale=gear.ratio_exact / plate.ratio), gear, brake, drive
        else:
            yield beside, None, brake, drive


def _gearheads(plate: Plate, line: ProductLine, index: int) -> list[Gearhead]:
    """Those that go on the motor, where the old one does not stay."""
    if plate.ratio is None or plate.keeps_gearhead:
        return []
    own = partners(line, "motor-gearhead").get(index, ())
    return [line.gearheads[k] for k in own]


def _brake(plate: Plate, line: ProductLine, index: int) -> Brake | None:
    own = partners(line, "motor-brake").get(index, ())
    return line.brakes[own[0]] if plate.braked and own else None


def _drive(plate: Plate, line: ProductLine, index: int) -> Drive | None:
    """The smallest that suits motor and supply, else the smallest."""
    own = [line.drives[k] for k in partners(line, "motor-drive").get(index, ())]
    motor = line.motors[index]

    def order(drive: Drive) -> tuple[bool, float]:
        suited, size = carries(drive, motor, plate.supply)
        return not suited, size

    return min(own, key=order, default=None)


def _equivalent(
    b: Beside, gear: Gearhead | None, brake: Brake | None, drive: Drive | None, offered: bool
) -> Equivalent:
    gears = kept_gear_rows(b) if b.plate.keeps_gearhead else new_gear_rows(b, gear)
    rows = (*motor_rows(b), *brake_rows(b, brake, offered), *gears, *drive_rows(b, drive))
    combination = Combination(
        motor=b.motor.name,
        gearhead=None if gear is None else gear.name,
        drive=None if drive is None else drive.name,
        brake=None if brake is None else brake.name,
    )
    return Equivalent(
        combination=combination,
        motor=b.motor,
        state=state_of(rows),
        offered=offered,
        rows=rows,
        hurts=hurts(b, gear, brake, drive, rows),
        distance=_distance(rows),
    )


def _distance(rows: tuple[Compared, ...]) -> float:
    return sum(
        abs(math.log(row.new_si / row.old_si))
        for row in rows
        if row.key in _LIKE and row.old_si and row.new_si
    )
