"""The parts that could stand in the place of chosen ones, one at a time."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from dutyline.axis.model import Axis
from dutyline.catalogue.pairing import NONE, matching, partners
from dutyline.catalogue.parts import Gearhead, Motor, ProductLine
from dutyline.checks.records import Combination
from dutyline.remedies.options import Option
from dutyline.remedies.probe import Probe

_BESIDE = 0.1
"""Size of any exchange beside what tells the parts apart."""
_SMALL = 0.01
"""Weight of the size of a part where there was none: the smallest comes first."""
_FAR = 3.0
"""Size of a change between parts that cannot be compared."""


Swap = tuple[str, str, str, str, Combination, float, str]
"""Field, family, before, after, the combination, how far it is, and the subject of a sentence."""


def exchanged(probe: Probe) -> list[Option]:
    """Every single exchange of a part, judged, nearest first of each family."""
    found = swaps(probe.axis, probe.line, probe.combination)
    readings = probe.with_parts([swap[4] for swap in found])
    return [
        Option(field, family, before, after, size, subject, reading, other)
        for (field, family, before, after, other, size, subject), reading in zip(
            found, readings, strict=True
        )
    ]


def swaps(axis: Axis, line: ProductLine, chosen: Combination) -> list[Swap]:
    """Every single exchange of a part that the limits of the search allow, nearest first."""
    found = [
        *_gearheads(axis, line, chosen),
        *_motors(axis, line, chosen),
        *_others(axis, line, chosen, "drive", "motor-drive", chosen.motor, "current_rated"),
        *_others(axis, line, chosen, "brake", "motor-brake", chosen.motor, "torque_static"),
    ]
    if chosen.drive is not None:
        drive = chosen.drive
        found += _others(axis, line, chosen, "resistor", "drive-resistor", drive, "power_mean")
    return sorted(found, key=lambda swap: (swap[1], swap[5], swap[3]))


def _allowed(axis: Axis, line: ProductLine, kind: str) -> set[int]:
    """Parts of a kind that ``[choose]`` leaves."""
    return set(matching(getattr(line, f"{kind}s"), getattr(axis.choose, f"{kind}s")))


def _right(line: ProductLine, kind: str, left: str) -> list[int]:
    own = getattr(line, f"{kind.split('-')[0]}_index")
    return partners(line, kind).get(own.get(left, -1), [])


def _apart(first: float | None, second: float | None) -> float:
    return abs(math.log(first / second)) if first and second else _FAR


def _gearheads(axis: Axis, line: ProductLine, chosen: Combination) -> Iterator[Swap]:
    now = None
    if chosen.gearhead is not None:
        now = line.gearheads[line.gearhead_index[chosen.gearhead]]
    allowed = _allowed(axis, line, "gearhead")
    if axis.require.gearhead == "none":
        allowed = set()
    for k in _right(line, "motor-gearhead", chosen.motor):
        gear = line.gearheads[k]
        if k not in allowed or gear is now:
            continue
        if now is not None and gear.style != now.style:
            continue
        yield _gear_swap(chosen, now, gear)
    names = [p.casefold() for p in axis.choose.gearheads]
    if now is not None and axis.require.gearhead != "needed" and (not names or NONE in names):
        bare = replace(chosen, gearhead=None)
        size = _apart(now.ratio, 1.0) + _FAR
        yield ("gearhead", "ratio", now.name, NONE, bare, size, "No gearhead at all")


def _gear_swap(chosen: Combination, now: Gearhead | None, gear: Gearhead) -> Swap:
    other = replace(chosen, gearhead=gear.name)
    ratio = f"{gear.ratio:.4g}"
    if now is None:
        size = _apart(gear.ratio, 1.0) + 1.0
        said = f"Gearhead {gear.name}, ratio {ratio},"
        return ("gearhead", "ratio", NONE, gear.name, other, size, said)
    same_ratio = math.isclose(now.ratio, gear.ratio, rel_tol=1e-6)
    family = "gearhead" if same_ratio else "ratio"
    frames = _apart(now.frame, gear.frame) if now.frame != gear.frame else 0.0
    size = _apart(gear.ratio, now.ratio) + (frames if same_ratio else 2.0 * frames)
    said = f"{gear.name} instead of {now.name}" + ("" if same_ratio else f", ratio {ratio},")
    return ("gearhead", family, now.name, gear.name, other, size, said)


def _motors(axis: Axis, line: ProductLine, chosen: Combination) -> Iterator[Swap]:
    now = line.motors[line.motor_index[chosen.motor]]
    allowed = _allowed(axis, line, "motor")
    for k, motor in enumerate(line.motors):
        if motor is now or k not in allowed or motor.supply_class != now.supply_class:
            continue
        other = _refitted(axis, line, chosen, motor)
        if other is not None:
            size = _apart(motor.torque_stall, now.torque_stall) + 0.2
            with_it = [
                part
                for field in ("drive", "brake")
                if (part := getattr(other, field)) and part != getattr(chosen, field)
            ]
            said = f"{motor.name} instead of {now.name}"
            said += f", with {' and '.join(with_it)}," if with_it else ""
            yield ("motor", "motor", now.name, motor.name, other, size, said)


def _refitted(
    axis: Axis, line: ProductLine, chosen: Combination, motor: Motor
) -> Combination | None:
    """The combination with another motor, its own brake, and a drive that goes with it."""
    gear = chosen.gearhead
    if gear is not None and line.gearhead_index[gear] not in _right(
        line, "motor-gearhead", motor.name
    ):
        return None
    brake = chosen.brake
    if brake is not None:
        fitting = [line.brakes[k].name for k in _right(line, "motor-brake", motor.name)]
        if not fitting:
            return None
        brake = brake if brake in fitting else fitting[0]
    paired = [p for p in line.pairings if p.kind == "motor-drive" and p.left == motor.name]
    phases = None if axis.site is None else axis.site.phases
    paired.sort(key=lambda p: p.phases is not None and p.phases != phases)
    names = [p.right for p in paired] or [
        line.drives[k].name for k in _right(line, "motor-drive", motor.name)
    ]
    drive = chosen.drive
    if drive is not None and drive not in names:
        drive = names[0] if names else None
    resistor = chosen.resistor if drive == chosen.drive else _resistor(line, chosen, drive)
    return replace(chosen, motor=motor.name, brake=brake, drive=drive, resistor=resistor)


def _resistor(line: ProductLine, chosen: Combination, drive: str | None) -> str | None:
    """The same resistor where the new drive takes it, else the nearest that it takes."""
    if chosen.resistor is None or drive is None:
        return None
    fitting = [line.resistors[k] for k in _right(line, "drive-resistor", drive)]
    now = line.resistors[line.resistor_index[chosen.resistor]]
    if now in fitting or not fitting:
        return chosen.resistor
    return min(fitting, key=lambda r: _apart(r.power_mean, now.power_mean)).name


def _others(
    axis: Axis, line: ProductLine, chosen: Combination, field: str, kind: str, left: str, by: str
) -> Iterator[Swap]:
    """Drives, brakes and resistors, by one figure that tells their size."""
    index, parts = getattr(line, f"{field}_index"), getattr(line, f"{field}s")
    name = getattr(chosen, field)
    now: Any = None if name is None else parts[index[name]]
    allowed = _allowed(axis, line, field)
    for k in _right(line, kind, left):
        part = parts[k]
        if part is now or k not in allowed:
            continue
        other = replace(chosen, **{field: part.name})
        figure = getattr(part, by) or 0.0
        size = _BESIDE + (_apart(figure, getattr(now, by)) if now else _SMALL * math.log1p(figure))
        said = f"{part.name} instead of {name}" if name else f"{field.capitalize()} {part.name}"
        yield (field, field, name or NONE, part.name, other, size, said)
