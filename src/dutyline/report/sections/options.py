"""Options considered and why not, from the shortlist the choice was made from."""

from __future__ import annotations

from dutyline.catalogue.parts import ProductLine
from dutyline.checks.fitted import chosen
from dutyline.checks.records import Verdict
from dutyline.checks.sentence import tightest_line
from dutyline.core.numbers import quantity, significant, stated
from dutyline.core.wording import lower_first
from dutyline.report.sections.answer import answer
from dutyline.report.sections.ledger import counted, needing
from dutyline.report.tree import (
    Block,
    Column,
    Legend,
    Mark,
    Paragraph,
    Row,
    Section,
    Table,
    cell,
    strong,
    words,
)
from dutyline.report.words import STATE_WORDS, listed, share
from dutyline.selection.rank import moved_mass
from dutyline.selection.records import Rejection, Shortlist

_MOST = 3


def _pair(motor: str, gearhead: str | None) -> str:
    return f"{motor}, {gearhead}" if gearhead else motor


def _ratio(verdict: Verdict) -> str:
    gear = chosen(verdict).gearhead
    return "" if gear is None else stated(gear.ratio, 4)


def _why(verdict: Verdict, taken: str, best: Verdict) -> str:
    """One sentence: what stands against it, and what it weighs against the choice."""
    open_ones = needing(verdict)
    said = [taken]
    short = [ln for ln in open_ones if ln.state != "not-checked"]
    if short:
        names = [f"{lower_first(ln.title)} {share(ln.used or 0.0)}" for ln in short[:3]]
        said.append(f"Needs a decision on {listed(names)}.")
    unmade = len(open_ones) - len(short)
    if unmade:
        said.append(f"{unmade} {'check lacks' if unmade == 1 else 'checks lack'} data.")
    if not open_ones:
        said.append(f"Meets all {len(counted(verdict))} checks.")
    if verdict is not best and verdict.line is not None:
        more = moved_mass(verdict, verdict.line) - moved_mass(best, verdict.line)
        if abs(more) > 0.005:
            word = "more" if more > 0 else "less"
            said.append(f"Weighs {quantity(abs(more), 'kg', n=2)} {word} on the machine.")
    return " ".join(said)


def _candidate(verdict: Verdict, taken: str, best: Verdict) -> Row:
    tight = tightest_line(verdict.ledger)
    said = ""
    if tight is not None and tight.used is not None:
        said = f"{share(tight.used)} {lower_first(tight.title)}"
    ratio = verdict.demand.get("motor", {}).get("inertia_ratio")
    mass = moved_mass(verdict, verdict.line)
    names = verdict.combination
    mark = answer(verdict).states[0]
    return Row(
        (
            cell(Mark(mark), strong(_pair(names.motor, names.gearhead))),
            cell(_ratio(verdict)),
            cell(said),
            cell("" if ratio is None else significant(ratio, 2)),
            cell(quantity(mass, "kg", n=2) if mass < float("inf") else ""),
            cell(_why(verdict, taken, best)),
        )
    )


def _sentence(text: str) -> str:
    """The text with a capital and a full stop."""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?")) else ".")


def _known(rejection: Rejection, line: ProductLine | None) -> tuple[str, str]:
    """Ratio of the gearhead, and the mass of motor, brake and gearhead, where they are known."""
    names = rejection.combination
    if line is None or names.motor not in line.motor_index:
        return "", ""
    motor = line.motors[line.motor_index[names.motor]]
    found = [motor.mass if names.brake is None else motor.mass_with_brake]
    ratio = ""
    if names.gearhead is not None and names.gearhead in line.gearhead_index:
        gear = line.gearheads[line.gearhead_index[names.gearhead]]
        ratio = stated(gear.ratio, 4)
        found.append(gear.mass)
    known = [mass for mass in found if mass is not None]
    return ratio, quantity(sum(known), "kg", n=2) if len(known) == len(found) else ""


def _rejected(rejection: Rejection, line: ProductLine | None) -> Row:
    names = rejection.combination
    worst = next((ln for ln in rejection.failing if ln.used is not None and not ln.yes_no), None)
    said = ""
    if worst is not None and worst.used is not None and worst.used < 100:
        said = f"{share(worst.used)} {lower_first(worst.title)}"
    why = " ".join(_sentence(t) for t in (rejection.text, rejection.near_miss) if t)
    ratio, mass = _known(rejection, line)
    return Row(
        (
            cell(Mark("fails"), strong(_pair(names.motor, names.gearhead))),
            cell(ratio),
            cell(said),
            cell(),
            cell(mass),
            cell(why),
        )
    )


def options(verdict: Verdict, shortlist: Shortlist | None) -> Section | None:
    """The choice, two other candidates, three rejections, and the count of the rest."""
    if shortlist is None or not (shortlist.candidates or shortlist.rejected):
        return None
    own = verdict.combination
    mine = [v for v in shortlist.candidates if v.combination == own] or [verdict]
    others = [v for v in shortlist.candidates if v.combination != own]
    rejected = [r for r in shortlist.rejected if r.combination != own]
    taken = "The nearest; not to be ordered." if shortlist.none_works else "Chosen."
    rows = [_candidate(mine[0], taken, mine[0])]
    rows += [_candidate(v, "Not chosen.", mine[0]) for v in others[: _MOST - 1]]
    rows += [_rejected(r, shortlist.line) for r in rejected[:_MOST]]
    columns = (
        Column(words("Motor, gearhead"), 42),
        Column(words("Ratio"), 9, "right"),
        Column(words("Tightest"), 34),
        Column(words("Inertia"), 11, "right"),
        Column(words("Mass"), 12, "right"),
        Column(words("Taken or not, and why")),
    )
    blocks: list[Block] = [
        Table(columns, tuple(rows), pad=1.05, gutter=2.4),
        Legend(tuple(STATE_WORDS)),
    ]
    more = len(others) - (_MOST - 1), len(rejected) - _MOST
    rest = []
    for left, one in zip(more, ("candidate", "rejection"), strict=True):
        if left > 0:
            rest.append(f"{left} further {one}{'' if left == 1 else 's'}")
    tail = [f"Not printed: {listed(rest)}."] if rest else []
    said = Paragraph(words(" ".join([shortlist.order, *tail])), "small")
    work = len(shortlist.candidates) or "none"
    count = f"{shortlist.pairs} pairs of motor and gearhead tried, {work} work"
    return Section("options", "Options considered", (*blocks, said), words(count))
