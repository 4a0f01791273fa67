"""Every check for one combination."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from typing import Any

from dutyline.axis.model import Axis
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.checks import verdict as checks_verdict
from dutyline.checks.records import Combination, Verdict
from dutyline.core.errors import Fault, InputError

_PARTS = ("motor", "gearhead", "drive", "brake", "resistor")


def verify(axis: Axis, combination: Combination, line: ProductLine | None = None) -> Verdict:
    """Every check for one combination of parts on an axis.

    Parameters
    ----------
    axis : Axis
        Complete, with mains and phases stated.
    combination : Combination
        Names of the parts. A part left out is not there; only the drive is then taken from the
        pairings of the product line.
    line : ProductLine, optional
        Where the parts come from; the invented line that ships when left out.

    Returns
    -------
    Verdict
        The ledger, the figures behind it and the cautions.

    Raises
    ------
    InputError
        A part that the line does not hold, or an axis without mains.
    """
    line = demo_line() if line is None else line
    require_site(axis)
    require_parts(line, combination)
    return checks_verdict.verify(axis, line, combination)


def require_site(axis: Axis) -> None:
    """Products can only be judged on known mains."""
    if axis.site is None:
        read = "mains and phases are not stated; products cannot be judged without them."
        remedy = 'Write, for example, [site] with mains = "230 V" and phases = 3.'
        raise InputError(axis.file or axis.title, [Fault(axis.file, "site", read, remedy)])


def require_parts(line: ProductLine, combination: Combination) -> None:
    """Every named part stands in the line; all that do not are told at once."""
    faults = []
    for part in _PARTS:
        name = getattr(combination, part)
        parts: Sequence[Any] = getattr(line, f"{part}s")
        known = [p.name for p in parts]
        if name is None or name in known:
            continue
        near = difflib.get_close_matches(name, known, n=1, cutoff=0.4)
        remedy = f'The nearest is "{near[0]}".' if near else _first_few(known)
        faults.append(Fault("", f"--{part}", f'{line.name} has no {part} "{name}".', remedy))
    if faults:
        raise InputError(combination.text(), faults)


def _first_few(known: Sequence[str]) -> str:
    return f"It has {', '.join(known[:4])} and {len(known) - 4} more." if len(known) > 4 else (
        f"It has {', '.join(known)}." if known else "It has none."
    )  # fmt: skip
