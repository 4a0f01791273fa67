"""A motor that somebody offers, as data like those of a line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from dutyline.axis.model import Question
from dutyline.axis.stated import Stated
from dutyline.catalogue.parts import Motor
from dutyline.core.values import Value
from dutyline.core.wording import lower_first
from dutyline.replacement.conventions import read_forms
from dutyline.replacement.records import Fact

_FIELDS = {
    "power": "power_rated",
    "torque": "torque_rated",
    "stall_torque": "torque_stall",
    "peak_torque": "torque_peak",
    "speed": "speed_rated",
    "top_speed": "speed_max",
    "current": "current_rated",
    "stall_current": "current_stall",
    "peak_current": "current_peak",
    "torque_constant": "torque_constant",
    "voltage_constant": "voltage_constant",
    "resistance": "resistance",
    "inductance": "inductance",
    "inertia": "inertia",
    "mass": "mass",
    "flange": "flange",
    "pilot": "pilot",
    "bolt_circle": "bolt_circle",
    "shaft": "shaft",
}
"""Field of a plate and field of :class:`dutyline.catalogue.parts.Motor`."""
APART = "not of this line: {}"
"""Rotor family of an old or offered motor: those of a line are no measure for it."""


def offered(table: Stated, number: int) -> tuple[Motor, tuple[Question, ...]]:
    """A motor from a table of the plate file, and what is asked of it.

    Figures whose form is open are left out.

    Parameters
    ----------
    table : Stated
    number : int
        Of the table in its list, for a motor without a name.
    """
    part = table.path
    facts = {
        f"{part}.{field.name}": Fact(
            f"{part}.{field.name}", field.label, value.unit, value.si, value.status
        )
        for field in table.section.fields
        if isinstance(value := table.entries.get(field.name), Value)
    }
    words = {f"{part}.{name}": word for name, word in table.entries.items()
             if isinstance(word, str)}  # fmt: skip
    reading = read_forms(facts, words, part)
    name = table.word("name") or f"offer {number}"
    asked = tuple(
        replace(q, text=f"{name}: {lower_first(q.text)}", used="")
        for q in reading.questions
        if not q.used
    )
    return motor_from(reading.facts, words, part, name), asked


def motor_from(facts: Mapping[str, Fact], words: Mapping[str, str], part: str, name: str) -> Motor:
    """A motor from figures and words by path."""
    given: dict[str, Any] = {
        theirs: facts[f"{part}.{ours}"].si
        for ours, theirs in _FIELDS.items()
        if f"{part}.{ours}" in facts
    }
    mains = facts.get(f"{part}.mains")
    if mains is not None:
        given["mains_min"] = given["mains_max"] = mains.si
    feedback = words.get(f"{part}.feedback", "")
    motor = Motor(
        name=name,
        insulation_class=words.get(f"{part}.insulation", ""),
        protection=words.get(f"{part}.protection", ""),
        encoder=feedback,
        series=APART.format(name),
        **given,
    )
    return replace(
        motor,
        pole_pairs=_whole(facts, f"{part}.pole_pairs") or _half(_whole(facts, f"{part}.poles")),
        encoder_bits=_whole(facts, f"{part}.bits"),
        encoder_turn_bits=_whole(facts, f"{part}.turn_bits"),
    )


def _whole(facts: Mapping[str, Fact], path: str) -> int | None:
    found = facts.get(path)
    return None if found is None else round(found.si)


def _half(poles: int | None) -> int | None:
    return None if poles is None else poles // 2
