"""What the figures of a plate give together: figures not stated, contradictions, questions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from dutyline.axis.model import Question
from dutyline.physics.plates import (
    counts_of_lines,
    shaft_power,
    shaft_torque,
    voltage_constant_of_torque,
)
from dutyline.physics.torque_speed import torque_constant_of_emf
from dutyline.replacement.consistency import contradictions
from dutyline.replacement.conventions import read_forms
from dutyline.replacement.records import Fact, Plate

STALL_OVER_RATED = 1.6
"""[1] most that the stall torque of a motor is above its rated one (common practice)."""
MOST_QUESTIONS = 7
_OPEN: tuple[tuple[str, str, str, int], ...] = (
    # path, question, effect, rank
    ("motor.torque", "What is the rated torque of the old motor, and at which speed?",
     "Torque at speed decides, not power.", 1),
    ("motor.speed", "What is the rated speed of the old motor?",
     "Torque is compared at this speed.", 2),
    ("keep.mains", "Which mains or bus voltage stays, with how many phases?",
     "Decides the winding and the torque at speed.", 3),
    ("motor.peak_torque", "What is the peak torque of the old motor?",
     "Acceleration, and the load of a gearhead that is kept.", 6),
    ("motor.flange", "What is the side of the old flange?", "Whether it goes on the machine.", 7),
    ("motor.shaft", "What is the diameter of the old shaft?", "Whether it goes on the machine.", 8),
    ("brake.fitted", "Has the old motor a holding brake?", "A vertical axis falls without one.", 4),
    ("keep.gravity", "Does gravity move the load when the motor is free?",
     "Brake, and how to secure the load while the motor is changed.", 9),
    ("motor.feedback", "Which feedback has the old motor, and what does its drive read?",
     "Cable, drive, homing and every position stored.", 10),
    ("motor.inertia", "What is the rotor inertia of the old motor?", "Tuning of the loops.", 11),
    ("keep.load_inertia", "What is the load inertia at the motor shaft?",
     "Inertia ratio before and after.", 12),
    ("motor.pilot", "What is the pilot diameter of the old flange?",
     "Whether it goes on the machine.", 13),
    ("motor.bolt_circle", "What is the bolt circle of the old flange?",
     "Whether it goes on the machine.", 14),
    ("keep.top_speed", "What is the largest motor speed that the machine uses?",
     "Without it the top speed of the plate is asked of the new motor.", 16),
)  # fmt: skip


def filled(plate: Plate) -> Plate:
    """The plate with what follows from it alone, its contradictions and its questions."""
    reading = read_forms(plate.facts, plate.words, "motor")
    facts = dict(reading.facts)
    stated = dict(facts)
    for path, method, work in _STEPS:
        if path not in facts:
            found = work(facts)
            if found is not None:
                facts[path] = replace(found, path=path, method=method)
    flags = dict(plate.flags)
    if any(path.startswith("brake.") for path in facts):
        flags.setdefault("brake.fitted", True)
    found_plate = replace(
        plate, facts=facts, flags=flags, open_forms=reading.open,
        contradictions=contradictions(stated),
    )  # fmt: skip
    asked = (*plate.questions, *reading.questions, *_questions(found_plate))
    return replace(found_plate, questions=tuple(sorted(asked, key=lambda q: q.rank)))


def _questions(plate: Plate) -> tuple[Question, ...]:
    known = {*plate.facts, *plate.words, *plate.flags}
    if plate.supply is not None:
        known.add("keep.mains")
    if "motor.top_speed" in known:
        known.add("keep.top_speed")
    return tuple(
        Question(text, path, effect, "", rank)
        for path, text, effect, rank in _OPEN
        if path not in known or plate.facts.get(path, _STATED).status == "assumed"
    )


_STATED = Fact("", "", "", 0.0)


def _made(label: str, unit: str, si: float, low: float | None = None, high: float | None = None,
          status: str = "assumed") -> Fact:  # fmt: skip
    return Fact("", label, unit, si, status, low, high)  # type: ignore[arg-type]


def _torque_of_power(facts: Mapping[str, Fact]) -> Fact | None:
    power, speed = facts.get("motor.power"), facts.get("motor.speed")
    if power is None or speed is None:
        return None
    return _made("Rated torque", "N*m", float(shaft_torque(power.si, speed.si)))


def _torque_of_current(facts: Mapping[str, Fact]) -> Fact | None:
    kt, current = facts.get("motor.torque_constant"), facts.get("motor.current")
    if kt is None or current is None:
        return None
    return _made("Rated torque", "N*m", kt.si * current.si)


def _torque_of_stall(facts: Mapping[str, Fact]) -> Fact | None:
    """The safe side: a motor gives no more at speed than at rest."""
    stall = facts.get("motor.stall_torque")
    if stall is None:
        return None
    return _made("Rated torque", "N*m", stall.si, stall.si / STALL_OVER_RATED, stall.si)


def _power(facts: Mapping[str, Fact]) -> Fact | None:
    torque, speed = facts.get("motor.torque"), facts.get("motor.speed")
    if torque is None or speed is None:
        return None
    return _made("Rated power", "W", float(shaft_power(torque.si, speed.si)))


def _speed(facts: Mapping[str, Fact]) -> Fact | None:
    torque, power = facts.get("motor.torque"), facts.get("motor.power")
    if torque is None or power is None:
        return None
    return _made("Rated speed", "rad/s", power.si / torque.si)


def _constant_of_emf(facts: Mapping[str, Fact]) -> Fact | None:
    ke = facts.get("motor.voltage_constant")
    if ke is None:
        return None
    return _made("Torque constant", "N*m/A", float(torque_constant_of_emf(ke.si)))


def _constant_of(torque: str, current: str) -> Callable[[Mapping[str, Fact]], Fact | None]:
    def found(facts: Mapping[str, Fact]) -> Fact | None:
        t, i = facts.get(f"motor.{torque}"), facts.get(f"motor.{current}")
        if t is None or i is None:
            return None
        return _made("Torque constant", "N*m/A", t.si / i.si)

    return found


def _emf(facts: Mapping[str, Fact]) -> Fact | None:
    kt = facts.get("motor.torque_constant")
    if kt is None:
        return None
    return _made("Voltage constant", "V*s/rad", float(voltage_constant_of_torque(kt.si)))


def _current_of(torque: str, label: str) -> Callable[[Mapping[str, Fact]], Fact | None]:
    def found(facts: Mapping[str, Fact]) -> Fact | None:
        t, kt = facts.get(f"motor.{torque}"), facts.get("motor.torque_constant")
        if t is None or kt is None:
            return None
        return _made(label, "A", t.si / kt.si)

    return found


def _stall_of_current(facts: Mapping[str, Fact]) -> Fact | None:
    kt, current = facts.get("motor.torque_constant"), facts.get("motor.stall_current")
    if kt is None or current is None:
        return None
    return _made("Stall torque", "N*m", kt.si * current.si)


def _peak_of_current(facts: Mapping[str, Fact]) -> Fact | None:
    """The safe side: saturating iron only takes torque away."""
    kt, current = facts.get("motor.torque_constant"), facts.get("motor.peak_current")
    if kt is None or current is None:
        return None
    top = kt.si * current.si
    return _made("Peak torque", "N*m", top, 0.75 * top, top)


def _pairs(facts: Mapping[str, Fact]) -> Fact | None:
    poles = facts.get("motor.poles")
    return None if poles is None else _made("Pole pairs", "1", poles.si / 2, status="calculated")


def _counts(facts: Mapping[str, Fact]) -> Fact | None:
    lines, bits = facts.get("motor.lines"), facts.get("motor.bits")
    if lines is not None:
        counts: float = counts_of_lines(round(lines.si))
    elif bits is not None:
        counts = 2.0 ** round(bits.si)
    else:
        return None
    return _made("Counts per turn", "1", counts, status="calculated")


_STEPS: tuple[tuple[str, str, Callable[[Mapping[str, Fact]], Fact | None]], ...] = (
    ("motor.torque", "power over speed", _torque_of_power),
    ("motor.torque_constant", "stall torque over stall current",
     _constant_of("stall_torque", "stall_current")),
    ("motor.torque_constant", "rated torque over rated current",
     _constant_of("torque", "current")),
    ("motor.torque_constant", "sqrt(3) times the voltage constant", _constant_of_emf),
    ("motor.torque", "torque constant times rated current", _torque_of_current),
    ("motor.stall_torque", "torque constant times stall current", _stall_of_current),
    ("motor.torque", "the stall torque, above which it cannot be (the safe side)",
     _torque_of_stall),
    ("motor.speed", "power over torque", _speed),
    ("motor.power", "torque times speed", _power),
    ("motor.voltage_constant", "torque constant over sqrt(3)", _emf),
    ("motor.current", "rated torque over torque constant", _current_of("torque", "Rated current")),
    ("motor.stall_current", "stall torque over torque constant",
     _current_of("stall_torque", "Stall current")),
    ("motor.peak_torque", "torque constant times peak current, iron not saturated (the safe side)",
     _peak_of_current),
    ("motor.pole_pairs", "half the poles", _pairs),
    ("motor.counts", "four times the lines, or two to the bits", _counts),
)  # fmt: skip
"""Figures that can be worked out, in the order in which they are tried."""

METHODS: tuple[tuple[str, str], ...] = tuple((path, method) for path, method, _ in _STEPS)
"""Path and method of each."""
