"""Rules over whole columns: power laws of every kind of part, and values that stand alone."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import Any

import numpy as np

from dutyline.audit.look import Look, groups
from dutyline.audit.power_law import LEAST_SIZES, departures, departures_of_columns, middle
from dutyline.audit.records import Array, Index, Tested

LEAST_ALIKE = 4
"""Equal values of others beside which one that differs stands alone."""
SCATTER = 4.0
"""A family that scatters by itself is given this many times its median departure."""
FACTOR = float(np.log(2.0))
"""Departure that is always allowed."""

OF_ONE_FRAME = ("radial", "axial", "tilting", "bearing_offset", "shaft_in_max", "speed_in_max",
                "shaft_out_length")  # fmt: skip
"""The same in gearheads of one style and frame."""
OF_ONE_BUILD = ("efficiency", "backlash")
"""The same in gearheads of one style and number of stages."""

SCALES: dict[str, tuple[str, ...]] = {
    "motors": ("power_rated", "speed_rated"), "gearheads": ("frame",),
    "drives": ("current_rated",), "brakes": ("torque_static",), "resistors": ("power_mean",),
}  # fmt: skip
"""What tells the size of a part; of a motor the first over the second."""
SCALED: dict[str, tuple[str, ...]] = {
    "motors": (
        "flange", "pilot", "bolt_circle", "shaft", "iron_loss_rated", "rth_winding_housing",
        "rth_housing_ambient", "cth_winding", "cth_housing", "tau_winding", "tau_housing",
        "radial_load", "axial_load", "radial_load_point", "bearing_offset", "test_plate_side",
        "mass_with_brake", "inertia_with_brake",
    ),
    "gearheads": (
        "torque_rated", "torque_acceleration", "torque_emergency", "stiffness", "inertia_in",
        "no_load_torque", "radial", "axial", "tilting", "bearing_offset", "shaft_in_max", "mass",
        "speed_in_mean", "speed_in_max", "backlash",
    ),
    "drives": ("current_peak", "bus_capacitance", "resistor_min", "input_current_rated"),
    "resistors": ("resistance",),
}  # fmt: skip
"""Columns that scale inside a series of motors, a style and ratio of gearheads, a supply class."""
POOLED: dict[str, tuple[str, ...]] = {
    "drives": (
        "loss_fixed", "idle_power", "inrush_peak", "mass", "internal_resistor_power",
        "internal_resistor_pulse",
    ),
    "brakes": (
        "inertia", "release_time", "engage_time", "coil_power", "work_per_stop", "work_total",
        "mass", "speed_max",
    ),
    "resistors": ("pulse_energy", "tau", "mass"),
}  # fmt: skip
"""Columns that scale over all parts of a kind."""


def column_follows_its_size(look: Look) -> Iterator[Tested]:
    """Departure of ``ln y`` from the law of the other sizes, scatter of the family allowed."""
    for kind, fields in SCALED.items():
        yield from _scaled(look, kind, fields, _families(look, kind, _scale(look, kind)))
    for kind, fields in POOLED.items():
        every = [np.arange(look.size(kind))]
        yield from _scaled(look, kind, fields, _sized(every, _scale(look, kind)))


def _scaled(
    look: Look, kind: str, fields: tuple[str, ...], families: list[list[Index]]
) -> Iterator[Tested]:
    """Each column over all families of its kind."""
    found: dict[str, list[tuple[Index, Array, float]]] = {name: [] for name in fields}
    for sizes in families:
        _measured(look, kind, sizes, _scale(look, kind), found)
    for name, known in found.items():
        if known:
            rows = np.concatenate([r for r, _, _ in known])
            away = np.concatenate([a for _, a, _ in known])
            spared = np.concatenate([a / spare for _, a, spare in known])
            expected = look.column(kind, name)[rows] / np.exp(away)
            scales = [look.side(kind, own, rows=rows) for own in SCALES[kind]]
            side = look.side(kind, name, rows=rows, expected=expected)
            yield Tested(spared, (side, *scales), nominal=0.0)


def _measured(
    look: Look, kind: str, sizes: list[Index], scale: Array,
    found: dict[str, list[tuple[Index, Array, float]]],
) -> None:  # fmt: skip
    """Rows, departures and allowance of each column of a family, put in by its name."""
    rows = np.concatenate(sizes)
    names = list(found)
    table = np.array([look.column(kind, name)[rows] for name in names])
    usable = table > 0
    x = np.log(scale[rows])
    whole = usable.all(axis=1)
    counts = np.array([group.size for group in sizes], dtype=np.intp)
    starts = np.cumsum(counts) - counts
    if whole.any() and len(sizes) >= LEAST_SIZES:
        away = departures_of_columns(starts, counts, x, np.log(table[whole]))
        for name, own in zip(np.array(names)[whole], away, strict=True):
            found[str(name)].append((rows, own, _allowance(own)))
    which = np.repeat(np.arange(counts.size), counts)
    for k in np.nonzero(~whole)[0]:
        some = usable[k]
        groups_left = [np.nonzero(some & (which == g))[0] for g in range(counts.size)]
        groups_left = [g for g in groups_left if g.size]
        if len(groups_left) >= LEAST_SIZES:
            own = departures([(x[g], np.log(table[k][g])) for g in groups_left])
            found[names[k]].append((rows[np.concatenate(groups_left)], own, _allowance(own)))


def _allowance(away: Array) -> float:
    """How many times the usual departure a family is given."""
    return max(1.0, SCATTER * float(middle(np.abs(away)[None])[0]) / FACTOR)


def _scale(look: Look, kind: str) -> Array:
    first, *rest = (look.column(kind, name) for name in SCALES[kind])
    return first / rest[0] if rest else first


def _families(look: Look, kind: str, scale: Array) -> list[list[Index]]:
    """Sizes of each family: series of motors, ratios of a gearhead style, supply classes."""
    if kind == "motors":
        families = [[g[scale[g] > 0] for g in sizes] for sizes in look.series]
        return [own for f in families if len(own := [g for g in f if g.size]) >= LEAST_SIZES]
    parts = getattr(look.line, kind)
    if kind == "gearheads":
        sets = groups([(p.style, p.ratio) for p in parts])
    else:
        sets = [own for own in groups([p.supply_class for p in parts])
                if parts[int(own[0])].supply_class]  # fmt: skip
    return _sized(sets, scale)


def _sized(sets: list[Index], scale: Array) -> list[list[Index]]:
    """The sizes of each set of parts; sets with too few are left out."""
    sets = [family[scale[family] > 0] for family in sets]
    made = [[f[own] for own in groups(scale[f].tolist())] for f in sets if f.size >= LEAST_SIZES]
    return [sizes for sizes in made if len(sizes) >= LEAST_SIZES]


def value_stands_alone(look: Look) -> Iterator[Tested]:
    """A value over the one that all others of its kind, class, frame or stages share."""
    for kind in ("motors", "gearheads", "drives", "brakes", "resistors"):
        alike = _alike(look, kind)
        for name in look.fields(kind):
            column = look.column(kind, name)
            usual = np.full(column.size, np.nan)
            for rows, fields in alike:
                if fields is None or name in fields:
                    _fill_common(column, rows, usual)
            rows = np.nonzero(~np.isnan(usual))[0]
            if rows.size:
                side = look.side(kind, name, rows=rows, expected=usual[rows])
                yield Tested(column[rows] / usual[rows], (side,), nominal=1.0)


def _fill_common(column: Array, rows: Index, usual: Array) -> None:
    """Write the value that all rows share, or all but one; nothing where there is none."""
    values = column[rows]
    known = ~np.isnan(values)
    stated = np.sort(values[known])
    if stated.size <= LEAST_ALIKE or stated[1] == 0:
        return
    if stated[0] == stated[-2] or stated[1] == stated[-1]:
        usual[rows[known]] = stated[1]


def _alike(look: Look, kind: str) -> list[tuple[Index, tuple[str, ...] | None]]:
    """Sets of parts of which a datum may be the same, with the data meant; larger sets last."""
    parts: list[Any] = list(getattr(look.line, kind))
    found: list[tuple[list[Hashable], tuple[str, ...] | None]] = []
    if kind == "gearheads":
        found.append(([(p.style, p.frame) for p in parts], OF_ONE_FRAME))
        found.append(([(p.style, p.stages) for p in parts], OF_ONE_BUILD))
    if kind in ("motors", "drives", "resistors"):
        found.append(([p.supply_class for p in parts], None))
    found.append(([0] * len(parts), None))
    return [(rows, fields) for keys, fields in found for rows in groups(keys)
            if rows.size > LEAST_ALIKE]  # fmt: skip
