"""A store that ends with the program: for tests, and for a look without leaving traces."""

from __future__ import annotations

import datetime
import secrets
import threading
from dataclasses import dataclass, field

from dutyline.core.errors import legible
from dutyline.store.records import (
    ConflictError,
    Content,
    Document,
    MissingError,
    Move,
    Revision,
    RevisionHead,
)
from dutyline.store.steps import parent_of, trail_after


@dataclass(slots=True)
class _Kept:
    title: str
    origin: str
    changed: datetime.datetime
    revisions: list[Revision]
    head: int = 1
    trail: list[int] = field(default_factory=list)
    """Revisions that redo goes on to, the nearest last."""
    mark: str = ""
    """Of the last change."""
    moves: list[Move] = field(default_factory=list)


class MemoryStore:
    """See :class:`dutyline.store.records.Store`."""

    lasting = False

    def __init__(self) -> None:
        self._kept: dict[str, _Kept] = {}
        self._lock = threading.Lock()

    def create(self, title: str, content: Content, who: str = "", origin: str = "") -> Document:
        """A new document with its first revision."""
        with self._lock:
            own = secrets.token_hex(8)
            first = Revision(1, None, content, legible(who), "opened", _now())
            self._kept[own] = _Kept(legible(title), origin, first.when, [first])
            return self._document(own)

    def find(self, origin: str, text: str) -> tuple[Document, Revision] | None:
        """The document made from a place, and its newest revision with a text."""
        for document in self.documents():
            if document.origin != origin:
                continue
            for revision in reversed(self.revisions(document.id)):
                if revision.content.text == text:
                    return document, revision
        return None

    def get(self, key: str) -> Document:
        """The document as it stands."""
        with self._lock:
            return self._document(key)

    def save(
        self,
        key: str,
        base: int,
        content: Content,
        title: str,
        what: str,
        who: str = "",
        *,
        instead: bool = False,
        mark: str = "",
    ) -> Document:
        """A further revision made from ``base``."""
        with self._lock:
            if mark and self._of(key).mark == mark:
                return self._document(key)
            kept = self._based(key, base)
            number = len(kept.revisions) + 1
            parent = parent_of(base, kept.revisions[base - 1].parent, instead=instead)
            now = _now()
            kept.revisions.append(
                Revision(number, parent, content, legible(who), legible(what), now)
            )
            kept.head, kept.title, kept.changed = number, legible(title), now
            kept.mark = mark
            kept.trail.clear()
            return self._document(key)

    def move(self, key: str, base: int, to: int, who: str = "", *, mark: str = "") -> Document:
        """The head set to another revision."""
        with self._lock:
            if mark and self._of(key).mark == mark:
                return self._document(key)
            kept = self._based(key, base)
            if not 1 <= to <= len(kept.revisions):
                raise MissingError(f"There is no revision {to}.")
            kept.trail = trail_after(kept.trail, base, kept.revisions[base - 1].parent, to)
            kept.changed = _now()
            kept.moves.append(Move(base, to, legible(who), kept.changed))
            kept.head, kept.mark = to, mark
            return self._document(key)

    def revisions(self, key: str) -> tuple[Revision, ...]:
        """Every revision, oldest first."""
        with self._lock:
            return tuple(self._of(key).revisions)

    def heads(self, key: str, most: int) -> tuple[RevisionHead, ...]:
        """The newest revisions without their texts, the newest first."""
        newest = self.revisions(key)[::-1][:most]
        return tuple(RevisionHead(r.number, r.who, r.what, r.when) for r in newest)

    def moves(self, key: str, most: int) -> tuple[Move, ...]:
        """How the head was moved, the newest first."""
        with self._lock:
            found = self._kept[key].moves if key in self._kept else []
            return tuple(found[::-1][:most])

    def marked(self, key: str) -> str:
        """The mark of the last change."""
        with self._lock:
            return self._kept[key].mark if key in self._kept else ""

    def documents(self) -> tuple[Document, ...]:
        """Every document, the one changed last first."""
        with self._lock:
            found = [self._document(own) for own in self._kept]
        return tuple(sorted(found, key=lambda d: d.changed, reverse=True))

    def close(self) -> None:
        """Nothing is held."""

    def _of(self, own: str) -> _Kept:
        if own not in self._kept:
            raise MissingError("There is no such axis.")
        return self._kept[own]

    def _based(self, own: str, base: int) -> _Kept:
        kept = self._of(own)
        if kept.head != base:
            known = 1 <= base <= len(kept.revisions)
            old = kept.revisions[base - 1] if known else None
            last = kept.moves[-1] if kept.moves else None
            moved = last if last is not None and last.when == kept.changed else None
            raise ConflictError(old, kept.revisions[kept.head - 1], moved)
        return kept

    def _document(self, own: str) -> Document:
        kept = self._of(own)
        head = kept.revisions[kept.head - 1]
        redo = kept.trail[-1] if kept.trail else None
        return Document(own, kept.title, head, head.parent, redo, kept.changed, kept.origin)


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)
