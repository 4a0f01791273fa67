"""What would make a combination pass."""

from __future__ import annotations

from dutyline.checks.records import Verdict
from dutyline.core.arguments import expect
from dutyline.remedies.advice import advised


def advise(verdict: Verdict) -> Verdict:
    """The verdict with remedies in every must line that fails or is short.

    Parameters
    ----------
    verdict : Verdict
        As verify or select returns it.

    Returns
    -------
    Verdict
        The same numbers; ``remedies`` of a line hold the smallest single changes found, those that
        settle everything first. Each was judged anew with the very text of its ``after``. The last
        may have an empty field and says which kinds of change do not help.

    Raises
    ------
    InputError
        The argument is no verdict.
    """
    expect(verdict, Verdict, "verdict", "Take one from verify or select.")
    with verdict.axis.reader.served():
        return advised(verdict)
