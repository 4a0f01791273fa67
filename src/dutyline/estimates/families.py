"""Data that grow with the size of a product, from the others of its family in the line."""

from __future__ import annotations

from dutyline.estimates.family import by_extreme, by_law
from dutyline.estimates.records import End, Method
from dutyline.estimates.windings import OWN_FAMILY

LAW = "by the power law of the line"
ALIKE = "as the worst of those alike in the line"


def _law(kind: str, field: str, sizes: tuple[str, ...], end: End,
         alike: tuple[str, ...] = ()) -> Method:  # fmt: skip
    return Method(kind, field, LAW, end, OWN_FAMILY, by_law(kind, field, sizes, alike))


def _worst(kind: str, field: str, end: End, alike: tuple[str, ...]) -> Method:
    source = "the line's own products, nothing beyond them"
    return Method(kind, field, ALIKE, end, source, by_extreme(kind, field, alike))


_KIND = ("style", "stages")

METHODS: tuple[Method, ...] = (
    _law("motor", "inertia", ("torque_rated",), "high", ("series",)),
    _law("motor", "mass", ("torque_rated",), "high", ("series",)),
    _law("gearhead", "no_load_torque", ("frame", "ratio"), "high", _KIND),
    _law("gearhead", "inertia_in", ("frame", "ratio"), "high", _KIND),
    _law("gearhead", "stiffness", ("frame", "ratio"), "low", _KIND),
    _law("gearhead", "mass", ("frame", "ratio"), "high", _KIND),
    _worst("gearhead", "efficiency", "low", _KIND),
    _worst("gearhead", "backlash", "high", _KIND),
    _law("brake", "inertia", ("torque_static",), "high"),
    _law("brake", "engage_time", ("torque_static",), "high"),
    _law("brake", "release_time", ("torque_static",), "high"),
    _law("brake", "coil_power", ("torque_static",), "high"),
    _law("brake", "mass", ("torque_static",), "high"),
    _law("drive", "loss_fixed", ("current_rated",), "low", ("supply_class",)),
    _law("drive", "loss_per_ampere", ("current_rated",), "low", ("supply_class",)),
    _law("drive", "idle_power", ("current_rated",), "high", ("supply_class",)),
)
