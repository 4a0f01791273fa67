"""A table whose expensive entries are worked out when they are first asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any


class Later(Mapping[str, Any]):
    """Entries that stand, and entries still to be made.

    Parameters
    ----------
    ready : mapping
    made : mapping of str to callable
        What makes an entry; there is none where it gives None.
    """

    def __init__(self, ready: Mapping[str, Any], made: Mapping[str, Callable[[], Any]]) -> None:
        self._ready = dict(ready)
        self._made = dict(made)

    def __getitem__(self, name: str) -> Any:
        make = self._made.get(name)
        if make is not None:
            self._ready[name] = make()
            self._made.pop(name, None)
        found = self._ready[name]
        if found is None:
            raise KeyError(name)
        return found

    def __iter__(self) -> Iterator[str]:
        made = list(self._made)  # before what is ready: another thread may move one meanwhile
        return (name for name in dict.fromkeys([*self._ready, *made]) if name in self)

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def __reduce__(self) -> tuple[Any, ...]:
        return (dict, (dict(self),))
