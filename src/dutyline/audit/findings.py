"""From a figure that is blamed to what a reader is told about it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import numpy as np

from dutyline.audit.blame import Blamed, Broken
from dutyline.audit.look import Look
from dutyline.audit.records import Cell, Finding
from dutyline.audit.slips import DIGITS, REPEATED, Slip, by_digits, by_factor
from dutyline.audit.words import said, shortened, value_text
from dutyline.catalogue.column_words import spoken
from dutyline.catalogue.columns import UNITS, Column
from dutyline.catalogue.origins import KINDS, column_of, in_file_unit, origin

SAME_DIGITS = 0.01
"""How close a cell with two digits exchanged comes to what is expected, relative."""
FIRM = 0.7
"""Weight of a rule that tells what a figure has to be, not only where it usually lies."""
LEAST_OTHERS = 4
"""Other rows from whose median a usual measure is taken where a rule has none of its own."""
_SINGULAR = {k: k.removesuffix("s") for k in ("motors", "gearheads", "drives", "brakes",
                                              "resistors")}  # fmt: skip


def in_order(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings in the order of the files and their rows."""
    places = {form.file: place for place, form in enumerate(KINDS.values())}
    return tuple(sorted(found, key=lambda f: (places[f.file], f.row or 0, f.part, f.column)))


def sure_of(one: Blamed, value: float | None) -> float | None:
    """What a figure has to be by the relation that weighs most; None where only ranges tell."""
    if value is None:
        return None
    firm = [b for b in one.broken if b.tested.nominal is not None and b.rule.weight >= FIRM]
    known = [(b.rule.weight, w) for b in firm if (w := wanted_of(b, one.cell, value)) is not None]
    return max(known, key=lambda k: k[0])[1] if known else None


def value_of(look: Look, cell: Cell) -> float | None:
    """The number in a cell, SI; None for words."""
    return _number(_named(look, cell)[3])


def finding_of(look: Look, one: Blamed) -> Finding:
    """What is told of one figure."""
    cell = one.cell
    column = column_of(cell.kind, cell.field)
    part, key, parts, value = _named(look, cell)
    place = origin(look.line, cell.kind, key, cell.field, value)
    broken, wanted, slip, proposal = _best(look, one, column, place.raw, value)
    number = _number(value)
    known = wanted is not None and number is not None and number > 0
    also = dict.fromkeys(b.rule.id for b in one.broken if b.rule.id != broken.rule.id)
    return Finding(
        rule=broken.rule.id,
        title=broken.rule.title,
        severity="caution" if any(b.rule.severity == "caution" for b in one.broken) else "note",
        part=part,
        file=place.file,
        row=place.row,
        column=place.column,
        raw=place.raw,
        value=value if number is None else number,
        unit=UNITS[column.unit][2],
        expected=wanted if number is not None else None,
        ratio=number / wanted if known else None,  # type: ignore[operator]
        slip=slip.name if slip else "",
        question=slip.question if slip else "",
        proposal=proposal,
        text=said(look, broken, cell, wanted),
        also=tuple(also),
        doubt=tuple(_doubted(look, other) for other in one.doubt),
        parts=parts,
        point=key[:4] if cell.kind == "curves" else None,
        source=place.source,
    )


def _best(
    look: Look, one: Blamed, column: Column, raw: str, value: Any
) -> tuple[Broken, float | None, Slip | None, str]:
    """Of the rules that a figure breaks the one that says most: what it should be, and the slip."""
    number = _number(value)
    first: dict[str, Broken] = {}
    for broken in one.broken:
        first.setdefault(broken.rule.id, broken)
    ranked = []
    for place, broken in enumerate(first.values()):
        wanted = None if number is None else wanted_of(broken, one.cell, number)
        slip, proposal = _slip(look, one.cell, broken, column, raw, number, wanted)
        order = (slip is None, wanted is None, -broken.rule.weight, place)
        ranked.append((order, broken, wanted, slip, proposal))
    _, broken, wanted, slip, proposal = min(ranked, key=lambda r: r[0])
    return broken, wanted, slip, proposal


