"""Whether currents and constants are rms or crest, of a line or a phase: stated, told, or asked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from math import isclose

from dutyline.axis.model import Question
from dutyline.physics.plates import (
    CURRENT_FORMS,
    EMF_FORMS,
    current_rms,
    torque_constant_rms,
    voltage_constant_rms,
)
from dutyline.physics.torque_speed import torque_constant_of_emf
from dutyline.replacement.records import Fact

AGREES = 0.08
"""Share by which torque constant, voltage constant and torque over current may differ and still
agree: drag, temperature of the magnets, rounding (common practice, as in the audit)."""
CURRENTS = ("current", "stall_current", "peak_current")
_ASKED = {
    "current": ("Are the currents of the plate rms or crest values?", "current_form"),
    "torque_constant": (
        "Is the torque constant per ampere rms or per ampere crest?", "torque_constant_form",
    ),
    "voltage_constant": (
        "Is the voltage constant between two terminals or of one phase, rms or crest?",
        "voltage_constant_form",
    ),
}  # fmt: skip
_ALL = {
    "current": CURRENT_FORMS,
    "torque_constant": CURRENT_FORMS,
    "voltage_constant": EMF_FORMS,
}
_EFFECT = {
    "current": "Crest values taken for rms are 41 % too large for a drive.",
    "torque_constant": "Moves every current by 41 %.",
    "voltage_constant": "Moves the speed that the supply allows by up to 145 %.",
}


@dataclass(frozen=True, slots=True)
class Reading:
    """Figures in rms of the line, and what stays open."""

    facts: Mapping[str, Fact]
    open: tuple[str, ...]
    """Paths that cannot be used before a question is answered."""
    questions: tuple[Question, ...]


def read_forms(facts: Mapping[str, Fact], words: Mapping[str, str], part: str) -> Reading:
    """The currents and constants of one motor, converted to rms of the line.

    A form that is not stated is taken only where it is the one reading with which torque, current
    and constants agree; it counts as assumed then and is asked all the same. Where several
    readings agree, or there is nothing to compare with, the figure is not used.

    Parameters
    ----------
    facts : mapping of str to Fact
        As stated, by path.
    words : mapping of str to str
        ``motor.current_form`` and the like.
    part : str
        ``motor``, ``offer.1``
    """
    present = {
        kind: [n for n in (CURRENTS if kind == "current" else (kind,)) if f"{part}.{n}" in facts]
        for kind in _ALL
    }
    stated = {kind: words.get(f"{part}.{_ASKED[kind][1]}") for kind in _ALL}
    kinds = [kind for kind in _ALL if present[kind]]
    choices = [(stated[k],) if stated[k] else _ALL[k] for k in kinds]
    agreeing = [
        dict(zip(kinds, forms, strict=True))
        for forms in product(*choices)
        if _agree(facts, part, dict(zip(kinds, forms, strict=True)))
    ]
    found = dict(facts)
    left: list[str] = []
    asked: list[Question] = []
    for kind in kinds:
        own = {str(reading[kind]) for reading in agreeing}
        only = next(iter(own)) if len(own) == 1 else None
        form = stated[kind] or only
        paths = [f"{part}.{name}" for name in present[kind]]
        if form is None:
            left += paths
            for path in paths:
                del found[path]
        else:
            for path in paths:
                found[path] = _converted(facts[path], kind, form, told=stated[kind] is None)
        if stated[kind] is None:
            text, field = _ASKED[kind]
            used = "" if form is None else f"{form}, the one reading that agrees with the rest"
            asked.append(Question(text, f"{part}.{field}", _EFFECT[kind], used,
                                  5 if form is None else 15))  # fmt: skip
    return Reading(found, tuple(left), tuple(asked))


def _converted(fact: Fact, kind: str, form: str, told: bool) -> Fact:
    def of(value: float | None) -> float | None:
        return None if value is None else _rms(value, kind, form)

    method = ""
    if told:
        method = f"read as {form}, the one reading with which the plate agrees"
    elif form not in ("rms", "line rms"):
        method = f"stated as {form}"
    return replace(
        fact, si=_rms(fact.si, kind, form), low=of(fact.low), high=of(fact.high), method=method,
        status="assumed" if told else fact.status,
    )  # fmt: skip


def _rms(value: float, kind: str, form: str) -> float:
    convert = {
        "current": current_rms,
        "torque_constant": torque_constant_rms,
        "voltage_constant": voltage_constant_rms,
    }[kind]
    return float(convert(value, form))  # type: ignore[operator]


def _agree(facts: Mapping[str, Fact], part: str, forms: Mapping[str, str | None]) -> bool:
    """Whether there are two estimates of the torque constant, and all of them agree."""
    found = list(_constants(facts, part, forms))
    return len(found) > 1 and all(
        isclose(a, b, rel_tol=AGREES) for k, a in enumerate(found) for b in found[k + 1 :]
    )


def _constants(
    facts: Mapping[str, Fact], part: str, forms: Mapping[str, str | None]
) -> Iterator[float]:
    """Torque constants per ampere rms that the figures give [N*m/A]."""

    def si(name: str) -> float | None:
        fact = facts.get(f"{part}.{name}")
        return None if fact is None else fact.si

    for torque, current in (("torque", "current"), ("stall_torque", "stall_current")):
        t, i = si(torque), si(current)
        if t is not None and i is not None:
            yield t / _rms(i, "current", str(forms["current"]))
    kt, ke = si("torque_constant"), si("voltage_constant")
    if kt is not None:
        yield _rms(kt, "torque_constant", str(forms["torque_constant"]))
    if ke is not None:
        rms = _rms(ke, "voltage_constant", str(forms["voltage_constant"]))
        yield float(torque_constant_of_emf(rms))
