"""Positions of what the verdict chose: motor, brake, gearhead, drive, braking resistor."""

from __future__ import annotations

from collections.abc import Iterator

from dutyline.catalogue.parts import Gearhead, Motor
from dutyline.checks.supply import mains_words
from dutyline.core.numbers import percent, quantity, stated_quantity
from dutyline.orders.choosing import Need, choose
from dutyline.orders.records import Position
from dutyline.orders.work import Work
from dutyline.train.parameters import CouplingParams


def machine(work: Work) -> Iterator[Position]:
    """Positions in the order of the train."""
    yield _motor(work)
    if work.verdict.combination.brake:
        yield _brake(work)
    if work.verdict.combination.gearhead:
        yield from _gearhead(work)
    yield _drive(work)
    if work.verdict.combination.resistor:
        yield _resistor(work)


def _joined(*words: str) -> str:
    return "; ".join(word for word in words if word)


def _motor(work: Work) -> Position:
    motor = work.parts.motor
    options = [] if motor is None else _motor_options(work, motor)
    each = f"{work.each} alike move the load together" if work.each > 1 else ""
    return Position(
        kind="motor",
        item="Motor",
        part=work.verdict.combination.motor,
        pieces=work.each,
        options=tuple(options),
        why=_joined(each, work.tightest("motor")),
        price_each=None if motor is None else motor.price,
    )


def _motor_options(work: Work, motor: Motor) -> list[str]:
    said = []
    if motor.mains_max is not None:
        said.append(f"{stated_quantity(motor.mains_max, 'V')} winding")
    said.append("with holding brake" if work.verdict.combination.brake else "without brake")
    if motor.encoder or motor.encoder_bits is not None:
        bits = "" if motor.encoder_bits is None else f"{motor.encoder_bits} bit"
        said.append(" ".join(word for word in (bits, motor.encoder, "encoder") if word))
    if motor.shaft is not None:
        said.append(f"{_si(motor.shaft)} shaft, {_shaft_form(work)}")
    if motor.oil_seal_factor is not None and motor.oil_seal_factor < 1.0:
        taken = percent(1.0 - motor.oil_seal_factor)
        said.append(f"without shaft seal: the verdict does not count the {taken} it takes")
    return said


def _shaft_form(work: Work) -> str:
    """Plain or with a key, as far as the axis says what sits on it."""
    if work.verdict.combination.gearhead:
        return "plain or keyed as the gearhead takes it"
    first = work.axis.stages[0] if work.axis.stages else None
    if isinstance(first, CouplingParams) and first.key is not None:
        width, height, length = (1e3 * side for side in first.key)
        return f"with a key {width:g} x {height:g} x {length:g} mm"
    return "plain or keyed as its hub takes it"


def _si(length: float) -> str:
    return stated_quantity(length, "m", system="si")


def _brake(work: Work) -> Position:
    brake = work.parts.brake
    return Position(
        kind="brake",
        item="Holding brake",
        part=work.verdict.combination.brake,
        pieces=work.each,
        options=("built into the motor",),
        why=work.tightest("brake"),
        price_each=None if brake is None else brake.price,
    )


def _gearhead(work: Work) -> Iterator[Position]:
    gear, motor = work.parts.gearhead, work.parts.motor
    line = work.line
    apart = line is not None and any(a.kind == "input-adapter" for a in line.accessories)
    options = [] if gear is None else [f"ratio {gear.ratio_exact}"]
    if gear is not None and motor is not None and not apart:
        options += _input_side(gear, motor)
    yield Position(
        kind="gearhead",
        item="Gearhead",
        part=work.verdict.combination.gearhead,
        pieces=work.each,
        options=tuple(options),
        why=work.tightest("gearhead"),
        price_each=None if gear is None else gear.price,
    )
    if apart and motor is not None:
        yield _adapter(work, motor)


def _input_side(gear: Gearhead, motor: Motor) -> list[str]:
    """What the input has to be, where the line lists no adapters of their own."""
    said = []
    if motor.flange is not None:
        said.append(f"input flange for {_si(motor.flange)}")
    if motor.shaft is not None:
        most = "" if gear.shaft_in_max is None else f" (takes up to {_si(gear.shaft_in_max)})"
        said.append(f"bore for the {_si(motor.shaft)} shaft of the motor{most}")
    return said


def _adapter(work: Work, motor: Motor) -> Position:
    sides = {"flange": motor.flange, "shaft": motor.shaft}
    unknown = tuple(
        f"{name} of {motor.name} ({name}_mm in motors.csv)"
        for name, value in sides.items()
        if value is None
    )
    exact = {name: value for name, value in sides.items() if value is not None}
    need = Need("input-adapter", "input adapter", exact, parts=work.named())
    found = choose(work.line, need)
    part = None if unknown else found.part
    return Position(
        kind="input-adapter",
        item="Input adapter of the gearhead",
        part=None if part is None else part.name,
        pieces=work.each,
        why=found.why if part is not None else "",
        missing=unknown or found.missing,
        price_each=None if part is None else part.price,
    )


def _drive(work: Work) -> Position:
    drive, site = work.parts.drive, work.axis.site
    name = work.verdict.combination.drive
    stated = any("command" in table for table in work.axis.stated.get("require", ()))
    command = {"bus": "fieldbus", "pulse": "pulse input", "analogue": "analogue input"}
    option = (command[work.axis.require.command],) if stated else ()
    inside = ""
    own = None if drive is None else drive.internal_resistor_power
    if own and not work.verdict.combination.resistor:
        inside = f"its own braking resistor, {quantity(own, 'W')}, is the one judged"
    return Position(
        kind="drive",
        item="Drive",
        part=name,
        pieces=work.each,
        options=option,
        why=_joined("" if site is None else mains_words(site), work.tightest("drive"), inside),
        missing=() if name else ("drive: none is paired with this motor",),
        price_each=None if drive is None else drive.price,
    )


def _resistor(work: Work) -> Position:
    resistor, line = work.parts.resistor, work.check("resistor-mean")
    mean = "" if line is None or not line.demand else f"burns {quantity(line.demand, 'W')} mean"
    return Position(
        kind="resistor",
        item="Braking resistor",
        part=work.verdict.combination.resistor,
        pieces=work.each,
        why=_joined(mean, work.tightest("resistor")),
        price_each=None if resistor is None else resistor.price,
    )
