"""What the customer must keep for the verdict to stand."""

from __future__ import annotations

from dutyline.axis.fields import SECTIONS
from dutyline.axis.model import Axis, Input
from dutyline.checks.fitted import Chosen
from dutyline.checks.records import Verdict
from dutyline.core.numbers import judged, quantity, significant, stated_quantity
from dutyline.core.values import Value
from dutyline.core.wording import lower_first
from dutyline.report.parts import milliseconds, phase_word, torque_limit
from dutyline.report.sections.cautions import LOSS
from dutyline.report.sections.ledger import needing
from dutyline.report.tree import Words, words
from dutyline.report.words import listed, with_echo

SWEPT = {field.name for field in SECTIONS["phase"].fields if field.swept}
"""Fields of a phase whose ranges are swept."""
ON_PAGE_ONE = 7
"""More conditions than this are continued before the inputs."""


def conditions(verdict: Verdict, parts: Chosen) -> tuple[Words, ...]:
    """Every condition as a sentence, those on the load first."""
    axis: Axis = verdict.axis
    said = [
        *_loads(axis),
        *_ranges(axis),
        *_decisions(verdict),
        *_torque_limit(verdict, parts),
        *_speeds(axis),
        *_times(axis),
        *_assumed(axis),
        *_brake(axis, parts),
        *(c for c in verdict.cautions if c.startswith(f"{LOSS}:")),
        *_place(axis, parts),
        *_mains(axis),
    ]
    return tuple(words(s) for s in said)


def _values(axis: Axis, prefix: str) -> list[tuple[Input, Value]]:
    return [
        (i, i.value)
        for i in axis.inputs
        if isinstance(i.value, Value) and i.path.startswith(prefix)
    ]


def _largest(axis: Axis, prefix: str) -> list[tuple[Input, Value]]:
    """Values below a path, each the largest that some case of the axis has."""
    found: dict[str, tuple[Input, Value]] = {}
    for case in axis.every_case:
        for item, value in _values(case, prefix):
            if item.path not in found or value.si > found[item.path][1].si:
                found[item.path] = item, value
    return list(found.values())


def _loads(axis: Axis) -> list[str]:
    masses = [
        (i, v)
        for i, v in [*_largest(axis, "load.mass"), *_largest(axis, "load.payloads")]
        if v.unit == "kg" and not _ranged(v)
    ]
    parts = [f"{lower_first(i.label)} {with_echo(v)}" for i, v in masses]
    if parts and any(i.path.startswith("load.body.") for i in axis.inputs):
        parts.append("the bodies in the inputs")
    said = [f"What moves weighs at most: {listed(parts)}."] if parts else []
    for _, value in _largest(axis, "load.inertia"):
        if not _ranged(value):
            said.append(f"The inertia of the bare load is at most {with_echo(value)}.")
    for item, value in _largest(axis, "mechanism.tension"):
        if item.path == "mechanism.tension" and not _ranged(value):
            said.append(f"The web pulls with at most {with_echo(value)}.")
    return said


def _speeds(axis: Axis) -> list[str]:
    """Steady speeds, which no time of a move limits."""
    phases = [p for case in axis.every_case for p in case.cycle.phases if p.do == "run"]
    top = max((p.top_speed for p in phases), default=0.0)
    if top == 0.0:
        return []
    return [f"Nothing runs faster than {quantity(top, 'm/s' if axis.linear else 'rad/s')}."]


def _ranged(value: Value) -> bool:
    return value.low is not None and value.high is not None


def _ranges(axis: Axis) -> list[str]:
    """What was stated as a range: the verdict stands for the value taken from it alone."""
    said = []
    for item, v in _values(axis, ""):
        if v.low is not None and v.high is not None and _swept(item.path):
            ends = (stated_quantity(end, v.unit) for end in (v.low, v.high))
            said.append(f"{item.label}: not outside of {' to '.join(ends)}.")
        elif v.low is not None and v.high is not None and v.si != 0:
            taken = judged(v.si, v.low, v.high, v.unit, inch=v.inch)
            said.append(f"{item.label}: judged at {taken}; ask or judge the upper end.")
    return said


