"""Checks of where the load comes to rest: play, friction behind a spring, the whole budget."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.equipment import Accuracy
from dutyline.checks.loops import encoder_at_load
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.rigidity import (
    friction,
    one_flank,
    reach_of,
    rubbing,
    springs,
    stiffness_at_rest,
    whole_play,
    whole_stiffness,
)
from dutyline.checks.tolerance import tolerance, wanted
from dutyline.checks.trial import Trial
from dutyline.core.numbers import quantity
from dutyline.physics.accuracy import (
    encoder_width,
    friction_width,
    thermal_growth,
    total_width,
)
from dutyline.train.parameters import ScrewParams

Array = NDArray[np.float64]


def _unit(trial: Trial) -> str:
    return "m" if trial.axis.linear else "rad"


def _both(trial: Trial) -> bool:
    return trial.axis.require.approach == "both"


def _twist(trial: Trial) -> Array:
    """Twist of the gearhead under the friction of the load, both ways, at the load."""
    geared = trial.choice.gearhead >= 0
    reach = reach_of(trial)
    rubs = rubbing(trial)
    under = 2 * rubs * reach**2 / trial.gearhead("stiffness")
    return np.where(geared & (rubs != 0), under, 0.0)


def _play(trial: Trial) -> Array:
    """Play that a reversal at rest passes through; none where a weight keeps one flank loaded."""
    play = whole_play(trial)
    return np.where(np.isnan(play), np.nan, 0.0) if one_flank(trial) else play


def lost_motion(trial: Trial) -> Outcome:
    """Play, and twist of the gearhead under friction, at a reversal against the tolerance."""
    position = trial.axis.require.position
    if position is None or encoder_at_load(trial):
        return no_line(trial.size)
    held = one_flank(trial)
    some = (trial.choice.gearhead >= 0) | (springs(trial).play > 0)
    return Outcome(
        demand=_play(trial) + _twist(trial),
        limit=np.full(trial.size, position),
        applies=some,
        needs=("gearhead.backlash", "gearhead.stiffness"),
        severity="must" if _both(trial) else "note",
        unit=np.full(trial.size, _unit(trial)),
        text=(lambda _: "the weight keeps one flank loaded: no play") if held else None,
    )


def gearhead(trial: Trial) -> Outcome:
    """Backlash of the gearhead against what the file allows it."""
    stated = any(i.path == "require.backlash" and i.line is not None for i in trial.axis.inputs)
    allowed = trial.axis.require.backlash
    if not stated or allowed is None:
        return no_line(trial.size)
    return Outcome(
        demand=trial.gearhead("backlash"),
        limit=np.full(trial.size, allowed),
        applies=trial.choice.gearhead >= 0,
        needs=("gearhead.backlash",),
    )


def windup(trial: Trial) -> Outcome:
    """What friction at the load holds back behind the springs, against the tolerance."""
    position = trial.axis.require.position
    rubs = friction(trial)
    if not wanted(trial.axis) or rubs == 0 or (position is None and trial.screening):
        return no_line(trial.size)
    must = position is not None and not encoder_at_load(trial)
    if trial.screening and not must:
        return no_line(trial.size)
    ways = 2.0 if _both(trial) else 1.0
    with np.errstate(invalid="ignore"):
        held = ways * rubs / whole_stiffness(trial)
    return Outcome(
        demand=held,
        limit=np.full(trial.size, tolerance(trial.axis)),
        needs=("gearhead.stiffness",),
        missing=(stiffness_at_rest(trial),),
        severity="must" if must else "note",
        unit=np.full(trial.size, _unit(trial)),
    )


def _motor_widths(trial: Trial, own: Accuracy) -> Iterator[tuple[Array | float | None, str]]:
    """Width at the load of each contribution with the encoder at the motor; None: not stated."""
    ratio = trial.at_motor(trial.motor_side.shafts.ratio)
    per_turn = 2 * np.pi * reach_of(trial) / ratio
    error = own.encoder_error
    yield None if error is None else encoder_width(error, per_turn), "error of the encoder"
    screw = isinstance(trial.axis.mechanism, ScrewParams)
    yield own.lead_error if own.lead_error is not None or screw else 0.0, "lead error of the screw"
    if _both(trial):
        yield _play(trial), "backlash of the gearhead"
        rubs = friction(trial)
        wide = friction_width(rubs, whole_stiffness(trial)) if rubs else 0.0
        yield wide, stiffness_at_rest(trial)
        yield own.hysteresis or 0.0, "hysteresis"


def _widths(trial: Trial, own: Accuracy) -> Iterator[tuple[Array | float | None, str]]:
    if own.encoder_at == "load":
        error = own.encoder_error
        yield None if error is None else 2 * error, "error of the encoder at the load"
    else:
        yield from _motor_widths(trial, own)
    yield growth(trial), "temperature change, and the length that grows"
    tilt = own.abbe_angle is not None or own.abbe_offset is not None
    both = own.abbe_angle is not None and own.abbe_offset is not None
    offset = abs((own.abbe_angle or 0.0) * (own.abbe_offset or 0.0))
    yield (offset if both else None) if tilt else 0.0, "angle and offset of the guide"


def growth(trial: Trial) -> float | None:
    """Thermal growth over the length [m]; None where a datum is missing; none of an angle."""
    own = trial.axis.equipment.accuracy
    if not trial.axis.linear or own is None:
        return 0.0
    travel = None if trial.axis.mechanism is None else trial.axis.mechanism.travel
    length = own.length or travel
    if own.temperature_change is None or length is None:
        return None
    return float(thermal_growth(length, abs(own.temperature_change), own.expansion))


def budget(trial: Trial) -> Outcome:
    """Half of the width of all contributions together, at worst, against the tolerance."""
    own, position = trial.axis.equipment.accuracy, trial.axis.require.position
    if own is None:
        return no_line(trial.size)
    found = list(_widths(trial, own))
    columns = [
        np.broadcast_to(np.nan if width is None else np.asarray(width, float), (trial.size,))
        for width, _ in found
    ]
    lacking = [
        name for column, (_, name) in zip(columns, found, strict=True) if np.isnan(column).any()
    ]
    worst, root = total_width(np.stack(columns, axis=1), own.scatter or (0.0,))

    def text(k: int) -> str:
        return f"±{quantity(float(root[k]) / 2, _unit(trial))} as root of the sum of squares"

    return Outcome(
        demand=worst / 2,
        limit=np.full(trial.size, tolerance(trial.axis)),
        missing=(", ".join(lacking) or "data of the budget",),
        severity="note" if position is None else "must",
        unit=np.full(trial.size, _unit(trial)),
        text=text,
    )


def figures(trial: Trial) -> dict[str, Array]:
    """Play, wind-up under friction, lost motion and thermal growth at the load; SI."""
    grown = growth(trial)
    with np.errstate(invalid="ignore"):
        wound = friction(trial) / whole_stiffness(trial)
    return {
        "backlash": whole_play(trial),
        "windup": wound,
        "lost_motion": _play(trial) + 2 * wound,
        "thermal_growth": np.full(trial.size, np.nan if grown is None else grown),
    }
