"""A replacement in words and tables, the same for terminal, page and print."""

from __future__ import annotations

import math

from dutyline.checks.records import Verdict
from dutyline.checks.sentence import verdict_sentence
from dutyline.core.numbers import (
    bare,
    deviation,
    floored_quantity,
    quantity,
    significant,
    stated_quantity,
)
from dutyline.overview.cells import Head, Sheet
from dutyline.replacement.records import Compared, Equivalent, Fact, Replacement, Setting
from dutyline.replacement.rules import properties

WORDS: dict[str, str] = {
    "meets": "meets", "short": "short", "fails": "fails", "not-checked": "not checked",
    "incomplete": "incomplete",
}  # fmt: skip
MOST_SHOWN = 12
"""Equivalents listed unless all are asked for."""
MOST_QUESTIONS = 7
MOST_VERDICTS = 3
UNKNOWN = "not known"
WORKED = "Worked out of the plate"
LONG_REASON = 60
"""Letters of what is missing beyond which a sentence leaves it to the list below."""
LIMITS = frozenset(key for key, rule in properties().items() if rule.rule == "limit")
"""Properties whose old figure is a limit."""


def shown(found: Replacement) -> tuple[Equivalent, ...]:
    """The choices told in full: offered ones, then the nearest of the line."""
    offered = tuple(one for one in found.equivalents if one.offered)
    own = tuple(one for one in found.equivalents if not one.offered)
    return (*offered, *own[:1])


def sentence(found: Replacement) -> str:
    """The answer: whether there is an equivalent, and what is to be said of offered motors."""
    counts = {state: sum(e.state == state for e in found.equivalents) for state in WORDS}
    if not found.equivalents:
        return f"{found.plate.title}: {found.line.name} holds nothing to compare."
    offers = " ".join(_offer(one) for one in found.equivalents if one.offered)
    return f"{_of_line(found, counts)} {offers}".strip()


def _offer(one: Equivalent) -> str:
    """What to say of a motor that somebody offers."""
    name = one.combination.motor
    if one.state == "meets":
        return f"{name} is an equivalent."
    if one.state == "incomplete":
        count = sum(row.counts and row.state == "not-checked" for row in one.rows)
        return f"Whether {name} is an equivalent is open: {count} figures that decide are missing."
    word = "fails" if one.state == "fails" else "short"
    told = "; ".join(
        f"{_decapitalised(row.label)} {_against(row)}"
        for row in one.rows
        if row.counts and row.state == word
    )
    return f"{name} is no equivalent as it is: {told}."


def _of_line(found: Replacement, counts: dict[str, int]) -> str:
    best = found.equivalents[0]
    many = len(found.equivalents)
    if counts["meets"]:
        rest = f" ({counts['meets']} of {many} choices meet)" if many > 1 else ""
        return f"{found.plate.title}: {name_of(best)} is an equivalent{rest}."
    word = WORDS[best.state]
    why = _reason(best)
    return (
        f"{found.plate.title}: no equivalent meets; the nearest of {many} choices is "
        f"{name_of(best)}, {word}{why}."
    )


def name_of(one: Equivalent) -> str:
    """Motor, gearhead, brake and drive in words."""
    c = one.combination
    parts = [c.text(), *(f"brake {c.brake}" for _ in [0] if c.brake),
             *(f"drive {c.drive}" for _ in [0] if c.drive)]  # fmt: skip
    return ", ".join(parts)


def _reason(one: Equivalent) -> str:
    """The first deciding row that does not meet."""
    for state in ("fails", "not-checked", "short"):
        for row in one.rows:
            if row.counts and row.state == state:
                if row.key == "axis":
                    return f" (on the axis: {_on_axis_word(row)})"
                if state == "not-checked":
                    told = "; ".join(row.missing)
                    named = f", missing {told}" if len(told) <= LONG_REASON else ""
                    return f" ({_decapitalised(row.label)}: not checked{named})"
                return f" ({_decapitalised(row.label)} {_against(row)})"
    return ""


def _against(row: Compared) -> str:
    """``1.36 N·m for 2.90 N·m``, ``210 V, limit 207 V``"""
    return f"{row.new}, {_old(row)}" if row.key in LIMITS else f"{row.new} for {row.old}"


