"""The train: inertia and torque followed from the load to the motor shaft, by formulas."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from dutyline.checks.records import Verdict
from dutyline.core.values import Value
from dutyline.grids.write import Cell, Formula, Look
from dutyline.report.peak import PeakPoint, StagePoint
from dutyline.report.workbook.sheets import Sheet, worked

_EXACT = 1e-9
"""Relative difference up to which a formula gives the figure beside which it stands."""


@dataclass(frozen=True, slots=True)
class TrainSheet:
    """The sheet, and where its results stand."""

    sheet: Sheet
    demands: dict[str, tuple[str, float]]
    """By check and part: place of a demand and its value in SI."""
    torque: str = ""
    """Place of the peak torque; empty where it cannot be followed."""


def train_sheet(
    verdict: Verdict, point: PeakPoint | None, given: Mapping[str, str], data: Mapping[str, str]
) -> TrainSheet:
    """Inertia and torque at the instant of the peak.

    Parameters
    ----------
    verdict : Verdict
        Of one case.
    point : PeakPoint or None
        None where the peak cannot be followed; the sheet then says so.
    given, data : mapping of str to str
        Places of inputs by field and of data of the parts.
    """
    head = ("At the instant of the peak torque, all in SI",)
    look = Look((44, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16, 16))
    sheet = Sheet("Train", head, look)
    if point is None:
        sheet.add("The peak cannot be followed part by part on this axis.")
        return TrainSheet(sheet, {})
    sheet.add("Instant, s", point.time)
    load = _load(sheet, verdict, point, given)
    stages = _stages(sheet, point, load)
    own = _rotating(sheet, verdict, point, data)
    inertia = _inertia(sheet, verdict, point, load[0], stages, own)
    torque = _motor(sheet, point, stages, own)
    demands = {"peak-torque motor": (sheet.there(torque), abs(point.torque)), **inertia}
    return TrainSheet(sheet, demands, sheet.there(torque))


def _load(
    sheet: Sheet, verdict: Verdict, point: PeakPoint, given: Mapping[str, str]
) -> tuple[str, str]:
    """Places of the mass and of the effort at the load."""
    sheet.table("At the load", "Load", "Mass or inertia", "Acceleration", "Gravity", "Friction",
                "Process", "Force or torque")  # fmt: skip
    n = sheet.next
    sheet.add("Load", _mass(verdict, point, given), point.acceleration, _weight(verdict, point, n),
              point.friction, point.process,
              worked(f"=B{n}*C{n}+D{n}+E{n}+F{n}", point.effort))  # fmt: skip
    return f"B{n}", f"G{n}"


def _weight(verdict: Verdict, point: PeakPoint, n: int) -> Cell:
    """The share of gravity; from the mass where it is all its own weight along the travel."""
    lean = next((i.value.si for i in verdict.axis.inputs
                 if i.path == "load.incline" and isinstance(i.value, Value)), None)  # fmt: skip
    if lean is None or not point.gravity:
        return point.gravity
    pull = verdict.axis.gravity * math.sin(lean)
    own = math.isclose(point.mass * pull, point.gravity, rel_tol=_EXACT)
    return Formula(f"=B{n}*{pull!r}", point.gravity) if own else point.gravity


def _mass(verdict: Verdict, point: PeakPoint, given: Mapping[str, str]) -> Cell:
    """What moves; from the inputs where they give just that."""
    held = {
        i.path: i.value.si
        for i in verdict.axis.inputs
        if i.path.startswith(("load.mass", "load.inertia", "load.payload"))
        and isinstance(i.value, Value)
    }
    base = next((p for p in ("load.mass", "load.inertia") if p in held), None)
    ways = [[path] for path in held]
    if base is not None:
        ways += [[base, path] for path in held if path != base]
    for paths in ways:
        if math.isclose(math.fsum(held[p] for p in paths), point.mass, rel_tol=_EXACT):
            return Formula("=" + "+".join(given[p] for p in paths), point.mass)
    return point.mass


_HEADS = (
    "Stage", "Travel ratio", "Taken over", "Acceleration behind", "Inertia behind", "Drag behind",
    "Loss factor", "Change of ratio", "Speed before", "Acceleration before", "Inertia before",
    "Drag before", "Bodies", "Joined", "At its motor side",
)  # fmt: skip


def _stages(sheet: Sheet, point: PeakPoint, load: tuple[str, str]) -> list[int]:
    """A row for each stage; behind is its side towards the load, before that to the motor."""
    sheet.table("From the load to the output shaft", *_HEADS)
    rows: list[int] = []
    acceleration = f"C{load[1][1:]}"
    effort = load[1]
    for stage in point.stages:
        n = sheet.next
        sheet.add(*_stage(stage, n, effort, acceleration))
        rows.append(n)
        effort, acceleration = f"O{n}", f"J{n}"
    return rows


def _stage(stage: StagePoint, n: int, effort: str, acceleration: str) -> list[Cell]:
    own = stage.stage
    drag_out = own.drag_out * stage.sense_out + own.viscous_out * stage.speed_out
    drag_in = own.drag_in * stage.sense_in + own.viscous_in * stage.speed_in
    total = worked(f"=(C{n}+E{n}*D{n}+F{n})*B{n}*G{n}+K{n}*J{n}+L{n}+M{n}+N{n}", stage.effort_in)
    return [
        stage.stage.name or stage.stage.kind, stage.ratio, worked(f"={effort}", stage.effort_out),
        worked(f"={acceleration}", stage.acceleration_out), own.inertia_out, drag_out, stage.gain,
        stage.change, stage.speed_in, _before(stage, n), own.inertia_in, drag_in, stage.bodies,
        stage.joined, total,
    ]  # fmt: skip


def _before(stage: StagePoint, n: int) -> Cell:
    """Acceleration of the input of a stage; the figure itself where the motion states it."""
    if stage.stated or stage.ratio == 0.0:
        return stage.acceleration_in
    found = (stage.acceleration_out - stage.change * stage.speed_in**2) / stage.ratio
    if not math.isclose(found, stage.acceleration_in, rel_tol=1e-7, abs_tol=1e-9):
        return stage.acceleration_in
    return Formula(f"=(D{n}-H{n}*I{n}^2)/B{n}", stage.acceleration_in)


@dataclass(frozen=True, slots=True)
class _Own:
    """Places of what turns with the motor shaft."""

    ratio: str
    gear: str
    rotor: str
    hub: str


def _rotating(sheet: Sheet, verdict: Verdict, point: PeakPoint, data: Mapping[str, str]) -> _Own:
    sheet.table("Gearhead, rotor and brake", "What", "Value")
    names, gear = verdict.combination, point.gear

    def linked(path: str, value: float, text: str = "={}") -> Cell:
        return worked(text.format(data[path]), value) if path in data else value

    ratio = sheet.add("Ratio of the gearhead", linked("gearhead.ratio", gear.ratio))
    inertia = sheet.add("Inertia of the gearhead, kg·m²",
                        linked("gearhead.inertia_in", gear.inertia))  # fmt: skip
    rotor = sheet.add("Inertia of the rotor, kg·m²", linked("motor.inertia", point.rotor))
    hub: Cell = point.hub
    whole, own = data.get("motor.inertia_with_brake"), data.get("motor.inertia")
    if names.brake and whole and own:
        hub = worked(f"={whole}-{own}", point.hub)
    elif names.brake:
        hub = linked("brake.inertia", point.hub)
    at = sheet.add("Inertia of the brake hub, kg·m²", hub)
    return _Own(f"B{ratio}", f"B{inertia}", f"B{rotor}", f"B{at}")


def _inertia(
    sheet: Sheet, verdict: Verdict, point: PeakPoint, mass: str, stages: list[int], own: _Own
) -> dict[str, tuple[str, float]]:
    """The table of inertias at the motor shaft; where the inertia ratio stands."""
    sheet.table("Inertia at the motor shaft", "Part", "Own mass or inertia",
                "Travel per radian of the motor", "At the motor shaft, kg·m²", "Share")  # fmt: skip
    first, count = sheet.next, len(stages)
    last = first + count + 3
    total = f"SUM(D{first}:D{last})"
    reach = [math.prod(s.ratio for s in point.stages[k:]) / point.gear.ratio
             for k in range(count + 1)]  # fmt: skip
    sizes = [(point.mass, reach[0])]
    for k, stage in enumerate(point.stages):
        sizes.append((stage.inertia_in - stage.inertia_out * stage.ratio**2, reach[k + 1]))
    sizes += [(point.gear.inertia, 1.0), (point.rotor, 1.0), (point.hub, 1.0)]
    whole = math.fsum(j * k**2 for j, k in sizes)
    names = ["Load", *(s.stage.name or s.stage.kind for s in point.stages),
             "Gearhead, its input", "Rotor", "Brake hub"]  # fmt: skip
    values: list[Cell] = [worked(f"={mass}", point.mass), *(j for j, _ in sizes[1 : count + 1])]
    values += [worked(f"={p}", j) for p, (j, _) in
               zip((own.gear, own.rotor, own.hub), sizes[count + 1 :], strict=True)]  # fmt: skip
    for k, (name, value, (j, travel)) in enumerate(zip(names, values, sizes, strict=True)):
        n = first + k
        way: Cell = 1.0
        if k < count:
            way = worked(f"=C{n + 1}*B{stages[k]}", travel)
        elif k == count:
            way = worked(f"=1/{own.ratio}", travel)
        share = worked(f"=D{n}/{total}", j * travel**2 / whole) if whole > 0 else None
        sheet.add(name, value, way, worked(f"=B{n}*C{n}^2", j * travel**2), share)
    sheet.add("Together", None, None, worked(f"={total}", whole))
    turning = point.rotor + point.hub + point.gear.inertia
    if turning <= 0:
        return {}
    ratio = (whole - turning) / turning
    motor = f"SUM(D{last - 2}:D{last})"
    n = sheet.add(
        "Load over rotor, brake hub and gearhead", worked(f"=(D{last + 1}-{motor})/{motor}", ratio)
    )
    return {"inertia-ratio axis": (sheet.there(f"B{n}"), ratio)}


def _motor(sheet: Sheet, point: PeakPoint, stages: list[int], own: _Own) -> str:
    """Place of the magnitude of the peak torque."""
    gear, last = point.gear, stages[-1]
    sheet.table("At the motor shaft", "What", "Value")
    gain = sheet.add("Loss factor of the mesh", gear.gain)
    drag = sheet.add("Drag of the gearhead, N·m", gear.drag)
    through = point.output_torque * gear.gain / gear.ratio + gear.drag
    before = sheet.add("Torque before the gearhead, N·m",
                       worked(f"=O{last}/{own.ratio}*B{gain}+B{drag}", through))  # fmt: skip
    alpha = point.output_acceleration * gear.ratio
    turn = sheet.add("Angular acceleration of the motor, rad/s²",
                     worked(f"=J{last}*{own.ratio}", alpha))  # fmt: skip
    total = point.rotor + point.hub + gear.inertia
    turning = f"({own.rotor}+{own.hub}+{own.gear})"
    torque = sheet.add("Torque for rotor, brake hub and gearhead, N·m",
                       worked(f"={turning}*B{turn}", total * alpha))  # fmt: skip
    signed = sheet.add("Motor torque, N·m", worked(f"=B{before}+B{torque}", point.torque))
    size = sheet.add("Peak motor torque, N·m",
                     worked(f"=MAX(B{signed},-B{signed})", abs(point.torque)))  # fmt: skip
    return f"B{size}"
