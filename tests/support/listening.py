"""A real server in a thread, spoken to through plain sockets."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any

import uvicorn

from dutyline.app.serve import Place
from dutyline.web.connections import Patience, configured
from dutyline.web.run import listening


@contextmanager
def serving(app: Any, patience: Patience) -> Iterator[int]:
    """The port of a server that runs until the block ends."""
    own = listening(Place("127.0.0.1", 0, ""))
    port = int(own.getsockname()[1])
    server = uvicorn.Server(configured(app, patience))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [own]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    yield port
    server.should_exit = server.force_exit = True
    thread.join(10)
    own.close()


def connected(port: int, *pieces: bytes) -> socket.socket:
    """A connection on which something has been sent."""
    found = socket.create_connection(("127.0.0.1", port), timeout=10)
    for piece in pieces:
        found.sendall(piece)
    return found


def until_closed(found: socket.socket) -> bytes:
    """Everything the server says before it closes; fails after ten seconds."""
    said = b""
    with found, suppress(ConnectionError):
        while piece := found.recv(65_536):
            said += piece
    return said


def asked(port: int, request: bytes) -> bytes:
    """The answer to one whole request."""
    return until_closed(connected(port, request))
