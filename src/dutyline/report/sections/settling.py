"""The settling that was simulated: sentences and the error over time."""

from __future__ import annotations

from math import inf, pi

from dutyline.checks.records import Verdict
from dutyline.core.numbers import percent
from dutyline.report.figures.data import SettleCurve, SettleData
from dutyline.report.figures.settle import settle as draw
from dutyline.report.tree import Figure, Paragraph, Section, words
from dutyline.studies.records import Settling, SettlingRun
from dutyline.studies.words import settling_words, short_time, window

_MOST = 3
"""Motions drawn, the slowest first."""
_POINTS = 300
_UNITS = {True: ("mm", 1e3), False: ("arcmin", 10800 / pi)}
"""Printed unit of the error and its number per SI unit, by whether the load moves along."""


def settling_of(verdict: Verdict) -> Settling | None:
    """What was simulated, None where nobody asked for it."""
    found = verdict.extra.get("settling")
    return found if isinstance(found, Settling) else None


def settling(verdict: Verdict) -> Section | None:
    """When each motion has settled, with which gains, and what the simulation cannot tell."""
    found = settling_of(verdict)
    if found is None:
        return None
    told = [f"{text[:1].upper()}{text[1:]}" for text in settling_words(found)]
    blocks = tuple(Paragraph(words(text), "table") for text in told)
    return Section("settling", "Settling", blocks, words("simulated in time"))


def settling_data(found: Settling) -> SettleData:
    """The slowest motions as their plot takes them."""
    slowest = sorted(found.runs, key=lambda run: -run.settle)[:_MOST]
    shown, scale = _UNITS[found.linear]
    several = len({run.case for run in found.runs}) > 1
    last = slowest[0].settle
    return SettleData(
        curves=tuple(_curve(run, scale, several=several) for run in slowest),
        tolerance=found.tolerance * scale,
        allowed=None if found.allowed is None else 1e3 * found.allowed,
        settled=None if last == inf else 1e3 * last,
        error_title=f"Error of the load, {shown}",
    )


def _curve(run: SettlingRun, scale: float, *, several: bool) -> SettleCurve:
    near = run.time >= -0.15 * run.looked
    step = -(-int(near.sum()) // _POINTS)
    label = f"{run.phase}, {run.case}" if several else run.phase
    return SettleCurve(label, 1e3 * run.time[near][::step], scale * run.error[near][::step])


def settling_figure(verdict: Verdict, width: float) -> Figure | None:
    """Error of the load over time, with the window."""
    found = settling_of(verdict)
    if found is None or not found.runs or found.gains is None:
        return None
    worst = found.worst
    assert worst is not None
    end = "does not settle" if worst.settle == inf else f"settles in {short_time(worst.settle)}"
    alt = f"Error of the load after its motions: {worst.phase} {end} within {window(found)}."
    fed = percent(found.gains.feed_forward)
    caption = (
        "Settling, simulated. The load must come into the tinted window and stay; with "
        f"{fed} of the speed fed forward."
    )
    return Figure(draw(settling_data(found)), alt, words(caption), width)
