"""The peak torque as a calculation that can be repeated with a pocket calculator."""

from __future__ import annotations

import math
from collections.abc import Mapping

from dutyline.axis.model import Axis
from dutyline.core.numbers import quantity, significant, stated
from dutyline.core.steps import HandStep
from dutyline.core.values import Value
from dutyline.core.wording import lower_first
from dutyline.report.peak import PeakPoint, StagePoint
from dutyline.report.words import instant

_DIGITS = 5


def num(x: float) -> str:
    """A number in the middle of a calculation: five digits, fewer where they say it exactly."""
    return stated(x, _DIGITS)


def _sum(terms: list[tuple[str, str]]) -> tuple[str, str]:
    """Symbols and numbers added up; a term that starts with a minus is taken away."""
    symbols = " + ".join(symbol for symbol, _ in terms)
    numbers = ""
    for _, number in terms:
        minus = number.startswith("−")
        lead = (" − " if minus else " + ") if numbers else ("−" if minus else "")
        numbers += lead + number.removeprefix("−")
    return symbols, numbers


def hand_steps(point: PeakPoint, axis: Axis) -> tuple[HandStep, ...]:
    """Every step from the acceleration of the load to the motor torque, in SI."""
    steps = [_acceleration(point, axis), _load(point, axis)]
    along = axis.train.chain.load.linear
    name = "F" if along else "T_L"
    motion = "a" if along else "alpha_L"
    for n, stage in enumerate(point.stages, start=1):
        if _idle(stage, n):
            continue
        steps += _stage(stage, n, name, motion, axis)
        name, motion = f"T_{n}", _inside(stage, n, motion)
    steps += _gearhead(point, name)
    return (*steps, *_rotor(point, "T_G" if _geared(point) else name, motion))


def _inside(stage: StagePoint, n: int, motion: str) -> str:
    """Symbol of the acceleration at the input of a stage; the same one where nothing changes it."""
    return motion if stage.ratio == 1.0 and not stage.change else f"alpha_{n}"


def _idle(stage: StagePoint, n: int) -> bool:
    """True for a stage that passes everything on unchanged."""
    plain = stage.ratio == 1.0 and stage.gain == 1.0
    return plain and not _outer_terms(stage, n, "a") and not _inner_terms(stage, n, "a")


def _geared(point: PeakPoint) -> bool:
    gear = point.gear
    return gear.ratio != 1.0 or gear.drag != 0.0 or gear.gain != 1.0


def _acceleration(point: PeakPoint, axis: Axis) -> HandStep:
    phase, a = axis.cycle.phases[point.phase], point.acceleration
    along = axis.train.chain.load.linear
    symbol, way = ("a", "s") if along else ("alpha_L", "phi")
    unit = "m/s²" if along else "rad/s²"
    label = "Acceleration of the load"
    top = math.isclose(abs(a), phase.top_acceleration, rel_tol=1e-6) and phase.distance != 0
    if axis.train.input_stated or not top or phase.do != "move" or a == 0:
        return HandStep(label, symbol, f"from the motion at {instant(point.time)}", num(a), unit)
    factor = a * phase.duration**2 / phase.distance
    formula = f"{symbol} = c_a {way} / t^2"
    inserted = f"{num(factor)} × {num(phase.distance)} / {num(phase.duration)}²"
    return HandStep(f"{label}, factor of the law", formula, inserted, num(a), unit)


def _load(point: PeakPoint, axis: Axis) -> HandStep:
    along = axis.train.chain.load.linear
    mass, motion = ("m", "a") if along else ("J_L", "alpha_L")
    kind, unit = ("F", "N") if along else ("T", "N·m")
    terms = []
    if point.acceleration != 0 and point.mass != 0:
        terms.append((f"{mass} {motion}", f"{num(point.mass)} × {num(point.acceleration)}"))
    for index, value in (("G", point.gravity), ("R", point.friction), ("P", point.process)):
        if value != 0:
            terms.append((f"{kind}_{index}", num(value)))
    symbols, numbers = _sum(terms or [("0", "0")])
    total = "F" if along else "T_L"
    label = "Force at the load" if along else "Torque at the load"
    return HandStep(label, f"{total} = {symbols}", numbers, num(point.effort), unit)


