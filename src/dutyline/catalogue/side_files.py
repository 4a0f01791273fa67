"""TOML files that may stand beside the tables of a line."""

from __future__ import annotations

import tomllib
from typing import Any

from dutyline.core.errors import Fault

MOST_BYTES = 1_000_000


def table_of(file: str, data: bytes, faults: list[Fault]) -> dict[str, Any]:
    """The content of such a file; empty, with a fault, where it is none.

    Parameters
    ----------
    file : str
        Its name, for faults.
    data : bytes
    faults : list of Fault
        Added to.
    """

    def fault(read: str, remedy: str) -> None:
        faults.append(Fault(file, "", read, remedy))

    if len(data) > MOST_BYTES:
        fault("is larger than 1 MB.", "Check that it is the right file.")
        return {}
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        fault(f"is not TOML: {error}.", "Correct the place named.")
    except (ValueError, RecursionError):
        read = "is not TOML: a number is too long, or brackets nest too deeply."
        fault(read, "Check the digits and brackets.")
    return {}
