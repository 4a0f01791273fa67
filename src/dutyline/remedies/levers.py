"""The inputs of an axis that a user may change, and which way each may help."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from dutyline.axis.model import Axis, Input
from dutyline.core.numbers import SPACE, THIN, Scale, group, pretty_unit, scale_for, with_unit
from dutyline.core.values import Value
from dutyline.remedies.steps import outward, step_of

Changes = dict[str, str]

_TYPED = re.compile(
    r"([-+]?[0-9]+(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?)\s*"
    r"(?!.*(?:[*/+x] *[0-9(]| - |-\())([^-\s.,;0-9(][^,;]*)"
)
TOGETHER = {
    ".time": "every move",
    ".ramp": "every ramp",
    ".speed": "every speed",
    ".accel": "every acceleration",
}
"""Fields of moves that are also stretched alike, and what they are called then."""
COOLEST = 20.0
"""[degC] Nobody is asked to keep a machine cooler."""


@dataclass(frozen=True, slots=True)
class Rule:
    """Fields of one kind: how they may move, and up to which share of what is stated."""

    paths: str
    """Pattern of their paths."""
    family: str
    ways: tuple[int, ...]
    """1 where more may help, -1 where less may."""
    least: float = 0.1
    most: float = 8.0
    does: tuple[str, ...] = ()
    """Phases they belong to."""
    top: float = math.inf
    """Largest value that makes sense."""
    harms: tuple[int, ...] | None = None
    """Ways that may harm; the other ways where None."""


RULES: tuple[Rule, ...] = (
    Rule(r"phase\..+\.time", "move", (1,), does=("move",)),
    Rule(r"phase\..+\.(speed|accel|decel|jerk)", "move", (-1,), does=("move", "run")),
    Rule(r"phase\..+\.(accel_time|decel_time|accel_share|decel_share|ramp)", "move", (1, -1),
         does=("move", "run")),
    Rule(r"phase\..+\.time", "rest", (1,), most=20.0, does=("dwell",)),
    Rule(r"duty\.cycle", "rest", (1,), most=20.0),
    Rule(r"duty\.rate", "rest", (-1,), least=0.05),
    Rule(r"load\.payloads\..+\.(mass|inertia)", "load", (-1,)),
    Rule(r"load\.(mass|inertia|arm|body\..+\.mass)", "load", (-1,)),
    Rule(r"(phase\..+\.force|force\..+\.value)", "load", (-1,)),
    Rule(r"mechanism\.inertia|stage\..+\.(inertia|inertia_out)", "load", (-1,)),
    Rule(r"balance\..+\.(mass|force)", "load", (1, -1), least=0.2, most=5.0),
    Rule(r"(load|mechanism|stage\..+)\.(friction|drag|drag_out|viscous|viscous_out)", "friction",
         (-1,)),
    Rule(r"(mechanism|stage\..+)\.efficiency", "friction", (1,), most=2.0, top=1.0),
    Rule(r"mechanism\.(lead|pitch|diameter|teeth)", "transmission", (1, -1), 0.2, 5.0),
    Rule(r"stage\..+\.ratio", "transmission", (1, -1), 0.2, 5.0),
    Rule(r"(mechanism|stage\..+)\.(overhang|radial_force|axial_force|axial_arm)", "seat", (-1,)),
    Rule(r"(mechanism|stage\..+)\.(pretension|spring_force|spring_stiffness)", "tension", (1, -1)),
    Rule(r"stage\..+\.bearing_span", "seat", (1,)),
    Rule(r"(mechanism|stage\..+)\.(stiffness|belt_stiffness|nut_stiffness|bearing_stiffness)",
         "stiffness", (1,)),
    Rule(r"control\.feed_forward", "control", (1,), top=1.0),
    Rule(r"control\.(velocity_gain|position_gain)", "control", (1,)),
    Rule(r"require\.settle", "wish", (1,), most=20.0),
    Rule(r"site\.ambient", "ambient", (-1,)),
    Rule(r"site\.mains", "mains", (), least=0.5, harms=(-1,)),
    Rule(r"site\.altitude", "ambient", (), most=5.0, harms=(1,)),
    Rule(r"require\.position", "wish", (1,), most=20.0),
    Rule(r"require\.life|duty\.(hours|days|years)", "wish", (-1,)),
)  # fmt: skip
"""The first rule that fits a field holds."""


@dataclass(frozen=True, slots=True)
class Lever:
    """One input, or all moves together, with the places to which it may be taken.

    A *place* is the share of what is stated, or for temperatures the kelvins away from it.
    """

    paths: tuple[str, ...]
    name: str
    """In a sentence: ``the moving mass``."""
    family: str
    base: tuple[float, ...]
    """As stated, SI."""
    unit: str
    scales: tuple[Scale, ...]
    """Units in which they are told: as typed where that can be read off."""
    ways: tuple[int, ...]
    """Ways that may help."""
    harms: tuple[int, ...]
    """Ways that may harm."""
    least: float
    most: float
    start: float = 1.0
    """The place as it is."""
    top: float | None = None
    """Largest value that makes sense [unit]."""
    count: bool = False
    """Whole numbers only."""

    def values(self, place: float) -> tuple[float, ...]:
        """Values in SI at a place."""
        if self.unit == "degC":
            return tuple(v + place for v in self.base)
        values = tuple(v * place for v in self.base)
        return tuple(float(max(1, round(v))) for v in values) if self.count else values

    def place_of(self, value: float) -> float:
        """The place at which the first path has a value."""
        return value - self.base[0] if self.unit == "degC" else value / self.base[0]

    def place_of_text(self, typed: Changes) -> float:
        """The place of what :meth:`rounded` gave, by its first path."""
        number = float(typed[self.paths[0]].partition(" ")[0])
        return self.place_of(number * self.scales[0].size)

    def changes(self, place: float) -> Changes:
        """What would stand in the file, to the last digit."""
        unit = "" if self.unit == "1" else f" {self.unit}"
        numbers = [str(int(v)) if self.count else repr(v) for v in self.values(place)]
        return {p: f"{n}{unit}" for p, n in zip(self.paths, numbers, strict=True)}

    def rounded(self, place: float, way: int, finer: float = 1.0) -> Changes:
        """What a person would write for the next sensible values beyond a place."""
        found = {}
        for path, value, scale in zip(self.paths, self.values(place), self.scales, strict=True):
            number = value / scale.size
            step = 1.0 if self.unit == "degC" or self.count else step_of(number)
            turn = way if number >= 0 else -way
            found[path] = _typed(outward(number, turn, step / finer), scale)
        return found

    def stated(self) -> Changes:
        """What is stated now, in the same units."""
        pairs = zip(self.paths, self.base, self.scales, strict=True)
        return {path: _typed(float(f"{v / s.size:.6g}"), s) for path, v, s in pairs}


def _typed(number: float, scale: Scale) -> str:
    text = f"{number:.10g}" if abs(number) < 1e9 else repr(number)
    return f"{text} {scale.text}".strip()


def shown(typed: str) -> str:
    """A typed quantity as print has it: groups of three, no-break space before the unit."""
    number, _, unit = typed.partition(" ")
    digits = len(number.partition(".")[2])
    return with_unit(group(float(number), digits), pretty_unit(unit))


def plain(text: str) -> str:
    """Print without its special spaces and minus."""
    return text.replace(THIN, "").replace(SPACE, " ").replace("\u2212", "-")


def levers_of(axis: Axis) -> tuple[Lever, ...]:
    """Every stated number that a user may change, in the order of the file; moves together too.

    Defaults count where they are assumed facts of the machine and not zero.
    """
    found = [lever for item in axis.inputs for lever in _lever(item, axis)]
    for ending, name in TOGETHER.items():
        alike = [one for one in found if one.family == "move" and one.paths[0].endswith(ending)]
        if len(alike) > 1:
            found.insert(found.index(alike[-1]) + 1, _together(alike, name))
    return tuple(found)


def _together(levers: list[Lever], name: str) -> Lever:
    """Several levers of one kind, stretched alike."""
    return replace(
        levers[0],
        paths=tuple(lever.paths[0] for lever in levers),
        name=name,
        base=tuple(lever.base[0] for lever in levers),
        scales=tuple(lever.scales[0] for lever in levers),
    )


def owner_of(path: str) -> str:
    """The name of the table of a path: ``fly out`` of ``phase.fly out.time``."""
    return path.partition(".")[2].rpartition(".")[0]


def _lever(item: Input, axis: Axis) -> Iterator[Lever]:
    value = item.value
    if not isinstance(value, Value) or not math.isfinite(value.si):
        return
    for rule in RULES:
        if not re.fullmatch(rule.paths, item.path):
            continue
        if rule.does and _does(item.path, axis) not in rule.does:
            continue
        yield from _placed(item, value, rule)
        return


def _placed(item: Input, value: Value, rule: Rule) -> Iterator[Lever]:
    name, count = _name(item), item.path.endswith(".teeth")
    harms = tuple(-way for way in rule.ways) if rule.harms is None else rule.harms
    own = (item.path,), name, rule.family, (value.si,), value.unit, (_scale(value),)
    if value.unit == "degC":
        yield Lever(*own, rule.ways, harms, min(0.0, COOLEST - value.si), 60.0, 0.0)
    elif value.si != 0.0:
        most = rule.most if math.isinf(rule.top) else min(rule.most, rule.top / value.si)
        top = None if math.isinf(rule.top) else rule.top
        yield Lever(*own, rule.ways, harms, rule.least, most, top=top, count=count)


def _scale(value: Value) -> Scale:
    """The unit that was typed, where the text is one number and one unit; else the usual one."""
    found = _TYPED.fullmatch(value.typed.strip())
    usual = scale_for(value.unit, value.si, "inch" if value.inch else "si")
    if found is None or value.unit in ("degC", "1") or float(found[1]) == 0.0:
        return usual
    return Scale(value.si / float(found[1]), found[2])


def _does(path: str, axis: Axis) -> str:
    """What the phase of a path does."""
    own = owner_of(path)
    tables = axis.stated.get("phase", [])
    for number, table in enumerate(tables, 1):
        if own in (table.get("name"), str(number)):
            return str(table.get("do", ""))
    return ""


def _name(item: Input) -> str:
    """A field inside a sentence: ``the time of “up”``."""
    owner, colon, own = item.label.partition(": ")
    if not colon:
        owner, own = "", item.label
    if item.path.startswith("stage."):
        owner = owner_of(item.path)
    own = own[:1].lower() + own[1:]
    if item.path.startswith("load.body."):
        return f"the {own} of body {item.path.split('.')[2]}"
    if not owner:
        return f"the {own}"
    section, _, rest = item.path.partition(".")
    number = rest.partition(".")[0]
    return f"the {own} of {section} {number}" if number.isdigit() else f"the {own} of “{owner}”"
