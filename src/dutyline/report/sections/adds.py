"""What each part adds to inertia and peak torque at the motor shaft."""

from __future__ import annotations

import math
from dataclasses import dataclass

from dutyline.checks.records import Verdict
from dutyline.core.numbers import decimals, group, percent, quantity, scale_for, with_unit
from dutyline.report.peak import PeakPoint
from dutyline.report.tree import Column, Row, Section, Table, cell, strong, words
from dutyline.report.words import instant


@dataclass(frozen=True, slots=True)
class Addition:
    """One part of the train, seen at the motor shaft."""

    name: str
    inertia: float
    """[kg*m^2]"""
    torque: float
    """[N*m] signed as the peak"""


def additions(point: PeakPoint, verdict: Verdict) -> list[Addition]:
    """Every part from the load to the brake; torques and inertias add up to the whole."""
    names, gear = verdict.combination, point.gear
    out = []
    inertia, torque = point.mass, point.effort
    onwards = [s.ratio for s in point.stages]
    reach = math.prod(onwards) / gear.ratio
    out.append(Addition("Load", inertia * reach**2, torque * reach))
    for n, stage in enumerate(point.stages):
        rest = math.prod(onwards[n + 1 :]) / gear.ratio
        own_inertia = stage.inertia_in - stage.inertia_out * stage.ratio**2
        own_torque = stage.effort_in - stage.effort_out * stage.ratio
        name = stage.stage.name or stage.stage.kind
        out.append(Addition(name, own_inertia * rest**2, own_torque * rest))
    alpha = point.output_acceleration * gear.ratio
    at_gear = point.output_torque / gear.ratio * (gear.gain - 1) + gear.drag
    if names.gearhead:
        out.append(Addition(names.gearhead, gear.inertia, at_gear + gear.inertia * alpha))
    out.append(Addition(names.motor, point.rotor, point.rotor * alpha))
    if names.brake:
        out.append(Addition(names.brake, point.hub, point.hub * alpha))
    return out


def _torque(own: float, whole: float) -> str:
    """A torque with as many decimals as the whole has."""
    scale = scale_for("N*m")
    return with_unit(group(own / scale.size, decimals(whole / scale.size)), scale.text)


def adds(verdict: Verdict, point: PeakPoint | None) -> Section | None:
    """A table of parts by inertia and torque with their shares."""
    if point is None:
        return None
    parts = additions(point, verdict)
    inertia = math.fsum(p.inertia for p in parts)
    torque = math.fsum(p.torque for p in parts)
    if inertia <= 0 or torque == 0:
        return None
    columns = (
        Column(words("Part"), 50),
        Column(words("Inertia"), 30, "right"),
        Column(words("Share"), 20, "right"),
        Column(words("Torque"), 30, "right"),
        Column(words("Share"), 20, "right"),
        Column(words()),
    )
    rows = [
        Row(
            (
                cell(p.name),
                cell(quantity(p.inertia, "kg*m^2")),
                cell(percent(p.inertia / inertia)),
                cell(_torque(p.torque, torque)),
                cell(percent(p.torque / torque)),
                cell(),
            )
        )
        for p in parts
    ]
    whole = (
        "Together",
        quantity(inertia, "kg*m^2"),
        percent(1.0),
        quantity(torque, "N*m"),
        percent(1.0),
    )
    rows.append(Row((*(cell(strong(text)) for text in whole), cell())))
    remark = words(f"at the motor shaft; torque at the peak, {instant(point.time)}")
    return Section("adds", "What each part adds", (Table(columns, tuple(rows)),), remark)
