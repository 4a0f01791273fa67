"""The chosen parts of a verdict, looked up in their product line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor, ProductLine, Resistor
from dutyline.checks.records import Verdict


@dataclass(frozen=True, slots=True)
class Chosen:
    """Records of the chosen parts; None where there is none or the line is not known."""

    motor: Motor | None = None
    gearhead: Gearhead | None = None
    drive: Drive | None = None
    brake: Brake | None = None
    resistor: Resistor | None = None


def chosen(verdict: Verdict) -> Chosen:
    """The parts of a verdict's combination."""
    line: ProductLine | None = verdict.line
    if line is None:
        return Chosen()

    def find(kind: str) -> Any:
        name = getattr(verdict.combination, kind)
        index = getattr(line, f"{kind}_index")
        return getattr(line, f"{kind}s")[index[name]] if name in index else None

    return Chosen(*(find(k) for k in ("motor", "gearhead", "drive", "brake", "resistor")))
