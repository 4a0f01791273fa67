"""Cuts the cycle so that nothing has a kink inside a piece.

Cut at: standstill and extremes of speed, thresholds of process forces, and the places where the
effort through a contact, or the torque at the output shaft, changes its sign.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from dutyline.core import series
from dutyline.core.deadline import in_time
from dutyline.demand.bends import LIMIT, bent_pieces, refined, require_few
from dutyline.demand.instants import SEARCH_POINTS, directions, gauss_state, instants
from dutyline.demand.loading import thresholds
from dutyline.motion.pieces import Cycle, Piece, Wave
from dutyline.train.records import Train
from dutyline.train.recursion import ShaftState, stated_sense

Array = NDArray[np.float64]

LEANING = {"worst": 1.0, "credit": -1.0}
"""Hold policies in which friction acts with (+) or against (-) the effort."""
ARC = 1.0
"""[rad] largest turn of a sine, or of a weight about its axis, inside one piece."""
ROUNDING = 1e-14
"""Positions are known to this share of themselves; derivatives of less are noise."""


def smooth_pieces(cycle: Cycle, train: Train) -> list[Piece]:
    """The pieces of a cycle cut at every kink, in order of time."""
    turning = any(
        b.gravity_cos or b.gravity_sin
        for b in [train.chain.load.base, *train.chain.load.payloads.values()]
    )
    pieces: list[Piece] = []
    for piece in cycle.pieces:
        in_time()
        pieces += _geometric(piece, train, cycle, turning or train.input_stated)
        require_few(pieces, cycle)
    if train.curved:
        pieces = bent_pieces(pieces, train, cycle)
    state, known = gauss_state(pieces, train, cycle), len(pieces)
    contacts = state.contacts.shape[0]
    for contact in range(contacts + 1):
        if train.curved:
            pieces = refined(pieces, train, cycle, partial(_effort, contact))
        if len(pieces) != known:
            state, known = gauss_state(pieces, train, cycle), len(pieces)
        pieces = _cut_at_sign_change(pieces, cycle, contact, state)
    if any(_leaning(piece, cycle) for piece in pieces):
        for contact in range(contacts + 1):
            leant = gauss_state(pieces, train, cycle, hold_directions(pieces, train, cycle))
            pieces = _cut_at_sign_change(pieces, cycle, contact, leant, held=True)
    return pieces


def hold_directions(pieces: list[Piece], train: Train, cycle: Cycle) -> Array:
    """Direction of the load on each piece; at rest the way friction is taken to act.

    The policy ``worst`` takes it against the load, as if it were about to be lifted, ``credit``
    the other way. Pieces are cut where the effort at the shaft changes its sign.
    """
    facing = directions(pieces)
    if not any(_leaning(piece, cycle) for piece in pieces):
        return facing
    state, _ = instants(pieces, train, cycle, np.array([0.0]))
    way = np.sign(state.effort.total) * stated_sense(train)
    sense = [LEANING.get(cycle.phases[p.phase].hold, 0.0) if p.at_rest else 0.0 for p in pieces]
    return np.where([p.at_rest for p in pieces], np.array(sense) * way, facing)


def _leaning(piece: Piece, cycle: Cycle) -> bool:
    return piece.at_rest and cycle.phases[piece.phase].hold in LEANING


def _geometric(piece: Piece, train: Train, cycle: Cycle, turning: bool) -> list[Piece]:
    times, travels = thresholds(train, cycle, piece)
    parts = list(piece.split([t - piece.start for t in times])) if times else [piece]
    parts = [q for p in parts for q in _by_arcs(p, turning)]
    if piece.at_rest or len(parts) > LIMIT:
        return parts
    for order in (1, 2):
        cuts = [_zeros(p, order) for p in parts]
        parts = [q for p, at in zip(parts, cuts, strict=True) for q in (p.split(at) if at else [p])]
    travels = _stated_places(piece, train, travels)
    return [_settled(q) for p in parts for q in p.split(_passed(p, travels))]


def _stated_places(piece: Piece, train: Train, travels: list[float]) -> list[float]:
    """Places of the stated motion where something has a kink: forces, and joints of a ratio."""
    stage = train.chain.stages[0] if train.chain.stages else None
    if stage is None or stage.ratio.constant is not None:
        return travels
    low, high = extremes_between(piece)
    if train.input_stated:
        return list(stage.ratio.kinks(low, high))
    inner = sorted(float(q) for q in stage.ratio.input_of(np.array([low, high])))
    joints = np.array(stage.ratio.kinks(inner[0], inner[1]), dtype=float)
    return [*travels, *(float(x) for x in stage.ratio.output_of(joints))]


def extremes_between(piece: Piece) -> tuple[float, float]:
    """Lowest and highest place of a piece on a grid, for pieces that may turn back."""
    places = piece.position(np.linspace(0.0, piece.duration, 65))
    return float(places.min()), float(places.max())


def _passed(piece: Piece, travels: Sequence[float]) -> list[float]:
    """Local times at which a piece that does not turn back passes places of the travel."""
    if not travels:
        return []
    low, high = sorted(float(x) for x in piece.position(np.array([0.0, piece.duration])))
    inside = [travel for travel in travels if low < travel < high]
    return sorted(t for travel in inside for t in _zeros(piece, 0, travel))


def _settled(piece: Piece) -> Piece:
    """Coefficients that are rounding noise set to zero, so that a run is exactly a run."""
    if piece.waves or len(piece.poly) < 3:
        return piece
    reach = [abs(c) * piece.duration**k for k, c in enumerate(piece.poly)]
    scale = max(reach[1:], default=0.0)
    poly = tuple(
        c if k < 2 or r > 1e-13 * scale else 0.0
        for k, (c, r) in enumerate(zip(piece.poly, reach, strict=True))
    )
    return replace(piece, poly=poly)


def _by_arcs(piece: Piece, turning: bool) -> tuple[Piece, ...]:
    turn = max((abs(w.rate) * piece.duration for w in piece.waves), default=0.0)
    if turning and not piece.at_rest:
        ends = piece.position(np.linspace(0, piece.duration, 9))
        turn = max(turn, float(np.abs(np.diff(ends)).sum()))
    count = int(np.ceil(turn / ARC - 1e-9))
    if count <= 1:
        return (piece,)
    if count > LIMIT:
        count = LIMIT + 1
    return piece.split(np.linspace(0, piece.duration, count + 1)[1:-1])


def _zeros(piece: Piece, order: int, level: float = 0.0) -> tuple[float, ...]:
    """Local times at which a derivative of the position crosses a level."""
    if order > 0 and level == 0 and _one_sign(piece, order):
        return ()
    return _crossings(piece.duration, piece.poly, piece.waves, order, level)


def _one_sign(piece: Piece, order: int) -> bool:
    """True where a derivative keeps its sign, since all its coefficients from the start on do."""
    if piece.waves or len(piece.poly) > SEARCH_POINTS:
        return False
    rising = [c > 0 for c in piece.poly[order:] if c != 0]
    return all(rising) or not any(rising)


@lru_cache(maxsize=4096)
def _crossings(
    duration: float, poly: tuple[float, ...], waves: tuple[Wave, ...], order: int, level: float
) -> tuple[float, ...]:
    piece = Piece(0.0, duration, poly, waves)
    z, _ = series.gauss(SEARCH_POINTS)
    tau = (z + 1) / 2 * duration
    value = piece.derivative(order, tau) - level
    noise = ROUNDING * float(np.abs(piece.position(tau)).max()) / duration**order
    _, place = series.roots(series.coefficients(value[None, :]), noise)
    return tuple(((place + 1) / 2 * duration).tolist())


def _effort(contact: int, state: ShaftState) -> Array:
    """Effort through a contact; behind the last one the torque at the output shaft."""
    last = contact == state.contacts.shape[0]
    return state.effort.total if last else state.contacts[contact]


def _cut_at_sign_change(
    pieces: list[Piece], cycle: Cycle, contact: int, state: ShaftState, *, held: bool = False
) -> list[Piece]:
    """Cut where the effort through a contact changes its sign; the last one is the shaft.

    ``state`` is that of the pieces at their Gauss points. Pieces at rest are cut where the effort
    without friction does so at the shaft, and with ``held``, alone, where friction as the policy
    takes it changes the sign at any contact.
    """
    last = contact == state.contacts.shape[0]
    effort = _effort(contact, state).reshape(len(pieces), -1)
    scale = float(np.abs(effort).max(initial=0.0))
    coefficient = series.coefficients(effort)
    row, place = series.roots(coefficient)
    large = np.abs(coefficient).max(axis=1) > 1e-12 * scale
    changing = set(row[large[row]].tolist())
    result: list[Piece] = []
    for k, piece in enumerate(pieces):
        leans = k in changing and _leaning(piece, cycle)
        if k in changing and (leans if held else not piece.at_rest or (last and leans)):
            result += piece.split((place[row == k] + 1) / 2 * piece.duration)
        else:
            result.append(piece)
    return result
