"""What is still open: at most seven questions, most influential first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from dutyline.axis.fields import SECTIONS
from dutyline.axis.fields_mechanism import TITLES
from dutyline.axis.forms import ROTARY_KINDS, Field
from dutyline.axis.model import Question
from dutyline.axis.readings import readings
from dutyline.axis.stated import Stated, Tree
from dutyline.core.numbers import judged, marked, stated_quantity
from dutyline.core.values import Value
from dutyline.motion.pieces import Cycle
from dutyline.train.records import Load, Train

_LOSSLESS = ("rotary-table", "swing-arm", "rotary-load", "direct")
_UNGUIDED = ("conveyor", "hoist", "winder", "feed-rolls")
"""Kinds that turn with the shaft: their losses are drags."""
_TABLES = ("rotary-table", "swing-arm")
_SEATED = ("belt", "rack", "hoist", "conveyor")
"""Kinds whose wheel or drum sits on the output shaft where no stage stands between."""
MOST = 7
"""Questions asked at once; more are not answered."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What decides whether a question matters."""

    tree: Tree
    kind: str
    linear: bool
    weight: bool
    """Whether gravity pulls the load somewhere."""
    moves: bool
    direct_current: bool
    """Whether a battery or a dc supply feeds the drive."""

    def open(self, path: str) -> bool:
        """Whether a field is left to its default, or has none."""
        section, _, name = path.partition(".")
        table = self.tree.one(section)
        return table is None or not table.has(name)

    def has_field(self, path: str) -> bool:
        """Whether the kind of this axis has the field, and a calculation uses it."""
        section, _, name = path.partition(".")
        table = self.tree.one(section)
        kind = table.kind if table is not None else None
        return name in SECTIONS[section].used_names(kind)


@dataclass(frozen=True, slots=True)
class Gap:
    """A fact that is often forgotten."""

    rank: int
    path: str
    text: str
    effect: str
    when: Callable[[Facts], bool] = lambda facts: True


