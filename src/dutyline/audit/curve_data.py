"""Rules of torque-speed curves: shape, the table they belong to, and each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from dutyline.audit.look import Look
from dutyline.audit.order import in_order, neighbours
from dutyline.audit.records import Array, Index, Tested
from dutyline.catalogue.parts import Curve
from dutyline.core.grouping import distinct_values


def curve_speeds_increase(look: Look) -> Iterator[Tested]:
    """Step from one speed of a curve to the next [rad/s]."""
    rows = _inner(look)
    speed = look.points["speed"]
    yield Tested(
        speed[rows] - speed[rows - 1],
        (look.side("curves", "speed", rows=rows), look.side("curves", "speed", rows=rows - 1)),
    )


def curve_never_rises(look: Look) -> Iterator[Tested]:
    """Torque of a point over the lowest before it that stays, or under the next."""
    torque, starts = look.points["torque"], look.curve_starts
    measure, expected = np.ones(torque.size), torque.copy()
    partner = np.arange(torque.size)
    steps = np.diff(torque) > 0
    steps[starts[1:-1] - 1] = False
    which = np.searchsorted(starts, np.nonzero(steps)[0], side="right") - 1
    for c in distinct_values(which):
        first, end = int(starts[c]), int(starts[c + 1])
        _rising(look, first, end, measure, expected, partner)
    yield Tested(
        measure,
        (look.side("curves", "torque", expected=expected),
         look.side("curves", "torque", rows=partner)),
        nominal=1.0,
    )  # fmt: skip


def _rising(
    look: Look, first: int, end: int, measure: Array, expected: Array, partner: Index
) -> None:
    """Fill in the points of one curve that keep it from falling."""
    torque, speed = look.points["torque"][first:end], look.points["speed"][first:end]
    kept = in_order((-torque).tolist())
    for k in np.nonzero(~kept)[0]:
        low, high = neighbours(kept, int(k))
        if low >= 0 and torque[k] > torque[low]:
            over, under = torque[k], torque[low]
            partner[first + k] = first + low
        else:
            over, under = torque[high], torque[k]
            partner[first + k] = first + high
        measure[first + k] = over / under if under > 0 else np.inf
        ends = [e for e in (low, high) if e >= 0]
        expected[first + k] = np.interp(speed[k], speed[ends], torque[ends])


def curve_inside_max_speed(look: Look) -> Iterator[Tested]:
    """Last speed of a curve over the maximum speed of its motor."""
    last = look.curve_starts[1:] - 1
    motor = _motors(look, look.line.curves)
    yield Tested(
        look.points["speed"][last] / look.at("motors", "speed_max", motor),
        (look.side("curves", "speed", 1, last), look.side("motors", "speed_max", -1, motor)),
    )


def curve_starts_at_table_value(look: Look) -> Iterator[Tested]:
    """First torque of a curve over peak or stall torque in the table."""
    for kind, name in (("peak", "torque_peak"), ("continuous", "torque_stall")):
        own = [k for k, c in enumerate(look.line.curves) if c.kind == kind]
        first = look.curve_starts[:-1][own]
        motor = _motors(look, [look.line.curves[k] for k in own])
        yield Tested(
            look.points["torque"][first] / look.at("motors", name, motor),
            (look.side("curves", "torque", 1, first), look.side("motors", name, -1, motor)),
            nominal=1.0,
        )


def curve_passes_rated_point(look: Look) -> Iterator[Tested]:
    """Continuous torque at rated speed on the highest tabulated mains, over rated torque."""
    highest: dict[tuple[str, int], int] = {}
    for k, curve in enumerate(look.line.curves):
        key = (curve.motor, curve.phases)
        if curve.kind == "continuous" and (
            key not in highest or curve.mains > look.line.curves[highest[key]].mains
        ):
            highest[key] = k
    own = list(highest.values())
    motor = _motors(look, [look.line.curves[k] for k in own])
    speed = look.at("motors", "speed_rated", motor)
    there, low, high = _read(look, own, speed)
    yield Tested(
        there / look.at("motors", "torque_rated", motor),
        (
            look.side("motors", "torque_rated", -1, motor),
            look.side("motors", "speed_rated", rows=motor),
            look.side("curves", "torque", rows=low),
            look.side("curves", "torque", rows=high),
        ),
        nominal=1.0,
    )


def continuous_inside_peak(look: Look) -> Iterator[Tested]:
    """Continuous over peak torque at every speed of either curve, on the same mains."""
    kinds: dict[tuple[str, float, int], dict[str, int]] = {}
    for k, c in enumerate(look.line.curves):
        kinds.setdefault((c.motor, c.mains, c.phases), {})[c.kind] = k
    both = [(k["continuous"], k["peak"]) for k in kinds.values() if len(k) == 2]
    yield _nested(look, both)


def low_mains_curve_not_higher(look: Look) -> Iterator[Tested]:
    """Torque over that of the next higher mains, at every speed of either curve."""
    series: dict[tuple[str, str, int], list[tuple[float, int]]] = {}
    for k, c in enumerate(look.line.curves):
        series.setdefault((c.motor, c.kind, c.phases), []).append((c.mains, k))
    pairs = []
    for found in series.values():
        order = [k for _, k in sorted(found)]
        pairs += list(pairwise(order))
    yield _nested(look, pairs)


def _nested(look: Look, pairs: Sequence[tuple[int, int]]) -> Tested:
    """Inner over outer curve at the knots of both; the outer ends where it has no torque left."""
    starts, speed, torque = look.curve_starts, look.points["speed"], look.points["torque"]
    rows: list[Index] = []
    others: list[int] = []
    mine: list[bool] = []
    for inner, outer in pairs:
        for knots, other in ((inner, outer), (outer, inner)):
            own = np.arange(starts[knots], starts[knots + 1])
            rows.append(own)
            others += [other] * own.size
            mine += [knots == inner] * own.size
    at = np.concatenate(rows) if rows else np.empty(0, dtype=np.intp)
    there, low, high = _read(look, others, speed[at])
    near = np.where(speed[at] - speed[low] < speed[high] - speed[at], low, high)
    own_inner = np.array(mine, dtype=bool)
    top = np.where(own_inner, torque[at], there)
    bottom = np.where(own_inner, there, torque[at])
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(bottom > 0, top / bottom, np.where(top > 0, np.inf, np.nan))
    share = np.where(np.isnan(top) | np.isnan(bottom), np.nan, share)
    return Tested(
        share,
        (
            look.side("curves", "torque", rows=np.where(own_inner, at, near)),
            look.side("curves", "torque", rows=np.where(own_inner, near, at)),
        ),
    )


def _inner(look: Look) -> Index:
    """Points that have one before them on their curve."""
    inner = np.ones(look.points["speed"].size, dtype=bool)
    inner[look.curve_starts[:-1]] = False
    return np.nonzero(inner)[0]


def _motors(look: Look, curves: Sequence[Curve]) -> Index:
    return np.array([look.line.motor_index.get(c.motor, -1) for c in curves], dtype=np.intp)


def _read(look: Look, curves: Sequence[int], speed: Array) -> tuple[Array, Index, Index]:
    """Torque of curves at speeds, nan beyond their ends, and the knots on either side."""
    x, y, starts = look.points["speed"], look.points["torque"], look.curve_starts
    which = np.asarray(curves, dtype=np.intp)
    first, last = starts[which], starts[which + 1] - 1
    # every curve on a stretch of its own of one rising scale, so that one search serves all
    stretch = 2.0 * float(x.max(initial=1.0))
    scale = x + stretch * np.repeat(np.arange(starts.size - 1), np.diff(starts))
    low = np.searchsorted(scale, np.minimum(speed, stretch) + stretch * which, side="right") - 1
    low = np.clip(low, first, np.maximum(last - 1, first))
    high = np.minimum(low + 1, last)
    width = x[high] - x[low]
    part = np.where(width > 0, (speed - x[low]) / np.where(width > 0, width, 1.0), 0.0)
    there = y[low] + part * (y[high] - y[low])
    inside = (speed >= 0) & (speed <= x[last] * (1 + 1e-12))
    return np.where(inside, there, np.nan), low, high
