"""Five answers to an axis file that says what is still open."""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from pathlib import Path

from dutyline.axis.fields import SECTIONS, choice, find, nearest
from dutyline.axis.forms import KINDS, LINEAR_KINDS
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import ValueFault, quoted
from dutyline.core.numbers import quantity
from dutyline.core.reading import read_value

_NEEDED = {
    "ball-screw": ("lead", "diameter", "length"),
    "lead-screw": ("lead", "diameter", "length", "efficiency"),
    "rack": ("diameter",),
    "belt": ("diameter",),
    "conveyor": ("diameter", "friction"),
    "hoist": ("diameter",),
}
"""Fields without which a mechanism of the kind cannot be computed."""
_ENDLESS = ("conveyor", "rotary-table")
_ABOUT_GRAVITY = (
    ("stop", "free_distance", "How far may it run on behind the end of its travel in a stop?"),
    ("require", "brake", "Must it hold without power? Left out: yes, because gravity acts."),
    ("balance", "kind", "Does a counterweight or a gas spring carry part of the load?"),
)
"""Section, field and question of facts that decide about an axis with weight on it."""


class RateUnitNeeded(ValueFault):
    """A bare number for how often: it may count cycles per minute, or seconds."""


@dataclass(frozen=True, slots=True)
class Load:
    """What moves."""

    typed: str
    angle: str
    """As typed; empty where nothing was said of a slope."""
    weighs: bool
    """True when gravity pulls along the travel."""
    echo: str


@dataclass(frozen=True, slots=True)
class Move:
    """How far and in what time."""

    by: str
    time: str
    seconds: float
    echo: str


@dataclass(frozen=True, slots=True)
class Rhythm:
    """How often."""

    field: str
    """``cycle`` or ``rate``"""
    typed: str
    echo: str


@dataclass(frozen=True, slots=True)
class Mains:
    """What feeds the drive."""

    volts: str
    phases: str
    """``1``, ``3``, ``"dc"``, or empty where nothing was said."""
    echo: str


@dataclass(frozen=True, slots=True)
class Draft:
    """The answers; None where one was left open."""

    kind: str | None = None
    load: Load | None = None
    move: Move | None = None
    rhythm: Rhythm | None = None
    mains: Mains | None = None

    @property
    def gravity(self) -> bool:
        """True when the load hangs or climbs."""
        return self.kind == "hoist" or (self.load is not None and self.load.weighs)


def is_linear(kind: str | None) -> bool:
    """True for kinds whose load travels along a line."""
    return kind is None or kind in LINEAR_KINDS or kind == "direct"


def mechanism(text: str) -> str:
    """The kind of mechanism that was typed."""
    found = choice(text, KINDS)
    if found is None:
        near = nearest(text, KINDS)
        remedy = f'The nearest is "{near}".' if near else f"Known are {', '.join(KINDS)}."
        raise ValueFault(f"read {quoted(text)}; a kind of mechanism is needed.", remedy)
    return found


def load(text: str, kind: str | None) -> Load:
    """Mass and slope, ``12 kg + 15.5 lb, 90°``; of a rotary axis its inertia."""
    what, _, slope = (part.strip() for part in text.partition(", "))
    if not is_linear(kind):
        inertia = read_value(text, "inertia")
        return Load(text, "", False, f"{quantity(inertia.si, 'kg*m^2', n=4)}.")
    mass = read_value(what, "mass")
    shown = quantity(mass.si, "kg", n=4)
    if kind == "hoist" and not slope:
        return Load(what, "", True, f"{shown}, straight up.")
    angle = read_value(slope, "angle").si if slope else 0.0
    weighs = abs(math.sin(angle)) > 1e-9
    return Load(what, slope, weighs, f"{shown}, {_slope(angle)}.")


def _slope(angle: float) -> str:
    degrees = math.degrees(angle)
    if abs(degrees) < 1e-9:
        return "level"
    if abs(abs(degrees) - 90.0) < 1e-9:
        return "straight up" if degrees > 0 else "straight down"
    way = "above" if degrees > 0 else "below"
    return f"{quantity(abs(angle), 'rad')} {way} the level"