GAPS: tuple[Gap, ...] = (
    Gap(10, "site.mains", "What mains feed the drive: voltage and phases?",
        "Decides which motors and drives can be checked at all."),
    Gap(11, "load.inertia", "What inertia has the mass of the load about the axis of rotation?",
        "Moves the peak torque, the rms torque and the inertia ratio; until then it has none.",
        lambda facts: weightless(facts.tree.one("load"), facts.kind)),
    Gap(11, "mechanism.starts", "Has the screw one thread or several?",
        "Several starts travel as many times the pitch with each turn: a whole factor in speed "
        "and torque.", lambda facts: _pitched(facts)),
    Gap(11, "site.mains_high", "Between which voltages does the dc supply lie, empty and charging?",
        "The lowest sets the top speed, the highest what is left for braking energy.",
        lambda facts: facts.direct_current),
    Gap(12, "load.incline", "Is the travel level, or does it climb?",
        "Decides about weight, brake and braking energy.", lambda facts: facts.kind != "hoist"),
    Gap(13, "mechanism.helix", "Are the teeth straight or helical, the module of which section?",
        "A helix makes the pitch diameter larger, 6 % at 19.5 degrees, and torque with it.",
        lambda facts: facts.kind == "rack" and _stated(facts, "module")),
    Gap(14, "tandem.share", "How unevenly do the motors share the load?",
        "The most loaded one decides; 60 % of two is usual where a carriage travels across.",
        lambda facts: facts.tree.one("tandem") is not None),
    Gap(14, "load.friction", "How high is the friction of the guide?",
        "Moves rms torque; low friction makes braking energy larger.",
        lambda facts: facts.moves and facts.kind not in _UNGUIDED),
    Gap(16, "load.drag", "What drag do seals, scrapers and cable chain add?",
        "Moves rms torque and the smallest motor.", lambda facts: facts.moves),
    Gap(18, "mechanism.efficiency", "How efficient is the {mechanism}?",
        "Moves peak and rms torque both ways.",
        lambda facts: facts.moves and facts.kind not in _LOSSLESS and not _slides(facts)),
    Gap(19, "mechanism.belt_mass", "What does the {element} weigh?",
        "Moves the inertia and the peak torque of quick moves.",
        lambda facts: facts.moves and not facts.has_field("mechanism.belt_length")),
    Gap(19, "mechanism.belt_length", "How long is the whole {element}?",
        "With its weight it moves the inertia and the peak torque of quick moves.",
        lambda facts: facts.moves and facts.open("mechanism.belt_mass")),
    Gap(19, "mechanism.belt_mass", "What does the {element} weigh for its length?",
        "Moves the inertia and the peak torque of quick moves.",
        lambda facts: facts.moves and facts.has_field("mechanism.belt_length")
        and not facts.open("mechanism.belt_length")),
    Gap(19, "mechanism.inertia", "What inertia have the {wheels}?",
        "Moves the inertia and the peak torque of quick moves.",
        lambda facts: facts.moves and facts.kind == "belt" and not _stated(facts, "body")),
    Gap(19, "mechanism.inertia", "What else turns with the table: hub, shaft, rotary union?",
        "Moves the inertia and the peak torque of quick moves.",
        lambda facts: facts.moves and facts.kind in _TABLES and not _stated(facts, "body")),
    Gap(20, "mechanism.stiffness", "How stiff is the {mechanism}?",
        "Opens first resonance, wind-up and settling.",
        lambda facts: _soft(facts) and _exact(facts)),
    Gap(22, "site.people_near", "May people be near the load or beneath it?",
        "Decides the hold ratio of the brake.", lambda facts: facts.weight),
    Gap(35, "stop.free_distance", "How much room is left behind the end of travel?",
        "Opens the stopping distances.", lambda facts: facts.weight),
    Gap(26, "require.position", "How exactly must the load be placed?",
        "Makes encoder step and lost motion count."),
    Gap(28, "require.settle", "How long may it take to settle after a move?",
        "Makes the settling time count.", lambda facts: facts.moves),
    Gap(15, "load.breakaway", "How much harder is it to start than to keep moving?",
        "Moves the peak torque at starts.", lambda facts: _rubs(facts, 0.15)),
    Gap(30, "load.breakaway", "How much harder is it to start than to keep moving?",
        "Moves the peak torque at starts.",
        lambda facts: _rubs(facts, 0.05) and not _rubs(facts, 0.15)),
    Gap(32, "site.ambient", "How warm is the air at the motor?",
        "Moves the continuous torque.", lambda facts: facts.tree.one("site") is not None),
    Gap(29, "mechanism.overhang", "How far before the shoulder of its shaft does the {mechanism} "
        "pull?", "Opens the forces on the shaft and the life of its bearing.",
        lambda facts: facts.kind in _SEATED and not facts.tree.many("stage")),
    Gap(34, "site.plate", "On what plate does the motor sit?",
        "A small plate can cost a quarter of the continuous torque.",
        lambda facts: facts.tree.one("site") is not None),
    Gap(36, "duty.hours", "How many hours a day does it work?",
        "Moves life of gearhead and brake."),
    Gap(38, "duty.stops", "How many emergency stops a year?",
        "Moves the life of the brake.", lambda facts: facts.weight),
)  # fmt: skip


def questions_of(tree: Tree, train: Train, cycle: Cycle) -> tuple[Question, ...]:
    """Missing and assumed facts as questions, most influential first, at most seven."""
    load = train.chain.load
    facts = Facts(
        tree,
        kind=train.kind,
        linear=load.linear,
        weight=_pulled(load),
        moves=any(not piece.at_rest for piece in cycle.pieces),
        direct_current=_direct_current(tree),
    )
    found = [*_gaps(facts), *_doubts(tree), *readings(tree, load, cycle, train.kind)]
    found.sort(key=lambda question: question.rank)
    return tuple(replace(question, rank=n) for n, question in enumerate(found[:MOST], 1))


def _gaps(facts: Facts) -> Iterator[Question]:
    for gap in GAPS:
        if facts.open(gap.path) and facts.has_field(gap.path) and gap.when(facts):
            title = TITLES.get(facts.kind, "mechanism").lower()
            text = gap.text.format(mechanism=title, **_words(facts.tree))
            yield Question(text, gap.path, gap.effect, _default(facts, gap.path), gap.rank)


def _words(tree: Tree) -> dict[str, str]:
    """Belt and pulleys, or chain and sprockets."""
    mechanism = tree.one("mechanism")
    if mechanism is not None and mechanism.word("element") == "chain":
        return {"element": "chain", "wheels": "sprockets"}
    return {"element": "belt", "wheels": "pulleys"}


