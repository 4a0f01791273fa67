"""How the load settles, as text."""

from __future__ import annotations

from dutyline.app.settle import Settling, settling_words
from dutyline.cli.screen import Screen


def show_settling(screen: Screen, found: Settling) -> list[str]:
    """Every line behind the ledger that ``--settle`` adds."""
    lines = ["", screen.bold("Settling, simulated in time")]
    for text in settling_words(found):
        lines += screen.wrap(f"{text[:1].upper()}{text[1:]}", "", "  ")
    return lines
