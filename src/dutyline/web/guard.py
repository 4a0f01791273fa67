"""Who may speak to the server, how much and how often; judged before any page is looked for.

The server listens on the loopback address. A page of another site that a browser has open could
still send requests there, or bring a name of its own to point there; so the host that a request
names must be one of ours, and whatever changes something must come from one of our own pages.
"""

from __future__ import annotations

import hmac
import time
from collections import OrderedDict, deque
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST = 2_000_000
"""Bytes of a request."""
MOST_PER_SECOND = 100
"""Requests from one address, over ten seconds on the average; fixed files are not counted."""
_WINDOW = 10.0
_MOST_ADDRESSES = 1000
_FREE = "/static/"
TOKEN_COOKIE = "dutyline-token"
_SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
_KNOWN = _SAFE | {"POST"}

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; manifest-src 'self'; base-uri 'none'; "
    "form-action 'self'; frame-ancestors 'none'"
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=(), payment=()"),
)


@dataclass(slots=True)
class Guard:
    """Wraps the application.

    Parameters
    ----------
    app : ASGI application
    hosts : frozenset of str
        Names with port under which the server is reached: ``127.0.0.1:8737``.
    token : str
        Needed from everybody where it is not empty; brought once as ``?token=`` and kept in a
        cookie that scripts cannot read.
    """

    app: App
    hosts: frozenset[str]
    token: str = ""
    most_per_second: float = MOST_PER_SECOND
    clock: Callable[[], float] = time.monotonic
    seen: OrderedDict[str, deque[float]] = field(default_factory=OrderedDict)
    """Moments of the last requests, by the address they came from."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Judge one request and hand it on, or refuse it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = {name.lower(): value for name, value in scope["headers"]}
        refusal = self._refusal(scope, headers)
        if refusal is not None:
            await _refuse(send, *refusal)
            return
        if self.token and not self._known(headers):
            await self._enter(scope, send)
            return
        length = headers.get(b"content-length", b"0")
        if not length.isdigit() or int(length) > LARGEST:
            await _refuse(send, 413, "The request is larger than 2 MB.")
            return
        await self.app(scope, _bounded(receive), _sealed(send))

    def _refusal(self, scope: Scope, headers: dict[bytes, bytes]) -> tuple[int, str] | None:
        hosts = [value for name, value in scope["headers"] if name.lower() == b"host"]
        if len(hosts) != 1 or hosts[0].decode("latin-1").lower() not in self.hosts:
            return 421, "This server is not known under that name."
        if scope["method"] not in _KNOWN:
            return 405, "That method is not known here."
        if not self._from_here(scope, headers):
            return 403, "Another site may not send requests here."
        if not scope["path"].startswith(_FREE) and not self._room(scope):
            return 429, "Too many requests; wait a few seconds."
        return None

    def _from_here(self, scope: Scope, headers: dict[bytes, bytes]) -> bool:
        """False for what another site asks; it may only lead somebody to a page by a link."""
        origin = headers.get(b"origin")
        if origin is not None and not self._own(origin.decode("latin-1").lower()):
            return False
        if headers.get(b"sec-fetch-site", b"same-origin") in (b"same-origin", b"none"):
            return True
        link = headers.get(b"sec-fetch-mode"), headers.get(b"sec-fetch-dest")
        return scope["method"] in _SAFE and link == (b"navigate", b"document")

    def _own(self, origin: str) -> bool:
        scheme, _, host = origin.partition("://")
        return scheme in ("http", "https") and host in self.hosts

    def _room(self, scope: Scope) -> bool:
        """Whether one more request of that address is taken."""
        now = self.clock()
        host = (scope.get("client") or ("",))[0]
        seen = self.seen.setdefault(host, deque())
        self.seen.move_to_end(host)
        while len(self.seen) > _MOST_ADDRESSES:
            self.seen.popitem(last=False)
        while seen and now - seen[0] > _WINDOW:
            seen.popleft()
        if len(seen) >= self.most_per_second * _WINDOW:
            return False
        seen.append(now)
        return True

    def _known(self, headers: dict[bytes, bytes]) -> bool:
        given = headers.get(b"authorization", b"").decode("latin-1")
        if given.startswith("Bearer ") and self._same(given[7:]):
            return True
        try:
            cookies = SimpleCookie(headers.get(b"cookie", b"").decode("latin-1"))
        except CookieError:
            return False
        held = cookies.get(TOKEN_COOKIE)
        return held is not None and self._same(held.value)

    def _same(self, given: str) -> bool:
        return hmac.compare_digest(given.encode("utf-8", "replace"), self.token.encode())

    async def _enter(self, scope: Scope, send: Send) -> None:
        """Take a token from the address, once, and forget the address."""
        from urllib.parse import parse_qs

        try:
            query = parse_qs(scope["query_string"].decode("latin-1"), max_num_fields=20)
        except ValueError:
            query = {}
        given = query.get("token", [""])[0]
        if scope["method"] == "GET" and given and self._same(given):
            cookie = f"{TOKEN_COOKIE}={self.token}; HttpOnly; SameSite=Strict; Path=/"
            headers = [*HEADERS, (b"location", b"/"), (b"set-cookie", cookie.encode())]
            await send({"type": "http.response.start", "status": 303, "headers": headers})
            await send({"type": "http.response.body", "body": b""})
            return
        await _refuse(send, 401, "A token is needed; the server printed it when it started.")


class TooLargeError(Exception):
    """A body without a stated length that goes on beyond the limit."""


def _bounded(receive: Receive) -> Receive:
    """The body of a request, refused where it goes on beyond the limit."""
    taken = 0

    async def read() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > LARGEST:
            raise TooLargeError
        return message

    return read


def _sealed(send: Send) -> Send:
    """Answers with the headers that every one of them has."""

    async def write(message: Message) -> None:
        if message["type"] == "http.response.start":
            own = {name.lower() for name, _ in message.get("headers", [])}
            more = [pair for pair in HEADERS if pair[0] not in own]
            message = {**message, "headers": [*message.get("headers", []), *more]}
        await send(message)

    return write


async def _refuse(send: Send, status: int, text: str) -> None:
    body = text.encode()
    headers = [
        *HEADERS,
        (b"content-type", b"text/plain; charset=utf-8"),
        (b"content-length", str(len(body)).encode()),
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
