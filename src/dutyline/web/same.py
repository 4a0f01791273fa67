"""Rows of a part of the page that stayed as they were are not sent again."""

from __future__ import annotations

import re
import threading
from collections import OrderedDict
from collections.abc import Mapping
from typing import Any

MOST_KEPT = 512
"""Parts of pages whose rows are remembered."""
_ROW = re.compile(r'<tr\b[^>]*\bdata-key="([^"]+)"[^>]*>.*?</tr>', re.DOTALL)


class Sent:
    """Which rows the parts of pages sent last had, by the digest of the part."""

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._rows: OrderedDict[str, dict[str, int]] = OrderedDict()
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
            A row that stays as the browser has it stands as ``<tr data-key="..." data-same>``.
        """
        found = {}
        for name, html in made.items():
            if held.get(name) == digests[name]:
                continue
            rows = {key[1]: hash(key[0]) for key in _ROW.finditer(html)}
            before = self._known(held.get(name))
            found[name] = _without(html, rows, before) if before else html
            if rows:
                self._keep(digests[name], rows)
        return found

    def _known(self, own: Any) -> dict[str, int] | None:
        with self._lock:
            return self._rows.get(own) if isinstance(own, str) else None

    def _keep(self, own: str, rows: dict[str, int]) -> None:
        with self._lock:
            self._rows[own] = rows
            self._rows.move_to_end(own)
            while len(self._rows) > self._most:
                self._rows.popitem(last=False)


def _without(html: str, rows: Mapping[str, int], before: Mapping[str, int]) -> str:
    def short(row: re.Match[str]) -> str:
        key = row[1]
        return f'<tr data-key="{key}" data-same></tr>' if rows[key] == before.get(key) else row[0]

    return _ROW.sub(short, html)
