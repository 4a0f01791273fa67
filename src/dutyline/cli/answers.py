"""Exit codes, and answers on standard output."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from typing import Any

from dutyline.cli.screen import put, write

MEETS, DOES_NOT_MEET, INPUT_ERROR, PROGRAM_FAULT, STOPPED = 0, 1, 2, 3, 130


def answer(lines: Sequence[str]) -> None:
    """The answer for people on standard output."""
    write(lines, sys.stdout)


def answer_json(data: dict[str, Any], code: int) -> int:
    """The answer for programs on standard output."""
    from dutyline.app.records_json import dumps

    text = dumps(data)
    encoding = (getattr(sys.stdout, "encoding", "") or "ascii").lower().replace("-", "")
    if encoding != "utf8":
        text = "".join(c if c.isascii() else json.dumps(c)[1:-1] for c in text)
    put(text, sys.stdout)
    return code
