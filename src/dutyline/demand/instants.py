"""The state of the shaft at places inside smooth pieces of the cycle."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.demand.loading import burden_of, process_effort
from dutyline.motion.pieces import Cycle, Piece, derivatives
from dutyline.train.records import Train
from dutyline.train.recursion import Motion, ShaftState, inverse, load_motion

Array = NDArray[np.float64]

SEARCH_POINTS = 16
"""Gauss points of a piece on which zeros are searched."""


def directions(pieces: list[Piece]) -> Array:
    """Sign of speed inside each piece, 0 where it stands."""
    duration = np.array([piece.duration for piece in pieces])
    probe = derivatives(pieces, 1, np.array([0.5, 0.25, 0.75]) * duration[:, None])
    largest = np.abs(probe).argmax(axis=1)
    moving = np.array([not piece.at_rest for piece in pieces], dtype=bool)
    return np.where(moving, np.sign(probe[np.arange(len(pieces)), largest]), 0.0)


def instants(
    pieces: list[Piece], train: Train, cycle: Cycle, z: Array, direction: Array | None = None
) -> tuple[ShaftState, Array]:
    """Shaft state and load process effort at local places ``z`` (on -1..1) of every piece, flat.

    ``direction`` is the way friction acts on each piece, that of the stated motion where left out.
    Process forces follow the motion alone: at rest one that depends on its direction is zero.
    """
    start = np.array([p.start for p in pieces])
    half = np.array([p.duration for p in pieces]) / 2
    phase = np.array([p.phase for p in pieces], dtype=np.intp)
    moving = directions(pieces)
    facing = moving if direction is None else direction
    tau = (z[None, :] + 1) * half[:, None]
    load = [derivatives(pieces, order, tau) for order in range(3)]
    count = z.size
    phases = np.repeat(phase, count)
    facing, moving = np.repeat(facing, count), np.repeat(moving, count)
    time = (start[:, None] + tau).ravel()
    stated = Motion(load[0].ravel(), load[1].ravel(), load[2].ravel(), facing)
    centre = derivatives(pieces, 0, half[:, None])[:, 0]
    place = np.repeat(centre, count)
    motion, driven = load_motion(train, stated, place)
    going, _ = load_motion(train, replace(stated, direction=moving), place)
    middle = np.repeat(start + half, count)
    process = process_effort(train, cycle, phases, time, going, middle)
    return inverse(train, burden_of(train, cycle, phases), motion, process, driven), process


def gauss_state(
    pieces: list[Piece], train: Train, cycle: Cycle, direction: Array | None = None
) -> ShaftState:
    """Shaft state at the Gauss points on which zeros are searched."""
    z, _ = series.gauss(SEARCH_POINTS)
    return instants(pieces, train, cycle, z, direction)[0]