def wanted_of(broken: Broken, cell: Cell, value: float) -> float | None:
    """What a figure would have to be for one comparison, SI; None where that is not told."""
    side, at = broken.side(cell), broken.at
    if side.expected is not None:
        return _usable(float(side.expected[at]))
    nominal = _nominal(broken)
    measure = float(broken.tested.measure[at])
    if side.power == 0 or nominal is None or not math.isfinite(measure) or measure <= 0:
        return None
    return _usable(value * (nominal / measure) ** (1.0 / side.power))


def _usable(value: float) -> float | None:
    return value if math.isfinite(value) and value > 0 else None


def _nominal(broken: Broken) -> float | None:
    """The measure of faultless data: the rule's own, or the median of the other rows."""
    own = broken.tested.nominal
    if own is not None:
        return float(own if isinstance(own, float) else own[broken.at])
    others = np.delete(broken.tested.measure, broken.at)
    others = others[np.isfinite(others)]
    low, high = broken.rule.bands[broken.tested.band]
    if others.size < LEAST_OTHERS or not low <= (middle := float(np.median(others))) <= high:
        return None
    return middle


def _slip(
    look: Look, cell: Cell, broken: Broken, column: Column, raw: str,
    value: float | None, wanted: float | None,
) -> tuple[Slip | None, str]:  # fmt: skip
    """Name of the mistake and the cell as it would have to be."""
    if value is None or wanted is None or value <= 0:
        return None, "" if wanted is None else in_file_unit(column, wanted, 4)
    ratio, near = value / wanted, broken.rule.near
    about = in_file_unit(column, wanted, 4)
    for factors, question in broken.tested.usual:
        if abs(ratio / float(factors[broken.at]) - 1.0) <= 0.5 * near:
            return Slip("efficiency", question, float(factors[broken.at])), about
    twin = _repeated(look, cell, value)
    if twin and abs(math.log(ratio)) > math.log1p(near):
        return Slip(REPEATED, f"Does it repeat {twin}?", ratio), about
    slip = by_factor(ratio, column.unit, near)
    if slip is not None:
        return slip, in_file_unit(column, value / slip.factor, 4)
    file_wanted = float(in_file_unit(column, wanted))
    swapped = "" if shortened(raw) != raw else by_digits(raw, file_wanted, SAME_DIGITS)
    if swapped:
        return Slip(DIGITS, "Were two digits exchanged?", ratio), swapped
    return None, about


def _repeated(look: Look, cell: Cell, value: float) -> str:
    """Another column of the same part and unit that holds the same number."""
    if cell.kind == "curves":
        return ""
    part = getattr(look.line, cell.kind)[cell.row]
    unit = column_of(cell.kind, cell.field).unit
    if not unit:
        return ""
    for other in KINDS[cell.kind].columns:
        same = other.unit == unit and other.field != cell.field and other.kind == "number"
        if same and getattr(part, other.field) == value:
            return spoken(cell.kind, other.field)
    return ""


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, (int, float)) else None


def _named(look: Look, cell: Cell) -> tuple[str, tuple[Any, ...], tuple[tuple[str, str], ...], Any]:
    """How a part is called, the key of its row, what has to be chosen, and the value."""
    line = look.line
    if cell.kind == "curves":
        curve, point = curve_point(look, cell.row)
        key = (curve.motor, curve.mains, curve.phases, curve.kind, curve.speed[point])
        name = f"{curve.motor}, {curve.kind} curve at {value_text('curves', 'mains', curve.mains)}"
        return name, key, (("motor", curve.motor),), getattr(curve, cell.field)[point]
    part = getattr(line, cell.kind)[cell.row]
    if cell.kind == "pairings":
        key = (part.kind, part.left, part.right, part.mains, part.phases)
        kinds = part.kind.split("-")
        both = ((kinds[0], part.left), (kinds[1], part.right))
        return f"{part.left} with {part.right}", key, both, getattr(part, cell.field)
    own = ((_SINGULAR[cell.kind], part.name),)
    return part.name, (part.name,), own, getattr(part, cell.field)


def curve_point(look: Look, row: int) -> tuple[Any, int]:
    """The curve and the place on it of a point."""
    which = int(np.searchsorted(look.curve_starts, row, side="right")) - 1
    return look.line.curves[which], row - int(look.curve_starts[which])


def _doubted(look: Look, cell: Cell) -> str:
    part, _, _, _ = _named(look, cell)
    return f"{spoken(cell.kind, cell.field)} of {part}"