def move(text: str, kind: str | None) -> Move:
    """Distance and time, ``300 mm in 0.6 s``."""
    found = re.fullmatch(r"(.*\S)\s+in\s+(\S.*)", text.strip())
    if found is None:
        read = f"read {quoted(text)}; a distance and a time are needed."
        raise ValueFault(read, 'Write it like "300 mm in 0.6 s".')
    linear = is_linear(kind)
    by = read_value(found[1], "length" if linear else "angle")
    time = read_value(found[2], "time")
    if time.si <= 0.0 or by.si == 0.0:
        raise ValueFault(f"read {quoted(text)}; both are to be more than zero.")
    unit = ("m", "m/s") if linear else ("rad", "rad/s")
    top = quantity(1.5 * abs(by.si) / time.si, unit[1])
    way, lasts = quantity(by.si, unit[0]), quantity(time.si, "s", n=2)
    return Move(found[1], found[2], time.si, f"{way} in {lasts}: {top} at the top with thirds.")


def rhythm(text: str, kind: str | None, moved: Move | None) -> Rhythm:
    """How often, ``30 /min`` or ``every 2 s``."""
    typed = re.sub(r"^every\s+", "", text.strip())
    if re.fullmatch(r"[0-9.,]+", typed):
        raise RateUnitNeeded(f"Read {quoted(typed)}: per minute or seconds?", "/min, s")
    if typed != text.strip() or not re.search(r"/|per|cycle|cpm|hz", typed, re.I):
        seconds, field = read_value(typed, "time").si, "cycle"
    else:
        rate, field = read_value(typed, "rate").si, "rate"
        seconds = 1.0 / rate if rate > 0.0 else 0.0
    if seconds <= 0.0:
        raise ValueFault(f"read {quoted(text)}; more than zero is needed.")
    return Rhythm(field, typed, _rest(seconds, kind, moved))


def _rest(seconds: float, kind: str | None, moved: Move | None) -> str:
    every = f"Every {seconds:.2f}\u00a0s"
    if moved is None:
        return f"{every}."
    moves = 1 if kind in _ENDLESS else 2
    rest = seconds - moves * moved.seconds
    way = "the move" if moves == 1 else "the way there and back"
    if rest < 0.0:
        read = f"{every} is too short: {way} takes {moves * moved.seconds:.2f}\u00a0s."
        raise ValueFault(read, "Count one whole cycle, there and back.")
    return f"{every}, so {rest:.2f}\u00a0s remain after {way}."


def mains(text: str) -> Mains:
    """Voltage and phases, ``230 V, 3 phases``."""
    volts, _, rest = (part.strip() for part in text.partition(","))
    value = read_value(volts, "voltage")
    if value.si <= 0.0:
        raise ValueFault(f"read {quoted(volts)}; more than zero is needed.")
    phases = _phases(rest)
    words = {"": "phases left open", '"dc"': "DC", "1": "single-phase", "3": "three-phase"}
    return Mains(volts, phases, f"{quantity(value.si, 'V')}, {words[phases]}.")


def _phases(text: str) -> str:
    if not text:
        return ""
    word = text.lower()
    if re.fullmatch(r"dc|direct current", word):
        return '"dc"'
    for number, spelt in (("1", r"(1|one|single)\b"), ("3", r"(3|three)\b")):
        if re.match(spelt, word):
            return number
    raise ValueFault(f"read {quoted(text)}; the phases are 1, 3 or dc.")


def _said(text: str) -> str:
    """A TOML string."""
    return json.dumps(text, ensure_ascii=False)


def _open(section: str, name: str, kind: str | None = None) -> str:
    """A comment that names a field still open and what it means."""
    found = find(SECTIONS[section], name, kind)
    meaning = found.meaning if found else ""
    return f'# {name} = ""  # {meaning}'


