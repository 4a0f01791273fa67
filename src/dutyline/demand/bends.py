"""Cuts for trains in which torque is no polynomial in time: cranks, cams, rolls, fans.

Pieces are halved until a Legendre series through the Gauss points holds every effort and motion to
:data:`CONVERGED`, and cut where the load turns back, passes a place of a force or a speed of a
table.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.core.errors import RangeError
from dutyline.demand.instants import gauss_state
from dutyline.demand.loading import thresholds
from dutyline.motion.pieces import Cycle, Piece
from dutyline.train.records import Train
from dutyline.train.recursion import ShaftState

Array = NDArray[np.float64]
Quantities = Callable[[ShaftState], Array]
"""One quantity over all instants, or several as rows."""

LIMIT = 3_000
"""Most pieces a cycle may be cut into."""
CONVERGED = 1e-10
"""Largest share of the last coefficients of a series in the largest value of the cycle."""
NOTHING = 1e-100
"""Values of less, SI, are nothing of a machine and need not converge."""
TAIL = 3
"""Coefficients looked at: even and odd ones."""
FADED = (0.3, 1.0, 3.0, 10.0, 30.0)
"""Shares of the Stribeck speed at which a piece is cut, so that no narrow range is missed."""
HALVINGS = 40
"""A piece is not halved more often than this."""


def require_few(pieces: list[Piece], cycle: Cycle) -> None:
    """Refuse a cycle that falls into too many pieces.

    Raises
    ------
    RangeError
        There are more than :data:`LIMIT`.
    """
    if len(pieces) > LIMIT:
        raise RangeError(
            f"with phase {cycle.phases[pieces[-1].phase].name} the cycle falls into more than "
            f"{LIMIT} smooth pieces."
        )


def refined(pieces: list[Piece], train: Train, cycle: Cycle, quantities: Quantities) -> list[Piece]:
    """Pieces halved until the series of some quantities have converged on each."""
    open_ = [not piece.at_rest for piece in pieces]
    scale: Array | None = None
    for _ in range(HALVINGS):
        some = [piece for piece, still in zip(pieces, open_, strict=True) if still]
        if not some:
            break
        values = np.atleast_2d(quantities(gauss_state(some, train, cycle)))
        values = values.reshape(values.shape[0], len(some), -1)
        largest = np.abs(values).max(axis=(1, 2), initial=0.0)
        scale = largest if scale is None else np.maximum(scale, largest)
        tail = np.abs(series.coefficients(values)[..., -TAIL:]).max(axis=2)
        rough = iter(np.any(tail > CONVERGED * np.maximum(scale, NOTHING)[:, None], axis=0))
        result: list[Piece] = []
        going: list[bool] = []
        for piece, still in zip(pieces, open_, strict=True):
            parts = piece.split(piece.duration / 2) if still and next(rough) else (piece,)
            result += parts
            going += [len(parts) > 1] * len(parts)
        pieces, open_ = result, going
        require_few(pieces, cycle)
    return pieces


def bent_pieces(pieces: list[Piece], train: Train, cycle: Cycle) -> list[Piece]:
    """Pieces on which load and shaft move smoothly and do not turn back."""
    pieces = refined(pieces, train, cycle, _motion)
    if train.input_stated:
        pieces = _cut(pieces, train, cycle, lambda state: state.load.speed)
        levels = [_places(train, cycle, piece) for piece in pieces]
        for level in sorted({place for some in levels for place in some}):
            wanted = [level in some for some in levels]
            pieces = _cut(pieces, train, cycle, partial(_beyond, level), wanted)
            levels = [_places(train, cycle, piece) for piece in pieces]
    else:
        pieces = _cut(pieces, train, cycle, lambda state: state.motion.acceleration)
    for speed in _speeds(train):
        pieces = _cut(pieces, train, cycle, partial(_faster, speed))
    return pieces


def _speeds(train: Train) -> list[float]:
    """Speeds of the load at which its resistance has a kink, or leaves a narrow range."""
    load = train.chain.load
    kinks = [] if load.resistance is None else list(load.resistance.kinks)
    faded = [] if load.fading is None else [load.fading.speed * share for share in FADED]
    return [*kinks, *faded]


def _beyond(place: float, state: ShaftState) -> Array:
    return state.load.position - place


def _faster(speed: float, state: ShaftState) -> Array:
    return np.abs(state.load.speed) - speed


def _motion(state: ShaftState) -> Array:
    """What has to be smooth before forces are looked at."""
    load, shaft = state.load, state.motion
    return np.stack(
        [
            load.position,
            load.speed,
            load.acceleration,
            shaft.speed,
            shaft.acceleration,
            state.effort.inertia,
            state.effort.static,
        ]
    )


def _places(train: Train, cycle: Cycle, piece: Piece) -> list[float]:
    return thresholds(train, cycle, piece)[1]


def _cut(
    pieces: list[Piece],
    train: Train,
    cycle: Cycle,
    quantity: Quantities,
    wanted: list[bool] | None = None,
) -> list[Piece]:
    """Pieces cut where a quantity changes its sign; only the wanted ones."""
    values = quantity(gauss_state(pieces, train, cycle)).reshape(len(pieces), -1)
    coefficient = series.coefficients(values)
    noise = 1e-13 * float(np.abs(coefficient).max(initial=0.0))
    row, place = series.roots(coefficient, noise)
    result: list[Piece] = []
    for k, piece in enumerate(pieces):
        if piece.at_rest or (wanted is not None and not wanted[k]):
            result.append(piece)
        else:
            result += piece.split((place[row == k] + 1) / 2 * piece.duration)
    return result
