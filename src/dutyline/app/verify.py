"""Every check for one combination."""

from __future__ import annotations

from dutyline.axis.model import Axis
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.checks import verdict as checking
from dutyline.checks.records import Combination, Verdict


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
    return checking.verify(axis, demo_line() if line is None else line, combination)
