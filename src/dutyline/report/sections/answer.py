"""Page one: verdict, duty line, train, selected items, key figures, conditions, cautions."""

from __future__ import annotations

import math
from collections.abc import Sequence

from dutyline.checks.fitted import Chosen
from dutyline.checks.records import Line, Verdict
from dutyline.checks.sentence import (
    VERDICT_WORDS,
    open_lines,
    shares_nothing,
    state_word,
    verdict_sentence,
)
from dutyline.core.numbers import even_quantity, quantity
from dutyline.core.wording import lower_first
from dutyline.report.figures.data import DutyData, DutyMark, Part, TrainData
from dutyline.report.figures.duty import duty
from dutyline.report.figures.symbols import SYMBOLS
from dutyline.report.figures.train import train
from dutyline.report.parts import (
    brake_words,
    drive_words,
    gearhead_words,
    motor_words,
    resistor_words,
)
from dutyline.report.sections.ledger import counted, needing
from dutyline.report.tree import (
    Answer,
    Bar,
    Column,
    Figure,
    Inline,
    Mark,
    Ref,
    Row,
    Run,
    Section,
    Table,
    cell,
    strong,
    words,
)
from dutyline.report.words import in_words, listed, mark_of, share, sized

_MOST_KEYS = 8


def answer(verdict: Verdict, none_works: str = "") -> Answer:
    """The verdict as one sentence with its marks; ``none_works`` where it is only the nearest."""
    open_ones = needing(verdict)
    unmade = [line for line in open_ones if line.state == "not-checked"]
    worst = next((mark_of(ln) for ln in open_ones if ln.state != "not-checked"), None)
    states = [worst] if worst else ([] if unmade else ["meets"])
    if unmade:
        states.append("open")
    rest = ""
    if any(line.severity == "must" for line in unmade):
        data = list(dict.fromkeys(datum for line in unmade for datum in line.missing))
        lead = f"Incomplete until known: {'; '.join(data[:3])}" if data else "Incomplete"
        more = f"; and {len(data) - 3} more" if len(data) > 3 else ""
        rest = f"{lead}{more}. A check that could not be made is not a check that was met."
    said = f"{verdict_sentence(verdict)} {VERDICT_WORDS[verdict.verdict]}."
    if none_works:
        said = f"{none_works} The nearest: {said}"
    return Answer(tuple(states), said, rest)


def _plotted(lines: Sequence[Line]) -> list[Line]:
    return [ln for ln in lines if not shares_nothing(ln) and math.isfinite(ln.used or 0.0)]


def duty_figure(
    verdict: Verdict, ghosts: tuple[float, ...] = (), label_size: float = 8.2
) -> Figure:
    """The duty line with a sentence on how to read it; ghosts where marks stood before."""
    lines = counted(verdict)
    loud = {id(line) for line in open_lines(lines)}
    plotted = _plotted(lines)
    marks = []
    for line in plotted:
        used = line.used or 0.0
        label = f"{lower_first(line.title)} {share(used)}" if id(line) in loud else ""
        marks.append(DutyMark(used, mark_of(line), label))
    unmade = sum([line.state == "not-checked" for line in lines])
    data = DutyData(tuple(marks), unmade, ghosts=ghosts)
    tight = sorted(plotted, key=lambda ln: -(ln.used or 0.0))[:4]
    said = [f"{lower_first(ln.title)} {share(ln.used or 0.0)}, {state_word(ln)}" for ln in tight]
    rings = f" {unmade} checks are not on the line because data is missing." if unmade else ""
    alt = (
        "Duty line. All measured checks on one line from 0 to the limit. "
        f"Tightest: {'; '.join(said)}.{rings}"
    )
    caption: list[str | Inline] = [
        "The duty line: each mark is one of the checks of section ",
        Ref("ledger"),
        ", placed at the share of its limit that this axis uses. A mark at the post has nothing "
        "left. The hatched zone is the usual reserve.",
    ]
    if unmade:
        caption.append(" Rings are checks that could not be made.")
    return Figure(duty(data, size=label_size), alt, words(*caption), numbered=False)


def _load_kind(verdict: Verdict, upright: bool) -> str:
    if not verdict.axis.train.chain.load.linear:
        return "load-rotary"
    return "load-upright" if upright else "load"


def _mechanism_kind(verdict: Verdict) -> str:
    kind = verdict.axis.train.kind
    if kind == "direct":
        return "direct-linear" if verdict.axis.linear else "direct-rotary"
    return kind if kind in SYMBOLS else "ratio-table"


def _hangs(verdict: Verdict) -> bool:
    return any(line.check == "gravity-safety-caution" for line in verdict.ledger)


def train_parts(verdict: Verdict) -> list[Part]:
    """Cells of the train in order of power flow from the load."""
    axis, parts = verdict.axis, verdict.combination
    stages = axis.train.chain.stages
    cells = [Part(_load_kind(verdict, _hangs(verdict)), "Load")]
    for n, stage in enumerate(stages):
        own = n == 0 and stage.kind == axis.train.kind
        kind = _mechanism_kind(verdict) if own else stage.kind
        cells.append(Part(kind if kind in SYMBOLS else "shaft", stage.name or stage.kind))
    if not stages and axis.train.kind:
        cells.append(Part(_mechanism_kind(verdict), axis.train.kind.replace("-", " ").capitalize()))
    named = (
        ("gearhead", parts.gearhead),
        ("motor", parts.motor),
        ("brake", parts.brake),
        ("drive", parts.drive),
        ("resistor", parts.resistor),
    )
    cells += [Part(kind, name) for kind, name in named if name]
    return cells