def _mechanism_lines(draft: Draft) -> list[str]:
    kind = f"kind = {_said(draft.kind)}" if draft.kind else '# kind = ""  # What moves the load?'
    wanted = [_open("mechanism", name, draft.kind) for name in _NEEDED.get(draft.kind or "", ())]
    note = ["# Needed; take the # away and fill in:"] if wanted else []
    return ["", "[mechanism]", kind, *note, *wanted]


def _load_lines(draft: Draft) -> list[str]:
    name = "mass" if is_linear(draft.kind) else "inertia"
    if draft.load is None:
        return ["", "[load]", _open("load", name)]
    lines = ["", "[load]", f"{name} = {_said(draft.load.typed)}"]
    return lines + ([f"incline = {_said(draft.load.angle)}"] if draft.load.angle else [])


def _phase_lines(draft: Draft) -> list[str]:
    moved = draft.move
    if moved is None:
        return [
            "",
            "# [[phase]]",
            '# do = "move"',
            '# by = ""    # How far?',
            '# time = ""  # How long?',
        ]
    back = moved.by.removeprefix("-") if moved.by.startswith("-") else f"-{moved.by}"
    ways = [moved.by] if draft.kind in _ENDLESS else [moved.by, back]
    lines = []
    for by in ways:
        lines += [
            "",
            "[[phase]]",
            'do = "move"',
            f"by = {_said(by)}",
            f"time = {_said(moved.time)}",
        ]
        lines += ["", "[[phase]]", 'do = "dwell"'] if draft.rhythm else []
    return lines


def _around_lines(draft: Draft) -> list[str]:
    lines = []
    if draft.rhythm:
        lines += ["", "[duty]", f"{draft.rhythm.field} = {_said(draft.rhythm.typed)}"]
    volts = f"mains = {_said(draft.mains.volts)}" if draft.mains else '# mains = ""   # 230 V?'
    stated = draft.mains is not None and draft.mains.phases
    phases = (
        f"phases = {draft.mains.phases}"
        if draft.mains and stated
        else "# phases =     # 1, 3 or dc"
    )
    head = "[site]" if draft.mains else "# [site]     # select and verify need it"
    return [*lines, "", head, volts, phases]


def axis_text(draft: Draft, title: str) -> str:
    """The axis file: answers as typed, everything still open as a comment."""
    lines = ["schema = 1", "", "[axis]", f"title = {_said(title)}"]
    lines += _load_lines(draft) + _mechanism_lines(draft) + _phase_lines(draft)
    lines += _around_lines(draft)
    if draft.gravity:
        lines += ["", "# Gravity axis. Worth asking:"]
        lines += [f"# {section}.{name}: {text}" for section, name, text in _ABOUT_GRAVITY]
    return "\n".join(lines) + "\n"


def open_facts(draft: Draft) -> str:
    """How much is still worth asking, as a sentence; empty where nothing is."""
    if draft.gravity:
        count = len(_ABOUT_GRAVITY)
        return (
            f"Gravity axis: {count} facts are still worth asking; the file names them in comments."
        )
    return ""


def require_free(target: str) -> None:
    """The file to be left must not be there yet.

    Raises
    ------
    InputError
        It is, or its folder is not.
    """
    path = Path(target)
    if path.exists():
        fault = Fault("", "", f"{target} exists; name another with --to, or edit it.")
        raise InputError(target, [fault])
    if not path.parent.is_dir():
        raise InputError(target, [Fault("", "--to", f'there is no folder "{path.parent}".')])


def write_new(draft: Draft, target: str) -> None:
    """Write the file; one that exists meanwhile is not touched."""
    path = Path(target)
    title = path.stem.replace("-", " ").replace("_", " ").strip().capitalize() or "Axis"
    try:
        with path.open("x", encoding="utf-8") as stream:
            stream.write(axis_text(draft, title))
    except FileExistsError:
        require_free(target)
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError(target, [Fault("", "--to", f"cannot be written: {reason}.")]) from None
