"""Progress on standard error, only where the work takes over a second."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import TextIO

from dutyline.cli.screen import is_terminal, needs_ascii
from dutyline.core.errors import legible
from dutyline.core.numbers import group

_FIRST_AFTER = 1.0
_REWRITE_EVERY = 0.2
_LINE_EVERY = 10.0


class Progress:
    """What is being done, and how far it is. Called by the work, read by the writer."""

    def __init__(self, what: str) -> None:
        self.what = legible(what)
        self.done = 0
        self.total = 0
        self.started = time.monotonic()

    def __call__(self, done: int, total: int) -> None:
        """Tell how many of how many are done."""
        self.done, self.total = done, total

    def text(self) -> str:
        """``Deciding 1 048 576 combinations: 41 %, 1.2 s left``"""
        elapsed = time.monotonic() - self.started
        if not self.done or not self.total:
            return f"{self.what}: {elapsed:.0f}\u00a0s so far"
        share = self.done / self.total
        left = elapsed * (1.0 - share) / share
        return f"{self.what}: {group(100 * share)}\u202f%, {left:.1f}\u00a0s left"


def _write(stream: TextIO, text: str) -> None:
    plain = text.replace("\u202f", " ").replace("\u00a0", " ") if needs_ascii(stream) else text
    with suppress(OSError, ValueError):  # progress that cannot be shown is no loss
        stream.write(plain)
        stream.flush()


def _follow(progress: Progress, stream: TextIO, stop: threading.Event) -> None:
    terminal = is_terminal(stream)
    if stop.wait(_FIRST_AFTER if terminal else _LINE_EVERY):
        return
    shown = 0
    while True:
        text = progress.text()
        if terminal:
            _write(stream, "\r" + text.ljust(shown))
            shown = max(shown, len(text))
        else:
            _write(stream, text + "\n")
        if stop.wait(_REWRITE_EVERY if terminal else _LINE_EVERY):
            break
    if terminal:
        _write(stream, "\r" + " " * shown + "\r")


@contextmanager
def progress(what: str, stream: TextIO | None = None) -> Iterator[Progress]:
    """A progress line while the block runs, wiped when it ends.

    On a terminal one line is rewritten in place after the first second; elsewhere one line is
    written every ten seconds.
    """
    stream = stream or sys.stderr
    state = Progress(what)
    if stream is None:
        yield state
        return
    stop = threading.Event()
    writer = threading.Thread(target=_follow, args=(state, stream, stop), daemon=True)
    writer.start()
    try:
        yield state
    finally:
        stop.set()
        writer.join(timeout=1.0)
