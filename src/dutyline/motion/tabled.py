"""Phases given by samples: places over time or over a leader, or speeds."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import isclose

import numpy as np
from numpy.typing import NDArray

from dutyline.core.numbers import bare, quantity
from dutyline.motion.extremes import extremes
from dutyline.motion.faults import MotionFault, said
from dutyline.motion.pieces import Piece
from dutyline.motion.scatter import USUAL, acceleration_scatter, scatter
from dutyline.motion.specs import PhaseSpec
from dutyline.motion.splines import Ends, smoothed, spline_pieces, spline_slopes, spline_values
from dutyline.motion.wanted import AGREEMENT
from dutyline.motion.worked import Move

Array = NDArray[np.float64]

LARGEST = 1e9
"""Numbers beyond it are slips of unit [SI]."""
MOST = 1000
"""Samples that become pieces one by one; more need smoothing."""
MOST_PARTS = 300
"""Parts of a smoothing spline."""
LEAST = {"position": 4, "speed": 2}
"""Samples a table needs."""
OFF = 0.2
"""Speed at an end, over the top speed, above which samples do not start or end as they must [1]."""
SEEN = 0.05
"""Scatter of the acceleration over its peak, from which it is told [1]."""


@dataclass(frozen=True, slots=True)
class Samples:
    """Samples over time from 0."""

    time: Array
    """(n,) [s]"""
    value: Array
    """(n,) [m or rad], or a speed"""


def complete_table(spec: PhaseSpec, before: float | None, *, alone: bool, linear: bool) -> Move:
    """Work out a table.

    Parameters
    ----------
    spec : PhaseSpec
        As stated.
    before : float or None [m/s or rad/s]
        Signed speed at the start; None where the table alone decides it.
    alone : bool
        True where the table is the whole cycle: it joins its own end.

    Raises
    ------
    MotionFault
        The samples are too few, do not rise, or do not join the phase before.
    """
    samples = _samples(spec)
    if spec.gives == "speed":
        return _of_speeds(spec, samples, before, linear=linear)
    return _of_places(spec, samples, before or 0.0, alone=alone, linear=linear)


def first_speed(spec: PhaseSpec, *, alone: bool, linear: bool) -> float:
    """Speed at the end of a table that ends the cycle, with which the cycle starts again."""
    if spec.gives == "speed":
        return spec.samples[-1][1] if spec.samples else 0.0
    return complete_table(spec, None, alone=True, linear=linear).end_speed if alone else 0.0


def _samples(spec: PhaseSpec) -> Samples:
    rows = np.array(spec.samples or (), dtype=float).reshape(-1, 2)
    gives = spec.gives or "position"
    if rows.shape[0] < LEAST[gives]:
        raise MotionFault(
            f"there are {rows.shape[0]} samples; a table of {gives}s needs {LEAST[gives]} or more.",
            "Add samples, or state the motion as moves.",
            field="points",
        )
    if not (np.abs(rows) <= LARGEST).all():
        k = int(np.nonzero(~(np.abs(rows) <= LARGEST).all(axis=1))[0][0])
        raise MotionFault(
            f"sample {k + 1} is {bare(rows[k, 0])}, {bare(rows[k, 1])} in SI units, which no "
            "machine does.",
            "Check the unit and the power of ten, or take it out.",
            field="points",
        )
    back = np.nonzero(np.diff(rows[:, 0]) <= 0)[0]
    if back.size:
        k = int(back[0])
        raise MotionFault(
            f"sample {k + 2} lies at {bare(rows[k + 1, 0])}, not beyond the one before it at "
            f"{bare(rows[k, 0])}.",
            "Put the samples in rising order, each place once.",
            field="points",
        )
    if spec.smoothing is None and rows.shape[0] > MOST:
        raise MotionFault(
            f"there are {rows.shape[0]} samples; without smoothing {MOST} are computed.",
            "State smoothing, such as a few times the distance of the samples, or thin them out.",
            field="smoothing",
        )
    return Samples(_times(spec, rows[:, 0]), rows[:, 1])


def _times(spec: PhaseSpec, places: Array) -> Array:
    """Time of every sample from 0 [s]."""
    way: Array = places - places[0]
    whole = float(way[-1])
    if spec.over != "leader":
        if spec.leader_speed is not None:
            raise MotionFault(
                "a leader_speed is stated, but the samples stand over time.",
                'Leave it out, or state over = "leader".',
                field="leader_speed",
            )
        if spec.time is not None and not isclose(spec.time, whole, rel_tol=AGREEMENT):
            raise MotionFault(
                f"time {bare(spec.time)} s is stated, but the samples take {bare(whole)} s.",
                "Leave time out.",
                field="time",
            )
        return way
    if spec.leader_speed is None and spec.time is None:
        raise MotionFault(
            "neither leader_speed nor time tells how fast the leader goes.",
            "State leader_speed.",
            field="leader_speed",
        )
    speed = whole / spec.time if spec.leader_speed is None and spec.time else spec.leader_speed
    assert speed is not None
    if spec.time is not None and not isclose(spec.time, whole / speed, rel_tol=AGREEMENT):
        raise MotionFault(
            f"leader_speed and time {bare(spec.time)} s contradict each other: the leader takes "
            f"{bare(whole / speed)} s.",
            "Leave one of them out.",
            field="time",
        )
    return np.asarray(way / speed)


def _of_speeds(spec: PhaseSpec, samples: Samples, before: float | None, *, linear: bool) -> Move:
    """Speeds that change linearly between the samples."""
    time, speed = samples.time, samples.value
    note = f"{time.size} samples of speed, linear between them"
    if spec.smoothing is not None:
        knots = _knots(spec, time)
        time, speed, residue = _smooth_speeds(time, speed, knots)
        note += "; " + _residue_words(spec, residue, f"{'m' if linear else 'rad'}/s")
    first = float(speed[0])
    top = float(np.abs(speed).max())
    if before is not None and abs(first - before) > AGREEMENT * max(top, abs(before)):
        raise _jump(first, before, linear=linear)
    place, pieces = 0.0, []
    for k, (start, end) in enumerate(pairwise(time)):
        length = float(end - start)
        accel = float(speed[k + 1] - speed[k]) / length
        poly = (place, float(speed[k]), accel / 2)
        pieces.append(Piece(float(start), length, poly))
        place += float(speed[k] + speed[k + 1]) / 2 * length
    accels = np.abs(np.diff(speed) / np.diff(time))
    return Move(
        tuple(pieces), float(time[-1]), place, float(speed[-1]), "", top, float(accels.max()), note
    )


def _of_places(
    spec: PhaseSpec, samples: Samples, before: float, *, alone: bool, linear: bool
) -> Move:
    """A cubic spline through places, or near them."""
    ends = Ends() if alone else Ends(before, 0.0)
    _check_ends(samples, ends, alone=alone, linear=linear)
    time, place = samples.time, samples.value
    unit = "m" if linear else "rad"
    kind = "periodic cubic spline" if alone else "cubic spline, at rest at its end"
    note = f"{time.size} samples, {kind}"
    if spec.smoothing is not None:
        knots = _knots(spec, time)
        values = smoothed(time, place, knots, ends)
        slopes = spline_slopes(knots, values, ends)
        residue = place - spline_values(knots, values, slopes, time)
        note += "; " + _residue_words(spec, residue, unit)
    else:
        knots, values = time, place
        slopes = spline_slopes(knots, values, ends)
    pieces = spline_pieces(knots, values, slopes)
    peaks = [max(max(abs(e) for e in extremes(p, order)) for p in pieces) for order in (1, 2)]
    return Move(
        pieces, float(time[-1]), float(place[-1] - place[0]), float(slopes[-1]), "",
        peaks[0], peaks[1], note, _warnings(spec, samples, peaks[1], unit),
    )  # fmt: skip


def _check_ends(samples: Samples, ends: Ends, *, alone: bool, linear: bool) -> None:
    """Refuse samples that move where the spline is held at the speed of its neighbours."""
    time, place = samples.time, samples.value
    top = float(np.abs(np.diff(place) / np.diff(time)).max())
    found = (_end_slope(time[:3], place[:3]), _end_slope(time[:-4:-1], place[:-4:-1]))
    if alone:
        return
    for where, slope, wanted in zip(
        ("start", "end"), found, (ends.first or 0.0, ends.last or 0.0), strict=True
    ):
        if abs(slope - wanted) > OFF * max(top, abs(wanted)):
            speeds = [said(v, "speed", linear=linear) for v in (slope, wanted)]
            raise MotionFault(
                f"the samples {where} at about {speeds[0]}, but the phase beside them has "
                f"{speeds[1]} there.",
                "Let the table start at the speed before it and end at rest, give speeds instead "
                "of places, or let one table be the whole cycle.",
                field="points",
            )


def _end_slope(time: Array, place: Array) -> float:
    """Slope at the first of three samples of the parabola through them."""
    (a, b), (u, v) = np.diff(time), np.diff(place)
    return float(u / a * (2 * a + b) / (a + b) - v / b * a / (a + b))


def _knots(spec: PhaseSpec, time: Array) -> Array:
    """Equal distances near to the smoothing, each with two samples at least."""
    smoothing, whole = spec.smoothing or 0.0, float(time[-1])
    widest = float(np.diff(time).max())
    if smoothing < 2 * widest:
        raise MotionFault(
            f"smoothing {bare(smoothing)} s is less than twice the distance of the samples, "
            f"{bare(widest)} s; nothing would be smoothed.",
            f"State {bare(4 * widest, 3)} s or more, or leave it out.",
            field="smoothing",
        )
    count = round(whole / smoothing)
    if not 3 <= count <= MOST_PARTS:
        raise MotionFault(
            f"smoothing {bare(smoothing)} s leaves {count} parts of the {bare(whole)} s of the "
            f"table; 3 to {MOST_PARTS} are computed.",
            f"State {bare(whole / MOST_PARTS, 3)} s to {bare(whole / 3, 3)} s.",
            field="smoothing",
        )
    return np.linspace(0.0, whole, count + 1)


def _smooth_speeds(time: Array, speed: Array, knots: Array) -> tuple[Array, Array, Array]:
    """Speeds at knots, linear between them, nearest in least squares; both ends are kept."""
    basis = np.stack([np.interp(time, knots, unit) for unit in np.eye(knots.size)], axis=1)
    fixed = basis[:, 0] * speed[0] + basis[:, -1] * speed[-1]
    inner, *_ = np.linalg.lstsq(basis[:, 1:-1], speed - fixed, rcond=None)
    values = np.concatenate([speed[:1], inner, speed[-1:]])
    return knots, values, speed - basis @ values


def _residue_words(spec: PhaseSpec, residue: Array, unit: str) -> str:
    """``smoothed over 20 ms: the samples lie 12 um rms, 40 um at most beside it``"""
    rms, most = float(np.sqrt(np.mean(residue**2))), float(np.abs(residue).max())
    return (
        f"smoothed over {quantity(spec.smoothing or 0.0, 's')}: the samples lie "
        f"{quantity(rms, unit)} rms, {quantity(most, unit)} at most beside it"
    )


def _warnings(spec: PhaseSpec, samples: Samples, peak: float, unit: str) -> str:
    """Noise in second derivatives, and tables too coarse to know what lies between."""
    found = []
    count = samples.time.size
    if count < USUAL:
        found.append(
            f"the {count} samples tell little of what lies between them; {USUAL} are usual"
        )
    size = scatter(samples.time, samples.value) if spec.smoothing is None else 0.0
    swing = 2 * acceleration_scatter(samples.time, size)
    if swing > SEEN * peak:
        apart = float(np.median(np.diff(samples.time)))
        found.append(
            f"the places scatter by about {quantity(size, unit)}, which makes second derivatives "
            f"noisy: ±{quantity(swing, f'{unit}/s^2')} of the top acceleration of "
            f'{quantity(peak, f"{unit}/s^2")}; smoothing = "{bare(10 * apart, 2)} s" would take '
            "most of it out"
        )
    return "; ".join(found)


def _jump(first: float, before: float, *, linear: bool) -> MotionFault:
    speeds = [said(v, "speed", linear=linear) for v in (first, before)]
    return MotionFault(
        f"the samples start at {speeds[0]}, but the phase before them ends at {speeds[1]}.",
        "Let the table start at the speed before it.",
        field="points",
    )
