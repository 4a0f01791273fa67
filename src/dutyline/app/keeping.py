"""Where the axes of a server are kept."""

from __future__ import annotations

import platform
from hashlib import sha256
from importlib.util import find_spec

from dutyline.core.errors import Fault, InputError
from dutyline.store.memory import MemoryStore
from dutyline.store.places import NAME, data_folder
from dutyline.store.records import Document, Revision, Store

MEMORY = "memory"
_LOST = "Edits end with the program; name a file to keep them in with --store."


def store_for(given: str | None) -> tuple[Store, str]:
    """A store, and where it keeps in one sentence.

    Parameters
    ----------
    given : str or None
        ``memory``, a file, or the address of a database. None: the user's data folder; where
        nothing can be written there, memory.

    Raises
    ------
    InputError
        What was named cannot be used, or what is kept there is of a newer version.
    """
    if given == MEMORY:
        return MemoryStore(), "Axes are kept in memory and end with the program."
    missing = [name for name in ("sqlalchemy", "alembic") if find_spec(name) is None]
    if missing:
        read = f"the packages for keeping are not installed: {', '.join(missing)}."
        remedy = 'Install them with pip install "dutyline[web]", or use --store memory.'
        raise InputError("the store", [Fault("", "--store", read, remedy)])
    if given is None:
        return _usual()
    from dutyline.store.opening import named

    store, place = named(given)
    return store, f"Axes are kept in {place}."


def origin_of(kind: str, place: str) -> str:
    """Mark of where a document came from, which tells nothing of the place itself."""
    said = f"{kind}\n{platform.node()}\n{place}"
    return sha256(said.encode("utf-8", "surrogatepass")).hexdigest()


def reopened(name: str, found: tuple[Document, Revision]) -> str:
    """Which kept revision a file is, in one sentence."""
    document, revision = found
    head = document.head
    if revision.content.text == head.content.text:
        return f"{name} opens as it is kept, revision {head.number}."
    return (
        f"{name} is revision {revision.number} of a kept axis, which opens as it stands now, "
        f"revision {head.number}; the file has not been changed."
    )


def _usual() -> tuple[Store, str]:
    folder = data_folder()
    if folder is None:
        return MemoryStore(), f"Nothing is kept: there is no home folder. {_LOST}"
    from dutyline.store.opening import open_file

    path = folder / NAME
    try:
        return open_file(path), f"Axes are kept in {path}."
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        return MemoryStore(), f"Nothing is kept: {path} cannot be written, {why}. {_LOST}"
