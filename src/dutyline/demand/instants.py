"""The state of the shaft at places inside smooth pieces of the cycle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.core.deadline import in_time
from dutyline.demand.loading import burden_of, process_effort
from dutyline.motion.pieces import Cycle, Piece
from dutyline.motion.rows import rows_of
from dutyline.train.records import Train
from dutyline.train.recursion import Motion, ShaftState, inverse, load_motion

Array = NDArray[np.float64]

SEARCH_POINTS = 16
"""Gauss points of a piece on which zeros are searched."""


def directions(pieces: list[Piece]) -> Array:
    """Sign of speed inside each piece, 0 where it stands."""
    return rows_of(tuple(pieces)).heading


def instants(
    pieces: list[Piece], train: Train, cycle: Cycle, z: Array, direction: Array | None = None
) -> tuple[ShaftState, Array]:
    """Shaft state and load process effort at local places ``z`` (on -1..1) of every piece, flat.

    ``direction`` is the way friction acts on each piece, that of the stated motion where left out.
    Process forces follow the motion alone: at rest one that depends on its direction is zero.
    """
    in_time()
    rows, count = rows_of(tuple(pieces)), z.size
    tau = rows.local(z)
    time = (rows.start[:, None] + tau).ravel()
    phases, moving = rows.phase.repeat(count), rows.heading.repeat(count)
    facing = moving if direction is None else direction.repeat(count)
    position, speed, acceleration = rows.motion(tau).reshape(3, -1)
    place = rows.centre.repeat(count)
    stated = Motion(position, speed, acceleration, facing)
    motion, driven = load_motion(train, stated, place)
    going = motion
    if direction is not None:
        going, _ = load_motion(train, Motion(position, speed, acceleration, moving), place)
    middle = (rows.start + rows.half).repeat(count)
    process = process_effort(train, cycle, phases, time, going, middle)
    return inverse(train, burden_of(train, cycle, phases), motion, process, driven), process


def gauss_state(
    pieces: list[Piece], train: Train, cycle: Cycle, direction: Array | None = None
) -> ShaftState:
    """Shaft state at the Gauss points on which zeros are searched."""
    z, _ = series.gauss(SEARCH_POINTS)
    return instants(pieces, train, cycle, z, direction)[0]
