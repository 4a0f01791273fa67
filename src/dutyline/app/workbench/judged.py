"""An axis as typed with chosen parts: what the calculation says, or why it cannot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from dutyline.app.variants import variant_of
from dutyline.axis.model import Axis
from dutyline.axis.read import read_axis
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.records import Combination, Verdict
from dutyline.checks.verdict import verify
from dutyline.core.errors import Fault, InputError
from dutyline.selection.records import Shortlist
from dutyline.selection.search import select
from dutyline.store.records import Content

PARTS = ("motor", "gearhead", "drive", "brake", "resistor")


@dataclass(frozen=True, slots=True)
class Sheet:
    """What is edited: the text of the axis file, and the parts looked at."""

    text: str
    file: str = "axis.toml"
    combination: Combination | None = None
    """None: the best of the shortlist."""
    variant: str = ""


@dataclass(frozen=True, slots=True)
class Judged:
    """A sheet that could be computed."""

    sheet: Sheet
    axis: Axis
    verdict: Verdict
    shortlist: Shortlist | None = None


def sheet_of(content: Content) -> Sheet:
    """A kept content as it is judged."""
    named = combination_of(content.parts) if content.parts.get("motor") else None
    return Sheet(content.text, content.file, named, content.variant)


def combination_of(names: Mapping[str, str | None]) -> Combination:
    """Parts by their kinds.

    Raises
    ------
    InputError
        There is no motor among them.
    """
    motor = names.get("motor")
    if not motor:
        raise InputError("the parts", [Fault("", "motor", "a motor there must be.")])
    gearhead, drive, brake, resistor = (names.get(k) or None for k in PARTS[1:])
    return Combination(motor, gearhead, drive, brake, resistor)


def judge(sheet: Sheet, line: ProductLine, *, search: bool = False) -> Judged:
    """The verdict on a sheet.

    Parameters
    ----------
    sheet : Sheet
    line : ProductLine
    search : bool
        Also the shortlist; made in any case where no parts are named.

    Raises
    ------
    InputError
        The axis cannot be used, a part is not in the line, or nothing in the line suits.
    """
    axis = variant_of(read_axis(sheet.file, text=sheet.text), sheet.variant or None)
    named = sheet.combination
    with axis.reader.served():
        shortlist = select(axis, line) if search or named is None else None
        if named is None:
            assert shortlist is not None
            named = _best(shortlist)
        return Judged(sheet, axis, verify(axis, line, named), shortlist)


def _best(shortlist: Shortlist) -> Combination:
    """The best candidate, or the rejection that came nearest."""
    if shortlist.candidates:
        return shortlist.candidates[0].combination
    if shortlist.rejected:
        return shortlist.rejected[0].combination
    read = "nothing in the product line can be combined for this axis."
    fault = Fault("", "choose", read, "Widen the patterns of [choose], or name parts.")
    raise InputError(shortlist.axis.file or "the axis", [fault])
