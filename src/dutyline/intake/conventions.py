"""Conventions in which tables differ: what is asked, and what each answer does to a number.

Phase quantities follow from the circuit: between two terminals lie two phases of a star in series,
one phase of a delta beside two in series; a line carries sqrt 3 times the current of a delta's
phase, and two terminals of a star hold sqrt 3 times the voltage of a phase. A sine's peak is sqrt 2
times its rms value. GD2 is four times the inertia.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from dutyline.intake.exact import ONE, Exact, exact, root

_TWO, _THREE = root(2), root(3)


@dataclass(frozen=True, slots=True)
class Convention:
    """One thing on which tables differ."""

    key: str
    """As it stands in the mapping."""
    question: str
    answers: Mapping[str, str]
    """Answer: what it means, for the reference."""


CONVENTIONS: tuple[Convention, ...] = (
    Convention("ampere", "Are the amperes rms or peak?",
               {"rms": "of a sine, rms", "peak": "crest of a sine, sqrt 2 times rms"}),
    Convention("current", "Is it the current of a line or of a phase of the winding?",
               {"line": "in the cable", "star-phase": "in a phase in star, the same as in the line",
                "delta-phase": "in a phase in delta, the line's over sqrt 3"}),
    Convention("voltage", "Are the volts rms or peak?",
               {"rms": "of a sine, rms", "peak": "crest of a sine, sqrt 2 times rms"}),
    Convention("across", "Is it between two terminals, or of one phase?",
               {"line-line": "between two terminals",
                "star-phase": "terminal to star point",
                "delta-phase": "one side of the delta alone"}),
    Convention("at", "At which temperature does the resistance hold?", {}),
    Convention("inertia", "Is it the inertia J, or GD2?",
               {"J": "mass times radius of gyration squared, WR2 likewise",
                "GD2": "weight or mass times diameter of gyration squared, four times J"}),
    Convention("count", "What is counted?",
               {"pairs": "pole pairs", "poles": "poles, two to a pair",
                "bits": "bits", "counts": "steps per turn, or turns; a power of two",
                "lines": "lines per turn, four steps each"}),
    Convention("shaft", "Does it hold at the output or at the input of the gearhead?",
               {"output": "slow shaft", "input": "fast shaft"}),
    Convention("play", "Is the backlash the whole play, or plus and minus half of it?",
               {"total": "from stop to stop", "plus-minus": "half of it to each side"}),
    Convention("order", "Which speed stands first in the ratio?",
               {"motor:output": "10:1 slows down by ten",
                "output:motor": "1:10 slows down by ten"}),
    Convention("temperature", "Is it a temperature, or a rise over the surroundings?",
               {"limit": "a temperature",
                "rise": "a difference; over says over which temperature"}),
    Convention("over", "Over which temperature is the rise?", {}),
    Convention("coil", "Is the coil being switched on or off while this time runs?",
               {"on": "the brake opens", "off": "the brake closes"}),
)  # fmt: skip

BY_KEY: dict[str, Convention] = {c.key: c for c in CONVENTIONS}

_CURRENT = ("ampere", "current")
_ACROSS = ("across",)
_J = ("inertia",)

ASKED: dict[tuple[str, str], tuple[str, ...]] = {
    ("motors", "torque_constant"): _CURRENT,
    ("motors", "voltage_constant"): ("voltage", "across"),
    ("motors", "resistance"): ("across", "at"),
    ("motors", "inductance"): _ACROSS,
    ("motors", "current_rated"): _CURRENT,
    ("motors", "current_stall"): _CURRENT,
    ("motors", "current_peak"): _CURRENT,
    ("motors", "inertia"): _J,
    ("motors", "inertia_with_brake"): _J,
    ("motors", "pole_pairs"): ("count",),
    ("motors", "encoder_bits"): ("count",),
    ("motors", "encoder_turn_bits"): ("count",),
    ("motors", "winding_limit"): ("temperature",),
    ("gearheads", "torque_rated"): ("shaft",),
    ("gearheads", "torque_acceleration"): ("shaft",),
    ("gearheads", "torque_emergency"): ("shaft",),
    ("gearheads", "backlash"): ("play",),
    ("gearheads", "inertia_in"): _J,
    ("drives", "current_rated"): ("ampere",),
    ("drives", "current_peak"): ("ampere",),
    ("drives", "input_current_rated"): ("ampere",),
    ("drives", "loss_per_ampere"): ("ampere",),
    ("brakes", "inertia"): _J,
    ("brakes", "release_time"): ("coil",),
    ("brakes", "engage_time"): ("coil",),
    ("brakes", "backlash"): ("play",),
    ("pairings", "torque_rated_out"): ("shaft",),
    ("pairings", "torque_peak_out"): ("shaft",),
    ("accessories", "current"): ("ampere",),
}
"""Conventions that must be answered for a field, by kind of table and field."""

ALLOWED: dict[tuple[str, str], tuple[str, ...]] = {
    ("motors", "winding_limit"): ("over",),
    ("gearheads", "ratio"): ("order",),
    ("gearheads", "stiffness"): ("shaft",),
    ("gearheads", "inertia_in"): ("shaft",),
    ("gearheads", "no_load_torque"): ("shaft",),
    ("gearheads", "speed_in_mean"): ("shaft",),
    ("gearheads", "speed_in_max"): ("shaft",),
    ("gearheads", "speed_rated_out"): ("shaft",),
    ("pairings", "speed_max_out"): ("shaft",),
}
"""Conventions that a column may state beside them; left out, the name of the field says it."""

_COUNTS = {
    "pole_pairs": ("pairs", "poles"),
    "encoder_bits": ("bits", "counts", "lines"),
    "encoder_turn_bits": ("bits", "counts"),
}

CRESTS = frozenset({"inrush_peak"})
"""Fields that hold a crest by their definition; every other one that is not asked holds rms."""

COIL = {"release_time": "on", "engage_time": "off"}
"""What the coil does in the time of each field."""

OWN_SHAFT = {"inertia_in": "input", "no_load_torque": "input", "speed_in_mean": "input",
             "speed_in_max": "input"}  # fmt: skip
"""The shaft at which our field holds, where it is not the output."""

TURNED: dict[str, tuple[int, int]] = {
    # to the field's own shaft: power of the ratio, power of the efficiency
    "torque_rated": (1, 1),
    "torque_acceleration": (1, 1),
    "torque_emergency": (1, 1),
    "torque_rated_out": (1, 1),
    "torque_peak_out": (1, 1),
    "stiffness": (2, 0),
    "inertia_in": (-2, 0),
    "no_load_torque": (-1, 0),
    "speed_in_mean": (1, 0),
    "speed_in_max": (1, 0),
    "speed_rated_out": (-1, 0),
    "speed_max_out": (-1, 0),
}
"""What carries a figure from the other shaft: T2 = T1 i eta, n2 = n1/i, C2 = C1 i^2,
J1 = J2/i^2."""

_SCALES: dict[tuple[str, str, str], Exact] = {
    # what the quantity is, key, answer
    ("current", "ampere", "peak"): ONE / _TWO,
    ("current", "current", "delta-phase"): _THREE,
    ("torque_constant", "ampere", "peak"): _TWO,
    ("loss_per_ampere", "ampere", "peak"): _TWO,
    ("torque_constant", "current", "delta-phase"): ONE / _THREE,
    ("voltage_constant", "voltage", "peak"): ONE / _TWO,
    ("voltage_constant", "across", "star-phase"): _THREE,
    ("resistance", "across", "star-phase"): exact(2),
    ("resistance", "across", "delta-phase"): exact(Fraction(2, 3)),
    ("inductance", "across", "star-phase"): exact(2),
    ("inductance", "across", "delta-phase"): exact(Fraction(2, 3)),
    ("backlash", "play", "plus-minus"): exact(2),
}


def scale(field: str, key: str, answer: str) -> Exact:
    """By what an answer multiplies the figure of a field, without what needs its row or unit.

    >>> scale("torque_constant", "ampere", "peak").number()
    1.4142135623730951
    """
    what = "current" if field.startswith(("current_", "input_current_")) else field
    return _SCALES.get((what, key, answer), ONE)


def keys_of(kind: str, field: str) -> tuple[str, ...]:
    """Every convention that a column of a field may state."""
    return (*ASKED.get((kind, field), ()), *ALLOWED.get((kind, field), ()))


def answers_of(key: str, field: str) -> tuple[str, ...]:
    """The answers that a convention has for a field; empty where it is a temperature."""
    if key == "count":
        return _COUNTS.get(field, ())
    return tuple(BY_KEY[key].answers)
