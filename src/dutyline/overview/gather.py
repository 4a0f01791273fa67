"""From the rows of a product line to its overview."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from dutyline.catalogue.pairing import partners
from dutyline.catalogue.parts import ProductLine
from dutyline.overview.records import (
    Extreme,
    GearChoice,
    Geared,
    Overview,
    Size,
    Span,
    SupplyClass,
)
from dutyline.overview.zones import geared, zones

_MOTOR_SPANS = (
    ("power", "Rated power", "W", "power_rated"),
    ("torque_rated", "Rated torque", "N*m", "torque_rated"),
    ("torque_stall", "Continuous stall torque", "N*m", "torque_stall"),
    ("torque_peak", "Peak torque", "N*m", "torque_peak"),
    ("speed_rated", "Rated speed", "rad/s", "speed_rated"),
    ("speed_max", "Maximum speed", "rad/s", "speed_max"),
    ("inertia", "Rotor inertia", "kg*m^2", "inertia"),
    ("flange", "Flange", "m", "flange"),
    ("encoder_bits", "Encoder, bits per turn", "1", "encoder_bits"),
)
_OTHER_SPANS = (
    ("gearheads", "ratio", "Gear ratio", "1", "ratio"),
    ("gearheads", "backlash", "Backlash", "rad", "backlash"),
    ("brakes", "brake_torque", "Brake torque", "N*m", "torque_static"),
    ("drives", "drive_current", "Drive current, continuous", "A", "current_rated"),
    ("drives", "drive_peak_current", "Drive current, peak", "A", "current_peak"),
)


def overview(
    line: ProductLine, *, mains: float | None = None, phases: int | None = None
) -> Overview:
    """Overview of a line, its zones at one supply or each motor at the best of its own.

    Parameters
    ----------
    line : ProductLine
    mains : float, optional [V]
    phases : int, optional
    """
    found = zones(line, mains, phases)
    outputs = geared(line, found)
    return Overview(
        line=line,
        sizes=_sizes(line),
        classes=_classes(line),
        spans=_spans(line, outputs),
        zones=found,
        geared=outputs,
    )


def _groups(line: ProductLine) -> dict[str, list[int]]:
    """Indices of the motors of each size; a motor without a size is one of its own."""
    found: dict[str, list[int]] = {}
    for k, motor in enumerate(line.motors):
        found.setdefault(motor.size or motor.name, []).append(k)
    return found


def _sizes(line: ProductLine) -> tuple[Size, ...]:
    return tuple(_size(line, name, indices) for name, indices in _groups(line).items())


def _size(line: ProductLine, name: str, indices: Sequence[int]) -> Size:
    motors = tuple(line.motors[k] for k in indices)

    def go(kind: str) -> list[int]:
        table = partners(line, kind)
        return sorted({right for k in indices for right in table.get(k, ())})

    return Size(
        name=name,
        motors=motors,
        classes=_distinct(m.supply_class for m in motors),
        gears=_choices(line, go("motor-gearhead")),
        drives=tuple(line.drives[k].name for k in go("motor-drive")),
        brakes=tuple(line.brakes[k].name for k in go("motor-brake")),
    )


def _choices(line: ProductLine, indices: Sequence[int]) -> tuple[GearChoice, ...]:
    found: dict[tuple[str, float | None], list[int]] = {}
    for k in indices:
        gear = line.gearheads[k]
        found.setdefault((gear.style, gear.frame), []).append(k)
    return tuple(
        GearChoice(style, frame, tuple(sorted({line.gearheads[k].ratio_exact for k in own})))
        for (style, frame), own in found.items()
    )


def _distinct(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for word in words if word))


def _classes(line: ProductLine) -> tuple[SupplyClass, ...]:
    parts: list[Any] = [*line.motors, *line.drives, *line.resistors]
    names = _distinct(part.supply_class for part in parts)
    return tuple(_class(line, name) for name in names)


def _class(line: ProductLine, name: str) -> SupplyClass:
    def of(parts: Sequence[Any]) -> list[Any]:
        return [part for part in parts if part.supply_class == name]

    drives = of(line.drives)
    lows = [d.mains_min for d in drives if d.mains_min is not None]
    highs = [d.mains_max for d in drives if d.mains_max is not None]
    return SupplyClass(
        name=name,
        mains=(min(lows), max(highs)) if lows and highs else None,
        phases=tuple(sorted({p for d in drives for p in d.phases})),
        motors=tuple(m.name for m in of(line.motors)),
        drives=tuple(d.name for d in drives),
        resistors=tuple(r.name for r in of(line.resistors)),
        without=tuple(
            size
            for size, own in _groups(line).items()
            if all(line.motors[k].supply_class not in ("", name) for k in own)
        ),
    )


def _spans(line: ProductLine, outputs: Sequence[Geared]) -> tuple[Span, ...]:
    def stated(parts: Sequence[Any], attribute: str) -> list[tuple[str, float | None]]:
        return [(part.name, getattr(part, attribute)) for part in parts]

    def output(figure: Callable[[Geared], float | None]) -> list[tuple[str, float | None]]:
        return [(f"{one.motor} with {one.gearhead}", figure(one)) for one in outputs]

    rows = [
        *((key, title, unit, stated(line.motors, name)) for key, title, unit, name in _MOTOR_SPANS),
        ("geared_rated", "Geared torque, continuous", "N*m",
         output(lambda one: None if one.rated is None else one.rated.value)),
        ("geared_peak", "Geared torque, peak", "N*m",
         output(lambda one: None if one.peak is None else one.peak.value)),
        ("geared_top", "Geared top speed", "rad/s",
         output(lambda one: None if one.top is None else one.top.value)),
        *((key, title, unit, stated(getattr(line, parts), name))
          for parts, key, title, unit, name in _OTHER_SPANS),
    ]  # fmt: skip
    found = (_span(key, title, unit, values) for key, title, unit, values in rows)
    return tuple(span for span in found if span is not None)


def _span(
    key: str, title: str, unit: str, values: Sequence[tuple[str, float | None]]
) -> Span | None:
    known = [(row, float(value)) for row, value in values if value is not None]
    if not known:
        return None

    def extreme(value: float) -> Extreme:
        return Extreme(value, tuple(row for row, own in known if own == value))

    figures = [value for _, value in known]
    ends = extreme(min(figures)), extreme(max(figures))
    return Span(key, title, unit, *ends, stated=len(known), rows=len(values))
