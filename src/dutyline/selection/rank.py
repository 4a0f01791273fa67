"""The order of a shortlist: a stated objective, nothing hidden."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from dutyline.catalogue.parts import ProductLine
from dutyline.checks.ledger import binding_line
from dutyline.checks.records import Verdict

STATE_RANK = {"meets": 0, "short": 1, "incomplete": 2, "fails": 3}

_FIRST = "What meets every check comes first, then what is short of a reserve, then what lacks data"
ORDERS = {
    "mass": f"{_FIRST}; within each the lightest on the machine, then the least tightest share.",
    "size": f"{_FIRST}; within each the smallest frame of motor and gearhead, then the lightest.",
    "energy": f"{_FIRST}; within each the least mean shaft power, then the least tightest share.",
    "reserve": f"{_FIRST}; within each the largest slack of the tightest check.",
    "cost": f"{_FIRST}; the line states no cost, so the lightest on the machine comes first.",
    "assumptions": f"{_FIRST}; within each the fewest assumed facts, then the lightest.",
}
"""Objective and how it orders, in words."""
ESTIMATED_LAST = " What hangs on no estimate comes before what does."


def moved_mass(verdict: Verdict, line: ProductLine) -> float:
    """Motor with its brake and gearhead [kg]; infinite where a mass is not given."""
    chosen = verdict.combination
    motor = line.motors[line.motor_index[chosen.motor]]
    own = motor.mass_with_brake if chosen.brake and motor.mass_with_brake else motor.mass
    gear = (
        0.0
        if chosen.gearhead is None
        else line.gearheads[line.gearhead_index[chosen.gearhead]].mass
    )
    return float("inf") if own is None or gear is None else own + gear


def tightest_share(verdict: Verdict) -> float:
    """Used share of the binding check."""
    line = binding_line(verdict.ledger)
    return float("inf") if line is None or line.used is None else line.used


def _slack(verdict: Verdict) -> float:
    line = binding_line(verdict.ledger)
    return float("-inf") if line is None else (line.margin or 0.0) - line.required


def _assumed(verdict: Verdict) -> int:
    line = binding_line(verdict.ledger)
    return 0 if line is None else len(line.assumed)


def order_of(found: Sequence[Verdict], objective: str, line: ProductLine) -> tuple[Verdict, ...]:
    """Verdicts best first by an objective of :data:`ORDERS`."""

    def frame(verdict: Verdict) -> float:
        chosen = verdict.combination
        motor = line.motors[line.motor_index[chosen.motor]].flange or float("inf")
        if chosen.gearhead is None:
            return motor
        return max(motor, line.gearheads[line.gearhead_index[chosen.gearhead]].frame or 0.0)

    def power(verdict: Verdict) -> float:
        mean = verdict.demand["motor"]["mean_power"]
        return float("inf") if mean is None else mean

    keys: dict[str, Callable[[Verdict], tuple[float, ...]]] = {
        "mass": lambda v: (moved_mass(v, line), tightest_share(v)),
        "size": lambda v: (frame(v), moved_mass(v, line), tightest_share(v)),
        "energy": lambda v: (power(v), tightest_share(v)),
        "reserve": lambda v: (-_slack(v),),
        "cost": lambda v: (moved_mass(v, line), tightest_share(v)),
        "assumptions": lambda v: (_assumed(v), moved_mass(v, line)),
    }
    key = keys[objective]
    return tuple(
        sorted(
            found,
            key=lambda v: (STATE_RANK[v.verdict], _estimated(v), key(v), v.combination.text()),
        )
    )


def _estimated(verdict: Verdict) -> bool:
    """True where the verdict hangs on estimates; among equals those come last."""
    return any(line.estimated for line in verdict.ledger if line.severity == "must")
