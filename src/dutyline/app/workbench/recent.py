"""The newest results by document; the oldest give way."""

from __future__ import annotations

import threading
from collections import OrderedDict
from typing import Generic, TypeVar

T = TypeVar("T")

MOST_KEPT = 64
"""Axes whose results are kept in memory; others are computed again."""


class Recent(Generic[T]):
    """One item of each document, for as many documents as were used last."""

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._items: OrderedDict[str, T] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: str) -> T | None:
        """The item of a document."""
        with self._lock:
            return self._items.get(key)

    def put(self, key: str, item: T) -> None:
        """Keep an item as the newest."""
        with self._lock:
            self._items[key] = item
            self._items.move_to_end(key)
            while len(self._items) > self._most:
                self._items.popitem(last=False)
