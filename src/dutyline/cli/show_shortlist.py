"""A shortlist as text: candidates best first, then why the others were turned down."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from dutyline.app.results import (
    Line,
    Rejection,
    Shortlist,
    Verdict,
    open_lines,
    state_word,
    tightest_line,
    verdict_mass,
    warned,
)
from dutyline.cli.marks import FAILS, OVER, mark_of, shape, verdict_mark, word
from dutyline.cli.screen import Screen, cells
from dutyline.core.numbers import even_quantity, group, percent, quantity, scale_for
from dutyline.core.wording import lower_first

_SHOWN_REJECTED = 4
_SHOWN_DATA = 3
_SHOWN_CANDIDATES = 12
_SHARES_FROM = 100
_MASS_FROM = 112
_EVERY_PART_FROM = 120

_FAMILIES: tuple[tuple[str, Callable[[Line], bool]], ...] = (
    ("Speed", lambda ln: ln.check in ("top-speed", "speed-on-low-mains", "gear-max-speed")),
    ("Peak", lambda ln: ln.check == "peak-torque"),
    ("Contin.", lambda ln: ln.check in ("continuous-use", "winding-temperature")),
    ("Holding", lambda ln: ln.check == "standstill-torque"),
    ("Drive", lambda ln: ln.part == "drive"),
    ("Gearhead", lambda ln: ln.part == "gearhead" and not ln.check.endswith("speed")),
    ("Brake", lambda ln: ln.part == "brake"),
    ("Inertia", lambda ln: ln.check == "inertia-ratio"),
)
"""Heads of the share columns and the lines that belong under each."""


@dataclass(frozen=True, slots=True)
class _Column:
    head: str
    texts: list[str]
    right: bool = False


def _decides(line: Line) -> bool:
    """Must lines, and the one caution that has a column of its own."""
    return line.severity == "must" or line.check == "inertia-ratio"


def _share(verdict: Verdict, belongs: Callable[[Line], bool]) -> str:
    used = [
        ln.used for ln in verdict.ledger if ln.used is not None and not ln.yes_no and belongs(ln)
    ]
    return group(100.0 * max(used)) if used else ""


def _tightest_text(verdict: Verdict) -> str:
    line = tightest_line(verdict.ledger)
    if line is None or line.used is None:
        return ""
    return f"{percent(line.used):>6} {lower_first(line.title)}"


def _parts(verdicts: Sequence[Verdict], *, every: bool = False) -> list[_Column]:
    """Motor, gearhead and the other parts where they tell candidates apart, or ``every`` one."""
    columns = [
        _Column("Motor", [v.combination.motor for v in verdicts]),
        _Column("Gearhead", [v.combination.gearhead or "none" for v in verdicts]),
    ]
    for head in ("drive", "brake", "resistor"):
        names = [getattr(v.combination, head) or "none" for v in verdicts]
        keys = [(v.combination.motor, v.combination.gearhead) for v in verdicts]
        wanted = every and head != "brake" and set(names) != {"none"}
        if wanted or len(set(zip(keys, names, strict=True))) > len(set(keys)):
            columns.append(_Column(head.capitalize(), names))
    return columns


def _shares(screen: Screen, verdicts: Sequence[Verdict]) -> list[_Column]:
    if screen.width < _SHARES_FROM:
        return [_Column("Tightest share", [_tightest_text(v) for v in verdicts])]
    table = [(head, [_share(v, belongs) for v in verdicts]) for head, belongs in _FAMILIES]
    return [_Column(head, texts, right=True) for head, texts in table if any(texts)]


def _masses(screen: Screen, verdicts: Sequence[Verdict]) -> list[_Column]:
    if _SHARES_FROM <= screen.width < _MASS_FROM or screen.width < 80:
        return []
    masses = [verdict_mass(v) for v in verdicts]
    texts = ["" if m is None else even_quantity(m, "kg", 1) for m in masses]
    if screen.width >= _SHARES_FROM:
        texts = [text.partition("\u00a0")[0] for text in texts]
    return [_Column("Mass", texts, right=True)]


def _row(screen: Screen, columns: Sequence[_Column], k: int | None) -> str:
    cells_ = []
    for column in columns:
        width = screen.width_of([column.head, *column.texts])
        text = column.head if k is None else column.texts[k]
        cells_.append((screen.right if column.right else screen.left)(text, width))
    return "  ".join(cells_)


def _table(screen: Screen, verdicts: Sequence[Verdict]) -> list[str]:
    """The widest table that fits the screen; blocks where none does."""
    figures = [*_shares(screen, verdicts), *_masses(screen, verdicts)]
    wide = [True] if screen.width >= _EVERY_PART_FROM else []
    for every in (*wide, False):
        columns = [*_parts(verdicts, every=every), *figures]
        lines = _rows(screen, verdicts, columns)
        if lines:
            return [*lines, *_first(screen, verdicts[0])]
    return [*_blocks(screen, verdicts, columns), *_first(screen, verdicts[0])]


def _first(screen: Screen, verdict: Verdict) -> list[str]:
    """Every part of the first candidate, as they have to be ordered."""
    names = verdict.combination
    said = [str(names.motor), *([names.gearhead] if names.gearhead else [])]
    said += [f"{part} {name}" for part in ("drive", "brake", "resistor")
             if (name := getattr(names, part))]  # fmt: skip
    motors = verdict.axis.motors
    each = f", for each of {motors} motors" if motors > 1 else ""
    return screen.wrap(f"First in full{each}: {', '.join(said)}.", "  ", "    ")


def _rows(screen: Screen, verdicts: Sequence[Verdict], columns: Sequence[_Column]) -> list[str]:
    """Head, a row a candidate and foot; nothing where they are wider than the screen."""
    head = "  " + _row(screen, columns, None) + "  State"
    rows = [
        f"{shape(screen, verdict_mark(v))} {_row(screen, columns, k)}  "
        + word(screen, verdict_mark(v))
        for k, v in enumerate(verdicts)
    ]
    if max(cells(row) for row in [head, *rows]) > screen.width:
        return []
    foot = []
    if screen.width >= _SHARES_FROM:
        mass = f"; mass in {scale_for('kg').text}" if screen.width >= _MASS_FROM else ""
        foot = [f"  Tightest share of each family in %{mass}."]
    return [head, *rows, *foot]


def _blocks(screen: Screen, verdicts: Sequence[Verdict], columns: Sequence[_Column]) -> list[str]:
    """Two lines a candidate: its parts and state, then its figures."""
    lines = []
    for k, verdict in enumerate(verdicts):
        mark = verdict_mark(verdict)
        names = [c.texts[k] for c in columns[:2] if c.texts[k] != "none"]
        head = f"{' with '.join(names)}: {word(screen, mark)}"
        lines += screen.wrap(head, f"{shape(screen, mark)} ")
        rest = [
            c.texts[k].strip() if c.head == "Tightest share" else f"{c.head.lower()} {c.texts[k]}"
            for c in columns[2:]
            if c.texts[k]
        ]
        lines += screen.wrap(", ".join(rest), "  ") if rest else []
    return lines


def _unmade(verdicts: Sequence[Verdict]) -> str:
    """What the candidates still lack."""
    counts = {sum(ln.state == "not-checked" for ln in open_lines(v.ledger)) for v in verdicts}
    counts.discard(0)
    if not counts:
        return ""
    least, most = min(counts), max(counts)
    number = str(most) if least == most else f"{least} to {most}"
    noun = "check" if most == 1 else "checks"
    lacking = [ln for v in verdicts for ln in open_lines(v.ledger) if ln.state == "not-checked"]
    data = list(dict.fromkeys(datum for line in lacking for datum in line.missing))
    more = f"; and {len(data) - _SHOWN_DATA} more" if len(data) > _SHOWN_DATA else ""
    said = f"Data for {number} {noun} are missing: {'; '.join(data[:_SHOWN_DATA])}{more}."
    return f"{said}{_to_ask(lacking)}"


def _to_ask(lacking: Sequence[Line]) -> str:
    """The column that most checks of the candidates wait for, must lines first."""
    counts: dict[tuple[str, str], tuple[int, int]] = {}
    for line in lacking:
        for ask in line.asks:
            musts, every = counts.get((ask.file, ask.column), (0, 0))
            counts[ask.file, ask.column] = (musts + (line.severity == "must"), every + 1)
    if not counts:
        return ""
    file, column = max(counts, key=lambda place: counts[place])
    return f" Most hangs on {column} in {file}; --estimate fills in what can be estimated."


def headline(shortlist: Shortlist) -> str:
    """``Tray lift: 94 pairs of motor and gearhead tried, 6 fail no check, 88 rejected.``"""
    carried = {0: "every one fails a check", 1: "1 fails no check"}
    pairs = "1 pair" if shortlist.pairs == 1 else f"{group(shortlist.pairs)} pairs"
    said = [carried.get(shortlist.kept, f"{group(shortlist.kept)} fail no check")]
    lost = shortlist.turned_down
    if shortlist.kept and lost:
        said.append(f"{group(lost)} rejected")
    if shortlist.unjudged:
        said.append(f"{group(shortlist.unjudged)} lack the mass of a part that rides along")
    return f"{shortlist.axis.title}: {pairs} of motor and gearhead tried, {', '.join(said)}."


def _rejected(screen: Screen, rejections: Sequence[Rejection]) -> list[str]:
    """Why each was turned down; beside its name where the screen is wide."""
    names = [
        ", ".join(n for n in (r.combination.motor, r.combination.gearhead) if n) for r in rejections
    ]
    width = screen.width_of(names)
    lines = []
    for name, rejection in zip(names, rejections, strict=True):
        head = f"{shape(screen, FAILS)} "
        others = _others(rejection)
        said = " ".join(t for t in (rejection.text, rejection.near_miss, others) if t)
        if screen.width >= _SHARES_FROM:
            first = f"{head}{screen.left(name, width)}  {screen.paint('fails', FAILS.colour)}: "
            lines += screen.wrap(said, first, " " * (width + 4))
            continue
        lines.append(f"{head}{screen.text(name)} {screen.paint('fails', FAILS.colour)}.")
        lines += [row for part in (rejection.text, rejection.near_miss, others) if part
                  for row in screen.wrap(part, "  ")]  # fmt: skip
    return lines


def _others(rejection: Rejection) -> str:
    """How many pairs are meant, where it is not one."""
    return "" if rejection.pairs == 1 else f"This settles {group(rejection.pairs)} pairs."


def _details(screen: Screen, verdict: Verdict) -> list[str]:
    """What needs the reader in one candidate, for ``-v``."""
    lines = ["", screen.bold(verdict.combination.text())]
    for line in open_lines(verdict.ledger):
        used = percent(line.used) if line.used is not None else "; ".join(line.missing)
        text = f"{line.title}: {used} {state_word(line)}"
        lines += screen.wrap(text, f"{shape(screen, mark_of(line))} ", "    ")
    mass = verdict_mass(verdict)
    said = [str(n) for n in (verdict.combination.drive, verdict.combination.brake) if n]
    said += [quantity(mass, "kg")] if mass is not None else []
    return [*lines, *screen.wrap(", ".join(said), "  ")] if said else lines


def _doubts(screen: Screen, verdicts: Sequence[Verdict]) -> list[str]:
    """Doubtful figures in the data of the candidates shown, each once."""
    said = dict.fromkeys(
        ln.text for v in verdicts for ln in v.ledger
        if ln.check == "data-quality" and ln.state != "meets"
    )  # fmt: skip
    mark = f"{shape(screen, OVER)} "
    return [row for text in said for row in screen.wrap(f"Product data: {text}.", mark, "  ")]


def show_shortlist(
    screen: Screen,
    shortlist: Shortlist,
    *,
    quiet: bool = False,
    verbose: bool = False,
    every: bool = False,
) -> list[str]:
    """Every line that ``dutyline select`` prints."""
    lines = screen.wrap(headline(shortlist))
    if quiet:
        return lines
    lines += [row for note in warned(shortlist.axis) for row in screen.wrap(note)]
    shown = list(shortlist.candidates if every else shortlist.candidates[:_SHOWN_CANDIDATES])
    if shown:
        unmade = _unmade(shown)
        lines += screen.wrap(unmade) if unmade else []
        lines += ["", *_table(screen, shown)]
    more = len(shortlist.candidates) - len(shown)
    lines += [f"  {group(more)} more: --all"] if more else []
    lines += _doubts(screen, shown)
    if verbose:
        lines += [row for verdict in shown for row in _details(screen, verdict)]
    rejected = shortlist.rejected if every else shortlist.rejected[:_SHOWN_REJECTED]
    if shortlist.off_the_mains:
        lines += screen.wrap(shortlist.off_the_mains)
        rejected = rejected if every else ()
    if rejected:
        lines += ["", screen.bold("Rejected, nearest first")]
        lines += _rejected(screen, rejected)
        left = shortlist.turned_down - sum(rejection.pairs for rejection in rejected)
        lines += [f"  {group(left)} more: {screen.yours('--all')}"] if left else []
    elif shortlist.off_the_mains:
        lines.append(f"  Each pair by itself: {screen.yours('--all')}")
    return [screen.text(line) for line in lines]