def _swept(path: str) -> bool:
    """Whether every product of a stated range was judged."""
    return path.startswith("phase.") and path.rpartition(".")[2] in SWEPT


def _decisions(verdict: Verdict) -> list[str]:
    """Changes that would restore a missing reserve, as found by re-running."""
    said = []
    for line in needing(verdict):
        if line.state == "short" and line.severity == "must":
            found = [remedy.text for remedy in line.remedies[:1]]
            lead = f"{line.title} is short of the wanted reserve."
            said += [" ".join([lead, *found])] if found else []
    return said[:2]


def _torque_limit(verdict: Verdict, parts: Chosen) -> list[str]:
    """Where the motor could break the gearhead, the drive must keep it from that."""
    line = next((ln for ln in verdict.ledger if ln.check == "gear-torque-limit-set"), None)
    limit = torque_limit(verdict, parts)
    if line is None or not line.text or limit is None:
        return []
    said = f"The torque limit of the drive is set to {quantity(limit[0], 'N*m')} or less"
    return [f"{said}: that {limit[1]}."]


def _said(name: str) -> str:
    return f"phase {name}" if name.isdigit() else f"“{name}”"


def _times(axis: Axis) -> list[str]:
    moves = [p for p in axis.cycle.phases if p.do == "move" and p.distance]
    cycle = stated_quantity(min(case.cycle.duration for case in axis.every_case), "s", 3)
    if axis.cases:
        return [f"A cycle takes at least {cycle}, every move as in the motion table or its case."]
    if not moves or len(moves) > 4:
        return [f"The cycle takes at least {cycle}, every move as in the motion table."]
    each = [f"{_said(p.name)} {stated_quantity(p.duration, 's', 3)}" for p in moves]
    return [
        f"No move is shorter than here: {listed(each)}; the whole cycle takes at least {cycle}."
    ]


def _assumed(axis: Axis) -> list[str]:
    found = [
        (i, v)
        for i, v in _values(axis, "")
        if v.status == "assumed"
        and not _ranged(v)
        and v.si != 0
        and not i.path.startswith(("site", "require", "duty", "cable"))
    ]
    if not found:
        return []
    each = [f"{lower_first(i.label)} {with_echo(v)}" for i, v in found[:4]]
    more = f" and {len(found) - 4} more in the inputs" if len(found) > 4 else ""
    return [f"Assumed until measured: {listed(each)}{more}."]


def _brake(axis: Axis, parts: Chosen) -> list[str]:
    said = []
    brake = parts.brake
    if brake is not None and brake.engage_time is not None:
        delay = milliseconds(brake.engage_time + axis.stop.reaction)
        said.append(
            f"The brake closes before the motor lets go; it grips {delay} after the command."
        )
    free = axis.stop.free_distance
    if free is not None:
        unit = "m" if axis.linear else "rad"
        ends = sorted({stated_quantity(f, unit) for f in free})
        said.append(f"Behind the ends of the travel {listed(ends)} stay free.")
    return said


def _place(axis: Axis, parts: Chosen) -> list[str]:
    site, motor = axis.site, parts.motor
    if site is None or motor is None:
        return []
    air = f"in air of at most {stated_quantity(site.ambient, 'degC', 3)}"
    if site.altitude > 1000:
        air += f", up to {stated_quantity(site.altitude, 'm')} above sea level"
    side, thick = motor.test_plate_side, motor.test_plate_thickness
    if site.plate is None and side is not None and thick is not None:
        size = f"{significant(1e3 * side)} × {significant(1e3 * side)} × "
        plate = f"{size}{stated_quantity(thick, 'm')}"
        return [f"The motor sits on a metal plate of {plate} or more, {air}."]
    return [f"The motor stands {air}."]


def _mains(axis: Axis) -> list[str]:
    site = axis.site
    if site is None:
        return []
    low = stated_quantity(site.mains * (1 + site.mains_low), "V")
    return [
        f"Mains {stated_quantity(site.mains, 'V')} {phase_word(site.phases)}, never below {low}."
    ]
