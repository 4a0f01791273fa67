"""How long a calculation may take, and whether it may go on; both are for a server to say."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from dutyline.core.errors import DutylineError


class TooLongError(DutylineError):
    """A calculation took longer than it may; nothing of it is used."""

    def __init__(self, seconds: float) -> None:
        super().__init__(
            f"The calculation took longer than {seconds:g} s and was given up. "
            "State fewer phases, cases or ranges; the command line has no limit of time."
        )


_end: ContextVar[tuple[float, float] | None] = ContextVar("end", default=None)
"""Moment of the clock [s], and what was allowed [s]."""


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Calculations inside end after a time, at the next place that asks :func:`in_time`.

    Parameters
    ----------
    seconds : float [s]
    """
    before = _end.set((time.monotonic() + seconds, seconds))
    try:
        yield
    finally:
        _end.reset(before)


_ask: ContextVar[Callable[[], None] | None] = ContextVar("ask", default=None)


@contextmanager
def asking(ask: Callable[[], None]) -> Iterator[None]:
    """Calculations inside ask whether they may go on, wherever they ask :func:`in_time`.

    Parameters
    ----------
    ask : callable
        Returns, soon or late, where the work may go on; raises where it is given up.
    """
    before = _ask.set(ask)
    try:
        yield
    finally:
        _ask.reset(before)


def in_time() -> None:
    """Called by whatever is done many times in one calculation.

    Raises
    ------
    TooLongError
        The time is over.
    Exception
        What is raised by whoever is asked, see :func:`asking`.

    Examples
    --------
    >>> in_time()
    >>> with within(0.0):
    ...     in_time()
    Traceback (most recent call last):
    dutyline.core.deadline.TooLongError: The calculation took longer than 0 s and was given up...
    """
    end = _end.get()
    if end is not None and time.monotonic() > end[0]:
        raise TooLongError(end[1])
    wanted()


def wanted() -> None:
    """Called by whatever shows a result that may be given up, however late it is.

    Raises
    ------
    Exception
        What is raised by whoever is asked, see :func:`asking`.
    """
    ask = _ask.get()
    if ask is not None:
        ask()
