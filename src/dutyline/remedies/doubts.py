"""Missing and assumed facts, ranked by what hangs on them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dutyline.axis.gaps import GAPS, MOST
from dutyline.axis.model import Input
from dutyline.checks.records import Line
from dutyline.core.numbers import percent
from dutyline.core.values import Value
from dutyline.remedies.probe import Probe, Reading, key_of, slack
from dutyline.remedies.records import Doubt
from dutyline.remedies.words import lower

SPANS: dict[str, tuple[float, float]] = {
    "friction": (0.5, 2.0),
    "drag": (0.5, 2.0),
    "breakaway": (1.0, 1.5),
    "hours": (1.0, 1.5),
    "years": (1.0, 1.5),
    "days": (1.0, 1.4),
    "mass": (0.9, 1.1),
    "inertia": (0.8, 1.2),
}
"""Shares of a value between which it is plausible; common practice, no source."""
OTHERS = (0.8, 1.25)
LOSS = 0.05
"""An efficiency may be off by this much; common practice, no source."""
DRAG = 0.02
"""Share of the peak force at the load that drag nobody thought of may take; common practice."""
IDLE = 0.005
"""Share of a check's slack below which nothing is said to hang on a fact."""
LEAST_SLACK = 0.01
"""Slack of a check that meets barely or not at all, for weighing what eats it."""
WARM = 10.0
"""[K] by which nobody's guess of the ambient is off; common practice, no source."""


def doubts(probe: Probe) -> tuple[Doubt, ...]:
    """At most seven open facts, those first without which a must check cannot be made."""
    found = {doubt.field: doubt for doubt in (*_asked(probe), *_assumed(probe))}
    lacking = list(_lacking(probe))
    ranked = sorted(found.values(), key=lambda d: -d.influence)
    return tuple([*lacking, *ranked][:MOST])


def _lacking(probe: Probe) -> Iterator[Doubt]:
    """Data without which a must check is not made, each with the checks that it opens."""
    opens: dict[str, list[str]] = {}
    for line in probe.base.musts:
        if line.state == "not-checked":
            for datum in line.missing:
                opens.setdefault(datum, []).append(lower(line.title))
    for datum, checks in opens.items():
        yield Doubt("", f"What is the {datum}?", "", f"Opens {', '.join(checks)}.", math.inf)


def _asked(probe: Probe) -> Iterator[Doubt]:
    """Questions that the axis itself asks; nothing computed hangs on those without a number."""
    for question in probe.axis.questions:
        yield Doubt(question.path, question.text, question.used, question.effect, 0.0)


def _assumed(probe: Probe) -> Iterator[Doubt]:
    """Assumed values and ranges, moved over their span by re-running."""
    asked = {question.path: question for question in probe.axis.questions}
    texts = {gap.path: gap.text for gap in GAPS}
    battery = probe.axis.site is not None and probe.axis.site.phases == "dc"
    for item in probe.axis.inputs:
        value = item.value
        if not isinstance(value, Value):
            continue
        ranged = value.low is not None and value.high is not None
        if not ranged and value.status not in ("assumed", "default"):
            continue
        ends = [
            (end, probe.at({item.path: _text(end, value)})) for end in _span(probe, item, value)
        ]
        read = [(end, reading) for end, reading in ends if reading is not None]
        if not read:
            continue
        influence, effect = _effect(probe, item, read)
        if influence == 0.0 and item.path not in asked:
            continue
        used = item.shown(value.si)
        question = asked.get(item.path)
        text = question.text if question else texts.get(item.path, "")
        if item.path == "site.mains_high" and not battery:
            text = ""
        if not text or "{" in text:
            text = f"Is this right: {lower(item.label)} {used}?"
        yield Doubt(
            item.path, text, used, effect or (question.effect if question else ""), influence
        )


def _text(end: float, value: Value) -> str:
    return repr(end) if value.unit == "1" else f"{end!r} {value.unit}"


def _span(probe: Probe, item: Input, value: Value) -> list[float]:
    """The ends between which a value is plausible."""
    if value.low is not None and value.high is not None:
        return [value.low, value.high]
    name = item.path.rpartition(".")[2]
    if value.unit == "degC":
        return [value.si - WARM, value.si + WARM]
    if name.startswith("efficiency"):
        return [value.si - LOSS, min(1.0, value.si + LOSS)]
    if value.si == 0.0:
        return [DRAG * _effort(probe)] if item.path == "load.drag" else []
    low, high = SPANS.get(name, OTHERS)
    return [low * value.si, high * value.si]


def _effort(probe: Probe) -> float:
    """Peak force or torque at the load [N or N*m]."""
    reach = probe.demand.travel_per_radian
    return probe.demand.peak_torque / abs(reach) if reach else probe.demand.peak_torque


def _effect(probe: Probe, item: Input, read: list[tuple[float, Reading]]) -> tuple[float, str]:
    """The largest share of a check's slack that the span eats, and what it does in words."""
    most, said = 0.0, ""
    for line in probe.base.musts:
        if line.used is None or line.yes_no or not math.isfinite(line.used):
            continue
        for end, reading in read:
            after = reading.line(key_of(line))
            if after is None or after.used is None:
                continue
            eaten = (slack(line) - slack(after)) / max(slack(line), LEAST_SLACK)
            if eaten > most + 1e-9:
                most, said = eaten, _said(line, after, end, item)
    return (most, said) if most > IDLE else (0.0, "")


def _said(line: Line, after: Line, end: float, item: Input) -> str:
    used = ("over its limit" if not math.isfinite(u or math.inf) else percent(u or 0.0)
            for u in (line.used, after.used))  # fmt: skip
    before, then = used
    state = {"fails": ", and fails", "short": ", short of its reserve"}.get(after.state, "")
    at = item.shown(end, 3)
    return f"At {at} {lower(line.title)} goes from {before} to {then}{state}."
