"""Tolerance of an axis, with what is usual where nothing is stated."""

from __future__ import annotations

from math import radians

from dutyline.axis.model import Axis

USUAL_TRAVEL = 1e-4
"""[m] tolerance where none is stated (common practice)."""
USUAL_ANGLE = radians(0.05)
"""[rad] the same for a load that turns."""


def usual_tolerance(axis: Axis) -> float:
    """What counts where no tolerance is stated [m or rad]."""
    return USUAL_TRAVEL if axis.linear else USUAL_ANGLE


def tolerance(axis: Axis) -> float:
    """Half width of the window [m or rad]."""
    stated = axis.require.position
    return usual_tolerance(axis) if stated is None else stated


def wanted(axis: Axis) -> bool:
    """Whether the file asks for anything of the control: place, time, bandwidth or gains."""
    require = axis.require
    asked = (require.position, require.settle, require.bandwidth, axis.equipment.control)
    return any(one is not None for one in asked)
