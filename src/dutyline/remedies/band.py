"""Used share of every check over the gear ratio, the workable band, and the listed ratios."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.parts import Gearhead, ProductLine
from dutyline.checks.ledger import ABSENT, MEETS, Judged, judge
from dutyline.checks.listing import CHECKS
from dutyline.checks.records import Combination
from dutyline.checks.riding import loaded, rides, riding_mass
from dutyline.checks.sentence import tightest_line
from dutyline.checks.sides import Choice
from dutyline.checks.trial import Trial
from dutyline.checks.verdict import chosen, stop_trials, trials_of
from dutyline.physics.gears import mesh_efficiency
from dutyline.physics.ratios import inertia_ratio_optimum, rms_ratio_optimum
from dutyline.remedies.options import Option
from dutyline.remedies.probe import Probe
from dutyline.remedies.records import RatioBand, RatioRow

Array = NDArray[np.float64]

POINTS = 61
"""Ratios of a curve."""
SPAN = 8.0
"""The curve reaches this far to both sides of the chosen ratio and of the listed ones."""
_ROUNDS = 4
_FINE = 16
_GEARED = "the chosen gearhead with its ratio made continuous"
_BARE = "a gearhead without loss, inertia or limits put before the motor"


def ratio_band(probe: Probe, options: Sequence[Option]) -> RatioBand | None:
    """Used shares over a continuous ratio, all else equal; None where no torque is moved.

    Parameters
    ----------
    probe : Probe
    options : sequence of Option
        Exchanges of a part, judged: the listed gearheads are among them.

    Notes
    -----
    The idealised gearhead keeps of the chosen one: tooth efficiency, no-load torque and inertia
    at the input, limits of torque at the output and of speed at the input. Real gearheads of
    other ratios differ in all of them; they stand in the list beside.
    """
    now = _gearhead(probe)
    listed = _listed(probe, options)
    ratios = [now.ratio, *(row.ratio for row in listed if row.gearhead != "none")]
    low, high = min(min(ratios), now.ratio / SPAN), max(max(ratios), now.ratio * SPAN)
    low = max(low, 1e-3)
    ratio = np.unique(np.append(np.geomspace(low, high, POINTS), now.ratio))
    judged = _judged(probe, now, ratio)
    met = _met(judged)
    bands = []
    for first, last in _runs(met):
        left = ratio[first] if first == 0 else _edge(probe, now, ratio[first - 1], ratio[first])
        right = ratio[last]
        if last < ratio.size - 1:
            right = _edge(probe, now, ratio[last + 1], ratio[last])
        bands.append((float(left), float(right)))
    used, titles = _shares(judged)
    inertia, rms = optima(probe, now)
    return RatioBand(
        ideal=_BARE if probe.combination.gearhead is None else _GEARED,
        ratio=tuple(float(r) for r in ratio),
        used=used,
        titles=titles,
        bands=tuple(bands),
        chosen=now.ratio,
        inertia_optimum=inertia,
        rms_optimum=rms,
        listed=listed,
    )


def optima(probe: Probe, gearhead: Gearhead) -> tuple[float, float]:
    """Ratios of least torque for a pure inertia, and of least rms torque for this motion."""
    trial = ratio_trials(probe, gearhead, np.array([gearhead.ratio]))[0]
    own = float(trial.at_motor(trial.motor_side.shafts.inertia)[0])
    out = probe.demand
    accelerated = out.mean(out.acceleration**2)
    if not own > 0.0 or not out.inertia_max > 0.0:
        return math.nan, math.nan
    inertia = float(inertia_ratio_optimum(out.inertia_max, own))
    return inertia, float(rms_ratio_optimum(own, accelerated, out.rms_torque**2))


def _gearhead(probe: Probe) -> Gearhead:
    name = probe.combination.gearhead
    if name is None:
        return Gearhead("", ratio=1.0, efficiency=1.0, inertia_in=0.0, no_load_torque=0.0, mass=0.0)
    return probe.line.gearheads[probe.line.gearhead_index[name]]


def idealised(now: Gearhead, ratio: float) -> Gearhead:
    """The gearhead with another ratio: the same teeth, the same limits at either side."""
    efficiency, drag, rated = now.efficiency, now.no_load_torque, now.torque_rated
    if efficiency is not None and drag is not None and rated is not None:
        mesh = float(mesh_efficiency(efficiency, now.ratio, drag, rated))
        efficiency = 1.0 / (1.0 / mesh + drag * ratio / rated)
    speed = now.speed_rated_out
    return replace(
        now,
        name=f"{ratio!r}",
        ratio=ratio,
        ratio_exact=Fraction(ratio),
        efficiency=efficiency,
        speed_rated_out=None if speed is None else speed * now.ratio / ratio,
    )


def ratio_trials(probe: Probe, now: Gearhead, ratio: Array) -> list[Trial]:
    """The chosen combination with idealised gearheads of many ratios, on every case."""
    gears = tuple(idealised(now, float(r)) for r in ratio)
    pairings = tuple(p for p in probe.line.pairings if p.kind != "motor-gearhead")
    line: ProductLine = replace(probe.line, gearheads=gears, pairings=pairings)
    one = chosen(probe.axis, line, replace(probe.combination, gearhead=gears[0].name))
    fields = {
        name: np.repeat(getattr(one, name), ratio.size) for name in Choice.__dataclass_fields__
    }
    choice = Choice(**{**fields, "gearhead": np.arange(ratio.size, dtype=np.intp)})
    if rides(probe.axis):
        axis = loaded(probe.axis, float(riding_mass(line, choice)[0]))
        return trials_of(axis, line, choice)
    return trials_of(probe.axis, line, choice, probe.demands)


def _judged(probe: Probe, now: Gearhead, ratio: Array) -> list[Judged]:
    """Every check on every case."""
    trials = ratio_trials(probe, now, ratio)
    trials += stop_trials(trials)
    return [judge(trial, check) for check in CHECKS for trial in trials]


_RANK = {"meets": 0, "short": 1, "incomplete": 2, "fails": 3}
_SKIPPED = ("fit",)
"""Checks that an idealised gearhead cannot be put to."""


def _met(judged: Sequence[Judged]) -> NDArray[np.bool_]:
    """Where every must check that can be made is met."""
    result = np.ones(judged[0].state.size, dtype=bool)
    for one in judged:
        if one.check.id not in _SKIPPED:
            open_ = np.isnan(one.margin)
            result &= ~one.must | (one.state >= MEETS) | open_
    return result


def _runs(met: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last index of every stretch that is met."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], met, [False]]).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _edge(probe: Probe, now: Gearhead, out: float, into: float) -> float:
    """Ratio at which the band ends, on its inner side."""
    for _ in range(_ROUNDS):
        ratio = np.geomspace(out, into, _FINE)
        met = _met(_judged(probe, now, ratio))
        k = int(np.argmax(met))
        out, into = float(ratio[k - 1]), float(ratio[k])
    return into


def _shares(judged: Sequence[Judged]) -> tuple[dict[str, tuple[float, ...]], dict[str, str]]:
    """Used share of every measured must check that changes over the ratio, in its worst case."""
    used: dict[str, tuple[float, ...]] = {}
    titles = {}
    for one in judged:
        limit = np.asarray(one.outcome.limit, dtype=float)
        if one.check.id in _SKIPPED or not one.must.any() or not np.isfinite(one.margin).any():
            continue
        if one.check.unit == "1" and not (limit != 0).any():
            continue
        share = np.where(one.state == ABSENT, np.nan, 1.0 - one.margin)
        finite = share[np.isfinite(share)]
        if finite.size == 0 or np.ptp(finite) < 1e-6:
            continue
        key = f"{one.check.id} {one.check.part}"
        share = np.fmax(share, used.get(key, share))
        used[key] = tuple(float(s) for s in share)
        titles[key] = one.check.title
    return used, titles


def _listed(probe: Probe, options: Sequence[Option]) -> tuple[RatioRow, ...]:
    """The chosen gearhead and those of its frame by ratio; for a bare motor the best of each."""
    rows: dict[float, RatioRow] = {}
    own = probe.combination.gearhead
    frame = None if own is None else _gearhead(probe).frame
    for option in options:
        if option.field != "gearhead" or option.reading is None or option.after == "none":
            continue
        gear = probe.line.gearheads[probe.line.gearhead_index[option.after]]
        row = _row(gear.name, gear.ratio, option)
        known = rows.get(gear.ratio)
        better = known is None or _RANK[row.verdict] < _RANK[known.verdict]
        if gear.frame == frame or (own is None and better):
            rows[gear.ratio] = row
    here = Option("gearhead", "ratio", "", own or "none", 0.0, "", probe.base, Combination(""))
    rows[_gearhead(probe).ratio] = _row(own or "none", _gearhead(probe).ratio, here)
    return tuple(sorted(rows.values(), key=lambda row: row.ratio))


def _row(name: str, ratio: float, option: Option) -> RatioRow:
    assert option.reading is not None
    tight = tightest_line(option.reading.lines)
    share = math.nan if tight is None or tight.used is None else tight.used
    shares: dict[str, float] = {}
    for line in option.reading.musts:
        if line.used is not None and not line.yes_no:
            shares[line.title] = max(line.used, shares.get(line.title, 0.0))
    title = tight.title if tight else ""
    return RatioRow(name, ratio, option.reading.verdict, title, share, shares)
