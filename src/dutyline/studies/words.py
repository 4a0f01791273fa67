"""A simulation in sentences: the same words on the terminal and in the report."""

from __future__ import annotations

from math import inf, pi

from dutyline.core.numbers import percent, quantity, significant
from dutyline.core.wording import phase_name
from dutyline.studies.records import Gains, Settling, SettlingRun

LIMITS = (
    "A simulation of motor and load with one spring, its damping and play between them. Friction "
    "brakes here but does not stick: wind-up and hunting about the place are not in it. Process "
    "forces, torque ripple and the noise of the encoder are left out."
)
RINGS = 0.5
"""Share of the time simulated at the torque limit above which the loop is said to ring."""


def short_time(time: float) -> str:
    r"""A time of less than a second in milliseconds.

    >>> short_time(0.0004)
    '0.400\xa0ms'
    """
    return quantity(time, "s") if time >= 1 else f"{significant(1e3 * time)}\u00a0ms"


def settling_words(found: Settling) -> list[str]:
    """One sentence per motion, then the gains, then what the simulation cannot tell."""
    if found.missing:
        return [f"Not simulated. Missing: {'; '.join(found.missing)}."]
    if not found.runs:
        return ["Nothing to simulate: no motion of the cycle ends at rest."]
    several = len({run.case for run in found.runs}) > 1
    told = [run_words(found, run, several=several) for run in found.runs]
    if found.left_out:
        told.append(f"{found.left_out} further motions leave less behind and were not simulated.")
    gains = [] if found.gains is None else [gain_words(found.gains)]
    return [*told, *gains, LIMITS]


def window(found: Settling) -> str:
    """``±0.5 mm``, with what is usual marked as such."""
    shown = f"±{quantity(found.tolerance, 'm' if found.linear else 'rad')}"
    return shown if found.tolerance_stated else f"{shown} (assumed)"


def run_words(found: Settling, run: SettlingRun, *, several: bool) -> str:
    """When one motion has settled."""
    name = phase_name(run.phase)
    name = f"{name}, case {run.case}" if several else name
    after = short_time(run.looked)
    if run.settle == inf:
        end = "when the next motion begins" if run.cut else "when the simulation ends"
        off = quantity(abs(float(run.error[-1])), "m" if found.linear else "rad")
        said = f"{name}: still outside {window(found)}, {off} off, {after} after its end, {end}"
    elif run.settle == 0:
        said = f"{name}: within {window(found)} from its end on"
    else:
        said = f"{name}: within {window(found)} {short_time(run.settle)} after its end"
    span = float(run.time[-1] - run.time[0])
    if run.limited > RINGS * span:
        said += "; the command is at the torque limit most of the time: the loop rings"
    elif run.limited > 0:
        said += f"; {short_time(run.limited)} at the torque limit"
    return f"{said}."


def gain_words(gains: Gains) -> str:
    """Every setting with which it was simulated."""
    return (
        f"Gains: velocity loop {quantity(gains.velocity_bandwidth / (2 * pi), 'Hz')}, bound by "
        f"{gains.bound}, {quantity(gains.velocity_gain, 'N*m*s/rad')} at the motor, integral time "
        f"{short_time(gains.integral_time)}; position gain "
        f"{quantity(gains.position_gain, '1/s')}; {percent(gains.feed_forward)} of the speed fed "
        f"forward; a sample every {short_time(gains.sample)}, acting one later; torque up to "
        f"{quantity(gains.torque_limit, 'N*m')}, {short_time(gains.current_lag)} behind. "
        "One set for all cases."
    )
