"""What went in: inputs with their status, and the points still open."""

from __future__ import annotations

from dutyline.axis.fields_mechanism import TITLES
from dutyline.axis.model import Axis, Input
from dutyline.catalogue.assumed_words import named, written
from dutyline.checks.asking import needed_by, wanted
from dutyline.checks.records import Verdict
from dutyline.checks.sentence import assumed_data, how_found
from dutyline.core.values import Value
from dutyline.core.wording import lower_first, upper_first
from dutyline.report.figures.dimensions import DIMENSIONS, symbols_on
from dutyline.report.figures.sketch import sketch
from dutyline.report.sections.cautions import unusual
from dutyline.report.sections.ledger import needing
from dutyline.report.sections.reach import reach_of
from dutyline.report.tree import (
    Block,
    Column,
    Figure,
    Group,
    Inline,
    Math,
    Paragraph,
    Row,
    Run,
    Section,
    StatusWord,
    Table,
    cell,
    strong,
    words,
)

_COLUMNS = (
    Column(words("Symbol"), 10),
    Column(words("Input"), 44),
    Column(words("As typed"), 29),
    Column(words("Read as"), 23),
    Column(words("Status"), 16),
    Column(words("Note")),
)


def _row(entry: Input) -> Row:
    value = entry.value
    symbol = cell(Math(entry.symbol)) if entry.symbol else cell()
    if isinstance(value, str):
        typed = entry.line is not None
        shown = value if value else ("" if typed else "none")
        status = StatusWord("given" if typed else "default")
        first = strong(shown) if typed else ""
        second = "" if typed else shown
        return Row((symbol, cell(entry.label), cell(first), cell(second), cell(status), cell()))
    return Row(
        (
            symbol,
            cell(entry.label),
            cell(strong(value.typed)),
            cell(entry.shown(value.si, system="si")),
            cell(StatusWord(value.status)),
            cell(Run(value.note, "soft")),
        )
    )


_OF_AXIS = ("axis.gravity", "axis.units", "axis.decimal")
"""Fields of the axis that are inputs; the others are its names."""


def _elsewhere(path: str) -> bool:
    """True for what stands in the head, above the table, or names a row of it."""
    of_axis = path.startswith("axis.") and path not in _OF_AXIS
    of_phase = path.startswith("phase.") and path.endswith((".name", ".do"))
    return of_axis or of_phase


def _groups(entries: tuple[Input, ...]) -> dict[str, list[Input]]:
    groups: dict[str, list[Input]] = {}
    for entry in entries:
        if not _elsewhere(entry.path):
            groups.setdefault(entry.section, []).append(entry)
    return groups


def mechanism_sketch(axis: Axis) -> Figure | None:
    """The mechanism drawn large, with the symbols and values of its dimensions."""
    kind = axis.train.kind
    if kind == "direct":
        kind = "direct-linear" if axis.linear else "direct-rotary"
    if kind not in DIMENSIONS:
        return None
    labels = symbols_on(kind)
    shown = [
        (i.symbol, i.shown(i.value.si))
        for i in axis.inputs
        if i.path.startswith("mechanism.") and i.symbol in labels and isinstance(i.value, Value)
    ]
    name = TITLES[axis.train.kind]
    caption: list[str | Inline] = [f"{name}, not to scale" + (": " if shown else ".")]
    for n, (symbol, value) in enumerate(shown):
        caption += [Math(symbol), f" = {value}" + (", " if n + 1 < len(shown) else ".")]
    spoken = ", ".join(f"{symbol} {value}" for symbol, value in shown)
    alt = f"Line drawing of the mechanism: {name.lower()}" + (f" with {spoken}." if shown else ".")
    return Figure(sketch(kind, "mechanism"), alt, words(*caption), width=90.0)


def inputs(verdict: Verdict) -> Section | None:
    """Every input as typed and as understood, defaults among them."""
    axis: Axis = verdict.axis
    if not axis.inputs:
        return None
    blocks: list[Block] = []
    if axis.enquiry:
        quoted = f"“{axis.enquiry.strip()}”"
        blocks.append(
            Paragraph(words(strong("The task in the customer’s words. "), quoted), "table")
        )
    rows: list[Row | Group] = []
    for name, entries in _groups(axis.inputs).items():
        rows.append(Group(name))
        rows += [_row(entry) for entry in entries]
    blocks.append(Table(_COLUMNS, tuple(rows), pad=0.92))
    blocks.append(
        Paragraph(
            words(
                "Status: ",
                StatusWord("given"),
                " by the customer, ",
                StatusWord("measured"),
                " on the machine, ",
                StatusWord("calculated"),
                " from other inputs, ",
                StatusWord("assumed"),
                " by us, ",
                StatusWord("default"),
                " where nobody said anything. An empty “as typed” means that nothing was typed.",
            ),
            "small",
        )
    )
    blocks += _assumed_data(verdict)
    if (drawn := mechanism_sketch(axis)) is not None:
        blocks.append(drawn)
    remark = words("what was asked, measured, worked out or assumed")
    return Section("inputs", "Inputs", tuple(blocks), remark, room=100.0)


