"""Published coefficients of motion laws and a published jerk-limited move."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from tests.published.reading import numbers

from dutyline.motion.laws import law_pieces, ramped_coefficients
from dutyline.motion.pieces import Piece
from dutyline.motion.ramps import Limits, fastest

Given = dict[str, Any]
Found = dict[str, float]


def measured(pieces: tuple[Piece, ...]) -> Found:
    """Largest derivatives over a unit stroke and time, and rms acceleration, by sampling."""
    top, square = np.zeros(4), 0.0
    nodes, weights = np.polynomial.legendre.leggauss(40)
    for piece in pieces:
        tau = np.linspace(0.0, piece.duration, 20001)
        top = np.maximum(top, [np.abs(piece.derivative(k, tau)).max() for k in range(4)])
        inner = piece.acceleration(piece.duration * (nodes + 1) / 2)
        square += float(weights @ inner**2) * piece.duration / 2
    return {"Cv": float(top[1]), "Ca": float(top[2]), "Cj": float(top[3]), "Crms": square**0.5}


def law(name: str) -> Callable[[Given], Found]:
    def found(given: Given) -> Found:
        return measured(law_pieces(name, 1.0, 1.0))

    return found


def cubic_and_bang(given: Given) -> Found:
    cubic = measured(law_pieces("cubic", 1.0, 1.0))
    half = ramped_coefficients(0.5, 0.5)
    return {
        "Cv_cubic": cubic["Cv"],
        "Ca_cubic": cubic["Ca"],
        "Crms_cubic": cubic["Crms"],
        "Cv_bang": half.speed,
        "Ca_bang": half.acceleration,
        "Crms_bang": half.rms,
    }


def thirds(given: Given) -> Found:
    shares = np.linspace(0.30, 0.37, 70001)
    best = float(shares[np.argmin([ramped_coefficients(p, p).rms for p in shares])])
    third = ramped_coefficients(best, best)
    parabola = measured(law_pieces("cubic", 1.0, 1.0))["Crms"]
    return {
        "ramp_fraction": best,
        "Cv": third.speed,
        "Ca": third.acceleration,
        "Crms": third.rms,
        "loss_ratio_vs_parabola": (third.rms / parabola) ** 2,
    }


def double_s(given: Given) -> Found:
    keys = ("distance", "v0", "v1", "v_max", "a_max", "j_max")
    distance, before, after, speed, accel, jerk = (numbers(given[k])[0] for k in keys)
    move = fastest(distance, Limits(accel, accel, jerk), speed, before, after)
    assert move is not None
    return {
        "Ta_s": move.first.duration,
        "Tv_s": move.cruise,
        "Td_s": move.last.duration,
        "Tj_s": move.first.duration * move.first.jerk_share,
        "T_total_s": move.duration,
    }


ADAPTERS = {
    "MOT-01": law("cycloid"),
    "MOT-02": law("quintic"),
    "MOT-03": law("septic"),
    "MOT-04": law("modified-sine"),
    "MOT-07": cubic_and_bang,
    "MOT-08": thirds,
    "MOT-09": double_s,
}
