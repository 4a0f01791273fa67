"""What may follow later: in one thread, in the order asked for, and edits go first."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Hashable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, TypeVar

from dutyline.core.deadline import asking, within

T = TypeVar("T")

PATIENCE = 0.05
"""[s] that a step of work waits for edits before it goes on beside them."""
BUDGET = 30.0
"""[s] that a work may take, waiting for edits included."""


class GivenUpError(Exception):
    """The work is of no use any more: its axis was edited."""


@dataclass(slots=True, eq=False)
class _Work:
    """One piece of work."""

    key: str
    mark: Hashable
    make: Callable[[], Any]
    made: Future[Any] = field(default_factory=Future)
    dropped: bool = False


class Behind:
    """Work that no edit waits for.

    Parameters
    ----------
    patience : float [s]
        How long each step of a work waits while edits are under way.
    budget : float [s]
        How long a work may take.
    """

    def __init__(self, patience: float = PATIENCE, budget: float = BUDGET) -> None:
        self.patience, self.budget = patience, budget
        self._waiting: deque[_Work] = deque()
        self._running: _Work | None = None
        self._edits = self._pauses = 0
        self._changed = threading.Condition()
        self._thread: threading.Thread | None = None

    @contextmanager
    def edit(self, key: str) -> Iterator[None]:
        """While an edit of an axis is judged all work pauses; the work on that axis is given up."""
        with self._changed:
            self._drop(key)
            self._edits += 1
        try:
            with self.pause():
                yield
        finally:
            with self._changed:
                self._edits -= 1

    @property
    def edited(self) -> bool:
        """Whether an edit is under way."""
        return self._edits > 0

    @contextmanager
    def pause(self) -> Iterator[None]:
        """While something more urgent is done all work pauses."""
        with self._changed:
            self._pauses += 1
        try:
            yield
        finally:
            with self._changed:
                self._pauses -= 1
                self._changed.notify_all()

    def ask(self, key: str, mark: Hashable, make: Callable[[], T]) -> Future[T | None]:
        """Have something made.

        Parameters
        ----------
        key : str
            The axis; an edit of it gives the work up.
        mark : hashable
            What is made: whoever asks for the same while it is under way gets the same.
        make : callable

        Returns
        -------
        Future
            Of what was made; of None where it was given up.
        """
        with self._changed:
            for work in (*self._waiting, *filter(None, [self._running])):
                if (work.key, work.mark) == (key, mark) and not work.dropped:
                    return work.made
            work = _Work(key, mark, make)
            self._waiting.append(work)
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="behind", daemon=True)
                self._thread.start()
            self._changed.notify_all()
            return work.made

    def _drop(self, key: str) -> None:
        for work in [w for w in self._waiting if w.key == key]:
            self._waiting.remove(work)
            if work.made.set_running_or_notify_cancel():
                work.made.set_result(None)
        if self._running is not None and self._running.key == key:
            self._running.dropped = True

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._waiting)
                work = self._running = self._waiting.popleft()
            if work.made.set_running_or_notify_cancel():
                self._make(work)
            with self._changed:
                self._running = None

    def _make(self, work: _Work) -> None:
        def step() -> None:
            with self._changed:
                self._changed.wait_for(lambda: not self._pauses or work.dropped, self.patience)
            if work.dropped:
                raise GivenUpError

        try:
            with within(self.budget), asking(step):
                step()
                work.made.set_result(work.make())
        except GivenUpError:
            work.made.set_result(None)
        except Exception as error:
            work.made.set_exception(error)
