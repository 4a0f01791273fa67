"""How the load settles after its motions, simulated in time."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
from numpy.typing import NDArray

from dutyline.app.records_json import Json, quantity
from dutyline.checks.records import Verdict
from dutyline.core.arguments import expect
from dutyline.core.errors import Fault, InputError
from dutyline.studies.decision import decided
from dutyline.studies.records import Gains, Settling, SettlingRun
from dutyline.studies.settling import settle as simulate
from dutyline.studies.words import LIMITS, settling_words

__all__ = ["Settling", "settle", "settled", "settling_json", "settling_words"]

MOST_SAMPLES = 400
"""Samples of a run in JSON, at most."""


def settle(verdict: Verdict) -> Settling:
    """How the load settles after each motion that ends at rest, marched through time.

    Parameters
    ----------
    verdict : Verdict
        As verify or select returns it.

    Returns
    -------
    Settling
        One run per standstill with its error over time, the gains of the loops, and the data
        that are missing, in which case nothing is simulated.

    Raises
    ------
    InputError
        The argument is no verdict, or was judged without a product line.
    """
    expect(verdict, Verdict, "verdict", "Take one from verify or select.")
    if verdict.line is None:
        fault = Fault("", "verdict", "it was judged without a product line.", "Use verify.")
        raise InputError("The simulation", [fault])
    return simulate(verdict)


def settled(verdict: Verdict) -> Verdict:
    """The verdict in which the simulation decides in place of the estimate.

    Parameters
    ----------
    verdict : Verdict
        As verify or select returns it, or advise.

    Returns
    -------
    Verdict
        With the settling line by :func:`settle`, the verdict that follows from it, and the
        simulation itself in ``extra["settling"]``. Remedies of that line fall away: they were
        found by the estimate.

    Raises
    ------
    InputError
        As :func:`settle`.
    """
    found = settle(verdict)
    judged = decided(verdict, found)
    return replace(judged, extra={**judged.extra, "settling": found})


def settling_json(found: Settling) -> Json:
    """``dutyline.settling/1``; a run that does not settle has ``null`` and ``settles`` false."""
    unit = "m" if found.linear else "rad"
    return {
        "schema": "dutyline.settling/1",
        "combination": found.combination.text(),
        "simulation": LIMITS,
        "tolerance": quantity(found.tolerance, unit),
        "tolerance_stated": found.tolerance_stated,
        "allowed": None if found.allowed is None else quantity(found.allowed, "s"),
        "settle": quantity(found.settle, "s"),
        "settles": bool(found.runs) and not found.never,
        "gains": None if found.gains is None else _gains(found.gains),
        "runs": [_run(run, unit) for run in found.runs],
        "left_out": found.left_out,
        "missing": list(found.missing),
    }


def _gains(gains: Gains) -> Json:
    units = {
        "velocity_bandwidth": "rad/s",
        "velocity_gain": "N*m*s/rad",
        "integral_time": "s",
        "position_gain": "1/s",
        "feed_forward": "1",
        "sample": "s",
        "current_lag": "s",
        "torque_limit": "N*m",
    }
    numbers = {name: quantity(getattr(gains, name), unit) for name, unit in units.items()}
    return {**numbers, "bound": gains.bound}


def _run(run: SettlingRun, unit: str) -> Json:
    step = -(-run.time.size // MOST_SAMPLES)
    return {
        "case": run.case,
        "phase": run.phase,
        "end": quantity(run.end, "s"),
        "settle": quantity(run.settle, "s"),
        "settles": run.settle < inf,
        "looked": quantity(run.looked, "s"),
        "next_motion_begins": run.cut,
        "at_torque_limit": quantity(run.limited, "s"),
        "time": {"unit": "s", "values": _rounded(run.time[::step])},
        "error": {"unit": unit, "values": _rounded(run.error[::step])},
    }


def _rounded(values: NDArray[np.float64]) -> list[float]:
    """Six digits are enough for a plot."""
    return [float(f"{value:.6g}") for value in values]
