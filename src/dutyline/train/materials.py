"""Densities of the materials that a file may name."""

from __future__ import annotations

import tomllib
from functools import cache

from dutyline.core.places import DATA


@cache
def densities() -> dict[str, float]:
    """Density by name of material [kg/m^3].

    Source: ``data/materials.toml``, usual handbook values.

    >>> densities()["steel"]
    7850.0
    """
    text = (DATA / "materials.toml").read_text(encoding="utf-8")
    return {name: float(entry["density"]) for name, entry in tomllib.loads(text).items()}
