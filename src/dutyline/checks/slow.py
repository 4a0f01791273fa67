"""Check of the drive at standstill and slow creep, where one phase carries the crest."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.lacking import CURRENT, RATED
from dutyline.checks.records import Outcome, no_line
from dutyline.checks.sides import DriveSide
from dutyline.checks.trial import Trial
from dutyline.demand.motor import end_torques

Array = NDArray[np.float64]

SLOW = 3.0
"""[Hz] electrical frequency below which one leg of the drive may carry the crest for long."""
LASTING = 1.0
"""[s] from which that counts: the power stage warms within about a second (common practice)."""
CREST = 1 / np.sqrt(2)
"""Share of the rated current whose crest heats one leg as the rated current heats all."""
NEGLIGIBLE = 0.05
"""Share of that limit below which there is no line."""


def low_frequency(trial: Trial) -> Outcome:
    """Rms current of the worst slow stretch of the cycle against the crest's share of the rating.

    A stretch runs over the end of the cycle; what is next to nothing has no line.
    """
    side = trial.drive_side
    if trial.screening:
        return no_line(trial.size)
    out = trial.out
    poles = trial.motor("pole_pairs")
    ratio = trial.at_drive(side.shafts.ratio)
    frequency = out.moments.top_speed * (ratio * poles / (2 * np.pi))[:, None]
    slow = frequency < SLOW
    square = trial.at_drive(_largest_current(side) ** 2)
    lasting = np.broadcast_to(out.duration, slow.shape)
    length, heat = _sums(slow, np.stack([lasting, square * out.duration]))
    with np.errstate(divide="ignore", invalid="ignore"):
        rms = np.where(slow & (length >= LASTING), np.sqrt(heat / length), 0.0)
    piece = np.where(np.isnan(rms), np.inf, rms).argmax(axis=1)
    worst = rms[np.arange(trial.size), piece]
    limit = CREST * trial.at_drive(side.current_rated)
    return Outcome(
        demand=np.where(np.isnan(poles), np.nan, worst),
        limit=limit,
        applies=~(worst <= NEGLIGIBLE * limit),
        needs=("motor.pole_pairs", *RATED, *CURRENT),
        at=out.start[piece],
    )


def _largest_current(side: DriveSide) -> Array:
    """(c, K) current at the worse end of each piece [A rms]."""
    out = side.motor_side.out
    pieces = out.start.size
    torque = np.abs(end_torques(out, side.shafts))[:, : 2 * pieces]
    return side.windings.current(torque.reshape(-1, pieces, 2).max(axis=2))


def _sums(on: NDArray[np.bool_], value: Array) -> Array:
    """(..., c, K) sum over the stretch of marked pieces around each piece; over the end too."""
    count = on.shape[1]
    ahead, back = np.zeros(value.shape), np.zeros(value.shape)
    some = set(np.nonzero(on.any(axis=0))[0].tolist())
    nothing = np.zeros(value.shape[:-1])
    for order, kept in ((range(count), ahead), (range(count - 1, -1, -1), back)):
        run = nothing
        for k in [*order] * 2:
            if k not in some:
                run = nothing
                continue
            run = np.where(on[:, k], run + value[..., k], 0.0)
            kept[..., k] = run
    whole = np.all(on, axis=1).reshape(-1, 1)
    found: Array = np.where(whole, value.sum(axis=-1)[..., None], ahead + back - value)
    return np.where(on, found, 0.0)
