"""Checks for which the safe end of an estimate is the favourable one.

Such a check is judged without the estimate: a braking resistor gets less from a lossy gearhead,
so an efficiency taken low proves nothing there.
"""

from __future__ import annotations

FAVOURED: dict[tuple[str, str], tuple[str, ...]] = {}
"""By kind of part and field."""
