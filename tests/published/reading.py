"""Inputs of the published cases as SI numbers, by a unit table of their own.

Nothing of the product is used here, so a wrong unit in the product cannot cancel out.
"""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent
LB, INCH, GRAVITY = 0.45359237, 0.0254, 9.80665
LBF = LB * GRAVITY

UNITS: dict[str, float] = {
    "": 1.0,
    "kg": 1.0,
    "t": 1e3,
    "lb": LB,
    "lbf": LBF,
    "kip": 1e3 * LBF,
    "lbm": LB,
    "m": 1.0,
    "mm": 1e-3,
    "cm": 1e-2,
    "in": INCH,
    "ft": 12 * INCH,
    "s": 1.0,
    "min": 60.0,
    "h": 3600.0,
    "N": 1.0,
    "kN": 1e3,
    "N.m": 1.0,
    "kg.m2": 1.0,
    "kgf.m": GRAVITY,
    "m/s": 1.0,
    "m/s2": 1.0,
    "rpm": math.pi / 30,
    "rad/s": 1.0,
    "kg/m": 1.0,
    "kg/m3": 1.0,
    "lb/ft3": LB / (12 * INCH) ** 3,
    "N/m": 1.0,
    "N.m/rad": 1.0,
    "W": 1.0,
    "kW": 1e3,
    "hp": 550 * 12 * INCH * LBF,
    "J": 1.0,
    "kJ": 1e3,
    "GPa": 1e9,
    "MPa": 1e6,
    "psi": LBF / INCH**2,
    "ksi": 1e3 * LBF / INCH**2,
    "lb/in2": LBF / INCH**2,
    "in4": INCH**4,
    "lb.ft2": LB * (12 * INCH) ** 2,
    "ton.ft2": 2240 * LB * (12 * INCH) ** 2,
    "lb.in": LBF * INCH,
    "lb.ft": LBF * 12 * INCH,
    "deg": math.pi / 180,
    "V": 1.0,
    "A": 1.0,
    "ohm": 1.0,
    "uF": 1e-6,
    "mH": 1e-3,
    "C": 1.0,
    "K": 1.0,
    "K/W": 1.0,
    "J/K": 1.0,
    "t/h": 1e3 / 3600,
    "per": 1.0,
    "um": 1e-6,
}

_NUMBER = r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?"


def amount(text: str) -> float:
    """The first number of a text with the unit behind it, in SI."""
    found = re.match(rf"\s*({_NUMBER})\s*([A-Za-z][A-Za-z0-9./]*)?", text)
    assert found is not None, text
    return float(found[1]) * UNITS[(found[2] or "").rstrip(".")]


def numbers(text: str) -> list[float]:
    """All numbers of a text as they stand."""
    return [float(n) for n in re.findall(rf"(?<![A-Za-z0-9.]){_NUMBER}", text)]


def table(name: str) -> dict[str, Any]:
    """One of the data files of this folder."""
    with (FOLDER / f"{name}.toml").open("rb") as file:
        return tomllib.load(file)


def checks() -> list[dict[str, Any]]:
    """The published values."""
    return list(table("check-values")["check"])


def mechanics(name: str) -> dict[str, Any]:
    """Inputs of a worked example of the mechanics, or of a spot value."""
    data = table("mechanics-examples")
    for case in [*data["example"], *data["spot"]]:
        if case["id"] == name:
            return dict(case["inputs"])
    raise KeyError(name)


def drives(number: int) -> dict[str, Any]:
    """Inputs of a worked example of the drives."""
    for case in table("drives-examples")["example"]:
        if case["number"] == number:
            return dict(case["input"])
    raise KeyError(number)