def _default(facts: Facts, path: str) -> str:
    section, _, name = path.partition(".")
    table = facts.tree.one(section)
    kind = table.kind if table is not None else None
    field = SECTIONS[section].field(name, kind)
    if field is None:
        return ""
    said = field.default.replace("degC", "°C").replace(" deg", "°").replace("*", "·")
    return marked(said) if said[:1].isdigit() else said


def _doubts(tree: Tree) -> Iterator[Question]:
    """Stated values that are marked as assumed, or given as a range."""
    for tables in tree.tables.values():
        for table in tables:
            yield from _doubts_of(table)


def _doubts_of(table: Stated) -> Iterator[Question]:
    for name, entry in table.entries.items():
        field = table.field(name)
        if isinstance(entry, dict):
            for inner in entry.values():
                yield from _doubts_of(inner)
        if not isinstance(entry, Value) or field is None or not field.used:
            continue
        path, label = f"{table.path}.{name}", spoken(table, field)
        rank = 13 if table.section.name == "load" else 17
        if field.swept:
            continue
        if entry.low is not None and entry.high is not None:
            low, high = (stated_quantity(end, entry.unit) for end in (entry.low, entry.high))
            text = f"Where between {low} and {high} does it lie: {label}?"
            said = judged(entry.si, entry.low, entry.high, entry.unit, inch=entry.inch)
            effect = f"Judged at {said}; ask or judge the upper end."
            yield Question(text, path, effect, stated_quantity(entry.si, entry.unit), rank)
        elif entry.status == "assumed":
            yield Question(f"Is this right: {label} {entry.typed}?", path, "", entry.typed, rank)


def spoken(table: Stated, field: Field) -> str:
    """A field inside a sentence, with the name of its table where there are several.

    ``moving mass``, ``mass of the payload carton``, ``ratio of the stage bevel of the branch left``
    """
    label, path, branch = field.label[:1].lower() + field.label[1:], table.path, ""
    if path.startswith("branch."):
        _, name, path = path.split(".", 2)
        branch = f" of the branch {name}"
    owner, _, own = path.rpartition(".")
    if not owner:
        return label + branch
    title = "phase" if table.section.name == "phase" else table.section.title.lower()
    return f"{label} of the {title} {own}{branch}"


def weightless(load: Stated | None, kind: str) -> bool:
    """Whether a stated mass turns of which neither inertia nor arm is told, beside bodies."""
    if load is None or kind not in ROTARY_KINDS or not load.has("body"):
        return False
    return bool(load.number("mass")) and not (load.has("inertia") or load.has("arm"))


def _pulled(load: Load) -> bool:
    burdens = (load.base, *load.payloads.values())
    return any(
        abs(part) > 1e-9 * max(burden.mass, 1e-9) * 10.0
        for burden in burdens
        for part in (burden.gravity, burden.gravity_rise, burden.gravity_cos, burden.gravity_sin)
    )


def _soft(facts: Facts) -> bool:
    """Whether nothing that gives the stiffness of the mechanism is stated."""
    parts = ("belt_stiffness", "nut_stiffness", "bearing_stiffness")
    mechanism = facts.tree.one("mechanism")
    stated = mechanism is not None and any(mechanism.has(name) for name in parts)
    return facts.kind != "direct" and not stated


def _exact(facts: Facts) -> bool:
    """Whether a tolerance, a time to settle or a bandwidth is wanted."""
    wanted = ("require.position", "require.settle", "require.bandwidth")
    return not all(facts.open(path) for path in wanted)


def _pitched(facts: Facts) -> bool:
    """Whether a screw is told by its pitch, from thread to thread."""
    return _stated(facts, "pitch")


def _stated(facts: Facts, name: str) -> bool:
    mechanism = facts.tree.one("mechanism")
    return mechanism is not None and mechanism.has(name)


def _slides(facts: Facts) -> bool:
    """Whether the friction of a sliding thread gives its efficiency."""
    return facts.kind == "lead-screw" and _stated(facts, "friction")


def _rubs(facts: Facts, least: float) -> bool:
    """Whether the load, or a payload on its own, rubs with a coefficient of this or more."""
    load = facts.tree.one("load")
    if load is None:
        return False
    payloads = load.entries.get("payloads")
    tables = [load, *(payloads.values() if isinstance(payloads, Mapping) else ())]
    return any((table.number("friction") or 0.0) >= least for table in tables)


def _direct_current(tree: Tree) -> bool:
    site = tree.one("site")
    return site is not None and site.word("phases") == "dc"