def _stage(stage: StagePoint, n: int, name: str, motion: str, axis: Axis) -> list[HandStep]:
    steps = []
    own, k, label = stage.stage, f"k_{n}", lower_first(stage.stage.name or stage.stage.kind)
    if own.ratio.constant is None:
        steps.append(_placed_ratio(stage, k))
    elif own.linear_out:
        shown = (
            _geometry(axis, stage.ratio) if n == 1 or own.kind == "lead-screw" else "of the stage"
        )
        text = f"{shown} / 1000" if any(c.isdigit() for c in shown) else shown
        steps.append(HandStep("Travel per radian", f"{k}", text, num(stage.ratio), "m/rad"))
    elif stage.ratio != 1.0:
        i = num(1 / stage.ratio)
        steps.append(
            HandStep(f"Ratio of {label}", f"{k} = 1 / i_{n}", f"1 / {i}", num(stage.ratio), "")
        )
    if own.ratio.constant is None or stage.change:
        steps += _placed_acceleration(stage, n, k, label, motion)
    elif _moves(stage):
        steps.append(
            HandStep(
                f"Angular acceleration at {label}",
                f"alpha_{n} = {motion} / {k}",
                f"{num(stage.acceleration_out)} / {num(stage.ratio)}",
                num(stage.acceleration_in),
                "rad/s²",
            )
        )
    effort, effort_symbol = stage.effort_out, name
    outer = _outer_terms(stage, n, motion)
    if outer:
        symbols, numbers = _sum([(name, num(effort)), *outer])
        effort = _through(stage)
        effort_symbol = f"{name[0]}_o{n}"
        unit = "N" if own.linear_out else "N·m"
        steps.append(
            HandStep(
                f"With the load side of {label}",
                f"{effort_symbol} = {symbols}",
                numbers,
                num(effort),
                unit,
            )
        )
    steps += _bodies(stage, n, label, _inside(stage, n, motion))
    through = _contact(stage, n, effort_symbol, effort)
    symbols, numbers = _sum([through, *_inner_terms(stage, n, _inside(stage, n, motion))])
    steps.append(
        HandStep(
            f"At the motor side of {label}",
            f"T_{n} = {symbols}",
            numbers,
            num(stage.effort_in),
            "N" if own.linear_in else "N·m",
        )
    )
    return steps


def _placed_ratio(stage: StagePoint, k: str) -> HandStep:
    """The ratio of a mechanism at the place of the peak."""
    own = stage.stage
    unit = "" if own.linear_out == own.linear_in else "m/rad" if own.linear_out else "rad/m"
    return HandStep(
        "Travel per travel of the input, here", k, "at this place", num(stage.ratio), unit
    )


def _placed_acceleration(
    stage: StagePoint, n: int, k: str, label: str, motion: str
) -> list[HandStep]:
    """Acceleration of the input: stated, or from that of the load and the turning of the ratio."""
    if not stage.acceleration_in:
        return []
    said = f"Acceleration of the input of {label}"
    unit = "m/s²" if stage.stage.linear_in else "rad/s²"
    value = num(stage.acceleration_in)
    if stage.stated:
        return [HandStep(said, f"alpha_{n}", "from the motion", value, unit)]
    if not stage.change * stage.speed_in:
        inserted = f"{num(stage.acceleration_out)} / {num(stage.ratio)}"
        return [HandStep(said, f"alpha_{n} = {motion} / {k}", inserted, value, unit)]
    bent = f"{num(stage.change)} × {num(stage.speed_in)}²"
    inserted = f"({num(stage.acceleration_out)} − {bent}) / {num(stage.ratio)}"
    formula = f"alpha_{n} = ({motion} - {k}' omega^2) / {k}"
    return [HandStep(said, formula, inserted, value, unit)]


