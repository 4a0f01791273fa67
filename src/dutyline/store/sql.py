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

from sqlalchemy import Engine, Row, Select, and_, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from dutyline.core.errors import legible
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
from dutyline.store.rows import ContentRow, DocumentRow, MoveRow, RevisionRow
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
        lite = engine.dialect.name == "sqlite"
        self._insert: Any = sqlite.insert if lite else postgresql.insert
        self._turn: AbstractContextManager[Any] = threading.Lock() if lite else nullcontext()
        """Writers of this program come one by one, rather than by trying again and again."""

    def create(self, title: str, content: Content, who: str = "", origin: str = "") -> Document:
        """A new document with its first revision."""
        first = Revision(1, None, content, legible(who), "opened", _now())
        row = DocumentRow(
            id=secrets.token_hex(8),
            origin=origin,
            title=legible(title),
            head=1,
            last=1,
            trail=[],
            changed=first.when,
            mark="",
        )
        with self._writing() as session:
            session.add(row)
            session.flush()
            self._add(session, row.id, first)
        return _document(row, first)

    def find(self, origin: str, text: str) -> tuple[Document, Revision] | None:
        """The document made from a place, and its newest revision with a text."""
        query = (
            select(RevisionRow, DocumentRow, ContentRow.text)
            .join(DocumentRow, DocumentRow.id == RevisionRow.document)
            .join(ContentRow, ContentRow.sha256 == RevisionRow.sha256)
            .where(DocumentRow.origin == origin, RevisionRow.sha256 == _sha256(_bytes(text)))
            .order_by(DocumentRow.changed.desc(), RevisionRow.number.desc())
            .limit(1)
        )
        with self._reading() as session:
            found = session.execute(query).first()
            if found is None:
                return None
            revision, document, body = found
            return _standing(session, document.id), _revision(revision, body)

    def get(self, key: str) -> Document:
        """The document as it stands."""
        with self._reading() as session:
            return _standing(session, key)

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
        with self._writing() as session:
            row = _locked(session, key)
            if mark and row.mark == mark:
                return _document(row, _numbered(session, key, row.head))
            _need_head(session, row, base)
            before = session.execute(_parent(key, base)).scalar_one()
            parent = parent_of(base, before, instead=instead)
            made = Revision(row.last + 1, parent, content, legible(who), legible(what), _now())
            self._add(session, key, made)
            row.head = row.last = made.number
            row.title, row.trail, row.changed = legible(title), [], made.when
            row.mark = mark
        return _document(row, made)

    def move(self, key: str, base: int, to: int, who: str = "", *, mark: str = "") -> Document:
        """The head set to another revision."""
        with self._writing() as session:
            row = _locked(session, key)
            if mark and row.mark == mark:
                return _document(row, _numbered(session, key, row.head))
            _need_head(session, row, base)
            if not 1 <= to <= row.last:
                raise MissingError(f"There is no revision {to}.")
            before = session.execute(_parent(key, base)).scalar_one()
            row.trail = trail_after(row.trail, base, before, to)
            row.head, row.changed, row.mark = to, _now(), mark
            session.add(MoveRow(document=key, left=base, to=to, who=legible(who), made=row.changed))
            head = _numbered(session, key, to)
        return _document(row, head)

    def revisions(self, key: str) -> tuple[Revision, ...]:
        """Every revision, oldest first."""
        query = (
            select(RevisionRow, ContentRow.text)
            .join(ContentRow, ContentRow.sha256 == RevisionRow.sha256)
            .where(RevisionRow.document == key)
            .order_by(RevisionRow.number)
        )
        with self._reading() as session:
            found = tuple(_revision(*row) for row in session.execute(query))
        if not found:
            raise _no_axis()
        return found

    def heads(self, key: str, most: int) -> tuple[RevisionHead, ...]:
        """The newest revisions without their texts, the newest first."""
        query = (
            select(RevisionRow.number, RevisionRow.who, RevisionRow.what, RevisionRow.made)
            .where(RevisionRow.document == key)
            .order_by(RevisionRow.number.desc())
            .limit(most)
        )
        with self._reading() as session:
            found = tuple(RevisionHead(*row) for row in session.execute(query))
        if not found:
            raise _no_axis()
        return found

    def moves(self, key: str, most: int) -> tuple[Move, ...]:
        """How the head was moved, the newest first."""
        with self._reading() as session:
            return _moves(session, key, most)

    def marked(self, key: str) -> str:
        """The mark of the last change."""
        query = select(DocumentRow.mark).where(DocumentRow.id == key)
        with self._reading() as session:
            return session.execute(query).scalar() or ""

    def documents(self) -> tuple[Document, ...]:
        """Every document, the one changed last first."""
        query = _standings().order_by(DocumentRow.changed.desc(), DocumentRow.id)
        with self._reading() as session:
            return tuple(_read(row) for row in session.execute(query))

    def close(self) -> None:
        """Let go of the connections."""
        self._engine.dispose()

    @contextmanager
    def _reading(self) -> Iterator[Session]:
        with _told("read"), Session(self._engine, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def _writing(self) -> Iterator[Session]:
        with (
            self._turn,
            _told("kept"),
            Session(self._writer, expire_on_commit=False) as session,
            session.begin(),
        ):
            yield session

    def _add(self, session: Session, key: str, made: Revision) -> None:
        body = _bytes(made.content.text)
        digest = _sha256(body)
        session.execute(
            self._insert(ContentRow).values(sha256=digest, text=body).on_conflict_do_nothing()
        )
        content = made.content
        session.add(
            RevisionRow(
                document=key,
                number=made.number,
                parent=made.parent,
                sha256=digest,
                shown={
                    "file": content.file,
                    "parts": content.parts,
                    "variant": content.variant,
                    "elsewhere": content.elsewhere,
                },
                who=made.who,
                what=made.what,
                made=made.when,
            )
        )
        session.flush()


def _locked(session: Session, key: str) -> DocumentRow:
    """The row of a document, locked."""
    row = session.get(DocumentRow, key, with_for_update=True)
    if row is None:
        raise _no_axis()
    return row


def _need_head(session: Session, row: DocumentRow, base: int) -> None:
    """Make sure that the head of a document is the revision that a change was made from."""
    if row.head != base:
        old = _numbered(session, row.id, base) if 1 <= base <= row.last else None
        last = _moves(session, row.id, 1)
        moved = last[0] if last and last[0].when == row.changed else None
        raise ConflictError(old, _numbered(session, row.id, row.head), moved)


def _moves(session: Session, key: str, most: int) -> tuple[Move, ...]:
    query = (
        select(MoveRow.left, MoveRow.to, MoveRow.who, MoveRow.made)
        .where(MoveRow.document == key)
        .order_by(MoveRow.id.desc())
        .limit(most)
    )
    return tuple(Move(*row) for row in session.execute(query))


def _standings() -> Select[DocumentRow, RevisionRow, bytes]:
    return (
        select(DocumentRow, RevisionRow, ContentRow.text)
        .join(
            RevisionRow,
            and_(
                RevisionRow.document == DocumentRow.id,
                RevisionRow.number == DocumentRow.head,
            ),
        )
        .join(ContentRow, ContentRow.sha256 == RevisionRow.sha256)
    )


def _standing(session: Session, key: str) -> Document:
    found = session.execute(_standings().where(DocumentRow.id == key)).first()
    if found is None:
        raise _no_axis()
    return _read(found)


def _read(found: Row[DocumentRow, RevisionRow, bytes]) -> Document:
    row, head, body = found
    return _document(row, _revision(head, body))


def _numbered(session: Session, key: str, number: int) -> Revision:
    query = (
        select(RevisionRow, ContentRow.text)
        .join(ContentRow, ContentRow.sha256 == RevisionRow.sha256)
        .where(RevisionRow.document == key, RevisionRow.number == number)
    )
    return _revision(*session.execute(query).one())


def _parent(key: str, number: int) -> Select[int | None]:
    return select(RevisionRow.parent).where(
        RevisionRow.document == key, RevisionRow.number == number
    )


def _document(row: DocumentRow, head: Revision) -> Document:
    redo = row.trail[-1] if row.trail else None
    return Document(row.id, row.title, head, head.parent, redo, row.changed, row.origin)


def _revision(row: RevisionRow, body: bytes) -> Revision:
    shown = row.shown
    text = body.decode("utf-8", "surrogatepass")
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
