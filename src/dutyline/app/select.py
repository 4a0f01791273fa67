"""Combinations of a product line that carry an axis, and why the others do not."""

from __future__ import annotations

from dutyline.axis.model import Axis
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.core.arguments import expect
from dutyline.selection import search
from dutyline.selection.records import Shortlist


def select(
    axis: Axis, line: ProductLine | None = None, progress: search.Progress | None = None
) -> Shortlist:
    """Decide every combination of a product line on an axis.

    Parameters
    ----------
    axis : Axis
        Complete, with mains and phases stated; ``[choose]`` limits and orders the search.
    line : ProductLine, optional
        The invented line that ships when left out.
    progress : callable, optional
        Called with the number of combinations decided so far and of all.

    Returns
    -------
    Shortlist
        Candidates best first, and one sentence for every rejection.

    Raises
    ------
    InputError
        An argument of another type, an axis without mains, or limits that leave nothing to try.
    """
    expect(axis, Axis, "axis", 'Read one first: read_axis("lift.toml").')
    if line is not None:
        expect(line, ProductLine, "line", 'Read one first: read_line("folder").')
    with axis.reader.served():
        return search.select(axis, demo_line() if line is None else line, progress)
