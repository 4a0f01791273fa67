"""What somebody is still typing, worked out before it is sent: one state at a time, the newest."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from concurrent.futures import Future
from dataclasses import dataclass, field

from dutyline.app.workbench.asked import Change
from dutyline.app.workbench.judged import Judged
from dutyline.app.workbench.records import Picture
from dutyline.core.deadline import asking, within
from dutyline.store.records import Content

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
    dropped: bool = False

    def drawn(self) -> Drawn | None:
        """What it came to, as soon as it is there; None where nothing came of it."""
        return self.made.result()


class _DroppedError(Exception):
    """Something else was typed since."""


class Ahead:
    """The newest guess and what comes of it."""

    def __init__(self) -> None:
        self._guess: Guess | None = None
        self._lock = threading.Lock()

    def begin(self, guess: Guess, make: Callable[[], Drawn]) -> None:
        """Work a guess out; an older one is given up."""
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


def _work(guess: Guess, make: Callable[[], Drawn]) -> None:
    def step() -> None:
        if guess.dropped:
            raise _DroppedError

    found = None
    try:
        with within(BUDGET), asking(step):
            found = make()
    except Exception:  # what cannot be worked out is told to whoever sends it
        pass
    finally:
        guess.made.set_result(found)
