"""Degrees of protection of housings, as their code tells them."""

from __future__ import annotations

import re

_CODE = re.compile(r"\s*IP\s*([0-6X])\s*([0-9X])\s*K?[A-DHMSW]*\s*", re.IGNORECASE)
JETS, BATH = 6, 7
"""Second digits: the last one for jets of water, the first one for immersion."""


def digits(code: str) -> tuple[int, int] | None:
    """Against solids and against water; X counts as 0. None where it is no such code.

    >>> digits("IP65"), digits("ip x4"), digits("splash proof")
    ((6, 5), (0, 4), None)
    """
    found = _CODE.fullmatch(code)
    if found is None:
        return None
    solid, water = (0 if d.upper() == "X" else int(d) for d in found.groups())
    return solid, water


def covers(given: tuple[int, int], needed: tuple[int, int]) -> bool:
    """Whether a housing of one degree may stand where another one is needed.

    Immersion (7, 8) tells nothing of jets (5, 6), and neither tells of hot jets at high pressure
    (9): a housing has to be marked with both. What drips, sprays and splashes (1 to 4) is
    included in everything above it.

    Source
    ------
    IEC 60529 (from memory).

    Examples
    --------
    >>> covers((6, 5), (5, 4)), covers((6, 7), (5, 4)), covers((6, 7), (6, 5))
    (True, True, False)
    """
    solid, water = given
    if solid < needed[0]:
        return False
    if needed[1] <= 4:
        return water >= needed[1]
    same_kind = [needed[1] <= JETS, BATH <= needed[1] <= 8, needed[1] == 9]
    own_kind = [water <= JETS, BATH <= water <= 8, water == 9]
    return water >= needed[1] and same_kind == own_kind
