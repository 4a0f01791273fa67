"""What is made when it is first asked for, and then kept."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Generic, TypeVar

T = TypeVar("T")


class Once(Generic[T]):
    """A value that is made once, whoever asks first; equal to another of an equal value.

    Parameters
    ----------
    make : callable
        Makes the value; let go of afterwards.
    """

    __hash__ = None  # type: ignore[assignment]

    def __init__(self, make: Callable[[], T]) -> None:
        self._make: Callable[[], T] | None = make
        self._made: list[T] = []
        self._lock = threading.Lock()

    def get(self) -> T:
        """The value."""
        with self._lock:
            if self._make is not None:
                self._made.append(self._make())
                self._make = None
            return self._made[0]

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Once) and bool(self.get() == other.get())
