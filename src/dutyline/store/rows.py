"""Tables of kept documents, the same on SQLite and PostgreSQL.

What a text says is kept once, under its SHA-256; revisions are never changed and never removed;
the row of a document alone says which of them it stands at.
"""

from __future__ import annotations

import datetime
import json
from typing import Any

from sqlalchemy import (
    DateTime,
    Dialect,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    LargeBinary,
    String,
    Text,
    TypeDecorator,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

PREFIX = "dutyline_"
"""Every table begins with it: a database may hold others."""
VERSION_TABLE = f"{PREFIX}version"


class Utc(TypeDecorator[datetime.datetime]):
    """A moment; SQLite keeps no zone, so it is given the one of the world."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(
        self, value: datetime.datetime | None, dialect: Dialect
    ) -> datetime.datetime | None:
        """As kept."""
        if value is None:
            return None
        found = value.astimezone(datetime.UTC)
        return found.replace(tzinfo=None) if dialect.name == "sqlite" else found

    def process_result_value(
        self, value: datetime.datetime | None, dialect: Dialect
    ) -> datetime.datetime | None:
        """As handed out, in UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            return value.replace(tzinfo=datetime.UTC)
        return value.astimezone(datetime.UTC)


class Json(TypeDecorator[Any]):
    """Plain data as JSON in ASCII, which every database takes whatever is in it."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str:
        """As kept."""
        return json.dumps(value, sort_keys=True, separators=(",", ":"))

    def process_result_value(self, value: str | None, dialect: Dialect) -> Any:
        """As handed out."""
        return None if value is None else json.loads(value)


class Base(DeclarativeBase):
    """All tables."""


class ContentRow(Base):
    """The text of an axis file."""

    __tablename__ = f"{PREFIX}contents"

    sha256: Mapped[str] = mapped_column(String(64), primary_key=True)
    text: Mapped[bytes] = mapped_column(LargeBinary)
    """In UTF-8."""


class DocumentRow(Base):
    """Where a document stands."""

    __tablename__ = f"{PREFIX}documents"

    id: Mapped[str] = mapped_column(String(16), primary_key=True)
    origin: Mapped[str] = mapped_column(Text)
    title: Mapped[str] = mapped_column(Text)
    head: Mapped[int]
    last: Mapped[int]
    """Number of its newest revision."""
    trail: Mapped[list[int]] = mapped_column(Json)
    """Revisions that redo goes on to, the nearest last."""
    changed: Mapped[datetime.datetime] = mapped_column(Utc)
    mark: Mapped[str] = mapped_column(Text, server_default="")
    """Made by whoever sent the last change, who may send it again."""

    __table_args__ = (
        ForeignKeyConstraint(
            ["id", "head"],
            [f"{PREFIX}revisions.document", f"{PREFIX}revisions.number"],
            name=f"{PREFIX}head_exists",
            deferrable=True,
            initially="DEFERRED",
            use_alter=True,
        ),
        Index(f"{PREFIX}by_origin", "origin"),
        Index(f"{PREFIX}by_change", "changed"),
    )


class MoveRow(Base):
    """The head of a document set to another revision."""

    __tablename__ = f"{PREFIX}moves"

    id: Mapped[int] = mapped_column(primary_key=True)
    document: Mapped[str] = mapped_column(ForeignKey(DocumentRow.id))
    left: Mapped[int]
    """Revision at which it stood."""
    to: Mapped[int]
    who: Mapped[str] = mapped_column(Text)
    made: Mapped[datetime.datetime] = mapped_column(Utc)

    __table_args__ = (Index(f"{PREFIX}by_move", "document"),)


class RevisionRow(Base):
    """One state of a document."""

    __tablename__ = f"{PREFIX}revisions"

    document: Mapped[str] = mapped_column(ForeignKey(DocumentRow.id), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    parent: Mapped[int | None]
    sha256: Mapped[str] = mapped_column(ForeignKey(ContentRow.sha256))
    shown: Mapped[dict[str, Any]] = mapped_column(Json)
    """Name of the file, chosen parts, variant, parts chosen elsewhere."""
    who: Mapped[str] = mapped_column(Text)
    what: Mapped[str] = mapped_column(Text)
    made: Mapped[datetime.datetime] = mapped_column(Utc)

    __table_args__ = (
        ForeignKeyConstraint(
            ["document", "parent"],
            [f"{PREFIX}revisions.document", f"{PREFIX}revisions.number"],
            name=f"{PREFIX}parent_exists",
        ),
        Index(f"{PREFIX}by_text", "sha256"),
    )
