"""Units of pint, a library outside the project; its list takes a while to read."""

from __future__ import annotations

import pint

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
