"""Connections that keep the server waiting, through plain sockets on a real server."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator
from typing import Any

import pytest

from dutyline.web.connections import Patience
from support.listening import asked, connected, serving, until_closed

SHORT = Patience(head=0.6, body=0.6, reading=1.2, idle=1, farewell=0.2, most=30, most_of_one=20)
WHOLE = b"GET / HTTP/1.1\r\nHost: here\r\nConnection: close\r\n\r\n"
HEAD = b"POST / HTTP/1.1\r\nHost: here\r\nContent-Length: 1000\r\n\r\n"
LONG = 8_000_000


async def answering(scope: Any, receive: Any, send: Any) -> None:
    """Reads what it is sent and tells how much it was; ``/long`` gives more than buffers hold."""
    taken = 0
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return
        taken += len(message.get("body", b""))
        if not message.get("more_body"):
            break
    body = b"x" * LONG if scope["path"] == "/long" else str(taken).encode()
    length = [(b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": 200, "headers": length})
    await send({"type": "http.response.body", "body": body})


@pytest.fixture(scope="module")
def port() -> Iterator[int]:
    with serving(answering, SHORT) as found:
        yield found


def dribbled(found: socket.socket, text: bytes) -> tuple[bytes, float]:
    """What the server says to somebody who sends a byte every 50 ms, and after what time [s]."""
    begun = time.monotonic()
    for byte in text * 1000:
        try:
            found.sendall(bytes([byte]))
        except OSError:
            break
        found.settimeout(0.05)
        try:
            said = found.recv(65_536)
        except TimeoutError:
            continue
        except OSError:
            break
        return said, time.monotonic() - begun
    return b"", time.monotonic() - begun


def test_a_connection_that_says_nothing_is_closed(port: int) -> None:
    begun = time.monotonic()
    assert until_closed(connected(port)) == b""
    assert 0.4 < time.monotonic() - begun < 5


@pytest.mark.parametrize("begun", [b"GET / HT", b"GET / HTTP/1.1\r\nHost: here\r\nX-A: b"])
def test_half_a_head_is_answered_in_time(port: int, begun: bytes) -> None:
    assert until_closed(connected(port, begun)).startswith(b"HTTP/1.1 408 ")


def test_half_a_body_is_answered_in_time(port: int) -> None:
    assert until_closed(connected(port, HEAD, b"x" * 999)).startswith(b"HTTP/1.1 408 ")


@pytest.mark.parametrize("begun", [b"GET / HTTP/1.1\r\nX-A: ", HEAD])
def test_a_byte_now_and_then_buys_no_time(port: int, begun: bytes) -> None:
    with connected(port, begun) as found:
        said, after = dribbled(found, b"a")
    assert after < 5
    assert said.startswith(b"HTTP/1.1 408 ") or said == b""


def test_a_second_request_has_its_own_time(port: int) -> None:
    with connected(port, WHOLE.replace(b"Connection: close\r\n", b"")) as found:
        first = b""
        while not first.endswith(b"\r\n\r\n0"):
            first += found.recv(65_536)
        assert first.startswith(b"HTTP/1.1 200 ")
        said, after = dribbled(found, b"G")
        assert after < 5
        assert b"408" in said or b"400" in said or said == b""


def test_a_body_that_comes_in_time_is_read(port: int) -> None:
    with connected(port, HEAD.replace(b"Host", b"Connection: close\r\nHost"), b"x" * 500) as found:
        time.sleep(0.3)
        found.sendall(b"x" * 500)
        assert until_closed(found).endswith(b"1000")


def test_an_answer_that_nobody_reads_is_given_up(port: int) -> None:
    with connected(port, WHOLE.replace(b"/ ", b"/long ", 1)) as found:
        time.sleep(1.8)
        assert len(until_closed(found)) < LONG


def test_an_answer_that_is_read_comes_whole(port: int) -> None:
    assert len(asked(port, WHOLE.replace(b"/ ", b"/long ", 1))) > LONG


def test_idle_connections_do_not_keep_others_out(port: int) -> None:
    """Four hundred and fifty of them made the server refuse everybody."""
    held = [connected(port) for _ in range(450)]
    assert asked(port, WHOLE).startswith(b"HTTP/1.1 200 ")
    for found in held:
        found.close()


def test_half_sent_requests_do_not_keep_others_out(port: int) -> None:
    held = [connected(port, HEAD, b"x") for _ in range(100)]
    assert asked(port, WHOLE).startswith(b"HTTP/1.1 200 ")
    for found in held:
        found.close()


def test_a_head_that_can_be_read_in_two_ways_is_refused(port: int) -> None:
    """RFC 9112 6.1: two lengths may be an attempt to smuggle a request; the connection ends."""
    head = b"POST / HTTP/1.1\r\nHost: here\r\nContent-Length: 3\r\nContent-Length: 5\r\n\r\n"
    said = asked(port, head + b"abcGET / HTTP/1.1\r\nHost: here\r\n\r\n")
    assert said.startswith(b"HTTP/1.1 400 ")
    assert said.count(b"HTTP/1.1 ") == 1


def test_an_endless_head_is_refused(port: int) -> None:
    said = asked(port, b"GET / HTTP/1.1\r\nHost: here\r\nX: " + b"a" * 200_000)
    assert said == b"" or said.startswith(b"HTTP/1.1 4")
