"""What a change holds, as it was sent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from dutyline.core.errors import Fault, InputError

LONGEST = 2_000
"""Characters of what is typed into one field."""

Change = Mapping[str, Any]


def word(change: Change, name: str) -> str:
    """A text that a change holds.

    Raises
    ------
    InputError
        It holds none, or one that is too long.
    """
    found = change.get(name)
    if not isinstance(found, str) or len(found) > LONGEST:
        raise refused(name, f"a text of at most {LONGEST} characters is needed.")
    return found


def number(change: Change, name: str) -> int:
    """A whole number that a change holds.

    Raises
    ------
    InputError
        It holds none.
    """
    found = change.get(name)
    if not isinstance(found, int) or isinstance(found, bool):
        raise refused(name, "a whole number is needed.")
    return found


def refused(field: str, read: str) -> InputError:
    """A change that cannot be made, and why."""
    return InputError("the change", [Fault("", field, read)])
