"""Long work that lets shorter work pass: a calculation asks between its steps if it may go on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_asked: ContextVar[Callable[[], None] | None] = ContextVar("asked", default=None)


def next_step() -> None:
    """Called by a calculation before each of its steps; waits or raises as whoever runs it says."""
    ask = _asked.get()
    if ask is not None:
        ask()


@contextmanager
def asking(ask: Callable[[], None]) -> Iterator[None]:
    """Calculations of this thread ask before each step.

    Parameters
    ----------
    ask : callable
        Returns where the work may go on; raises where it is given up.
    """
    token = _asked.set(ask)
    try:
        yield
    finally:
        _asked.reset(token)
