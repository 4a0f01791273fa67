"""Rules over the sizes of a line: power laws, order, and what windings of one size share."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from dutyline.audit.look import Look
from dutyline.audit.order import in_order, neighbours
from dutyline.audit.power_law import LEAST_SIZES, departures
from dutyline.audit.records import Array, Index, Tested

FITTED = ("inertia", "mass", "torque_peak")
ORDERED = ("flange", "mass", "inertia", "shaft", "radial_load")
MECHANICS = (
    "torque_rated", "torque_stall", "torque_peak", "speed_max", "inertia", "inertia_with_brake",
    "mass", "mass_with_brake", "flange", "pilot", "bolt_circle", "shaft", "radial_load",
    "axial_load", "radial_load_point", "bearing_offset", "pole_pairs",
)  # fmt: skip
"""The same in every winding of a size."""
HEAT = (
    "rth_winding_housing", "rth_housing_ambient", "cth_winding", "cth_housing", "tau_winding",
    "tau_housing", "iron_loss_rated",
)  # fmt: skip
"""Nearly the same: the copper fills the same slots."""


def windings_share_mechanics(look: Look) -> Iterator[Tested]:
    """A value over that of another winding of the same size."""
    one, other = _winding_pairs(look)
    for band, fields in (("mechanics", MECHANICS), ("heat", HEAT)):
        for name in fields:
            column = look.column("motors", name)
            with np.errstate(divide="ignore", invalid="ignore"):
                share = column[one] / column[other]
            yield Tested(
                share,
                (look.side("motors", name, 1, one), look.side("motors", name, -1, other)),
                band,
                nominal=1.0,
            )


def windings_share_motor_constant(look: Look) -> Iterator[Tested]:
    """``(R / R') / (K_e / K_e')**2`` of two windings of one size, and the same of ``L``."""
    one, other = _winding_pairs(look)
    emf = look.column("motors", "voltage_constant")
    for name in ("resistance", "inductance"):
        column = look.column("motors", name)
        yield Tested(
            column[one] / column[other] / (emf[one] / emf[other]) ** 2,
            (
                look.side("motors", name, 1, one),
                look.side("motors", name, -1, other),
                look.side("motors", "voltage_constant", -2, one),
                look.side("motors", "voltage_constant", 2, other),
            ),
            name,
            nominal=1.0,
        )


def _winding_pairs(look: Look) -> tuple[Index, Index]:
    """Each winding beside the next of its size, the last beside the first where there are three."""
    one: list[int] = []
    other: list[int] = []
    for group in look.sizes:
        count = len(group)
        for k in range(count if count > 2 else count - 1):
            one.append(int(group[k]))
            other.append(int(group[(k + 1) % count]))
    return np.array(one, dtype=np.intp), np.array(other, dtype=np.intp)


def family_log_log_outlier(look: Look) -> Iterator[Tested]:
    """Departure of ``ln y`` from the power law that the other sizes follow."""
    for name in FITTED:
        column = look.column("motors", name)
        for rows, away in _fits(look, column):
            yield Tested(
                away,
                (
                    look.side("motors", name, rows=rows, expected=column[rows] / np.exp(away)),
                    look.side("motors", "power_rated", rows=rows),
                    look.side("motors", "speed_rated", rows=rows),
                ),
                name,
                nominal=0.0,
            )


def power_rate_continuity(look: Look) -> Iterator[Tested]:
    """Departure of ``ln(T_N**2 / J)`` from the power law that the other sizes follow."""
    torque, inertia = look.column("motors", "torque_rated"), look.column("motors", "inertia")
    for rows, away in _fits(look, torque**2 / inertia):
        yield Tested(
            away,
            (
                look.side("motors", "inertia", rows=rows, expected=inertia[rows] * np.exp(away)),
                look.side("motors", "torque_rated", rows=rows,
                          expected=torque[rows] * np.exp(-0.5 * away)),
                look.side("motors", "power_rated", rows=rows),
                look.side("motors", "speed_rated", rows=rows),
            ),
            nominal=0.0,
        )  # fmt: skip


def _fits(look: Look, column: Array) -> Iterator[tuple[Index, Array]]:
    """Rows of each series with enough sizes, and how far ``ln y`` is from the law of the others."""
    scale = look.column("motors", "power_rated") / look.column("motors", "speed_rated")
    usable = (column > 0) & (scale > 0)
    for sizes in look.series:
        stated = [group[usable[group]] for group in sizes]
        stated = [group for group in stated if group.size]
        if len(stated) < LEAST_SIZES:
            continue
        yield np.concatenate(stated), departures([(np.log(scale[g]), np.log(column[g]))
                                                  for g in stated])  # fmt: skip


def monotone_with_size(look: Look) -> Iterator[Tested]:
    """A value against its neighbours in the order of rated torque."""
    torque = look.column("motors", "torque_rated")
    for name in ORDERED:
        column = look.column("motors", name)
        for sizes in look.series:
            rows = np.concatenate(sizes)
            rows = rows[~np.isnan(torque[rows]) & ~np.isnan(column[rows])]
            if len({round(float(t), 12) for t in torque[rows]}) < 2:
                continue
            rows = rows[np.lexsort((column[rows], torque[rows]))]
            yield _ordered(look, name, rows, np.log(torque[rows]), column[rows])


def _ordered(look: Look, name: str, rows: Index, scale: Array, values: Array) -> Tested:
    measure = np.ones(values.size)
    expected, partner = values.copy(), np.arange(values.size)
    if (np.diff(values) < 0).any():
        kept = in_order(values.tolist())
        for k in np.nonzero(~kept)[0]:
            low, high = neighbours(kept, int(k))
            if low >= 0 and values[k] < values[low]:
                measure[k], partner[k] = values[k] / values[low], low
            elif high >= 0:
                measure[k], partner[k] = values[k] / values[high], high
            ends = [e for e in (low, high) if e >= 0]
            expected[k] = np.interp(scale[k], scale[ends], values[ends])
    return Tested(
        measure,
        (
            look.side("motors", name, rows=rows, expected=expected),
            look.side("motors", name, rows=rows[partner]),
            look.side("motors", "torque_rated", rows=rows),
            look.side("motors", "torque_rated", rows=rows[partner]),
        ),
        nominal=1.0,
    )