def _bodies(stage: StagePoint, n: int, label: str, motion: str) -> list[HandStep]:
    """Torque of rods or of a roll of web, cause by cause."""
    share = stage.share
    if share is None or not stage.bodies:
        return []
    terms = []
    if share.inertia and stage.acceleration_in:
        numbers = f"{num(share.inertia)} × {num(stage.acceleration_in)}"
        terms.append((f"J_b{n} {motion}", numbers))
    if share.slope and stage.speed_in:
        terms.append((f"J_b{n}' omega^2 / 2", f"{num(share.slope)} × {num(stage.speed_in)}²"))
    for index, value in (("G", share.weight), ("R", share.friction), ("P", share.process)):
        if value:
            terms.append((f"T_{index}b{n}", num(value)))
    symbols, numbers = _sum(terms)
    said = "Roll and web" if stage.stage.kind == "winder" else f"Bodies of {label}"
    return [HandStep(said, f"T_b{n} = {symbols}", numbers, num(stage.bodies), "N·m")]


def _moves(stage: StagePoint) -> bool:
    return stage.acceleration_out != 0 and stage.ratio != 1.0


def _through(stage: StagePoint) -> float:
    """Effort that crosses the contact, the output side of the stage in it."""
    own = stage.stage
    return (
        stage.effort_out
        + own.inertia_out * stage.acceleration_out
        + own.drag_out * stage.sense_out
        + own.viscous_out * stage.speed_out
    )


def _outer_terms(stage: StagePoint, n: int, motion: str) -> list[tuple[str, str]]:
    own, terms = stage.stage, []
    if own.inertia_out and stage.acceleration_out:
        numbers = f"{num(own.inertia_out)} × {num(stage.acceleration_out)}"
        terms.append((f"J_o{n} {motion}", numbers))
    drag = own.drag_out * stage.sense_out + own.viscous_out * stage.speed_out
    if drag:
        terms.append((f"T_do{n}", num(drag)))
    return terms


def _contact(stage: StagePoint, n: int, name: str, effort: float) -> tuple[str, str]:
    """Effort times ratio with the loss of the contact."""
    symbol, number = name, num(effort)
    if stage.ratio != 1.0:
        symbol, number = f"{symbol} k_{n}", f"{number} × {num(stage.ratio)}"
    if stage.gain == 1.0:
        return symbol, number
    if stage.gain == 1 / stage.stage.efficiency:
        return f"{symbol} / eta_{n}", f"{number} / {num(stage.stage.efficiency)}"
    return f"{symbol} eta_b{n}", f"{number} × {num(stage.gain)}"


def _inner_terms(stage: StagePoint, n: int, motion: str) -> list[tuple[str, str]]:
    own, terms = stage.stage, []
    if own.inertia_in and stage.acceleration_in:
        numbers = f"{num(own.inertia_in)} × {num(stage.acceleration_in)}"
        terms.append((f"J_{n} {motion}", numbers))
    drag = own.drag_in * stage.sense_in + own.viscous_in * stage.speed_in
    if drag:
        terms.append((f"T_d{n}", num(drag)))
    if stage.bodies:
        terms.append((f"T_b{n}", num(stage.bodies)))
    if stage.joined:
        terms.append((f"T_c{n}", num(stage.joined)))
    return terms


def _gearhead(point: PeakPoint, name: str) -> list[HandStep]:
    gear = point.gear
    if not _geared(point):
        return []
    symbol, number = f"{name} / i", f"{num(point.output_torque)} / {num(gear.ratio)}"
    if gear.gain == 1 / gear.mesh and gear.mesh != 1.0:
        symbol = f"{name} / (i eta_G)"
        number = f"{num(point.output_torque)} / ({num(gear.ratio)} × {num(gear.mesh)})"
    elif gear.gain != 1.0:
        symbol, number = f"{symbol} eta_G", f"{number} × {num(gear.mesh)}"
    terms = [(symbol, number)]
    if gear.drag:
        terms.append(("T_0", num(gear.drag)))
    symbols, numbers = _sum(terms)
    total = point.output_torque * gear.gain / gear.ratio + gear.drag
    return [
        HandStep(
            "Before the gearhead: mesh loss, drag", f"T_G = {symbols}", numbers, num(total), "N·m"
        )
    ]


