"""Hand-made ledgers for the tests of text and JSON: plausible numbers, none calculated."""

from __future__ import annotations

import math

from dutyline.axis.model import Axis
from dutyline.checks.records import Combination, Line, Remedy, Verdict
from dutyline.motion.pieces import Cycle, Phase, Piece
from dutyline.train.records import Burden, Chain, Load, Train

RPM = 2 * math.pi / 60


def axis(**changes) -> Axis:
    """A lift that moves and rests."""
    pieces = (
        Piece(0.0, 0.3, (0.0, 0.0, 3.0)),
        Piece(0.3, 0.3, (0.27, 1.8, -3.0), phase=0),
        Piece(0.6, 1.4, (0.54,), phase=1),
    )
    phases = (
        Phase("up", "move", 0.0, 0.6, 0.54, law="triangle", top_speed=1.8, top_acceleration=6.0),
        Phase("2", "dwell", 0.6, 1.4, 0.0),
    )
    train = Train(Chain(Load(True, Burden(inertia=12.0, gravity=117.68, mass=12.0)), ()))
    fields = {
        "title": "Tray lift",
        "train": train,
        "cycle": Cycle(pieces, phases, 2.0),
        "linear": True,
        "file": "lift.toml",
        "checksum": "0" * 64,
    }
    return Axis(**{**fields, **changes})


def line(check: str, title: str, group: str = "Motor", part: str = "motor", **changes) -> Line:
    """One line; margin and state follow from demand, limit and required unless given."""
    demand, limit = changes.get("demand"), changes.get("limit")
    required = changes.get("required", 0.0)
    margin = None if demand is None or limit is None else (limit - demand) / limit
    if margin is None:
        state = "not-checked" if changes.get("missing") else "meets"
    else:
        state = "fails" if margin < 0 else "short" if margin < required else "meets"
    fields = {
        "unit": "N*m",
        "demand": demand,
        "limit": limit,
        "margin": margin,
        "required": required,
        "severity": "must",
        "state": state,
    }
    return Line(check=check, part=part, title=title, group=group, **{**fields, **changes})


def full_ledger() -> tuple[Line, ...]:
    """Every state once or more, also a caution that fails, and meets without numbers."""
    closing = Remedy("phase.unload.hold", "ideal", "brake", "Close the brake while unloading.")
    return (
        line("standstill-torque", "Holding at standstill", demand=0.95, limit=1.033,
             required=0.10, at=0.61, remedies=(closing,)),
        line("inertia-ratio", "Inertia ratio", "Control and accuracy", "axis", demand=10.1,
             limit=10.0, unit="1", severity="caution"),
        line("first-resonance", "First resonance", "Control and accuracy", "axis",
             missing=("belt stiffness",), severity="caution", unit="rad/s"),
        line("settling", "Settling time", "Control and accuracy", "axis",
             missing=("belt stiffness",), unit="s"),
        line("continuous-use", "Continuous use", demand=1.03, limit=1.41, required=0.10),
        line("peak-torque", "Peak torque", demand=2.60, limit=3.89, required=0.10, at=0.15,
             at_speed=286.3, phase="up", formula="|T(t)| <= T_peak(n(t))",
             source="common practice, no source", assumed=("load.friction",)),
        line("top-speed", "Top speed", demand=3281 * RPM, limit=6000 * RPM, required=0.05,
             unit="rad/s", at=0.20),
        line("drive-continuous-current", "Continuous current", "Drive", "drive", demand=2.25,
             limit=3.70, required=0.05, unit="A"),
        line("gear-life", "Bearing life", "Gearhead", "gearhead", demand=32000 * 3600.0,
             limit=math.inf, margin=1.0, unit="s", state="meets"),
        line("supply-match", "Supply class and phases", "Braking energy and mains", "supply",
             unit="1", text="230 V, three-phase"),
    )  # fmt: skip


def failing_ledger() -> tuple[Line, ...]:
    """Two checks fail, one by far."""
    return (
        line("peak-torque", "Peak torque", demand=4.9, limit=3.89, required=0.10, at=0.15),
        line("continuous-use", "Continuous use", demand=3.1, limit=1.41, required=0.10),
        line("top-speed", "Top speed", demand=300.0, limit=628.3, unit="rad/s", at=0.2),
    )


def meeting_ledger() -> tuple[Line, ...]:
    """Everything meets."""
    return tuple(ln for ln in full_ledger() if ln.state == "meets")


def verdict(ledger=None, word: str = "incomplete", **changes) -> Verdict:
    """A verdict over a hand-made ledger."""
    fields = {
        "axis": axis(),
        "line": None,
        "combination": Combination("XM72-0450H", "XG72-6", "XD-H4", "XB72"),
        "verdict": word,
        "binding": "standstill-torque",
        "demand": {"motor": {"peak_torque": 2.6, "inertia_ratio": 10.1, "rms_current": None}},
        "ledger": full_ledger() if ledger is None else ledger,
        "cautions": ("Gravity axis: these numbers do not secure work beneath the load.",),
    }
    return Verdict(**{**fields, **changes})
