"""A phase as stated: what the file may say of it, in SI, before missing data are completed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Do = Literal["move", "dwell", "run", "table", "follow"]
Fit = Literal["scale", "lower-speed", "shares"]

LAWS: tuple[str, ...] = (
    "trapezoid",
    "triangle",
    "s-curve",
    "cubic",
    "quintic",
    "septic",
    "cycloid",
    "modified-sine",
    "modified-trapezoid",
    "simple-sine",
    "gutman",
)
FITS: tuple[Fit, ...] = ("scale", "lower-speed", "shares")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseSpec:
    """One phase as stated. None means: left out. Lengths are m or rad, by the axis."""

    name: str = ""
    """Empty: the number from 1 is used."""
    do: Do
    by: float | None = None
    """Signed distance [m or rad]"""
    to: float | None = None
    """Place counted from the start of the cycle [m or rad]"""
    time: float | None = None
    """[s] whole move or dwell; of a run the constant part"""
    speed: float | None = None
    """[m/s or rad/s] peak of a move (magnitude); of a run signed"""
    accel: float | None = None
    """[m/s^2 or rad/s^2] magnitude"""
    decel: float | None = None
    """[m/s^2 or rad/s^2] magnitude; left out: ``accel``"""
    jerk: float | None = None
    """[m/s^3 or rad/s^3] magnitude"""
    law: str | None = None
    """One of :data:`LAWS`; left out: ``trapezoid``"""
    accel_time: float | None = None
    """[s]"""
    decel_time: float | None = None
    """[s]"""
    accel_share: float | None = None
    """Ramp length as share of the time of the move [1]"""
    decel_share: float | None = None
    """[1]"""
    jerk_share: float | None = None
    """Jerk time over ramp time [1]; 0.5 leaves no constant acceleration"""
    fit: Fit | None = None
    """How a move is stretched to ``time``; given: speed, accel and jerk are limits"""
    end_speed: float | None = None
    """[m/s or rad/s] signed, at the end of a move; left out: 0"""
    ramp: float | None = None
    """[s] of a run: time from the speed before it to ``speed``"""
    turns: float | None = None
    """Constant part of a run in turns of the period [1]"""
    carry: tuple[str, ...] | None = None
    """Payloads on board; left out: none"""
    force: float | None = None
    """Constant process force or torque [N or N*m]; left out: 0"""
    hold: str | None = None
    """Policy at standstill; left out: ``ideal``"""
    samples: tuple[tuple[float, float], ...] | None = None
    """Of a table: time [s] or place of the leader, and place or speed of the axis"""
    gives: str | None = None
    """``position`` or ``speed``; left out: position"""
    over: str | None = None
    """``time`` or ``leader``; left out: time"""
    leader_speed: float | None = None
    """[m/s or rad/s] of the leader"""
    smoothing: float | None = None
    """[s] distance of the knots of a smoothing spline"""
    tool: str | None = None
    """Of a follow: ``rotary-knife``, ``flying-cut`` or ``registration``"""
    line_speed: float | None = None
    """[m/s]"""
    length: float | None = None
    """[m] from cut to cut"""
    sync: float | None = None
    """In all: [rad] of a knife, [m] along the line of a flying cut"""
    diameter: float | None = None
    """[m] circle of the knife's edge, or of the wheel that carries the goods"""
    blades: int | None = None
    """Left out: 1"""
    correction: float | None = None
    """[m] signed"""
    window: float | None = None
    """[s] in which a correction is made; left out: the whole phase"""
