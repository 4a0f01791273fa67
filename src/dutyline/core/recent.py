"""The newest items by name; the oldest give way."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Hashable
from typing import Generic, TypeVar

T = TypeVar("T")

MOST_KEPT = 64
"""Items kept in memory; others are made again."""


class Recent(Generic[T]):
    """One item of each name, for as many names as were used last."""

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._items: OrderedDict[Hashable, T] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: Hashable) -> T | None:
        """The item of a name."""
        with self._lock:
            return self._items.get(key)

    def put(self, key: Hashable, item: T) -> None:
        """Keep an item as the newest."""
        with self._lock:
            self._items[key] = item
            self._items.move_to_end(key)
            while len(self._items) > self._most:
                self._items.popitem(last=False)

    def take(self, key: Hashable) -> T | None:
        """The item of a name, which is no longer kept."""
        with self._lock:
            return self._items.pop(key, None)
