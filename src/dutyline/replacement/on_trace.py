"""Equivalents on a measured record of the old motor."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.boundaries import (
    Boundary,
    Place,
    boundary_limit,
    continuous_boundary,
    continuous_gap,
    peak_boundary,
    peak_gap,
)
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import ShapeError
from dutyline.core.numbers import quantity
from dutyline.physics.continuous_duty import loss_use
from dutyline.physics.duty import mean_magnitude, root_mean_square
from dutyline.physics.identification import (
    CONDITION,
    identified,
    torque_lag,
    zero_phase_low_pass,
)
from dutyline.physics.plates import torque_with_rotor
from dutyline.replacement.motor_rows import Beside, new_inertia, old_inertia
from dutyline.replacement.records import (
    Compared,
    Equivalent,
    Fact,
    MeasuredDuty,
    Plate,
    Replacement,
)
from dutyline.replacement.rules import compared
from dutyline.replacement.search import find, rank, state_of, with_offers
from dutyline.replacement.trace_read import Trace

Array = NDArray[np.float64]

OF_MOTION = 10.0
"""[1] filter over the frequency of the motion (common practice)."""
OF_RATE = 0.2
"""[1] filter over the rate of sampling, at most (common practice)."""
_LOOKED_AT = 20_000
"""Samples from which the shift of torque against speed is found."""
GATE = 0.05
"""[1] of the top speed below which friction is not identified (own choice)."""


def find_on_trace(plate: Plate, line: ProductLine, trace: Trace) -> Replacement:
    """Equivalents that are judged on a measured record; it decides over the plate.

    The torque measured holds what the old rotor needed. For a motor with another rotor it is
    corrected by the difference of the inertias times the filtered acceleration.

    Parameters
    ----------
    plate : Plate
    line : ProductLine
    trace : Trace
    """
    frequency = filter_frequency(plate, trace)
    trace, late = _aligned(trace, frequency)
    plate, notes = _with_load(plate, trace, frequency)
    found = find(plate, line, duty="trace")
    whole = with_offers(line, found.plate)
    smooth = zero_phase_low_pass(trace.speed, trace.step, frequency)
    acceleration = np.gradient(smooth, trace.step)
    on = _Record(trace, acceleration)
    judged = [_judged(one, on, found.plate, whole) for one in found.equivalents]
    told = (
        f"{trace.file}: {trace.speed.size} samples of {quantity(trace.step, 's')}; speed filtered "
        f"at {quantity(frequency, 'Hz')} before it is differentiated.",
        *trace.notes, *late, *notes, _old_duty(trace),
    )  # fmt: skip
    return replace(found, equivalents=tuple(sorted(judged, key=rank)), notes=told)


def filter_frequency(plate: Plate, trace: Trace) -> float:
    """Low pass before differentiation: as stated, else ten times the motion's frequency [Hz].

    At most a fifth of the rate of sampling.
    """
    stated = plate.si("trace.filter")
    most = OF_RATE / trace.step
    if stated is not None:
        return min(stated, most)
    away = trace.speed - trace.speed.mean()
    crossings = int(np.count_nonzero(np.diff(np.signbit(away))))
    motion = crossings / (2.0 * trace.step * trace.speed.size)
    return min(OF_MOTION * motion, most) if motion > 0.0 else most


def _aligned(trace: Trace, frequency: float) -> tuple[Trace, tuple[str, ...]]:
    """The record with its torque shifted to the speed that it belongs to."""
    some = slice(None, _LOOKED_AT)
    lag = torque_lag(trace.speed[some], trace.torque[some], trace.step, frequency)
    if abs(lag) <= 1:
        return trace, ()
    speed, torque = trace.speed, trace.torque
    if lag > 0:
        speed, torque = speed[:-lag], torque[lag:]
    else:
        speed, torque = speed[-lag:], torque[:lag]
    word = "after" if lag > 0 else "before"
    note = (
        f"The torque was recorded {quantity(abs(lag) * trace.step, 's')} {word} the speed that it "
        "belongs to; it was shifted."
    )
    return replace(trace, speed=speed, torque=torque), (note,)


def _with_load(plate: Plate, trace: Trace, frequency: float) -> tuple[Plate, tuple[str, ...]]:
    """The load inertia that the record tells, where the plate file does not state it."""
    rotor = plate.fact("motor.inertia")
    if plate.si("keep.load_inertia") is not None or rotor is None:
        return plate, ()
    gate = GATE * float(np.abs(trace.speed).max())
    try:
        seen = identified(trace.speed, trace.torque, trace.step, frequency, gate)
    except ShapeError:
        return plate, ()
    own = rotor.si + (plate.si("brake.inertia") or 0.0)
    if not seen.condition < CONDITION or seen.inertia <= own:
        note = "The record does not tell inertia and friction apart; the load inertia stays open."
        return plate, (note,)
    load = Fact("keep.load_inertia", "Load inertia", "kg*m^2", seen.inertia - own, "calculated",
                method="identified from the trace, less the old rotor")  # fmt: skip
    note = (
        f"Identified from the record: inertia {quantity(seen.inertia, 'kg*m^2')} with the old "
        f"rotor, friction {quantity(seen.coulomb, 'N*m')}, constant torque "
        f"{quantity(seen.constant, 'N*m')}."
    )
    return replace(plate, facts={**plate.facts, load.path: load}), (note,)


def _old_duty(trace: Trace) -> str:
    rms, peak, mean, top = _figures(trace.speed, trace.torque, trace.step)
    return (
        f"Old motor: rms torque {quantity(rms, 'N*m')}, peak {quantity(peak, 'N*m')}, mean speed "
        f"{quantity(mean, 'rad/s')}, top speed {quantity(top, 'rad/s')}."
    )


def _figures(speed: Array, torque: Array, step: float) -> tuple[float, float, float, float]:
    """Rms and peak of the torque, mean and peak of the speed."""
    duration = np.full(speed.size - 1, step)
    return (
        float(root_mean_square(torque[:-1], duration, torque[1:])),
        float(np.abs(torque).max()),
        float(mean_magnitude(speed[:-1], duration, speed[1:])),
        float(np.abs(speed).max()),
    )


@dataclass(frozen=True, slots=True)
class _Record:
    """The record with its filtered acceleration."""

    trace: Trace
    acceleration: Array


def _judged(one: Equivalent, on: _Record, plate: Plate, line: ProductLine) -> Equivalent:
    index = line.motor_index[one.combination.motor]
    gear = one.combination.gearhead
    b = Beside(plate, line, index, duty="trace")
    if gear is not None and plate.ratio is not None:
        exact = line.gearheads[line.gearhead_index[gear]].ratio_exact
        b = replace(b, scale=exact / plate.ratio)
    duty = duty_of(b, on.trace, on.acceleration)
    rows = (*duty.rows, *one.rows)
    return replace(one, rows=rows, state=state_of(rows), duty=duty)


def duty_of(b: Beside, trace: Trace, acceleration: Array) -> MeasuredDuty:
    """The record carried to the shaft of a new motor, and judged against its boundaries."""
    plain = replace(b, scale=type(b.scale)(1))
    before, after = old_inertia(plain), new_inertia(b)
    scale = float(b.scale)
    speed = trace.speed * scale
    missing: tuple[str, ...] = ()
    if before is None or after is None:
        lacking = "the old motor" if before is None else b.motor.name
        missing = (f"rotor inertia of {lacking}, for the correction of the torque",)
        torque, change = trace.torque / scale, float("nan")
    else:
        torque = torque_with_rotor(trace.torque, acceleration, before.least, after, scale)
        change = after - before.least / scale**2
    rms, peak, mean, top = _figures(speed, torque, trace.step)
    continuous, peaks, gaps = _boundaries(b)
    guessed = before is not None and before.status == "assumed"
    whole = Fact("", "", "1", 1.0, "assumed" if guessed else "given")
    rows = (
        _speed_row(b, peaks, top, gaps),
        _peak_row(b, peaks, speed, torque, whole, (*missing, *gaps)),
        _rms_row(b, continuous, speed, torque, trace.step, whole, (*missing, *gaps)),
    )
    effective = None if continuous is None else _effective(continuous, speed)
    return MeasuredDuty(
        rms, peak, mean, top, effective, change, rows, speed, torque, peaks, continuous
    )


def _boundaries(b: Beside) -> tuple[Boundary | None, Boundary | None, tuple[str, ...]]:
    supply = b.plate.supply
    if supply is None:
        return None, None, ("the supply that stays",)
    at = (b.line, b.index, supply.mains, supply.phases)
    braked = bool(b.plate.braked)
    continuous = continuous_boundary(*at, brake_fitted=braked)
    peak = peak_boundary(*at)
    gaps = []
    if continuous is None:
        gaps.append(f"{b.motor.name}: {continuous_gap(*at, Place(brake_fitted=braked))}")
    if peak is None:
        gaps.append(f"{b.motor.name}: {peak_gap(*at)}")
    return continuous, peak, tuple(dict.fromkeys(gaps))


def _speed_row(b: Beside, peaks: Boundary | None, top: float, gaps: tuple[str, ...]) -> Compared:
    ends = [end for end in (b.motor.speed_max, None if peaks is None else float(peaks.speed[-1]))
            if end is not None]  # fmt: skip
    limit = Fact("", "", "rad/s", min(ends)) if ends and peaks is not None else None
    return compared("duty-speed", limit, top, b.motor.name, missing=() if limit else gaps,
                    stated=False)  # fmt: skip


def _peak_row(
    b: Beside, peaks: Boundary | None, speed: Array, torque: Array, whole: Fact,
    missing: tuple[str, ...],
) -> Compared:  # fmt: skip
    """Assumed as far as the rotor is by which the torque was corrected."""
    if peaks is None or missing:
        return compared("duty-peak", whole, None, b.motor.name, missing=missing)
    limit = boundary_limit(peaks, speed)
    with np.errstate(divide="ignore", invalid="ignore"):
        use = np.where(torque == 0.0, 0.0, np.abs(torque) / limit)
    return compared("duty-peak", whole, float(use.max()), b.motor.name, stated=False)


def _rms_row(
    b: Beside, continuous: Boundary | None, speed: Array, torque: Array, step: float,
    whole: Fact, missing: tuple[str, ...],
) -> Compared:  # fmt: skip
    if continuous is None or missing:
        return compared("duty-rms", whole, None, b.motor.name, missing=missing)
    limit = boundary_limit(continuous, speed)
    use = float(loss_use(torque, limit, np.full(torque.size, step)))
    return compared("duty-rms", whole, use, b.motor.name, stated=False)


def _effective(continuous: Boundary, speed: Array) -> float | None:
    """Speed at which the continuous torque has the mean square of that over the record [rad/s]."""
    wanted = float(np.sqrt(np.mean(boundary_limit(continuous, speed) ** 2)))
    torque, knots = continuous.torque, continuous.speed
    if not torque[-1] <= wanted <= torque[0]:
        return None
    return float(np.interp(-wanted, -torque, knots))