def _on_axis_word(row: Compared) -> str:
    if row.state != "not-checked":
        return row.new
    return "; ".join(row.missing) if not row.new else f"{row.new}, {len(row.missing)} data missing"


def _decapitalised(label: str) -> str:
    """A label inside a sentence; one that begins like a name keeps its capital."""
    return label if label.startswith("Back-EMF") else label[:1].lower() + label[1:]


def settings_text(setting: Setting) -> str:
    """``Torque limit for the old gearhead: 10.5 N·m (329 % of the rated torque)``"""
    also = f" ({'; '.join(setting.also)})" if setting.also else ""
    tell = floored_quantity if setting.limit else quantity
    value = bare(setting.value) if setting.unit == "1" else tell(setting.value, setting.unit)
    return f"{setting.name}: {value}{also}."


def state_words(row: Compared) -> str:
    """``fails``; ``fails, caution`` where it does not decide; the note says more."""
    word = WORDS[row.state]
    if row.state in ("fails", "short") and not row.counts:
        word = f"{word}, {row.severity}"
    return f"{word}, old assumed" if row.assumed and row.state != "not-checked" else word


def property_sheet(one: Equivalent) -> Sheet:
    """Old and new beside each other, with tolerance and state."""
    heads = (
        Head("Property", number=False),
        Head("Old", number=False),
        Head("New", number=False),
        Head("Tolerance", number=False),
        Head("State", number=False),
    )
    rows = tuple(
        (row.label, _old(row), _new(row), row.tolerance, state_words(row)) for row in one.rows
    )
    assumed = any(row.assumed and row.state != "not-checked" for row in one.rows)
    note = f"Old assumed: compared with a figure that stands under “{WORKED}”." if assumed else ""
    return Sheet("properties", f"Old and new: {name_of(one)}", heads, rows, note)


def _old(row: Compared) -> str:
    """The old figure, or the limit of what stays."""
    return f"limit {row.old}" if row.key in LIMITS and row.old else row.old or UNKNOWN


_MANY = 3.0
"""Share from which a difference is told as a multiple."""
_COMPARED = ("at least", "at most", "within")


def _new(row: Compared) -> str:
    """The new figure, and how far it is from the old one where both are of one kind."""
    old, new = row.old_si, row.new_si
    alike = row.tolerance.startswith(_COMPARED) and row.key not in LIMITS
    if not row.new or old is None or new is None or not alike or old <= 0.0:
        return row.new or UNKNOWN
    share = new / old
    told = deviation(share - 1.0) if share < _MANY else f"{significant(share)} times"
    return f"{row.new} ({told})"


def missing_lines(one: Equivalent) -> tuple[str, ...]:
    """What was not checked, and the datum that is missing."""
    return tuple(
        f"{row.label}: missing {'; '.join(row.missing)}."
        for row in one.rows
        if row.state == "not-checked" and row.missing and row.severity == "must"
    )


def equivalents_sheet(found: Replacement, every: bool = False) -> Sheet:
    """All choices, the nearest first, with what keeps them."""
    heads = (
        Head("Motor", number=False),
        Head("Gearhead", number=False),
        Head("Drive", number=False),
        Head("State", number=False),
        Head("Why", number=False),
    )
    shown = found.equivalents if every else found.equivalents[:MOST_SHOWN]
    rows = tuple(
        (
            e.combination.motor + (" (offered)" if e.offered else ""),
            e.combination.gearhead or "",
            e.combination.drive or "",
            WORDS[e.state],
            _reason(e)[2:-1] or "all that decides meets",
        )
        for e in shown
    )
    left = len(found.equivalents) - len(shown)
    notes = [f"{left} more; --all lists them." if left else ""]
    if found.left_out:
        notes.append(
            f"{found.left_out} of {found.motors} motors are further off in rated torque and speed "
            "and were not compared in full."
        )
    return Sheet("equivalents", "Choices, the nearest first", heads, rows,
                 " ".join(filter(None, notes)))  # fmt: skip


