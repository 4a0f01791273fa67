"""A store in a database; see :mod:`dutyline.store.opening` for how to come by one.

Every change is one transaction of one writer: the row of the document is locked, its head compared
with what the change was made from, the revision added and the head set, or nothing at all.
"""

from __future__ import annotations

import datetime
import hashlib
import secrets
import threading
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from typing import Any

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import SQLAlchemyError

from dutyline.core.errors import legible
from dutyline.store import queries
from dutyline.store.records import (
    ConflictError,
    Content,
    Document,
    KeepingError,
    MissingError,
    Move,
    Revision,
    RevisionHead,
)
from dutyline.store.steps import parent_of, trail_after
from dutyline.store.words import reason

WRITES = "dutyline_writes"
"""Option of a connection that is about to change something."""


class SqlStore:
    """See :class:`dutyline.store.records.Store`.

    Parameters
    ----------
    engine : Engine
        Of a database whose tables are there.
    """

    lasting = True

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._writer = engine.execution_options(**{WRITES: True})
        self._add_content = queries.ADD_CONTENT[engine.dialect.name]
        lite = engine.dialect.name == "sqlite"
        self._turn: AbstractContextManager[Any] = threading.Lock() if lite else nullcontext()
        """Writers of this program come one by one, rather than by trying again and again."""

    def create(self, title: str, content: Content, who: str = "", origin: str = "") -> Document:
        """A new document with its first revision."""
        first = Revision(1, None, content, legible(who), "opened", _now())
        key, title = secrets.token_hex(8), legible(title)
        row = {"id": key, "origin": origin, "title": title, "head": 1, "last": 1, "trail": []}
        with self._writing() as connection:
            connection.execute(queries.ADD_DOCUMENT, {**row, "changed": first.when, "mark": ""})
            self._add(connection, key, first)
        return Document(key, title, first, None, None, first.when, origin)

    def find(self, origin: str, text: str) -> tuple[Document, Revision] | None:
        """The document made from a place, and its newest revision with a text."""
        asked = {"place": origin, "digest": _sha256(_bytes(text))}
        with self._reading() as connection:
            found = connection.execute(queries.FOUND, asked).first()
            if found is None:
                return None
            return _standing(connection, found.id), _revision(found)

    def get(self, key: str) -> Document:
        """The document as it stands."""
        with self._reading() as connection:
            return _standing(connection, key)

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
        with self._writing() as connection:
            row = _locked(connection, key)
            if mark and row.mark == mark:
                return _standing(connection, key)
            _need_head(connection, row, base)
            parent = parent_of(base, _parent(connection, key, base), instead=instead)
            made = Revision(row.last + 1, parent, content, legible(who), legible(what), _now())
            self._add(connection, key, made)
            title, number = legible(title), made.number
            stands = {"head": number, "last": number, "title": title, "trail": []}
            connection.execute(
                queries.STAND, {"key": key, **stands, "changed": made.when, "mark": mark}
            )
        return Document(key, title, made, parent, None, made.when, row.origin)

    def move(self, key: str, base: int, to: int, who: str = "", *, mark: str = "") -> Document:
        """The head set to another revision."""
        with self._writing() as connection:
            row = _locked(connection, key)
            if mark and row.mark == mark:
                return _standing(connection, key)
            _need_head(connection, row, base)
            if not 1 <= to <= row.last:
                raise MissingError(f"There is no revision {to}.")
            trail = trail_after(row.trail, base, _parent(connection, key, base), to)
            now = _now()
            stands = {"head": to, "trail": trail, "changed": now, "mark": mark}
            connection.execute(queries.STAND, {"key": key, **stands})
            moved = {"document": key, "left": base, "to": to, "who": legible(who), "made": now}
            connection.execute(queries.ADD_MOVE, moved)
            return _standing(connection, key)

    def revisions(self, key: str) -> tuple[Revision, ...]:
        """Every revision, oldest first."""
        with self._reading() as connection:
            found = tuple(map(_revision, connection.execute(queries.REVISIONS, {"key": key})))
        if not found:
            raise _no_axis()
        return found

    def heads(self, key: str, most: int) -> tuple[RevisionHead, ...]:
        """The newest revisions without their texts, the newest first."""
        asked = {"key": key, "most": most}
        with self._reading() as connection:
            found = tuple(RevisionHead(*r) for r in connection.execute(queries.HEADS, asked))
        if not found:
            raise _no_axis()
        return found

    def moves(self, key: str, most: int) -> tuple[Move, ...]:
        """How the head was moved, the newest first."""
        with self._reading() as connection:
            return _moves(connection, key, most)

    def marked(self, key: str) -> str:
        """The mark of the last change."""
        with self._reading() as connection:
            return connection.execute(queries.MARK, {"key": key}).scalar() or ""

    def documents(self) -> tuple[Document, ...]:
        """Every document, the one changed last first."""
        with self._reading() as connection:
            return tuple(map(_document, connection.execute(queries.DOCUMENTS)))

    def close(self) -> None:
        """Let go of the connections."""
        self._engine.dispose()

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with _told("read"), self._engine.connect() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with self._turn, _told("kept"), self._writer.begin() as connection:
            yield connection

    def _add(self, connection: Connection, key: str, made: Revision) -> None:
        content = made.content
        body = _bytes(content.text)
        digest = _sha256(body)
        connection.execute(self._add_content, {"sha256": digest, "text": body})
        shown = {
            "file": content.file,
            "parts": content.parts,
            "variant": content.variant,
            "elsewhere": content.elsewhere,
        }
        row = {"document": key, "number": made.number, "parent": made.parent, "sha256": digest}
        told = {"who": made.who, "what": made.what, "made": made.when}
        connection.execute(queries.ADD_REVISION, {**row, "shown": shown, **told})


