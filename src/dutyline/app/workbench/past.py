"""Who changed what and when: revisions, and undo, redo and restoring between them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from dutyline.store.records import Move, RevisionHead, Store

MOST_CHANGES = 200
"""Revisions and moves in a list; older ones are kept all the same."""


@dataclass(frozen=True, slots=True)
class PastView:
    """One change in the list."""

    number: int
    """Of the revision, or of the one that was gone to."""
    who: str
    what: str
    when: datetime.datetime
    moved: bool = False
    """True where no revision was made."""


def past(store: Store, key: str) -> tuple[PastView, ...]:
    """The newest changes of a document, the newest first.

    Raises
    ------
    MissingError
        There is no such document.
    """
    found = [_made(head) for head in store.heads(key, MOST_CHANGES)]
    found += [_went(move) for move in store.moves(key, MOST_CHANGES)]
    return tuple(sorted(found, key=lambda one: one.when, reverse=True)[:MOST_CHANGES])


def _made(head: RevisionHead) -> PastView:
    return PastView(head.number, head.who, head.what, head.when)


def _went(move: Move) -> PastView:
    what = f"{'back' if move.to < move.left else 'on'} to revision {move.to}"
    return PastView(move.to, move.who, what, move.when, moved=True)