def worked_sheet(found: Replacement) -> Sheet | None:
    """Figures of the plate that were not stated as they are used, each with its method."""
    made = [fact for fact in found.plate.facts.values() if fact.method]
    if not made:
        return None
    heads = (
        Head("Figure", number=False),
        Head("Value", number=False),
        Head("Status", number=False),
        Head("How", number=False),
    )
    rows = tuple((f.label, fact_text(f), f.status, f.method) for f in made)
    return Sheet("worked", WORKED, heads, rows)


def plate_sheet(found: Replacement) -> Sheet:
    """What the file states, as typed, and as it is used."""
    heads = (
        Head("Field", number=False),
        Head("As typed", number=False),
        Head("Used as", number=False),
        Head("Status", number=False),
    )
    plate = found.plate
    stated = [
        (fact.path, fact.typed, _used(found, fact), fact.status)
        for fact in plate.facts.values()
        if fact.typed
    ]
    unused = [(path, "", "not used, its form is open", "") for path in plate.open_forms]
    words = [
        (path, word, word, "given")
        for path, word in plate.words.items()
        if word and not path.startswith("plate.")
    ]
    return Sheet("plate", "What the plate file states", heads, (*stated, *unused, *words))


def _used(found: Replacement, fact: Fact) -> str:
    """A figure as it is used; the ratio as its exact fraction."""
    return found.plate.ratio_text if fact.path == "gearhead.ratio" else fact_text(fact)


def source_lines(one: Equivalent) -> tuple[str, ...]:
    """Why each property is compared as it is."""
    return tuple(f"{row.label}: {row.source}" for row in one.rows)


def fact_text(fact: Fact) -> str:
    """A figure with its range."""
    told = (quantity if fact.method else stated_quantity)(fact.si, fact.unit)
    if fact.low is not None and fact.high is not None and fact.high > fact.low:
        return f"{told} ({quantity(fact.low, fact.unit)} to {quantity(fact.high, fact.unit)})"
    return told


def axis_lines(found: Replacement) -> tuple[str, ...]:
    """What the verdicts on the axis say of old and new, and their inertia ratios."""
    told = []
    if found.old_verdict is not None:
        told.append(f"Old motor, as far as it is known: {_on_axis(found.old_verdict)}")
    elif found.old_gap:
        told.append(f"The old motor could not be judged: {found.old_gap}")
    told += [line for one in found.equivalents[:MOST_VERDICTS] for line in duty_lines(one)]
    told += [
        f"{name_of(one)}: {_on_axis(one.verdict)}"
        for one in found.equivalents[:MOST_VERDICTS]
        if one.verdict is not None
    ]
    return (*told, *found.notes)


def duty_lines(one: Equivalent) -> tuple[str, ...]:
    """What a measured record asks of one choice."""
    duty = one.duty
    if duty is None:
        return ()
    told = f"rms torque {quantity(duty.torque_rms, 'N*m')}, "
    told += f"peak {quantity(duty.torque_peak, 'N*m')}"
    if math.isfinite(duty.inertia_change):
        word = "more" if duty.inertia_change > 0.0 else "less"
        told += f" with {quantity(abs(duty.inertia_change), 'kg*m^2')} {word} rotor inertia"
    if duty.speed_effective is not None:
        told += f", effective speed {quantity(duty.speed_effective, 'rad/s')}"
    return (f"{one.combination.text()}: {told}.",)


def _on_axis(verdict: Verdict) -> str:
    ratio = verdict.demand.get("motor", {}).get("inertia_ratio")
    more = "" if ratio is None else f" Inertia ratio {significant(ratio)}."
    return f"{verdict_sentence(verdict)}{more}"


def question_lines(found: Replacement) -> tuple[str, ...]:
    """What is still open, the most influential first, at most seven."""
    return tuple(
        f"{q.text} {q.effect}" + (f" Used meanwhile: {q.used}." if q.used else "")
        for q in found.plate.questions[:MOST_QUESTIONS]
    )


def contradiction_lines(found: Replacement) -> tuple[str, ...]:
    """What of the plate does not go together."""
    return tuple(f"{c.text} {c.question}".strip() for c in found.plate.contradictions)