def _locked(connection: Connection, key: str) -> Any:
    """The row of a document, locked."""
    row = connection.execute(queries.LOCKED, {"key": key}).first()
    if row is None:
        raise _no_axis()
    return row


def _need_head(connection: Connection, row: Any, base: int) -> None:
    """Make sure that the head of a document is the revision that a change was made from."""
    if row.head != base:
        old = _numbered(connection, row.id, base) if 1 <= base <= row.last else None
        last = _moves(connection, row.id, 1)
        moved = last[0] if last and last[0].when == row.changed else None
        raise ConflictError(old, _numbered(connection, row.id, row.head), moved)


def _moves(connection: Connection, key: str, most: int) -> tuple[Move, ...]:
    found = connection.execute(queries.MOVES, {"key": key, "most": most})
    return tuple(Move(*row) for row in found)


def _standing(connection: Connection, key: str) -> Document:
    found = connection.execute(queries.STANDING, {"key": key}).first()
    if found is None:
        raise _no_axis()
    return _document(found)


def _numbered(connection: Connection, key: str, number: int) -> Revision:
    asked = {"key": key, "at": number}
    return _revision(connection.execute(queries.REVISION, asked).one())


def _parent(connection: Connection, key: str, number: int) -> int | None:
    found = connection.execute(queries.PARENT, {"key": key, "at": number}).scalar_one()
    return None if found is None else int(found)


def _document(row: Any) -> Document:
    head = _revision(row)
    redo = row.trail[-1] if row.trail else None
    return Document(row.id, row.title, head, head.parent, redo, row.changed, row.origin)


def _revision(row: Any) -> Revision:
    shown = row.shown
    text = row.text.decode("utf-8", "surrogatepass")
    elsewhere = shown.get("elsewhere") or {}  # not there in rows of an older version
    content = Content(shown["file"], text, shown["parts"], shown["variant"], elsewhere)
    return Revision(row.number, row.parent, content, row.who, row.what, row.made)


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")


def _sha256(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()


def _no_axis() -> MissingError:
    return MissingError("There is no such axis.")


@contextmanager
def _told(what: str) -> Iterator[None]:
    """Errors of the database as one sentence; what was under way is undone by then."""
    try:
        yield
    except SQLAlchemyError as error:
        raise KeepingError(f"The axis could not be {what}: {reason(error)}.") from error


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)
