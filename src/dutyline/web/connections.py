"""How long a connection may keep the server waiting, and how many may wait at once.

A request comes as fast as its sender likes. Somebody who sends one byte a minute, or opens
connections and says nothing, would hold what others need; so each thing that a sender owes has a
time, counted from its beginning and not from the last byte.
"""

from __future__ import annotations

import asyncio
from dataclasses import dataclass
from typing import Any, Literal

import h11
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

Stage = Literal["head", "body", "answer", "idle"]
"""What is owed: by the sender the head or the body, by the server the answer, or nothing."""


@dataclass(frozen=True, slots=True)
class Patience:
    """Times [s] and numbers of connections."""

    head: float = 10.0
    """For the head of a request, from its first byte or from the connection on."""
    body: float = 30.0
    """For the whole body, from its head on."""
    reading: float = 60.0
    """Until an answer that waits to be read goes on."""
    idle: float = 30.0
    """Between two requests."""
    farewell: float = 5.0
    """For the last words of a connection that is being closed."""
    most: int = 400
    """Connections at once; beyond them the one that has kept the server waiting longest goes."""
    most_of_one: int = 200
    """Connections from one address."""


def configured(app: Any, patience: Patience | None = None) -> uvicorn.Config:
    """How the server listens.

    Parameters
    ----------
    app : ASGI application
    patience : Patience, optional
    """
    kept = patience or Patience()
    protocol = type("Bounded", (BoundedProtocol,), {"patience": kept})
    return uvicorn.Config(
        app,
        http=protocol,
        ws="none",
        lifespan="off",
        log_level="warning",
        access_log=False,
        timeout_keep_alive=int(kept.idle),
        timeout_graceful_shutdown=5,
        h11_max_incomplete_event_size=65_536,
        server_header=False,
        date_header=True,
        proxy_headers=False,
    )


class BoundedProtocol(H11Protocol):
    """One connection, given up where its other end takes too long."""

    patience = Patience()
    stage: Stage
    since: float
    """Moment at which the stage began, by the clock of the loop [s]."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A connection, in the place of one that waits where there are too many."""
        super().connection_made(transport)
        self._due: asyncio.TimerHandle | None = None
        self._read_by: asyncio.TimerHandle | None = None
        self._await("head", self.patience.head)
        self._make_room()

    def connection_lost(self, exc: Exception | None) -> None:
        """No timer outlives its connection."""
        for timer in (self._due, self._read_by):
            if timer is not None:
                timer.cancel()
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Bytes that came; the time for what they belong to runs on."""
        super().data_received(data)
        self._look("head")

    def on_response_complete(self) -> None:
        """An answer that was sent; the next request may have come already."""
        super().on_response_complete()
        self._look("head" if self.conn.trailing_data[0] else "idle", again=True)

    def pause_writing(self) -> None:
        """The answer is not read as fast as it is sent."""
        super().pause_writing()
        if self._read_by is None:
            self._read_by = self.loop.call_later(self.patience.reading, self.transport.abort)

    def resume_writing(self) -> None:
        """What waited has been read."""
        super().resume_writing()
        if self._read_by is not None:
            self._read_by.cancel()
            self._read_by = None

    def timeout_keep_alive_handler(self) -> None:
        """Nothing more is asked."""
        super().timeout_keep_alive_handler()
        self.loop.call_later(self.patience.farewell, self.transport.abort)

    def _look(self, otherwise: Stage, *, again: bool = False) -> None:
        """Set the time for what is owed now, unless it runs already."""
        state = self.conn.their_state
        now: Stage = otherwise
        if state is h11.SEND_BODY:
            now = "body"
        elif state is not h11.IDLE:
            now = "answer"
        if now == self.stage and not again:
            return
        seconds = {"head": self.patience.head, "body": self.patience.body}
        self._await(now, seconds.get(now))

    def _await(self, stage: Stage, seconds: float | None) -> None:
        self.stage, self.since = stage, self.loop.time()
        if self._due is not None:
            self._due.cancel()
        self._due = None if seconds is None else self.loop.call_later(seconds, self._give_up)

    def _make_room(self) -> None:
        """The one that has kept the server waiting longest goes; else the one that just came."""
        everybody = [c for c in self.connections if isinstance(c, BoundedProtocol)]
        host = self.client[0] if self.client else ""
        own = [c for c in everybody if (c.client[0] if c.client else "") == host]
        for among, most in ((own, self.patience.most_of_one), (everybody, self.patience.most)):
            if len(among) > most:
                waiting = [c for c in among if c.stage != "answer" and c is not self]
                goes = min(waiting, key=lambda c: c.since, default=self)
                self.connections.discard(goes)
                goes.transport.abort()
                return

    def _give_up(self) -> None:
        """Say why, where something was asked and can be answered, and close."""
        if self.transport.is_closing():
            return
        begun = self.stage == "body" or bool(self.conn.trailing_data[0])
        if begun and self.conn.our_state in (h11.IDLE, h11.SEND_RESPONSE):
            self._answer(b"The request did not come to its end in time.")
        if self.cycle is not None:
            self.cycle.disconnected = True
        self.transport.close()
        self.loop.call_later(self.patience.farewell, self.transport.abort)

    def _answer(self, text: bytes) -> None:
        headers = [
            (b"content-type", b"text/plain; charset=utf-8"),
            (b"content-length", str(len(text)).encode()),
            (b"connection", b"close"),
        ]
        for event in (
            h11.Response(status_code=408, headers=headers, reason=b"Request Timeout"),
            h11.Data(data=text),
            h11.EndOfMessage(),
        ):
            self.transport.write(self.conn.send(event) or b"")
