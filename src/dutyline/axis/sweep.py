"""Products of a stated range, each a case of its own, so that the worst of each check is found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from dutyline.axis.stated import Stated


def sweeps(phases: Sequence[Stated]) -> Iterator[tuple[str, Mapping[str, str]]]:
    """Name and settings of every product to be judged besides the middle of the ranges."""
    yield from ()
