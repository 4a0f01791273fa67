"""Every check for one combination."""

from __future__ import annotations

from dataclasses import fields

from dutyline.axis.model import Axis
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.checks import verdict as checking
from dutyline.checks.records import Combination, Verdict
from dutyline.core.arguments import expect


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
        An argument of another type, a part that the line does not hold, or an axis without mains.
    """
    expect(axis, Axis, "axis", 'Read one first: read_axis("lift.toml").')
    expect(combination, Combination, "combination", 'Write Combination("motor", "gearhead").')
    for part in fields(combination):
        name = getattr(combination, part.name)
        if name is not None or part.name == "motor":
            expect(name, str, f"combination.{part.name}", "Give the name of the part.")
    if line is not None:
        expect(line, ProductLine, "line", 'Read one first: read_line("folder").')
    with axis.reader.served():
        return checking.verify(axis, demo_line() if line is None else line, combination)
