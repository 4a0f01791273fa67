"""One of several programs that edit the same document; run as a program of its own.

    python editing_program.py PLACE KEY NAME TIMES

Adds its name and a count to the text until that was accepted ``TIMES`` times, each time on what is
kept at that moment; prints how often somebody else was faster.
"""

from __future__ import annotations

import sys
from dataclasses import replace

from dutyline.app.keeping import store_for
from dutyline.store.records import ConflictError


def main(place: str, key: str, name: str, times: int) -> int:
    """The number of conflicts."""
    store, conflicts, done = store_for(place)[0], 0, 0
    while done < times:
        head = store.get(key).head
        text = f"{head.content.text},{name}{done}"
        try:
            store.save(key, head.number, replace(head.content, text=text), "Axis", "", name)
        except ConflictError:
            conflicts += 1
        else:
            done += 1
    store.close()
    return conflicts


if __name__ == "__main__":
    sys.stdout.write(str(main(sys.argv[1], sys.argv[2], sys.argv[3], int(sys.argv[4]))))
