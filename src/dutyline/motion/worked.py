"""One phase worked out."""

from __future__ import annotations

from dataclasses import dataclass

from dutyline.motion.pieces import Piece


@dataclass(frozen=True, slots=True)
class Move:
    """One phase worked out, from its own time 0 and place 0."""

    pieces: tuple[Piece, ...]
    duration: float
    """[s]"""
    distance: float
    """Signed [m or rad]"""
    end_speed: float = 0.0
    """Signed [m/s or rad/s]"""
    law: str = ""
    top_speed: float = 0.0
    """Magnitude [m/s or rad/s]"""
    top_acceleration: float = 0.0
    """Magnitude [m/s^2 or rad/s^2]"""
    note: str = ""
    """How missing data were completed."""
    warning: str = ""
    """What a reader has to know of the motion."""
