"""What the tables are asked and told, written once so that a database needs to read it once."""

from __future__ import annotations

from typing import Any, cast

from sqlalchemy import Table, and_, bindparam, insert, select, update
from sqlalchemy.dialects import postgresql, sqlite

from dutyline.store.rows import ContentRow, DocumentRow, MoveRow, RevisionRow

_documents, _revisions, _contents, _moves = (
    cast("Table", row.__table__) for row in (DocumentRow, RevisionRow, ContentRow, MoveRow)
)
_d, _r, _c, _m = _documents.c, _revisions.c, _contents.c, _moves.c
_REVISION = (_r.number, _r.parent, _r.shown, _r.who, _r.what, _r.made, _c.text)
_DOCUMENT = (_d.id, _d.title, _d.trail, _d.changed, _d.origin)
_texts = _revisions.join(_contents, _c.sha256 == _r.sha256)
_standings = _documents.join(_revisions, and_(_r.document == _d.id, _r.number == _d.head)).join(
    _contents, _c.sha256 == _r.sha256
)
_of_key = _r.document == bindparam("key")

DOCUMENTS = (
    select(*_DOCUMENT, *_REVISION).select_from(_standings).order_by(_d.changed.desc(), _d.id)
)
STANDING = select(*_DOCUMENT, *_REVISION).select_from(_standings).where(_d.id == bindparam("key"))
FOUND = (
    select(_d.id, *_REVISION)
    .select_from(_texts.join(_documents, _d.id == _r.document))
    .where(_d.origin == bindparam("place"), _r.sha256 == bindparam("digest"))
    .order_by(_d.changed.desc(), _r.number.desc())
    .limit(1)
)
LOCKED = (
    select(_d.id, _d.origin, _d.trail, _d.changed, _d.head, _d.last, _d.mark)
    .where(_d.id == bindparam("key"))
    .with_for_update()
)
MARK = select(_d.mark).where(_d.id == bindparam("key"))
PARENT = select(_r.parent).where(_of_key, _r.number == bindparam("at"))
REVISION = select(*_REVISION).select_from(_texts).where(_of_key, _r.number == bindparam("at"))
REVISIONS = select(*_REVISION).select_from(_texts).where(_of_key).order_by(_r.number)
HEADS = (
    select(_r.number, _r.who, _r.what, _r.made)
    .where(_of_key)
    .order_by(_r.number.desc())
    .limit(bindparam("most"))
)
MOVES = (
    select(_m.left, _m.to, _m.who, _m.made)
    .where(_m.document == bindparam("key"))
    .order_by(_m.id.desc())
    .limit(bindparam("most"))
)

ADD_DOCUMENT, ADD_REVISION, ADD_MOVE = (insert(t) for t in (_documents, _revisions, _moves))
STAND = update(_documents).where(_d.id == bindparam("key"))
ADD_CONTENT: dict[str, Any] = {
    "sqlite": sqlite.insert(_contents).on_conflict_do_nothing(),
    "postgresql": postgresql.insert(_contents).on_conflict_do_nothing(),
}
"""A text that is there already stays; by the kind of database."""
