"""Pieces of a part of the page that stayed as they were are not sent again."""

from __future__ import annotations

import re
import threading
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

MOST_KEPT = 512
"""Parts of pages whose pieces are remembered."""
_NAMED = ' data-key="'
_OPENING = re.compile(r'<(tr|span|details|li|p)\b[^>]*\bdata-key="([^"]+)"[^>]*>')


class Piece(NamedTuple):
    """A part of a part of the page that has a name; it holds none of its own kind."""

    kind: str
    key: str
    start: int
    end: int
    """Place in the HTML."""


class Sent:
    """Which pieces the parts of pages sent last had, by the digest of the part."""

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._states: OrderedDict[str, dict[str, int]] = OrderedDict()
        self._lock = threading.Lock()

    def changed(
        self, made: Mapping[str, str], digests: Mapping[str, str], held: Mapping[str, Any]
    ) -> dict[str, str]:
        """HTML of the parts that a browser does not have as they are now.

        Parameters
        ----------
        made, digests : mapping of str to str
            HTML and digest of each part.
        held : mapping
            Digests of the parts that the browser has.

        Returns
        -------
        dict of str to str
            A piece that stays as the browser has it stands as ``<tr data-key="..." data-same>``.
        """
        found = {}
        for name, html in made.items():
            if held.get(name) == digests[name]:
                continue
            pieces = list(_pieces(html))
            states = {piece.key: hash(html[piece.start : piece.end]) for piece in pieces}
            before = self._known(held.get(name))
            found[name] = _without(html, pieces, states, before) if before else html
            if pieces:
                self._keep(digests[name], states)
        return found

    def _known(self, own: Any) -> dict[str, int] | None:
        with self._lock:
            return self._states.get(own) if isinstance(own, str) else None

    def _keep(self, own: str, states: dict[str, int]) -> None:
        with self._lock:
            self._states[own] = states
            self._states.move_to_end(own)
            while len(self._states) > self._most:
                self._states.popitem(last=False)


def _pieces(html: str) -> Iterator[Piece]:
    """Every piece in order; what is inside of one is none."""
    end = 0
    while (at := html.find(_NAMED, end)) >= 0:
        start = html.rfind("<", end, at)
        tag = _OPENING.match(html, start) if start >= 0 else None
        closing = f"</{tag[1]}>" if tag else ""
        last = html.find(closing, tag.end()) if tag else -1
        if tag is None or last < 0:
            end = at + len(_NAMED)
            continue
        end = last + len(closing)
        yield Piece(tag[1], tag[2], start, end)


def _without(
    html: str, pieces: Sequence[Piece], states: Mapping[str, int], before: Mapping[str, int]
) -> str:
    """The HTML with the names alone of the pieces that stay."""
    parts = []
    done = 0
    for kind, key, start, end in pieces:
        if states[key] == before.get(key):
            parts += [html[done:start], f'<{kind} data-key="{key}" data-same></{kind}>']
            done = end
    return "".join([*parts, html[done:]])
