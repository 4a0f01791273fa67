"""Estimates in place of data that a product line does not state."""

from __future__ import annotations

from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.core.arguments import expect
from dutyline.estimates import fill


def estimated(line: ProductLine | None = None) -> ProductLine:
    """The line with what it does not state estimated, where a named method gives it.

    Parameters
    ----------
    line : ProductLine, optional
        As :func:`dutyline.read_line` returns it; the invented line that ships when left out.
        Nothing of it is changed, and no file is written.

    Returns
    -------
    ProductLine
        For :func:`dutyline.select` and :func:`dutyline.verify`. ``assumed`` tells every datum
        filled in with its range and method, and so does every ledger line that uses it.
        Strength, life, permitted forces and the torque and work of brakes are never estimated.

    Raises
    ------
    InputError
        The argument is no product line.
    """
    if line is not None:
        expect(line, ProductLine, "line", 'Read one first: read_line("folder").')
    return fill.estimated(demo_line() if line is None else line)
