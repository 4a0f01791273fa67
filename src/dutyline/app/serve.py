"""The workbench in the browser."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from dutyline.app.workbench.desk import Desk
from dutyline.core.errors import Fault, InputError
from dutyline.store.memory import MemoryStore

if TYPE_CHECKING:
    from dutyline.catalogue.parts import ProductLine

LOOPBACK = "127.0.0.1"
PORT = 8737
_PACKAGES = ("fastapi", "uvicorn", "jinja2", "orjson", "tomlkit")


@dataclass(frozen=True, slots=True)
class Place:
    """Where a server listens and who may come."""

    address: str
    port: int
    token: str
    """Empty on the loopback address."""

    @property
    def hosts(self) -> frozenset[str]:
        """Names under which it may be asked."""
        own = {self.address, "localhost", LOOPBACK} if self.address == LOOPBACK else {self.address}
        return frozenset(f"{name}:{self.port}" for name in own)

    @property
    def link(self) -> str:
        """The address to open."""
        extra = f"/?token={self.token}" if self.token else "/"
        return f"http://{self.address}:{self.port}{extra}"


def need_packages() -> None:
    """Make sure that what a browser page needs is installed.

    Raises
    ------
    InputError
        It is not.
    """
    missing = [name for name in _PACKAGES if find_spec(name) is None]
    if missing:
        read = f"the packages for the browser are not installed: {', '.join(missing)}."
        remedy = 'Install them with pip install "dutyline[web]".'
        raise InputError("the workbench", [Fault("", "serve", read, remedy)])


def place_for(address: str, port: int) -> Place:
    """Where to listen; any address but loopback gets a token.

    Raises
    ------
    InputError
        The port is none.
    """
    if not 0 <= port <= 65535:
        read = f"read {port}; a port from 1 to 65535 is needed."
        raise InputError("the command", [Fault("", "--port", read)])
    return Place(address, port, "" if address == LOOPBACK else secrets.token_urlsafe(32))


def desk_for(file: str | None, example: str | None, line: ProductLine) -> tuple[Desk, str]:
    """A desk with a file, or a solved example, and the document on which it opens.

    Raises
    ------
    InputError
        The file cannot be read or is no axis.
    """
    desk = Desk(MemoryStore(), line)
    if file is not None:
        return desk, desk.open_file(Path(file)).id
    return desk, desk.open_example(example or "lift").id
