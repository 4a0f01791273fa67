"""Writers that are killed in the middle of their work; run as a program of its own.

    python killed_writers.py PLACE TIMES SEED

Each writer is a fork that opens the store and saves, undoes and redoes without a pause. What the
store has accepted it reports through a pipe, one line per step, written once the store has
returned. At an instant drawn by chance it is killed with SIGKILL, and what it had reported is held
against what is kept. Prints one JSON object.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time

from dutyline.app.keeping import store_for
from dutyline.store.records import Content, Document, Store

LONGEST = 0.12
"""[s] a writer lives at most after its first report."""


def content_of(number: int) -> Content:
    """What revision ``number`` says; lengths differ, so that pages of the file fill and split."""
    return Content("a.toml", f"number = {number}\n" + "x" * (977 * number % 9001), {"motor": "XM"})


def write(store: Store, key: str, pipe: int) -> None:
    """Step without end: two edits, undo, redo."""
    own = store.get(key) if key else store.create("Axis 1", content_of(1))
    last = len(store.revisions(own.id))
    os.write(pipe, _report(own, last))
    while True:
        base = own.head.number
        if own.redo is not None:
            own = store.move(own.id, base, own.redo)
            os.write(pipe, _report(own, last))
        for step in range(2):
            own = store.save(own.id, last, content_of(last + 1), f"Axis {last + 1}", f"step {step}")
            last += 1
            os.write(pipe, _report(own, last))
        own = store.move(own.id, last, last - 1)
        os.write(pipe, _report(own, last))


def _report(own: Document, last: int) -> bytes:
    return f"{own.id} {last} {own.head.number} {own.redo or 0}\n".encode()


def wrong(store: Store, reported: str) -> list[str]:
    """What differs from the last report; one step more may have been kept before its report."""
    key, *numbers = reported.split()
    last, head, redo = map(int, numbers)
    kept, now = store.revisions(key), store.get(key)
    standing = (len(kept), now.head.number, now.redo or 0)
    steps = {
        (last, head, redo),
        (last + 1, last + 1, 0),
        (last, redo, 0) if redo else (last, head - 1, head),
    }
    found = [] if standing in steps else [f"{standing} is kept, {(last, head, redo)} reported"]
    for number, revision in enumerate(kept, 1):
        if (revision.number, revision.parent) != (number, number - 1 or None):
            found.append(f"revision {number} is out of order")
        if revision.content != content_of(number):
            found.append(f"revision {number} says something else")
    return found


def one_round(place: str, key: str, instant: float) -> list[str]:
    """The reports of a writer from its birth to its death."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            write(store_for(place)[0], key, writing)
        except BaseException as error:
            os.write(writing, f"! {error!r}\n".encode())
        os._exit(1)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        first = pipe.readline()
        time.sleep(instant)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return (first + pipe.read()).decode().splitlines()


def main(place: str, times: int, seed: int) -> dict[str, object]:
    """Kill that many writers, a new document for every tenth."""
    chance = random.Random(seed)
    key, steps, found = "", 0, []
    for turn in range(times):
        key = "" if turn % 10 == 0 else key
        reports = one_round(place, key, chance.random() * LONGEST)
        steps += len(reports) - 1
        found += [line for line in reports if line.startswith("!")]
        key = reports[-1].split()[0]
        store = store_for(place)[0]
        found += wrong(store, reports[-1])
        store.close()
    return {"killed": times, "steps": steps, "wrong": found, "cpu": sum(os.times()[:4])}


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]))))