def _rotor(point: PeakPoint, name: str, motion: str) -> list[HandStep]:
    gear, steps = point.gear, []
    last = point.output_torque * gear.gain / gear.ratio + gear.drag
    label = f"Peak motor torque, at {instant(point.time)}"
    alpha = point.output_acceleration * gear.ratio
    if alpha == 0:
        return [HandStep(label, f"T = {name}", num(last), significant(point.torque), "N·m")]
    if gear.ratio != 1.0:
        steps.append(
            HandStep(
                "Angular acceleration of the motor",
                f"alpha_M = i {motion}",
                f"{num(gear.ratio)} × {num(point.output_acceleration)}",
                num(alpha),
                "rad/s²",
            )
        )
        motion = "alpha_M"
    parts = [("J_M", point.rotor), ("J_H", point.hub), ("J_G", gear.inertia)]
    there = [(symbol, value) for symbol, value in parts if value]
    total = math.fsum(value for _, value in there)
    names = " + ".join(symbol for symbol, _ in there)
    own = [("rotor", point.rotor), ("brake hub", point.hub), ("gearhead input", gear.inertia)]
    said = ", ".join(word for word, value in own if value)
    bracket = f"({names})" if len(there) > 1 else names
    steps.append(
        HandStep(
            said.capitalize(),
            f"T_J = {bracket} {motion}",
            f"{num(1e4 * total)} / 10 000 × {num(alpha)}",
            num(total * alpha),
            "N·m",
        )
    )
    symbols, numbers = _sum([(name, num(last)), ("T_J", num(total * alpha))])
    steps.append(HandStep(label, f"T = {symbols}", numbers, significant(point.torque, 4), "N·m"))
    return steps


def _stated(axis: Axis) -> Mapping[str, float]:
    prefix = "mechanism."
    return {
        i.path.removeprefix(prefix): i.value.si
        for i in axis.inputs
        if isinstance(i.value, Value) and i.path.startswith(prefix)
    }


def _geometry(axis: Axis, ratio: float) -> str:
    """Where the travel per radian comes from, in mm, with numbers that give just that."""
    stated_ = _stated(axis)
    mm = {name: num(1e3 * value) for name, value in stated_.items()}
    d, p, z = (stated_.get(name) for name in ("diameter", "pitch", "teeth"))
    lead, module, starts = (stated_.get(name) for name in ("lead", "module", "starts"))
    ways: list[tuple[str, float]] = []
    if lead:
        ways.append((f"{mm['lead']} / (2π)", lead / (2 * math.pi)))
    if p:
        count = starts or 1.0
        ways.append((f"{mm['pitch']} × {num(count)} / (2π)", p * count / (2 * math.pi)))
    if z and p:
        ways.append((f"{num(z)} × {mm['pitch']} / (2π)", z * p / (2 * math.pi)))
    if z and module:
        ways.append((f"{num(z)} × {mm['module']} / 2", z * module / 2))
    if d:
        ways.append((f"{mm['diameter']} / 2", d / 2))
    same = (text for text, value in ways if math.isclose(value, abs(ratio), rel_tol=1e-9))
    return next(same, "from the geometry")


def symbols_note(point: PeakPoint, axis: Axis) -> str:
    """What the symbols of the calculation stand for."""
    said = []
    if axis.train.chain.load.linear:
        said.append("m all that moves, F_G weight, F_R friction, F_P process force")
    else:
        said.append("J_L the load, T_G its weight, T_R friction, T_P process torque")
    if _geared(point):
        eta = significant(point.gear.mesh, 5)
        said.append(
            f"i = {num(point.gear.ratio)} gearhead ratio, eta_G = {eta} mesh efficiency with the "
            f"drag taken out, T_0 = {quantity(point.gear.drag, 'N*m')} drag"
        )
    inertia = [
        f"{symbol} = {quantity(value, 'kg*m^2')}"
        for symbol, value in (("J_M", point.rotor), ("J_H", point.hub), ("J_G", point.gear.inertia))
        if value
    ]
    if any(stage.bodies for stage in point.stages):
        said.append("T_b what lies between shaft and load: rods, or a roll with its web")
    return "; ".join([*said, ", ".join(inertia)]) + "."
