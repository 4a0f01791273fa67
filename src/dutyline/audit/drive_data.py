"""Rules of one drive: currents and the ladder of its bus voltages."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from dutyline.audit.look import Look
from dutyline.audit.records import Tested
from dutyline.physics.torque_speed import BUS_THREE_PHASE

LOW_MAINS = 0.9
"""Mains that a drive still has to run on, over the lowest nominal (drives run to -10 %, common
practice)."""


def drive_peak_current_band(look: Look) -> Iterator[Tested]:
    """``I_pk / I_N``"""
    yield Tested(
        look.column("drives", "current_peak") / look.column("drives", "current_rated"),
        (look.side("drives", "current_peak", 1), look.side("drives", "current_rated", -1)),
    )


def drive_voltage_ladder(look: Look) -> Iterator[Tested]:
    """Crest of the highest mains, chopper, overvoltage trip; undervoltage trip and low mains."""
    chopper = look.column("drives", "chopper_on")
    tolerance = look.column("drives", "mains_tolerance")
    crest = (
        math.sqrt(2.0)
        * look.column("drives", "mains_max")
        * (1.0 + np.where(np.isnan(tolerance), 0.0, tolerance))
    )
    yield Tested(
        chopper / crest,
        (look.side("drives", "chopper_on", 1), look.side("drives", "mains_max", -1),
         look.side("drives", "mains_tolerance")),
        band="chopper",
    )  # fmt: skip
    yield Tested(
        look.column("drives", "overvoltage_trip") / chopper,
        (look.side("drives", "overvoltage_trip", 1), look.side("drives", "chopper_on", -1)),
        band="trip",
    )
    low = BUS_THREE_PHASE * LOW_MAINS * look.column("drives", "mains_min")
    yield Tested(
        look.column("drives", "undervoltage_trip") / low,
        (look.side("drives", "undervoltage_trip", 1), look.side("drives", "mains_min", -1)),
        band="undervoltage",
    )


def chopper_current_band(look: Look) -> Iterator[Tested]:
    """``V_chopper / R_min / I_pk``"""
    chopper, least = look.column("drives", "chopper_on"), look.column("drives", "resistor_min")
    yield Tested(
        chopper / least / look.column("drives", "current_peak"),
        (look.side("drives", "resistor_min", -1), look.side("drives", "current_peak", -1),
         look.side("drives", "chopper_on", 1)),
    )  # fmt: skip
