"""Twenty enquiries with the numbers to meet and what is easily overlooked in each."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).resolve().parents[1] / "e2e" / "enquiries"
BOOK: dict[str, Any] = tomllib.loads((FOLDER / "enquiries.toml").read_text(encoding="utf-8"))
ENQUIRIES: dict[str, dict[str, Any]] = {e["id"]: e for e in BOOK["enquiry"]}


@dataclass(frozen=True)
class Ending:
    """What the end of a key says of its number."""

    unit: str
    """SI unit as in JSON."""
    size: float
    """SI value of one."""
    printed: str


ENDINGS = {
    "_rpm": Ending("rad/s", math.pi / 30, "r/min"),
    "_rad_s2": Ending("rad/s^2", 1.0, "rad/s²"),
    "_m_s2": Ending("m/s^2", 1.0, "m/s²"),
    "_m_s": Ending("m/s", 1.0, "m/s"),
    "_kg_m2": Ending("kg*m^2", 1.0, "kg·m²"),
    "_N_m": Ending("N*m", 1.0, "N·m"),
    "_mm": Ending("m", 1e-3, "mm"),
    "_deg": Ending("rad", math.pi / 180, "°"),
    "_deg_at_0p2": Ending("rad", math.pi / 180, "° where the friction is 0.2"),
    "_arcsec": Ending("rad", math.pi / 180 / 3600, "arcsec"),
    "_N_m_per_A": Ending("N*m/A", 1.0, "N·m/A"),
    "_m3_per_h": Ending("m^3/s", 1 / 3600, "m³/h"),
    "_kg": Ending("kg", 1.0, "kg"),
    "_kW": Ending("W", 1e3, "kW"),
    "_ohm": Ending("ohm", 1.0, "Ω"),
    "_L": Ending("m^3", 1e-3, "L"),
    "_V": Ending("V", 1.0, "V"),
    "_A": Ending("A", 1.0, "A"),
    "_J": Ending("J", 1.0, "J"),
    "_N": Ending("N", 1.0, "N"),
    "_W": Ending("W", 1.0, "W"),
    "_s": Ending("s", 1.0, "s"),
}
"""Longest first where one ends in another."""


def ending(key: str) -> tuple[str, Ending]:
    """What a number is of, and its unit; a share where the key names none."""
    for end, found in ENDINGS.items():
        if key.endswith(end):
            return key.removesuffix(end), found
    return key, Ending("1", 1.0, "")


def tolerance(name: str, key: str) -> float:
    """Per cent within which a number has to be met."""
    own: dict[str, float] = ENQUIRIES[name].get("tolerance_percent", {})
    return own.get(key, float(BOOK["tolerance_percent"]))
