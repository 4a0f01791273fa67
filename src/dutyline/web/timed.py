"""Calculations of a request: beside the loop, and for no longer than a limit."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TypeVar

from anyio import to_thread

from dutyline.core.deadline import within

T = TypeVar("T")

LONGEST = 30.0
"""[s] for the calculation of one answer."""


def timed(work: Callable[[], T]) -> T:
    """What a calculation gives.

    Raises
    ------
    TooLongError
        It has not come to its end in time.
    """
    with within(LONGEST):
        return work()


async def computed(work: Callable[..., T], *given: object) -> T:
    """What a calculation gives, in a thread of its own."""
    return await to_thread.run_sync(partial(timed, partial(work, *given)))
