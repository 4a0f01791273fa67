"""Coroutines in tests; the thread of a test may hold the loop of a browser already."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

T = TypeVar("T")


def run(made: Coroutine[Any, Any, T]) -> T:
    """What a coroutine returns, run in a thread of its own."""
    with ThreadPoolExecutor(1) as beside:
        return beside.submit(asyncio.run, made).result()