def _assumed_data(verdict: Verdict) -> list[Block]:
    """What was taken for data of the parts that nobody stated, as a table."""
    found = assumed_data(verdict)
    if not found:
        return []
    columns = (
        Column(words("Product data nobody stated"), 62),
        Column(words("Taken"), 24),
        Column(words("Expected"), 34),
        Column(words("Status"), 16),
        Column(words("Method")),
    )
    rows = []
    for a in found:
        ends = [written(a, v) for v in (a.low, a.high) if v is not None]
        rows.append(
            Row(
                (
                    cell(strong(upper_first(named(a)))),
                    cell(written(a, a.value)),
                    cell(" to ".join(dict.fromkeys(ends))),
                    cell(StatusWord("assumed")),
                    cell(Run(f"{'estimated' if a.estimate else 'taken'}: {a.method}", "soft")),
                )
            )
        )
    return [Table(columns, tuple(rows), pad=0.92)]


def _asking(verdict: Verdict) -> list[Block]:
    """Data to ask the maker for, those first that most checks wait for."""
    data = wanted(verdict.ledger, verdict.line)
    if not data:
        return []
    columns = (
        Column(words("Data to ask the maker for"), 62),
        Column(words("Checks that wait for it")),
        Column(words("Meanwhile"), 50),
    )
    rows = []
    for datum in data:
        offer = f"can be estimated {how_found(datum.estimate)}" if datum.estimate else ""
        named = f"{datum.ask.part}: {datum.words}"
        rows.append(Row((cell(strong(named)), cell(needed_by(datum)), cell(Run(offer, "soft")))))
    return [Table(columns, tuple(rows))]


def open_points(verdict: Verdict) -> Section | None:
    """Questions, checks that wait for data, and what was assumed meanwhile."""
    axis: Axis = verdict.axis
    questions = _questions(verdict)
    blocks: list[Block] = []
    if questions:
        rows = tuple(
            Row(
                (
                    cell(strong(str(n))),
                    cell(strong(text)),
                    cell(effect),
                    cell(Run(used, "soft")),
                )
            )
            for n, (text, effect, used) in enumerate(questions, start=1)
        )
        columns = (
            Column(words(), 3),
            Column(words("Question"), 66),
            Column(words("What the answer changes")),
            Column(words("Used meanwhile"), 32),
        )
        blocks.append(Table(columns, rows))
    waiting = [line for line in needing(verdict) if line.state == "not-checked"]
    if waiting:
        said = [f"{lower_first(ln.title)} ({', '.join(ln.missing)})" for ln in waiting]
        blocks.append(
            Paragraph(
                words(strong("Not checked for want of data: "), "; ".join(said) + "."), "table"
            )
        )
        blocks += _asking(verdict)
    blocks += [Paragraph(words(text), "table") for text in _leaning(verdict)]
    odd = unusual(axis.notes)  # stand among the cautions
    blocks += [
        Paragraph(words(note), "table")
        for note in axis.notes
        if not note.startswith("Phase ") and note not in odd
    ]
    if not blocks:
        return None
    remark = words("most influential first") if questions else ()
    return Section("open", "Open points", tuple(blocks), remark)


def _questions(verdict: Verdict) -> list[tuple[str, str, str]]:
    """Question, what the answer changes and what was used, by weight where that was looked for."""
    reach = reach_of(verdict)
    if reach is not None:
        return [(d.text, d.effect, d.used) for d in reach.doubts]
    ranked = sorted(verdict.axis.questions, key=lambda q: q.rank)
    return [(q.text, q.effect, q.used) for q in ranked]


def _leaning(verdict: Verdict) -> list[str]:
    """Which assumed inputs the binding check used."""
    binding = next((ln for ln in verdict.ledger if ln.check == verdict.binding), None)
    if binding is None or not binding.assumed:
        return []
    by_path = {i.path: i for i in verdict.axis.inputs}
    named = []
    for path in binding.assumed:
        entry = by_path.get(path)
        if entry is None:
            named.append(path)
        elif isinstance(entry.value, Value):
            section = lower_first(entry.section)
            named.append(f"{section}, {lower_first(entry.label)} {entry.shown(entry.value.si)}")
    lead = f"The decisive check, {lower_first(binding.title)}, rests on assumed values: "
    return [lead + "; ".join(named) + "."]
