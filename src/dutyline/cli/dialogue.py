"""The five questions of ``dutyline new``, on standard error; answers come from standard input."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TypeVar

from dutyline.app import new
from dutyline.cli.screen import Screen, is_terminal, write
from dutyline.core.faults import ValueFault

T = TypeVar("T")

OPENING = "dutyline asks five things and leaves a text file. Enter leaves one open."
KINDS = (
    "What moves the load?  ball-screw, lead-screw, rack, belt, conveyor,",
    "rotary-table, hoist, swing-arm, or another of dutyline schema",
)
LOAD = ("What mass moves, and how steeply?  e.g. 40 kg, or 15.5 lb, 90°",)
INERTIA = ("What inertia turns with the load?  e.g. 2.8 kg cm2, or 14 lb-in2",)
MOVE = ("How far, and in what time?  e.g. 300 mm in 0.6 s",)
TURN = ("How far, and in what time?  e.g. 90 deg in 0.4 s",)
OFTEN = ("How often?  e.g. 30 /min, or every 2 s",)
MAINS = ("What mains?  e.g. 230 V, 3 phases",)


class _Questions:
    """Asks on one screen; ends quietly when the answers end."""

    def __init__(self, screen: Screen) -> None:
        self.screen = screen
        self.number = 0

    def say(self, text: str) -> None:
        write(self.screen.wrap(text, "   ", "   "), sys.stderr)

    def line(self) -> str:
        sys.stderr.write("   > ")
        sys.stderr.flush()
        typed = sys.stdin.readline()
        if not (typed.endswith("\n") and is_terminal(sys.stdin)):
            sys.stderr.write(self.screen.text(typed.rstrip("\n")) + "\n")
        return typed.strip()

    def ask(self, lines: tuple[str, ...], read: Callable[[str], T], skipped: str) -> T | None:
        """The answer as read; None where it was left open."""
        self.number += 1
        shown = [f"{self.number}  {lines[0]}", *(f"   {line}" for line in lines[1:])]
        write([self.screen.text(line) for line in shown], sys.stderr)
        typed = self.line()
        while typed:
            try:
                return read(typed)
            except new.RateUnitNeeded as doubt:
                typed = self._with_unit(typed, doubt)
            except ValueFault as fault:
                self.say(_sentence(str(fault)))
                typed = self.line()
        self.say(skipped)
        return None

    def _with_unit(self, typed: str, doubt: new.RateUnitNeeded) -> str:
        self.say(f"{doubt.read}   {doubt.remedy}")
        unit = self.line()
        return f"{typed} {unit}" if unit else ""


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _echoed(questions: _Questions, answer: T | None) -> T | None:
    echo = getattr(answer, "echo", "")
    if echo:
        questions.say(echo)
    return answer


def asked(screen: Screen) -> new.Draft:
    """The five answers."""
    ask = _Questions(screen)
    write([screen.text(OPENING), ""], sys.stderr)
    kind = ask.ask(KINDS, new.mechanism, "Left open; the file cannot be computed without it.")
    linear = new.is_linear(kind)
    later = "Left open; the file names it in a comment."
    load = _echoed(ask, ask.ask(LOAD if linear else INERTIA, lambda t: new.load(t, kind), later))
    move = _echoed(ask, ask.ask(MOVE if linear else TURN, lambda t: new.move(t, kind), later))
    often = _echoed(ask, ask.ask(OFTEN, lambda t: new.rhythm(t, kind, move), later))
    feed = "Left open; demand does not need it, select and verify do."
    mains = _echoed(ask, ask.ask(MAINS, new.mains, feed))
    return new.Draft(kind, load, move, often, mains)


def ask_and_write(screen: Screen, target: str) -> str:
    """Ask, write the file, and say what to do next. Returns the name of the file."""
    new.require_free(target)
    draft = asked(screen)
    new.write_new(draft, target)
    facts = new.open_facts(draft)
    lines = ["", *(screen.wrap(facts) if facts else [])]
    name = screen.yours(target)
    write([*lines, f"Wrote {name}. Next: {screen.yours(f'dutyline demand {target}')}"], sys.stderr)
    return target
