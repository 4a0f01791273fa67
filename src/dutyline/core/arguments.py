"""Arguments of the public functions: a wrong one is told as such, before anything is computed."""

from __future__ import annotations

import os

from dutyline.core.errors import Fault, InputError

PATH = (str, os.PathLike)
"""What names a file or a folder."""


def expect(value: object, kind: type | tuple[type, ...], name: str, remedy: str) -> None:
    """Refuse an argument of another type.

    Parameters
    ----------
    value : object
        As it was given.
    kind : type or tuple of types
        What it has to be.
    name : str
        Of the argument, as in the signature.
    remedy : str
        How it is written, as a sentence.

    Raises
    ------
    InputError
        It is something else.

    Examples
    --------
    >>> expect("lift.toml", str, "source", "")
    >>> try:
    ...     expect(3, str, "source", "")
    ... except InputError as error:
    ...     error.faults[0].text()
    'source: got int; str is needed.'
    """
    if isinstance(value, kind):
        return
    kinds = kind if isinstance(kind, tuple) else (kind,)
    needed = " or ".join(k.__name__ for k in kinds)
    read = f"got {type(value).__name__}; {needed} is needed."
    raise InputError("The call", [Fault("", name, read, remedy)])
