"""Tables brought to the state that this version needs, once and by one program at a time."""

from __future__ import annotations

from importlib.resources import as_file, files
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine, inspect, text

from dutyline.core.errors import Fault, InputError
from dutyline.store.rows import PREFIX, VERSION_TABLE
from dutyline.store.sql import WRITES

if TYPE_CHECKING:
    from alembic.config import Config

LATEST = "0003"
"""State of the tables that this version reads and writes."""
_TURN = 0x6475_7479
"""Number of the lock under which one program at a time changes tables in PostgreSQL."""


def bring_up(engine: Engine, place: str) -> None:
    """Make the tables, or bring those of an older version up.

    Raises
    ------
    InputError
        They are of a newer version, or the database is of something else.
    """
    with engine.connect() as connection:
        if state(connection) == LATEST:
            return
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        if engine.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:turn)"), {"turn": _TURN})
        found = state(connection)
        if found is None:
            _need_room(connection, place)
        if found != LATEST:
            _upgrade(connection, found, place)


def state(connection: Connection) -> str | None:
    """Which state the tables are in; None where there are none."""
    if not inspect(connection).has_table(VERSION_TABLE):
        return None
    return connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()


def settings(folder: Path, connection: Connection | None = None) -> Config:
    """What Alembic needs to know."""
    from alembic.config import Config

    found = Config()
    found.set_main_option("script_location", str(folder).replace("%", "%%"))
    found.set_main_option("path_separator", "os")
    found.attributes["connection"] = connection
    return found


def _upgrade(connection: Connection, found: str | None, place: str) -> None:
    from alembic import command
    from alembic.script import ScriptDirectory

    with as_file(files("dutyline.store") / "migrations") as folder:
        config = settings(folder, connection)
        known = {step.revision for step in ScriptDirectory.from_config(config).walk_revisions()}
        if found is not None and found not in known:
            read = (
                f"a newer dutyline has kept axes there (state {found}; this one knows {LATEST}). "
                "Nothing was changed."
            )
            remedy = "Take that version, or name another place with --store."
            raise InputError("the store", [Fault(place, "--store", read, remedy)])
        command.upgrade(config, LATEST)


def _need_room(connection: Connection, place: str) -> None:
    """Nothing of somebody else's is where our tables go; a file holds nothing else at all."""
    others = inspect(connection).get_table_names()
    if connection.dialect.name != "sqlite":
        others = [name for name in others if name.startswith(PREFIX)]
    if others:
        read = f"it is a database of something else: it holds the table {others[0]}."
        remedy = "Name another place with --store."
        raise InputError("the store", [Fault(place, "--store", read, remedy)])
