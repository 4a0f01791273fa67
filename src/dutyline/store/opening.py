"""Stores by file or address: connected, and brought to the tables of this version."""

from __future__ import annotations

import errno
import os
import sqlite3
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError, SQLAlchemyError

from dutyline.core.errors import Fault, InputError
from dutyline.store.sql import WRITES, SqlStore
from dutyline.store.upkeep import bring_up
from dutyline.store.words import reason

PATIENCE = 10.0
"""[s] for which one program waits until another one has written."""
_OTHER = (
    "Name a file, memory, or an address like postgresql+psycopg://name@host/database with --store."
)


def named(given: str) -> tuple[SqlStore, str]:
    """A store by what somebody named, and its place as it may be told.

    Parameters
    ----------
    given : str
        A file, or the address of a database: ``postgresql+psycopg://name@host/database``.

    Raises
    ------
    InputError
        It cannot be used.
    """
    if "://" not in given:
        return _file(Path(given).expanduser())
    try:
        url = make_url(given)
    except (ArgumentError, ValueError):
        scheme = given.partition("://")[0]
        raise _refused(f"{scheme}://…", "the address is not readable.") from None
    kind = url.drivername.partition("+")[0]
    if kind == "sqlite" and url.database and url.database != ":memory:":
        return _file(Path(url.database))
    place = url.render_as_string(hide_password=True)
    if kind != "postgresql":
        raise _refused(place, f"read {kind}; a file or postgresql+psycopg is needed.")
    if find_spec("psycopg") is None:
        remedy = 'Install it with pip install "dutyline[postgresql]".'
        raise _refused(place, "the package psycopg is not installed.", remedy)
    engine = create_engine(url.set(drivername="postgresql+psycopg"), pool_pre_ping=True)
    return _store(engine, place), place


def open_file(path: Path) -> SqlStore:
    """A store in a file of SQLite, made where there is none; only its owner may read it.

    Raises
    ------
    InputError
        The file is of something else, damaged, or of a newer version.
    OSError
        The folder or the file cannot be made or written.
    """
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    except FileExistsError:
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR)) from None
    if not os.access(path.parent, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path.parent))
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
    engine = create_engine(
        URL.create("sqlite+pysqlite", database=str(path)), connect_args={"timeout": PATIENCE}
    )
    event.listen(engine, "connect", _settle)
    event.listen(engine, "begin", _begin)
    return _store(engine, str(path))


def _file(path: Path) -> tuple[SqlStore, str]:
    try:
        return open_file(path), str(path)
    except OSError as error:
        raise _refused(str(path), f"{(error.strerror or str(error)).lower()}.") from None


def _store(engine: Engine, place: str) -> SqlStore:
    try:
        bring_up(engine, place)
    except SQLAlchemyError as error:
        engine.dispose()
        raise _refused(place, f"{reason(error)}.") from None
    except InputError:
        engine.dispose()
        raise
    return SqlStore(engine)


def _settle(connection: sqlite3.Connection, _: Any) -> None:
    """A connection to SQLite that begins nothing by itself and loses nothing it has accepted."""
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.close()


def _begin(connection: Connection) -> None:
    """The one writer says so when it begins: two that read first could not both go on to write."""
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _refused(place: str, read: str, remedy: str = _OTHER) -> InputError:
    return InputError("the store", [Fault(place, "--store", read, remedy)])
