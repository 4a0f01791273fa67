"""Answers line by line: packed so that each line can be read at once, and only where it helps."""

from __future__ import annotations

import zlib

import pytest
from starlette.requests import Request

from dutyline.web.replies import _far, _packed
from support import loops

LINES = [b'{"number":1}\n', b'{"number":1,"regions":{}}\n', b"x" * 100_000 + b"\n"]


async def lines():
    for line in LINES:
        yield line


def test_every_line_can_be_unpacked_as_soon_as_it_is_sent():
    async def taken() -> list[bytes]:
        reader = zlib.decompressobj(wbits=31)
        return [reader.decompress(piece) async for piece in _packed(lines())]

    found = loops.run(taken())
    assert found[: len(LINES)] == LINES
    assert b"".join(found[len(LINES) :]) == b""


@pytest.mark.parametrize(
    ("host", "accepted", "far"),
    [
        ("127.0.0.1", "gzip, deflate", False),
        ("::1", "gzip", False),
        ("192.0.2.7", "gzip, deflate, br", True),
        ("192.0.2.7", "deflate;q=1, gzip;q=0.5", True),
        ("192.0.2.7", "identity", False),
        ("192.0.2.7", "xgzip", False),
        ("2001:db8::1", "gzip", True),
        ("testclient", "gzip", False),
    ],
)
def test_answers_are_packed_over_a_network_for_those_who_unpack(host, accepted, far):
    scope = {
        "type": "http",
        "headers": [(b"accept-encoding", accepted.encode())],
        "client": (host, 50_000),
    }
    assert _far(Request(scope)) is far


def test_without_an_address_nothing_is_packed():
    scope = {"type": "http", "headers": [(b"accept-encoding", b"gzip")], "client": None}
    assert not _far(Request(scope))
