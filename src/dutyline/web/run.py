"""A server until it is stopped."""

from __future__ import annotations

import gc
import socket
import sys
from collections.abc import Callable

import uvicorn

from dutyline.app.serve import Place
from dutyline.app.workbench.desk import Desk
from dutyline.core.errors import Fault, InputError
from dutyline.web.connections import configured
from dutyline.web.guard import Guard
from dutyline.web.server import application

TURN = 0.001
"""[s] after which a thread that computes lets one that waits take its turn."""


def run(desk: Desk, first: str, place: Place, ready: Callable[[Place], None]) -> None:
    """Serve until interrupted.

    Parameters
    ----------
    desk : Desk
    first : str
        Document on which it opens.
    place : Place
        With port 0 a free one is taken.
    ready : callable
        Called with the place once it listens.

    Raises
    ------
    InputError
        The address cannot be listened on.
    """
    own_socket = listening(place)
    port = own_socket.getsockname()[1]
    own = Place(place.address, port, place.token)
    guarded = Guard(application(desk, first), own.hosts, own.token)
    server = uvicorn.Server(configured(guarded))
    gc.collect()
    gc.freeze()  # the product line stays: looking through it again and again delays answers
    # An edit that comes while something else is worked out waits several turns for its own.
    sys.setswitchinterval(TURN)
    ready(own)
    server.run(sockets=[own_socket])


def listening(place: Place) -> socket.socket:
    """A socket that listens at a place.

    Raises
    ------
    InputError
        The address cannot be listened on.
    """
    family = socket.AF_INET6 if ":" in place.address else socket.AF_INET
    # Named as TCP: asyncio then lets no piece of an answer wait for the receipt of the one before.
    found = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind((place.address, place.port))
        found.listen(128)
    except OSError as error:
        found.close()
        read = f"cannot listen on {place.address} port {place.port}: {error.strerror or error}."
        remedy = "Stop what listens there, or name another with --port."
        raise InputError("the server", [Fault("", "--port", read, remedy)]) from None
    return found
