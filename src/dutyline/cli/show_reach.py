"""How far a combination carries, as text."""

from __future__ import annotations

import math

from dutyline.app.reach import RatioBand, Reach, band_words, doubt_words, how_far
from dutyline.cli.screen import Screen
from dutyline.core.numbers import percent, significant

_TITLE_CELLS = 27
_CELL = 8
_MOST_SHARE = 9.995


def show_reach(screen: Screen, reach: Reach) -> list[str]:
    """Every line behind the ledger that ``--how-far`` adds."""
    lines: list[str] = []
    if reach.effects:
        lines += ["", screen.bold("How far until it does not pass")]
        for effect in reach.effects:
            first, *more = how_far(effect)
            lines += screen.wrap(first, "", "  ")
            for text in more:
                lines += screen.wrap(text, "  ", "  ")
    if reach.answers:
        lines += ["", screen.bold("The most it carries")]
        for answer in reach.answers:
            lines += screen.wrap(answer.text, "", "  ")
    if reach.smaller:
        lines += ["", screen.bold("One size smaller")]
        for one in reach.smaller:
            lines += screen.wrap(one.text, "", "  ")
    if reach.band is not None:
        lines += ["", screen.bold("Used share over the gear ratio, %"), *_table(screen, reach.band)]
        for text in band_words(reach.band):
            lines += screen.wrap(text, "", "  ")
    if reach.doubts:
        lines += ["", screen.bold("Open questions, the weightiest first")]
        for number, doubt in enumerate(reach.doubts, 1):
            lines += screen.wrap(doubt_words(doubt), f"{number} ", "  ")
    return lines


def _table(screen: Screen, band: RatioBand) -> list[str]:
    """The listed gearheads side by side, the tightest checks of any of them first."""
    fits = max(1, (screen.width - _TITLE_CELLS) // _CELL)
    rows = list(band.listed)
    while len(rows) > fits:
        rows.remove(max(rows, key=lambda row: abs(math.log(row.ratio / band.chosen))))
    titles = {title: max(row.shares.get(title, 0.0) for row in rows) for r in rows
              for title in r.shares}  # fmt: skip
    moving = [t for t in titles if len({row.shares.get(t) for row in rows}) > 1 or len(rows) == 1]

    def line(title: str, words: list[str]) -> str:
        told = "".join(screen.right(screen.text(word), _CELL) for word in words)
        return f"{screen.left(title, _TITLE_CELLS)}{told}".rstrip()

    shown = [line("Ratio", [significant(row.ratio) for row in rows])]
    for title in sorted(moving, key=lambda t: -titles[t]):
        shares = [row.shares.get(title) for row in rows]
        shown.append(line(title, ["" if s is None else _share(s) for s in shares]))
    return [*shown, line("Verdict", [row.verdict for row in rows])]


def _share(used: float) -> str:
    return percent(used)[:-2] if used < _MOST_SHARE else "> 999"
