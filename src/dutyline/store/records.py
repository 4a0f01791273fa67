"""What a store keeps, and what every store does."""

from __future__ import annotations

import datetime
import difflib
from dataclasses import dataclass, field
from typing import Protocol

from dutyline.core.errors import DutylineError


@dataclass(frozen=True, slots=True)
class Content:
    """What is edited: the text of an axis file and what is looked at."""

    file: str
    text: str
    parts: dict[str, str | None] = field(default_factory=dict)
    """Names of the chosen parts by kind; empty: the best of the shortlist."""
    variant: str = ""
    elsewhere: dict[str, dict[str, str | None]] = field(default_factory=dict)
    """Chosen parts of the other variants, by name; those of the file itself under no name."""


@dataclass(frozen=True, slots=True)
class Revision:
    """One state of a document; never changed."""

    number: int
    """From 1, in the order of being kept."""
    parent: int | None
    """The revision it was made from."""
    content: Content
    who: str
    what: str
    """What was changed, in words: ``load.mass: 28 kg to 30 kg``"""
    when: datetime.datetime


@dataclass(frozen=True, slots=True)
class RevisionHead:
    """What a list of revisions tells of one, without its text."""

    number: int
    who: str
    what: str
    when: datetime.datetime


@dataclass(frozen=True, slots=True)
class Move:
    """The head set to another revision: undo, redo, restore."""

    left: int
    """Revision at which it stood."""
    to: int
    who: str
    when: datetime.datetime


@dataclass(frozen=True, slots=True)
class Document:
    """A kept axis as it stands."""

    id: str
    title: str
    head: Revision
    undo: int | None
    """Revision to which undo goes back; None where there is none."""
    redo: int | None
    """Revision to which redo goes on; None where there is none."""
    changed: datetime.datetime
    """When it was changed last, undo and restoring included."""
    origin: str = ""
    """Mark of the place it was made from; empty where there is none."""


class ConflictError(DutylineError):
    """Somebody else changed the document since; nothing was overwritten."""

    def __init__(
        self, based_on: Revision | None, head: Revision, moved: Move | None = None
    ) -> None:
        self.based_on = based_on
        self.head = head
        self.mine = based_on.content.text if based_on else ""
        """Text that would have been kept, for who knows it; else the one it was made from."""
        who, what = head.who, head.what
        if moved is not None:
            who, what = moved.who, f"revision {moved.to} took the place of {moved.left}"
        super().__init__(f"Changed elsewhere by {who or 'another window'}: {what}.")

    def lines(self) -> tuple[str, ...]:
        """Differing lines, theirs with ``-`` and mine with ``+``."""
        theirs, mine = self.head.content.text.splitlines(), self.mine.splitlines()
        found = difflib.unified_diff(theirs, mine, lineterm="", n=0)
        return tuple(line for line in found if not line.startswith(("---", "+++", "@@")))


class MissingError(DutylineError):
    """There is no such document or revision."""


class KeepingError(DutylineError):
    """The place where documents are kept failed; nothing was changed."""


class Store(Protocol):
    """Documents with their revisions; an accepted change survives whatever happens next.

    Every method raises :class:`KeepingError` where the place of keeping fails.
    """

    lasting: bool
    """True where documents outlive the program."""

    def create(self, title: str, content: Content, who: str = "", origin: str = "") -> Document:
        """A new document with its first revision."""

    def find(self, origin: str, text: str) -> tuple[Document, Revision] | None:
        """The document made from a place, and the newest of its revisions that has this text.

        Of several documents the one changed last.
        """

    def get(self, key: str) -> Document:
        """The document as it stands.

        Raises
        ------
        MissingError
            There is none.
        """

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
        """A further revision made from ``base``, which becomes the head.

        With ``instead`` undo goes back to what ``base`` was made from: typing on in one field is
        one step. ``mark`` is made by whoever sends the change: sent again because the answer was
        lost, the change that was kept last under this mark is answered and not made twice.

        Raises
        ------
        ConflictError
            The head is no longer ``base``.
        MissingError
            There is no such document.
        """

    def move(self, key: str, base: int, to: int, who: str = "", *, mark: str = "") -> Document:
        """The head set to another revision of the document: undo, redo, restore.

        ``mark`` as in :meth:`save`. Who did so, and when, is kept beside the revisions.

        Raises
        ------
        ConflictError
            The head is no longer ``base``.
        MissingError
            There is no such document or revision.
        """

    def revisions(self, key: str) -> tuple[Revision, ...]:
        """Every revision, oldest first."""

    def heads(self, key: str, most: int) -> tuple[RevisionHead, ...]:
        """The newest revisions without their texts, the newest first.

        Raises
        ------
        MissingError
            There is no such document.
        """

    def moves(self, key: str, most: int) -> tuple[Move, ...]:
        """How the head was moved, the newest first; none where there is no such document."""

    def marked(self, key: str) -> str:
        """The mark of the last change; empty where it had none, or where there is none."""

    def documents(self) -> tuple[Document, ...]:
        """Every document, the one changed last first."""

    def close(self) -> None:
        """Let go of files and connections."""