def train_figure(verdict: Verdict) -> Figure:
    """The train from load to mains as a line drawing."""
    cells, parts = train_parts(verdict), verdict.combination
    order = [f"{c.name} ({_spoken(c.kind)})" for c in cells]
    alt = f"Line drawing of the train in order of power flow from the load: {listed(order)}."
    last = "the mains" if parts.drive else "the motor"
    caption = f"The train in order of power flow, from the load to {last}."
    if parts.brake:
        caption += " Brake and motor sit on one shaft."
    drawing = train(TrainData(tuple(cells), _hangs(verdict)))
    return Figure(drawing, alt, words(caption))


def _spoken(kind: str) -> str:
    return {"load-upright": "moves with gravity", "load-rotary": "turns", "load": "moves"}.get(
        kind, kind.replace("-", " ")
    )


def items(verdict: Verdict, parts: Chosen) -> Section:
    """Selected items with what they are and weigh."""
    motor, gear, brake = parts.motor, parts.gearhead, parts.brake
    drive, resistor, names = parts.drive, parts.resistor, verdict.combination
    described = (
        ("Motor", names.motor, motor_words(motor) if motor else "", motor),
        ("Gearhead", names.gearhead, gearhead_words(gear) if gear else "", gear),
        ("Brake", names.brake, brake_words(brake) if brake else "", brake),
        ("Drive", names.drive, drive_words(drive) if drive else "", drive),
        ("Resistor", names.resistor, resistor_words(resistor) if resistor else "", resistor),
    )
    rows = []
    for kind, name, said, part in described:
        if name is None:
            continue
        mass = "" if part is None or part.mass is None else even_quantity(part.mass, "kg", 2)
        rows.append(Row((cell(kind), cell(strong(name)), cell(said), cell(mass))))
    columns = (
        Column(words("Part"), 14),
        Column(words("Designation"), 24),
        Column(words("What it is")),
        Column(words("Mass"), 13, "right"),
    )
    table = Table(columns, tuple(rows), pad=1.15)
    return Section("items", "Selected items", (table,), _masses(parts, verdict.axis.motors))


def _masses(parts: Chosen, motors: int) -> tuple[Run, ...]:
    """What hangs on the machine and what in the cabinet."""
    motor = parts.motor
    if motor is None or motor.mass is None:
        return ()
    brake = (parts.brake.mass or 0.0) if parts.brake is not None else 0.0
    own = motor.mass + brake
    if parts.brake is not None and motor.mass_with_brake is not None:
        own = motor.mass_with_brake
    gear = 0.0 if parts.gearhead is None else parts.gearhead.mass
    if gear is None:
        return ()
    said = f"together {quantity(own + gear, 'kg', n=2)} on the machine"
    inside = [p.mass for p in (parts.drive, parts.resistor) if p is not None]
    if inside and all(m is not None for m in inside):
        said += f", {quantity(math.fsum(m or 0.0 for m in inside), 'kg', n=2)} in the cabinet"
    each = f"for each of {motors} motors: " if motors > 1 else ""
    return (Run(each + said),)


def _keys(verdict: Verdict) -> list[Line]:
    """What needs a decision, then the tightest."""
    first = needing(verdict)
    rest = [ln for ln in _plotted(counted(verdict)) if ln not in first and ln.severity == "must"]
    rest.sort(key=lambda ln: -(ln.used or 0.0))
    return [*first, *rest][:_MOST_KEYS]


def _title(line: Line, verdict: Verdict) -> str:
    """The title, with the part it speaks of where the title leaves it open."""
    same = [ln for ln in verdict.ledger if ln.title == line.title]
    plain = line.part in ("motor", "axis", "supply") or line.part in line.title.lower()
    return line.title if plain and len(same) < 2 else f"{line.title}, {line.part}"


def _key_row(line: Line, verdict: Verdict) -> Row:
    """A key figure; a line without numbers says what was found or what is missing."""
    mark = mark_of(line)
    state = state_word(line)
    last = cell(Mark(mark), strong(state) if mark != "meets" else state)
    if line.used is None or shares_nothing(line):
        missing = f"missing: {'; '.join(line.missing)}" if line.missing else in_words(line)
        return Row((cell(_title(line, verdict)), cell(Run(missing, "soft"), span=4), last))
    demand, limit = sized(line)
    return Row(
        (
            cell(_title(line, verdict)),
            cell(strong(demand)),
            cell(limit),
            cell(strong(share(line.used))),
            cell(Bar(min(line.used, 2.0), line.required, mark)),
            last,
        )
    )


def key_figures(verdict: Verdict) -> Section:
    """At most eight figures: what needs a decision, then the tightest."""
    rows = [_key_row(line, verdict) for line in _keys(verdict)]
    columns = (
        Column(words("What"), 42),
        Column(words("Demand"), 22, "right"),
        Column(words("Limit"), 20, "right"),
        Column(words("Used"), 12, "right"),
        Column(words("Reserve hatched"), 28),
        Column(words("State")),
    )
    count = len(counted(verdict))
    remark = words(
        f"what needs a decision, then tightest first; all {count} checks in section ",
        Ref("ledger"),
    )
    return Section("keys", "Key figures", (Table(columns, tuple(rows), pad=1.1),), remark)
