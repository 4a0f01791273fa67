"""A PostgreSQL of the tests' own: in a folder that goes away, on a socket that nobody else has."""

from __future__ import annotations

import contextlib
import glob
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

PATIENCE = 60.0
"""[s] until it has to answer."""


class NoServerError(Exception):
    """It cannot be had here, with the reason."""


@dataclass
class Cluster:
    """A running server."""

    folder: Path
    programs: Path
    account: dict[str, Any]
    process: subprocess.Popen[bytes] | None = None
    made: int = field(default=0)

    def start(self) -> None:
        """Run until the socket answers."""
        self.process = subprocess.Popen(
            [
                self.programs / "postgres", "-D", self.folder / "data", "-k", self.folder,
                "-c", "listen_addresses=", "-c", "max_connections=60",
            ],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=self.folder, **self.account,
        )  # fmt: skip
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until and self.process.poll() is None:
            with contextlib.suppress(Exception):
                self._run("SELECT 1")
                return
            time.sleep(0.1)
        raise NoServerError("PostgreSQL did not start.")

    def stop(self, how: signal.Signals = signal.SIGQUIT) -> None:
        """End it at once."""
        if self.process is not None:
            self.process.send_signal(how)
            self.process.wait()

    def database(self) -> str:
        """The address of a new and empty database."""
        self.made += 1
        name = f"axes_{self.made}"
        self._run(f"CREATE DATABASE {name}")
        return f"postgresql+psycopg://keeper@/{name}?host={self.folder}"

    def _run(self, statement: str) -> None:
        import psycopg

        where = f"host={self.folder} user=keeper dbname=postgres connect_timeout=5"
        with psycopg.connect(where, autocommit=True) as connection:
            connection.execute(statement)


@contextlib.contextmanager
def cluster() -> Iterator[Cluster]:
    """A running server with nothing in it.

    Raises
    ------
    NoServerError
        It cannot be had here.
    """
    programs = _programs()
    account = _account()
    folder = Path(tempfile.mkdtemp(prefix="dutyline-pg-"))
    try:
        if account:
            shutil.chown(folder, account["user"], account["group"])
        made = subprocess.run(
            [
                programs / "initdb", "-D", folder / "data", "-U", "keeper", "-A", "trust",
                "-E", "UTF8", "--locale=C", "--no-sync",
            ],
            capture_output=True, text=True, cwd=folder, **account,
        )  # fmt: skip
        if made.returncode:
            raise NoServerError(f"initdb: {made.stderr.strip().splitlines()[-1:]}")
        found = Cluster(folder, programs, account)
        try:
            found.start()
            yield found
        finally:
            found.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _programs() -> Path:
    """Debian keeps them apart from other commands, by version."""
    here = shutil.which("initdb")
    if here is not None:
        return Path(here).resolve().parent
    found = glob.glob("/usr/lib/postgresql/*/bin/initdb")  # noqa: PTH207
    if not found:
        raise NoServerError("PostgreSQL is not installed; on Debian: apt-get install postgresql")
    return Path(max(found, key=lambda p: float(Path(p).parents[1].name))).parent


def _account() -> dict[str, Any]:
    """The server refuses to run as root: then as the account that Debian made for it, or nobody."""
    if os.getuid() != 0:
        return {}
    for name in ("postgres", "nobody"):
        with contextlib.suppress(KeyError):
            entry = pwd.getpwnam(name)
            return {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []}
    raise NoServerError("There is no account but root to run PostgreSQL under.")
