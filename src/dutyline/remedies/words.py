"""Remedies as sentences."""

from __future__ import annotations

from dutyline.checks.records import Line
from dutyline.checks.sentence import FAR
from dutyline.core.numbers import MINUS, group, percent, significant
from dutyline.core.wording import phase_name
from dutyline.remedies.levers import Changes, Lever, owner_of, shown
from dutyline.remedies.probe import Goal, Key, Reading, slack
from dutyline.remedies.records import Doubt, Effect, Range, RatioBand, Slope

FAMILIES = {
    "move": "slower moves",
    "rest": "longer rests",
    "load": "a lighter load",
    "friction": "less friction",
    "transmission": "another transmission",
    "seat": "a shorter arm at the shaft",
    "tension": "another pretension",
    "stiffness": "a stiffer train",
    "control": "other gains",
    "ambient": "cooler air",
    "wish": "an easier requirement",
    "mains": "other mains",
    "hold": "closing the brake at rest",
    "ratio": "another ratio",
    "gearhead": "another frame of gearhead",
    "motor": "another motor",
    "drive": "another drive",
    "brake": "another brake",
    "resistor": "another resistor",
}
"""Kinds of change in a sentence."""


def lower(title: str) -> str:
    """A title inside a sentence."""
    return title[:1].lower() + title[1:]


def listed(items: list[str], last: str = "and") -> str:
    """``a, b and c``"""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def changed_number(lever: Lever, way: int, after: Changes) -> str:
    """A change of one number as the subject of a sentence."""
    before = lever.stated()
    first = lever.paths[0]
    verb = "Raising" if way > 0 else "Lowering"
    if len(lever.paths) == 1:
        return f"{verb} {lever.name} from {shown(before[first])} to {shown(after[first])}"
    each = listed([f"{phase_name(owner_of(p))} {shown(after[p])}" for p in lever.paths])
    if lever.name == "every move":
        return f"Slowing every move down, {each},"
    return f"{verb} {lever.name}, {each},"


def helps(subject: str, reading: Reading, goal: Goal, key: Key) -> str:
    """The whole sentence: all of it would do, or this check alone and what then stands against."""
    if goal.whole:
        return f"{subject} would do{', but for what lacks data' if goal.but else ''}."
    line = reading.line(key)
    used = None if line is None or line.yes_no else line.used
    then = "" if used is None else f", {percent(used)},"
    worst = reading.worst(but=(key, *goal.but))
    if worst is None or slack(worst) >= 0:
        return f"{subject} would settle this{then.rstrip(',')}."
    return f"{subject} would settle this{then} but {stands_against(worst)}."


def stands_against(line: Line) -> str:
    """``top speed fails with 104 %``"""
    if line.state == "not-checked":
        return f"{lower(line.title)} could not be checked then"
    if line.yes_no or line.used is None:
        return f"{lower(line.title)} fails then"
    word = "is short of its reserve" if line.state == "short" else "fails"
    share = f" with {percent(line.used)}" if line.used <= FAR else ""
    return f"{lower(line.title)} {word}{share}"


def in_vain(families: list[str], settled: bool) -> str:
    """What was tried and does not help by itself, after what nothing does where that is so."""
    names = list(dict.fromkeys(FAMILIES[family] for family in families))
    none = "" if settled else "No single change makes everything pass. "
    if not names:
        return none.strip()
    if len(names) == 1:
        return f"{none}{names[0].capitalize()} does not help by itself."
    return f"{none}Neither {listed(names, 'nor')} helps by itself."


NUDGE = 0.005
"""Share by which an input is moved for its slope."""
LEAST_SLOPE = 5e-3
"""[1] Slope below which nothing is said: half a hundredth of a point per percent."""
JUMP = 0.02
"""[1] Change of the least slack by a nudge above which it is a jump and no slope."""


def each(texts: str) -> str:
    """Typed quantities joined by commas, as print has them."""
    return listed([shown(text) for text in texts.split(", ")])


def how_far(effect: Effect) -> list[str]:
    """What is said of one input: how far it may go each way, and how the verdict answers."""
    head = f"{effect.name[:1].upper()}{effect.name[1:]}, now {each(effect.before)}"
    ends = "; ".join(end_words(one) for one in effect.ranges)
    said = [f"{head}: {ends}." if ends else f"{head}."]
    slope = sensitivity(effect.slope)
    return [*said, slope] if slope else said


def end_words(one: Range) -> str:
    """``up to 44 kg, then hold ratio``"""
    way = "up to" if one.way > 0 else "down to"
    if not one.binds:
        return f"{way} {each(one.end)} everything meets"
    if one.after == one.before:
        return f"any {'more' if one.way > 0 else 'less'} and {lower(one.binds)} is not met"
    return f"{way} {each(one.after)}, then {lower(one.binds)}"


def sensitivity(slope: Slope) -> str:
    """What a percent does to the tightest check; jumps are told as such, flats not at all."""
    sides = []
    for word, share, check in (
        ("less", slope.less, slope.less_check),
        ("more", slope.more, slope.more_check),
    ):
        if share is None or abs(share) < LEAST_SLOPE:
            continue
        if abs(share) * NUDGE > JUMP:
            sides.append(f"{word}: {lower(check)} jumps")
        else:
            sign = "+" if share > 0 else MINUS
            sides.append(f"{word}: {sign}{group(abs(share), 2)} points, {lower(check)}")
    return f"One percent {'; one percent '.join(sides)}." if sides else ""


def band_words(band: RatioBand) -> list[str]:
    """The workable band and the optima, as sentences."""
    spans = [f"{significant(low)} to {significant(high)}" for low, high in band.bands]
    said = [f"Everything meets from ratio {listed(spans)}, for {band.ideal}."]
    if not spans:
        said = [f"No ratio meets everything, for {band.ideal}."]
    inertia, rms = band.inertia_optimum, band.rms_optimum
    if inertia == inertia:
        text = f"Least torque of the inertia alone at {significant(inertia)}"
        end = f", least rms torque of this motion at {significant(rms)}"
        said.append(f"{text}{end if rms < float('inf') else ''}, losses left aside.")
    return said


def doubt_words(doubt: Doubt) -> str:
    """An open question with the default used and what hangs on it."""
    used = f" Used: {doubt.used}." if doubt.used else ""
    return f"{doubt.text}{used} {doubt.effect}".rstrip()
