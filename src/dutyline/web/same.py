"""Pieces of a part of the page that stayed as they were are not sent again."""

from __future__ import annotations

import re
import threading
from collections import OrderedDict
from collections.abc import Mapping
from typing import Any

MOST_KEPT = 512
"""Parts of pages whose pieces are remembered."""
_PIECE = re.compile(r'<(tr|span|details|li|p)\b[^>]*\bdata-key="([^"]+)"[^>]*>.*?</\1>', re.DOTALL)
"""A piece holds none of its own kind."""


class Sent:
    """Which pieces the parts of pages sent last had, by the digest of the part."""

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._pieces: OrderedDict[str, dict[str, int]] = OrderedDict()
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
            pieces = {piece[2]: hash(piece[0]) for piece in _PIECE.finditer(html)}
            before = self._known(held.get(name))
            found[name] = _without(html, pieces, before) if before else html
            if pieces:
                self._keep(digests[name], pieces)
        return found

    def _known(self, own: Any) -> dict[str, int] | None:
        with self._lock:
            return self._pieces.get(own) if isinstance(own, str) else None

    def _keep(self, own: str, pieces: dict[str, int]) -> None:
        with self._lock:
            self._pieces[own] = pieces
            self._pieces.move_to_end(own)
            while len(self._pieces) > self._most:
                self._pieces.popitem(last=False)


def _without(html: str, pieces: Mapping[str, int], before: Mapping[str, int]) -> str:
    def short(piece: re.Match[str]) -> str:
        kind, key = piece[1], piece[2]
        if pieces[key] != before.get(key):
            return piece[0]
        return f'<{kind} data-key="{key}" data-same></{kind}>'

    return _PIECE.sub(short, html)
