"""Answers to an edit: two lines for what follows it, further lines for what comes later."""

from __future__ import annotations

import asyncio
import zlib
from collections.abc import AsyncIterator, Callable
from functools import partial
from ipaddress import ip_address
from typing import Any, TypeVar

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
"""[s] before what comes behind begins: the next edit of a drag is there by then, and goes first."""
_KIND = "application/x-ndjson"
_PACKING = 6
_NOTHING: dict[str, dict[str, str]] = {"regions": {}, "digests": {}}


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
        number: int | None,
        have: Any,
    ) -> Response:
        """The answer to an edit; parts of the page that the browser has are left out.

        Parameters
        ----------
        request : Request
        edit : callable
            Makes the edit.
        number : int, optional
            With which the page counts its edits.
        have : mapping of str to str
            Digests of the parts of the page as they stand in the browser.
        """
        held = have if isinstance(have, dict) else {}
        work = partial(timed, partial(self._made, edit, number, held))
        page, first = await to_thread.run_sync(work, limiter=self._room)
        if isinstance(page, ConflictError):
            return Response(first, 409, media_type=_KIND)
        lines = self._lines(page, number, held, first)
        if not _far(request):
            return StreamingResponse(lines, media_type=_KIND)
        packed = {"content-encoding": "gzip", "vary": "accept-encoding"}
        return StreamingResponse(_packed(lines), headers=packed, media_type=_KIND)

    def _made(
        self, edit: Callable[[], Page | ConflictError], number: int | None, held: dict[str, Any]
    ) -> tuple[Page | ConflictError, bytes]:
        """The edit made, and the first line."""
        page = edit()
        if isinstance(page, ConflictError):
            return page, _line(_conflict(page, number))
        more = page.picture is not None and not page.typing
        shown = self._differing(first_regions(page), held) if more else _NOTHING
        return page, _line({"number": number, **_head(page), "more": more, **shown})

    def _rest(self, page: Page, number: int | None, held: dict[str, Any]) -> bytes:
        return _line({"number": number, **self._differing(next_regions(page), held)})

    def _differing(self, made: dict[str, str], held: dict[str, Any]) -> dict[str, dict[str, str]]:
        states = digests(made)
        found = self._sent.changed(made, states, held)
        return {"regions": found, "digests": {name: states[name] for name in found}}

    async def _lines(
        self, page: Page, number: int | None, held: dict[str, Any], first: bytes
    ) -> AsyncIterator[bytes]:
        """What follows the edit in two lines, then variants, shortlist, and what would help."""
        yield first
        if page.typing:
            return
        if page.picture is not None:
            yield await to_thread.run_sync(partial(self._rest, page, number, held))
        await asyncio.sleep(QUIET)
        beside, _ = await self._later(page, self.desk.variants)
        if beside is not None:
            differing = self._differing(variant_regions(beside), held)
            if differing["regions"]:
                yield _line({"number": number, **differing})
        if page.faults or page.picture is None:
            return
        short, late = await self._later(page, self.desk.shortlist)
        if short is not None or late:
            html = region("short", page, page.picture, short, late)
            yield _line({"number": number, "regions": {"short": html}})
        better, _ = await self._later(page, self.desk.advised)
        if better is not None:
            html = region("ledger", page, better)
            yield _line({"number": number, "regions": {"ledger": html}, "digests": {"ledger": ""}})

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
