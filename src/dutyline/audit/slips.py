"""Names for the ratio between a figure and what it should be."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from itertools import combinations

from dutyline.core.places import DATA

MOST_PLACES = 6
"""Places by which a decimal point is thought to slip."""
POINT = "decimal point"
DIGITS = "digits exchanged"
REPEATED = "another column repeated"


@dataclass(frozen=True, slots=True)
class Slip:
    """A mistake with a name."""

    name: str
    question: str
    factor: float
    """Figure over what it should be, exactly."""


@dataclass(frozen=True, slots=True)
class _Known:
    name: str
    factor: float
    units: tuple[str, ...]
    over: str
    under: str


@cache
def known() -> tuple[_Known, ...]:
    """The rows of ``data/slips.toml``."""
    rows = tomllib.loads((DATA / "slips.toml").read_text(encoding="utf-8"))["slip"]
    return tuple(_Known(**{**row, "units": tuple(row["units"])}) for row in rows)


def by_factor(ratio: float, unit: str, near: float) -> Slip | None:
    """The slip of conversion or decimal point nearest to a ratio, or None where none is near.

    Parameters
    ----------
    ratio : float
        Figure over what it should be. More than 0.
    unit : str
        Of the column, as in :data:`dutyline.catalogue.columns.UNITS`.
    near : float
        How far the ratio may be from the slip, relative.

    Examples
    --------
    >>> by_factor(0.0394, "mm", 0.05).question
    'Was it left in inches?'
    """
    found = [
        Slip(slip.name, question, factor)
        for slip in known()
        if not slip.units or unit in slip.units
        for factor, question in ((slip.factor, slip.over), (1.0 / slip.factor, slip.under))
    ]
    places = round(math.log10(ratio)) if ratio > 0 and math.isfinite(ratio) else 0
    if 0 < abs(places) <= MOST_PLACES:
        moved = f"Did the decimal point move by {_count(abs(places))}?"
        found.append(Slip(POINT, moved, 10.0**places))
    close = [s for s in found if abs(math.log(ratio / s.factor)) <= math.log1p(near)]
    return min(close, key=lambda s: abs(math.log(ratio / s.factor)), default=None)


def _count(places: int) -> str:
    return "one place" if places == 1 else f"{places} places"


def by_digits(raw: str, wanted: float, near: float) -> str:
    """The cell with two digits exchanged that comes within ``near`` of a number, or empty.

    >>> by_digits("21.55", 16.9, 0.05), by_digits("338", 388.0, 0.01), by_digits("833", 385.0, 0.05)
    ('', '', '383')
    """
    places = [k for k, c in enumerate(raw) if c.isdigit()]
    found = []
    for a, b in combinations(places, 2):
        cells = list(raw)
        cells[a], cells[b] = cells[b], cells[a]
        text = "".join(cells)
        if text != raw and wanted > 0 and abs(float(text) / wanted - 1.0) <= near:
            found.append(text)
    return min(found, key=lambda t: abs(float(t) - wanted), default="")
