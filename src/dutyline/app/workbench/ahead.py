"""What somebody is still typing, worked out before it is sent: one state at a time, the newest."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from concurrent.futures import Future
from dataclasses import dataclass, field

from dutyline.app.workbench.asked import Change
from dutyline.app.workbench.behind import Behind
from dutyline.app.workbench.changes import applied
from dutyline.app.workbench.effect import ghosts
from dutyline.app.workbench.judged import Judged, judge, sheet_of
from dutyline.app.workbench.page import Page
from dutyline.app.workbench.picture import picture
from dutyline.app.workbench.records import Picture
from dutyline.app.workbench.results import Results
from dutyline.app.workbench.variants import whole
from dutyline.catalogue.parts import ProductLine
from dutyline.core.deadline import asking, in_time, within
from dutyline.core.recent import Recent
from dutyline.store.records import Content, Document

BUDGET = 5.0
"""[s] that a state may take; who sends it then waits no longer than without this."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A result, what the edit moved, and the page of both."""

    judged: Judged
    moved: Mapping[str, float]
    picture: Picture


@dataclass(slots=True, eq=False)
class Guess:
    """A change that is likely to be asked for."""

    key: str
    before: Content
    change: Change
    after: Content
    what: str
    made: Future[Drawn | None] = field(default_factory=Future)
    """None where nothing came of it"""
    dropped: bool = False


class _DroppedError(Exception):
    """Something else was typed since."""


class Ahead:
    """The newest guess and what comes of it.

    Parameters
    ----------
    results : Results
        Where a result goes once its change is asked for.
    behind : Behind
        Pauses meanwhile.
    line : ProductLine
    """

    def __init__(self, results: Results, behind: Behind, line: ProductLine) -> None:
        self._results, self._behind, self._line = results, behind, line
        self._guess: Guess | None = None
        self._lock = threading.Lock()
        self._drawn: Recent[Drawn] = Recent()

    def begin(
        self, document: Document, change: Change, instead: bool, show: Callable[[Page], object]
    ) -> None:
        """Work out what a change of a document comes to; what was guessed before is given up.

        Raises
        ------
        InputError
            The change is not understood.
        """
        key, head = document.id, document.head.content
        content, what = applied(head, whole(change, self._results.good(key)))
        if content == head or not content.parts.get("motor"):
            return
        guess = Guess(key, head, change, content, what)

        def made() -> Drawn:
            with self._behind.pause():
                drawn = self._made(guess, instead)
                in_time()
                show(Page(document, drawn.picture, ghosts=dict(drawn.moved)))
                return drawn

        self.work(guess, made)

    def _made(self, guess: Guess, instead: bool) -> Drawn:
        judged = judge(sheet_of(guess.after), self._line)
        in_time()
        before = self._results.before(guess.key, instead)
        with judged.axis.reader.served():
            moved = ghosts(None if before is None else before.verdict, judged.verdict)
        return Drawn(judged, moved, picture(judged, None, moved))

    def work(self, guess: Guess, make: Callable[[], Drawn]) -> None:
        """Work a guess out in a thread of its own; an older one is given up."""
        with self._lock:
            if self._guess is not None:
                self._guess.dropped = True
            self._guess = guess
        threading.Thread(target=_work, args=(guess, make), name="ahead", daemon=True).start()

    def take(self, key: str, before: Content, change: Change) -> Guess | None:
        """The guess of a change that is now asked for; any other makes room for the edit."""
        with self._lock:
            guess, self._guess = self._guess, None
        if guess is None:
            return None
        if (guess.key, guess.before, guess.change) == (key, before, change):
            return guess
        guess.dropped = True
        return None

    def end(self, guess: Guess) -> None:
        """Wait for what a guess comes to; it is then the newest result of its axis."""
        drawn = guess.made.result()
        if drawn is not None:
            self._results.put(guess.key, drawn.judged)
            self._drawn.put(guess.key, drawn)

    def picture(self, key: str, judged: Judged, moved: Mapping[str, float]) -> Picture | None:
        """The page of a result that was worked out ahead, where it is of the same edit."""
        drawn = self._drawn.get(key)
        if drawn is None or drawn.judged is not judged or drawn.moved != moved:
            return None
        return drawn.picture


def _work(guess: Guess, make: Callable[[], Drawn]) -> None:
    def step() -> None:
        if guess.dropped:
            raise _DroppedError

    found = None
    try:
        with within(BUDGET), asking(step):
            step()
            found = make()
    except Exception:  # what cannot be worked out is told to whoever sends it
        pass
    finally:
        guess.made.set_result(found)
