"""Figures of a plate against each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isfinite, log, log1p

from dutyline.audit.slips import by_factor
from dutyline.core.numbers import significant, stated_quantity
from dutyline.physics.plates import shaft_power
from dutyline.physics.torque_speed import torque_constant_of_emf
from dutyline.replacement.records import Contradiction, Fact

POWER = 0.05
"""Share by which power and torque times speed may differ: rounding of both (common practice)."""
CONSTANT = 0.08
"""The same of torque constant, voltage constant, torque and current, as in the audit."""
SLIP = 0.05
"""Share within which a ratio is told as a known slip, as in the audit."""


def contradictions(facts: Mapping[str, Fact]) -> tuple[Contradiction, ...]:
    """Everything stated that does not go together, with the slip that it may be."""
    return tuple(_found(facts))


def _found(facts: Mapping[str, Fact]) -> Iterator[Contradiction]:
    def get(*names: str) -> tuple[Fact, ...] | None:
        found = [facts[p] for n in names if (p := f"motor.{n}") in facts]
        return tuple(found) if len(found) == len(names) else None

    if several := get("power", "torque", "speed"):
        power, torque, speed = several
        product = float(shaft_power(torque.si, speed.si))
        yield from _apart(
            "rated torque times rated speed", product, power, several, POWER,
            (("N*m", 1.0), ("W", -1.0), ("r/min", 1.0)),
        )  # fmt: skip
    for torque_name, current_name in (("torque", "current"), ("stall_torque", "stall_current")):
        if several := get(torque_name, "torque_constant", current_name):
            torque, constant, current = several
            yield from _apart(
                f"torque constant times {current.label.lower()}", constant.si * current.si,
                torque, several, CONSTANT, (("N*m/A rms", 1.0), ("N*m", -1.0), ("A rms", 1.0)),
            )  # fmt: skip
    if several := get("torque_constant", "voltage_constant"):
        constant, emf = several
        yield from _apart(
            "sqrt(3) times the voltage constant", float(torque_constant_of_emf(emf.si)),
            constant, several, CONSTANT, (("V rms line-line per 1000 r/min", 1.0),),
        )  # fmt: skip
    if several := get("poles", "pole_pairs"):
        poles, pairs = several
        yield from _apart("twice the pole pairs", 2 * pairs.si, poles, several, 0.0, ())
    if (several := get("stall_torque", "torque")) and several[0].si < several[1].si * 0.98:
        text = (
            f"The stall torque of {_shown(several[0])} is below the rated torque of "
            f"{_shown(several[1])}; a motor gives least at speed."
        )
        yield Contradiction(_paths(several), text, several[0].si / several[1].si,
                            "Were the two exchanged?")  # fmt: skip
    if (several := get("peak_torque", "torque")) and several[0].si < several[1].si:
        text = (
            f"The peak torque of {_shown(several[0])} is below the rated torque of "
            f"{_shown(several[1])}."
        )
        yield Contradiction(_paths(several), text, several[0].si / several[1].si)
    if (several := get("speed", "top_speed")) and several[1].si < several[0].si * (1 - 1e-9):
        text = (
            f"The top speed of {_shown(several[1])} is below the rated speed of "
            f"{_shown(several[0])}."
        )
        yield Contradiction(_paths(several), text, several[1].si / several[0].si,
                            "Were the two exchanged?")  # fmt: skip


def _apart(
    what: str,
    value: float,
    stated: Fact,
    several: tuple[Fact, ...],
    tolerance: float,
    columns: tuple[tuple[str, float], ...],
) -> Iterator[Contradiction]:
    """Nothing where they agree; else both figures, their ratio and what it may be."""
    ratio = value / stated.si
    if isfinite(ratio) and abs(log(ratio)) <= log1p(tolerance) + 1e-12:
        return
    told = stated_quantity(value, stated.unit)
    text = (
        f"{what[:1].upper()}{what[1:]} is {told}, the {stated.label.lower()} is stated as "
        f"{_shown(stated)}: {significant(ratio)} times."
    )
    slips = [
        slip for unit, power in columns if (slip := by_factor(ratio**power, unit, SLIP)) is not None
    ]
    nearest = min(slips, key=lambda s: abs(abs(log(s.factor)) - abs(log(ratio))), default=None)
    yield Contradiction(_paths(several), text, ratio, "" if nearest is None else nearest.question)


def _paths(several: tuple[Fact, ...]) -> tuple[str, ...]:
    return tuple(fact.path for fact in several)


def _shown(fact: Fact) -> str:
    return stated_quantity(fact.si, fact.unit)
