"""The workbench in the browser."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from dutyline.app.keeping import reopened, store_for
from dutyline.app.workbench.desk import Desk
from dutyline.core.errors import Fault, InputError
from dutyline.core.faults import quoted

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
        return frozenset(f"{_bracketed(name)}:{self.port}" for name in own)

    @property
    def link(self) -> str:
        """The address to open."""
        extra = f"/?token={self.token}" if self.token else "/"
        return f"http://{_bracketed(self.address)}:{self.port}{extra}"


def _bracketed(address: str) -> str:
    """An address as it stands in a URL (RFC 3986, 3.2.2)."""
    return f"[{address}]" if ":" in address else address


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


def refuse_variant(name: str | None) -> None:
    """The page opens on the file itself; its variants are picked there.

    Raises
    ------
    InputError
        A variant is named.
    """
    if name is not None:
        read = f"read {quoted(name)}; the page opens on the file itself."
        fault = Fault("", "--variant", read, "Pick the variant in the page.")
        raise InputError("the workbench", [fault])


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


def desk_for(
    file: str | None, example: str | None, line: ProductLine, keep: str | None = None
) -> tuple[Desk, str, tuple[str, ...]]:
    """A desk with a file, or a solved example, the document on which it opens, and what to tell.

    Parameters
    ----------
    file, example : str or None
    line : ProductLine
    keep : str or None
        Where axes are kept; see :func:`dutyline.app.keeping.store_for`.

    Raises
    ------
    InputError
        The file cannot be read or is no axis, or the place of keeping cannot be used.
    """
    store, said = store_for(keep)
    desk = Desk(store, line)
    if file is None:
        return desk, desk.open_example(example or "lift").id, (said,)
    path = Path(file)
    found = desk.kept(path)
    if found is not None:
        return desk, found[0].id, (said, reopened(path.name, found))
    return desk, desk.open_file(path).id, (said,)
