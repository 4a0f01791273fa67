"""Answers to an edit: two lines for what follows it, further lines for what comes later."""

from __future__ import annotations

import asyncio
import zlib
from collections.abc import AsyncIterator, Callable, Mapping
from functools import partial
from ipaddress import ip_address
from typing import Any, NamedTuple, TypeVar

import orjson
from anyio import CapacityLimiter, to_thread
from fastapi import Request
from fastapi.responses import Response, StreamingResponse

from dutyline.app.workbench.desk import ConflictError, Desk
from dutyline.app.workbench.page import Page
from dutyline.core.deadline import TooLongError
from dutyline.web.faults import fault_json
from dutyline.web.pages import digests, first_regions, next_regions, region, variant_regions
from dutyline.web.same import Sent
from dutyline.web.timed import timed

T = TypeVar("T")

AT_ONCE = 2
"""Edits judged at the same time; others wait in the order in which they came."""
QUIET = 0.06
"""[s] before what nobody waits for begins: the next edit of a drag is there by then, goes first."""
_KIND = "application/x-ndjson"
_PACKING = 6
_NOTHING: dict[str, dict[str, str]] = {"regions": {}, "digests": {}}


class Seen(NamedTuple):
    """What stands in the browser that asks."""

    number: int | None
    """With which the page counts its edits."""
    held: Mapping[str, Any]
    """Digests of the parts of the page."""
    away: bool
    """Nobody looks at what the second line brings, and another edit follows soon."""


class Replies:
    """Judges edits and answers them.

    Parameters
    ----------
    desk : Desk
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._room = CapacityLimiter(AT_ONCE)
        self._sent = Sent()

    async def answer(
        self,
        request: Request,
        edit: Callable[[], Page | ConflictError],
        seen: Seen,
    ) -> Response:
        """The answer to an edit; parts of the page that the browser has are left out.

        Parameters
        ----------
        request : Request
        edit : callable
            Makes the edit.
        seen : Seen
        """
        work = partial(timed, partial(self._made, edit, seen))
        page, first = await to_thread.run_sync(work, limiter=self._room)
        if isinstance(page, ConflictError):
            return Response(first, 409, media_type=_KIND)
        lines = self._lines(page, seen, first)
        if not _far(request):
            return StreamingResponse(lines, media_type=_KIND)
        packed = {"content-encoding": "gzip", "vary": "accept-encoding"}
        return StreamingResponse(_packed(lines), headers=packed, media_type=_KIND)

    def _made(
        self, edit: Callable[[], Page | ConflictError], seen: Seen
    ) -> tuple[Page | ConflictError, bytes]:
        """The edit made, and the first line."""
        page = edit()
        if isinstance(page, ConflictError):
            return page, _line(_conflict(page, seen.number))
        more = page.picture is not None and not page.typing
        shown = self._differing(first_regions(page), seen) if more else _NOTHING
        return page, _line(
            {
                "number": seen.number,
                **_head(page),
                "more": more,
                "later": more and seen.away,
                **shown,
            }
        )

    def _rest(self, page: Page, seen: Seen) -> bytes:
        return _line({"number": seen.number, **self._differing(next_regions(page), seen)})

    def _differing(self, made: dict[str, str], seen: Seen) -> dict[str, dict[str, str]]:
        states = digests(made)
        found = self._sent.changed(made, states, seen.held)
        return {"regions": found, "digests": {name: states[name] for name in found}}

    async def _lines(self, page: Page, seen: Seen, first: bytes) -> AsyncIterator[bytes]:
        """What follows the edit in two lines, then variants, shortlist, and what would help."""
        yield first
        if page.typing and not seen.away:
            return
        if seen.away:
            await asyncio.sleep(QUIET)
            if not self.desk.stands(page):
                return
        if page.picture is not None:
            yield await to_thread.run_sync(partial(self._rest, page, seen))
        if page.typing:
            return  # it was of the last good result, whose own second line was left out
        if not seen.away:
            await asyncio.sleep(QUIET)
        beside, _ = await self._later(page, self.desk.variants)
        if beside is not None:
            differing = self._differing(variant_regions(beside), seen)
            if differing["regions"]:
                yield _line({"number": seen.number, **differing})
        if page.faults or page.picture is None:
            return
        short, late = await self._later(page, self.desk.shortlist)
        if short is not None or late:
            html = region("short", page, page.picture, short, late)
            yield _line({"number": seen.number, "regions": {"short": html}})
        better, _ = await self._later(page, self.desk.advised)
        if better is not None:
            html = region("ledger", page, better)
            told = {"regions": {"ledger": html}, "digests": {"ledger": ""}}
            yield _line({"number": seen.number, **told})

    async def _later(self, page: Page, make: Callable[[str], T | None]) -> tuple[T | None, str]:
        """What follows a page when there is room, or why it takes too long.

        Nothing of both where the axis was edited since.
        """
        made = asyncio.wrap_future(self.desk.later(page, make))
        try:
            return await asyncio.shield(made), ""
        except TooLongError as error:
            return None, str(error)


def _head(page: Page) -> dict[str, Any]:
    document = page.document
    return {
        "revision": document.head.number,
        "undo": document.undo,
        "redo": document.redo,
        "saved": f"{document.head.when:%H:%M}",
        "typing": page.typing,
        "faults": [fault_json(f) for f in page.faults],
        "effect": page.effect,
    }


def _conflict(error: ConflictError, number: int | None) -> dict[str, Any]:
    return {
        "number": number,
        "conflict": str(error),
        "head": error.head.number,
        "lines": list(error.lines()),
    }


def _line(told: dict[str, Any]) -> bytes:
    return orjson.dumps(told) + b"\n"


def _far(request: Request) -> bool:
    """True where the answer goes over a network to somebody who can unpack it."""
    accepted = request.headers.get("accept-encoding", "")
    names = (part.partition(";")[0].strip() for part in accepted.split(","))
    if "gzip" not in names or request.client is None:
        return False
    try:
        return not ip_address(request.client.host).is_loopback
    except ValueError:
        return False


async def _packed(lines: AsyncIterator[bytes]) -> AsyncIterator[bytes]:
    """The lines as one gzip stream from which each can be read as soon as it is sent."""
    packer = zlib.compressobj(_PACKING, wbits=31)
    async for line in lines:
        yield packer.compress(line) + packer.flush(zlib.Z_SYNC_FLUSH)
    yield packer.flush()
