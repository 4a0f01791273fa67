"""Five questions, and the text of an axis file from their answers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from math import degrees, isclose, pi

from dutyline.axis.build_motion import ENDLESS_KINDS
from dutyline.axis.fields import choice, nearest
from dutyline.axis.forms import CRANK_KINDS, KINDS, LINEAR_KINDS, LINEAR_LOADS
from dutyline.axis.read import read_axis
from dutyline.core.faults import ValueFault
from dutyline.core.numbers import bare, quantity
from dutyline.core.reading import read_value
from dutyline.core.values import Value

Write = Callable[[str], None]

_SLOPES = {
    "upright": "90 deg",
    "vertical": "90 deg",
    "straight up": "90 deg",
    "level": "0 deg",
    "horizontal": "0 deg",
}
_SPOKEN = (
    (re.compile(r"^(?:one |once )?every\s+", re.IGNORECASE), ""),
    (re.compile(r"\s+(?:times\s+)?(?:an?|each|every)\s+(?=(?:min|h|s))", re.IGNORECASE), " /"),
    (re.compile(r"\s*\btimes\b\s*(?=/|per)", re.IGNORECASE), " "),
)
"""How people say how often, and how it is written."""
_START = "a start, not asked; give your own"
_PARTS: dict[str, tuple[str, ...]] = {
    "ball-screw": ('lead = "10 mm"', 'diameter = "20 mm"', 'length = "800 mm"'),
    "lead-screw": ('lead = "5 mm"', 'diameter = "20 mm"', 'length = "800 mm"', "friction = 0.12"),
    "rack": ("teeth = 20", 'module = "2 mm"'),
    "belt": ("teeth = 24", 'pitch = "8 mm"'),
    "conveyor": ('diameter = "80 mm"', "friction = 0.3"),
    "hoist": ('diameter = "200 mm"',),
    "winder": (
        'core = "76 mm"',
        'full = "600 mm"',
        'start = "300 mm"',
        'width = "500 mm"',
        'thickness = "0.1 mm"',
        'density = "900 kg/m^3"',
    ),
    "feed-rolls": ('diameter = "100 mm"', 'nip_force = "200 N"'),
    "slider-crank": ('crank = "50 mm"', 'rod = "200 mm"'),
    "scotch-yoke": ('crank = "50 mm"',),
    "toggle": ('link = "600 mm"', 'lead = "10 mm"'),
    "four-bar": ('crank = "50 mm"', 'coupler = "140 mm"', 'rocker = "120 mm"', 'ground = "150 mm"'),
    "cam": (
        'sections = [{ angle = "120 deg", lift = "40 mm" }, { angle = "60 deg" }, '
        '{ angle = "120 deg", lift = "-40 mm" }, { angle = "60 deg" }]',
    ),
    "ratio-table": (
        'points = [["0 deg", "0 mm"], ["90 deg", "20 mm"], ["180 deg", "60 mm"], '
        '["270 deg", "90 mm"], ["360 deg", "100 mm"]]',
    ),
    "rotary-load": ('torque = "2 N*m"',),
}
"""What a kind needs besides the five answers; marked as assumed in the file."""


@dataclass(slots=True)
class Answers:
    """What has been understood so far, as it was typed."""

    kind: str = "belt"
    load: str = ""
    slope: str = ""
    way: str = ""
    time: str = ""
    seconds: float = 0.6
    cycle: str = ""
    mains: str = ""
    phases: str = ""
    open: list[str] = field(default_factory=list)

    turn: float = 0.0
    """[rad] of a stated way; 0 where none is stated"""

    @property
    def linear(self) -> bool:
        """Whether what the phases state moves along, not round."""
        return self.kind in LINEAR_KINDS or self.kind == "direct"

    @property
    def asks(self) -> tuple[str, str, str]:
        """Field, dimension and start of the load that is asked for."""
        if self.kind in ("winder", "feed-rolls"):
            return ("tension" if self.kind == "winder" else "tension_in"), "force", "100 N"
        if self.kind in LINEAR_LOADS:
            return "mass", "mass", "10 kg"
        return "inertia", "inertia", "0.1 kg*m^2"

    @property
    def comes_back(self) -> bool:
        """Whether the way there is followed by one back."""
        if self.kind in CRANK_KINDS or self.kind == "four-bar":
            turns = self.turn / (2.0 * pi)
            return not isclose(turns, round(turns), abs_tol=1e-9)
        return self.kind not in ENDLESS_KINDS


def ask(answers: Iterator[str], write: Write, title: str = "New axis") -> str:
    """Ask five things and return the text of an axis file that reads without faults.

    Parameters
    ----------
    answers : iterator of str
        One line each; an empty one leaves the question open, and so does the end.
    write : callable
        Takes the questions and what was understood, line by line.
    title : str
        Title of the axis.

    Returns
    -------
    str
        TOML. What was left open is marked as assumed, and named in comments.
    """
    found = Answers()
    write("dutyline asks five things and leaves a text file. Enter leaves one open.\n")
    for question in QUESTIONS:
        question(found, answers, write)
    return file_text(found, write, title)


def file_text(found: Answers, write: Write, title: str = "New axis") -> str:
    """The text of an axis file from what has been understood; ``write`` takes what is left."""
    text = _text(found, title)
    axis = read_axis("new.toml", text=text)
    weight = axis.train.chain.load.base.gravity != 0.0
    if axis.questions:
        count = len(axis.questions)
        facts = "1 fact is" if count == 1 else f"{count} facts are"
        start = "Gravity axis: " if weight else ""
        write(f"{start}{facts} still worth asking; the file names them in comments.")
        rows = [f"#   {q.path}: {q.text}\n" for q in axis.questions]
        text += "\n# Still worth asking, most influential first:\n" + "".join(rows)
    return text


def _next(answers: Iterator[str]) -> str:
    return next(answers, "").strip()


def _until(
    answers: Iterator[str], write: Write, understand: Callable[[str], str | None]
) -> str | None:
    """Answers until one is understood or left open; what was understood, as a sentence."""
    while True:
        typed = _next(answers)
        if not typed:
            return None
        try:
            said = understand(typed)
        except ValueFault as fault:
            write(f"   {fault.read} {fault.remedy}".rstrip())
            continue
        if said is not None:
            write(f"   {said}" if said else "")
            return said


def _ask_kind(found: Answers, answers: Iterator[str], write: Write) -> str | None:
    write("1  What moves the load?  ball-screw, lead-screw, rack, belt, conveyor,")
    write("   rotary-table, hoist or another of dutyline schema")

    def understand(typed: str) -> str:
        kind = choice(typed, KINDS)
        if kind is None:
            near = nearest(typed, KINDS)
            remedy = f'The nearest is "{near}".' if near else f"There are {', '.join(KINDS)}."
            raise ValueFault(f'There is no "{typed}".', remedy)
        found.kind = kind
        return f"{kind}."

    said = _until(answers, write, understand)
    if said is None:
        write("   Left open; a belt will be assumed.")
        found.open.append("mechanism.kind")
    return said


def _ask_load(found: Answers, answers: Iterator[str], write: Write) -> str | None:
    field, dimension, _ = found.asks
    if field.startswith("tension"):
        write("2  What tension has the web?  e.g. 250 N")
    elif field == "mass":
        write("2  What mass moves, and how steeply?  e.g. 40 kg, or 15.5 lb, 90°")
    else:
        write("2  What inertia turns?  e.g. 0.2 kg*m^2, or 14 lb*ft^2")

    def understand(typed: str) -> str:
        if field != "mass":
            stated = _positive(typed, dimension)
            found.load = typed
            return f"{quantity(stated.si, stated.unit)}."
        first, slope = _with_slope(typed)
        if slope is None and re.search(r"[a-z]\s*[,;]\s*\S", first, re.IGNORECASE):
            raise ValueFault(
                f'"{typed}" lists several things.',
                'Add masses up, "12 kg + 3 kg"; what is carried one way only can be set apart '
                "in the axis.",
            )
        mass = _positive(first, "mass")
        found.load, found.slope = first, "" if slope is None else slope.typed
        return f"{quantity(mass.si, mass.unit)}, {_steep(slope, found.kind)}."

    said = _until(answers, write, understand)
    if said is None:
        write("   Left open; a start value will be assumed.")
    return said


def _with_slope(typed: str) -> tuple[str, Value | None]:
    """Mass and slope of ``15.5 lb, 90°`` or ``12 kg upright``; a decimal comma stays in place."""
    worded = re.fullmatch(rf"(.*)[,;\s]({'|'.join(_SLOPES)})", typed.strip(), re.IGNORECASE)
    if worded:
        return worded[1].strip(" ,;"), read_value(_SLOPES[worded[2].lower()], "angle")
    for mark in (", ", ",", ";"):
        first, found, last = typed.rpartition(mark)
        alone = mark != "," and re.fullmatch(r" *[+-]?[0-9]+([.,][0-9]+)? *", last)
        if found and (alone or re.search("[A-Za-z°]", last)):
            try:
                return first.strip(), read_value(
                    f"{last.strip()}{' deg' if alone else ''}", "angle"
                )
            except ValueFault:
                continue
    return typed, None


def _steep(slope: Value | None, kind: str) -> str:
    if slope is None:
        return "straight up" if kind == "hoist" else "level, as nothing else is said"
    angle = degrees(slope.si)
    if abs(angle) > 90.0 + 1e-9:
        raise ValueFault(f"A slope of {slope.typed} is beyond straight up.", "Give at most 90°.")
    if isclose(angle, 90.0):
        return "straight up"
    return "level" if angle == 0.0 else f"{bare(angle, 3)}° above the level"


def _positive(typed: str, dimension: str) -> Value:
    value = read_value(typed, dimension)
    if value.si <= 0.0:
        raise ValueFault(f"{typed} is not above 0.", "Give it as a positive number.")
    return value


def _ask_way(found: Answers, answers: Iterator[str], write: Write) -> str | None:
    sample = "300 mm in 0.6 s" if found.linear else "90 deg in 0.25 s"
    write(f"3  How far, and in what time?  e.g. {sample}")

    def understand(typed: str) -> str:
        way, _, time = typed.rpartition(" in ")
        if not way:
            raise ValueFault(f'"{typed}" does not say both.', f'Write it like "{sample}".')
        distance = read_value(way.strip(), "length" if found.linear else "angle")
        seconds = _positive(time.strip(), "time")
        if distance.si == 0.0:
            raise ValueFault("A way of zero is no move.", f'Write it like "{sample}".')
        found.way, found.time, found.seconds = way.strip(), time.strip(), seconds.si
        found.turn = 0.0 if found.linear else distance.si
        top = quantity(1.5 * abs(distance.si) / seconds.si, "m/s" if found.linear else "rad/s")
        far, long = (quantity(v.si, v.unit) for v in (distance, seconds))
        return f"{far} in {long}: {top} at the top with thirds."

    said = _until(answers, write, understand)
    if said is None:
        write("   Left open; a start value will be assumed.")
    return said


def _ask_rate(found: Answers, answers: Iterator[str], write: Write) -> str | None:
    write("4  How often?  e.g. 30 /min, or every 2 s")
    back = found.comes_back
    busy = found.seconds * (2.0 if back else 1.0)

    def understand(typed: str) -> str:
        cycle = _cycle(typed, back, answers, write)
        rest = cycle - busy
        if rest <= 1e-9 * cycle:
            both = "There and back take" if back else "The move takes"
            raise ValueFault(
                f"{both} {bare(busy, 4)} s, and a cycle {bare(cycle, 4)} s.", "Say it again."
            )
        found.cycle = f"{cycle:.12g} s"
        beside = "beside the way there and back" if back else "after the move"
        return f"Every {cycle:.2f} s, so {rest:.2f} s remain {beside}."

    said = _until(answers, write, understand)
    if said is None:
        write("   Left open; half the time at rest will be assumed.")
    return said


def _cycle(typed: str, back: bool, answers: Iterator[str], write: Write) -> float:
    """Cycle time in seconds from a rate or a time; a bare number is asked about.

    ``back`` is true where a cycle holds two strokes.
    """
    word = typed.strip()
    for spoken, meant in _SPOKEN:
        word = spoken.sub(meant, word)
    strokes = re.search(r"(single|double)?[ -]?strokes?", word, re.IGNORECASE) if back else None
    if strokes is not None:
        rate = f"{word[: strokes.start()].strip()} {word[strokes.end() :].strip()}"
        if strokes[1] is None:
            raise ValueFault(
                f'"{typed.strip()}" may count every stroke or pairs of them.',
                "Write single strokes or double strokes.",
            )
        return (2.0 if strokes[1].lower() == "single" else 1.0) / _positive(rate, "rate").si
    if re.fullmatch(r"[0-9.,]+", word):
        write(f'   Read "{typed}": per minute or seconds?  /min, s')
        word = f"{word} {_next(answers) or '/min'}"
    try:
        return _positive(word, "time").si
    except ValueFault:
        return 1.0 / _positive(word, "rate").si


def _ask_mains(found: Answers, answers: Iterator[str], write: Write) -> str | None:
    write("5  What mains?  e.g. 230 V, 3 phases")

    def understand(typed: str) -> str:
        volts, phases = _mains(typed)
        silent = ""
        if not phases:
            write("   One or three phases, or dc?  1, 3, dc")
            more = _next(answers)
            silent = "" if more else ", as nothing else is said"
            volts, phases = _mains(f"{volts}, {more or '3'}")
        found.mains, found.phases = volts, phases
        words = {"1": "single-phase", "3": "three-phase", "dc": "dc"}
        return f"{quantity(_positive(volts, 'voltage').si, 'V')} {words[phases or '3']}{silent}."

    said = _until(answers, write, understand)
    if said is None:
        write("   Left open; it has to be stated before drives are chosen.")
    return said


def _mains(typed: str) -> tuple[str, str]:
    """Voltage as typed and ``1``, ``3``, ``dc`` or nothing."""
    lower = typed.lower()
    spoken = {"1": "1|single|one", "3": "3|three", "dc": "dc|direct"}
    volts = re.search(r"(?<![0-9a-wyz.,+-])[0-9][0-9.,]*\s*k?v", lower)
    if volts is None:
        raise ValueFault(f'"{typed}" names no voltage.', 'Write it like "230 V, 3 phases".')
    _positive(typed[volts.start() : volts.end()], "voltage")
    rest = lower[: volts.start()] + " " + lower[volts.end() :]
    phases = [p for p, words in spoken.items() if re.search(rf"\b(?:{words})", rest)]
    return typed[volts.start() : volts.end()], phases[0] if len(phases) == 1 else ""


QUESTIONS = (_ask_kind, _ask_load, _ask_way, _ask_rate, _ask_mains)
"""Each takes its answer from a person and returns what was understood; None where it stays open."""


def _text(found: Answers, title: str) -> str:
    rows = ["schema = 1\n", "\n[axis]", f"title = {_quoted(title)}", "\n[load]"]
    name, _, start = found.asks
    asked = _row(name, found.load, start)
    web = name.startswith("tension")
    if not web:
        rows.append(asked)
    if found.slope:
        rows.append(f"incline = {_quoted(found.slope)}")
    rows += ["\n[mechanism]", f'kind = "{found.kind}"', *([asked] if web else [])]
    for part in _PARTS.get(found.kind, ()):
        key, _, typed = part.partition(" = ")
        plain = typed.isdigit() or typed.startswith("[")
        rows.append(part if plain else f"{key} = {_assumed(typed)}")
    rows += _phases(found)
    cycle = found.cycle or f"{4.0 * found.seconds:.12g} s"
    rows += ["\n[duty]", _row("cycle", found.cycle, cycle)]
    if found.mains:
        phases = f'"{found.phases}"' if found.phases == "dc" else found.phases
        rows += ["\n[site]", f"mains = {_quoted(found.mains)}", f"phases = {phases}"]
    else:
        rows += ["\n# [site]", '# mains = "230 V"', "# phases = 3"]
    return "\n".join(rows) + "\n"


def _phases(found: Answers) -> list[str]:
    turning = "90 deg" if found.comes_back or found.kind in ENDLESS_KINDS[:2] else "360 deg"
    way = found.way or ("300 mm" if found.linear else turning)
    time = found.time or "0.6 s"
    rows = ["\n[[phase]]", 'do = "move"', 'name = "there"', _row("by", found.way, way),
            _row("time", found.time, time), "\n[[phase]]", 'do = "dwell"']  # fmt: skip
    if not found.comes_back:
        return rows
    rows += ["\n[[phase]]", 'do = "move"', 'name = "back"', 'to = "0 mm"',
             _row("time", found.time, time), "\n[[phase]]", 'do = "dwell"']  # fmt: skip
    if not found.linear:
        rows[rows.index('to = "0 mm"')] = 'to = "0 deg"'
    return rows


def _row(key: str, typed: str, start: str) -> str:
    return f"{key} = {_quoted(typed)}" if typed else f"{key} = {_assumed(_quoted(start))}"


def _assumed(value: str) -> str:
    return f'{{ value = {value}, status = "assumed", note = "{_START}" }}'


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
