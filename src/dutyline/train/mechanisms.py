"""Mechanisms by kind: from stated numbers to the stage next to the load and the load itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from dutyline.train.balances import with_balances
from dutyline.train.bent_parameters import RatioTableParams, ToggleParams
from dutyline.train.cams import cam, ratio_table
from dutyline.train.cranks import knee_screw, linkage, slider, toggle_press, yoke
from dutyline.train.drums import belt, conveyor, hoist, rack
from dutyline.train.parameters import (
    CounterweightParams,
    LoadParams,
    MechanismParams,
    SpringParams,
)
from dutyline.train.records import Load, Stage
from dutyline.train.rolls import feed_rolls, winder
from dutyline.train.screws import ball_screw, lead_screw
from dutyline.train.stated import Stated
from dutyline.train.tables import direct, driven_load, is_straight, rotary_table

STANDARD_GRAVITY = 9.80665
"""[m/s^2] 3rd General Conference on Weights and Measures, 1901."""

DEFAULT_EFFICIENCY = {
    "ball-screw": 0.90,
    "belt": 0.96,
    "rack": 0.97,
    "reduction": 0.97,
    "right-angle": 0.95,
    "belt-reduction": 0.96,
}
"""Efficiency motor to load taken where a file states none; common practice, no source."""

_BUILD: dict[str, Callable[[Any, LoadParams, float], tuple[Stage | None, Load]]] = {
    "ball-screw": ball_screw,
    "lead-screw": lead_screw,
    "rack": rack,
    "belt": belt,
    "conveyor": conveyor,
    "rotary-table": rotary_table,
    "swing-arm": rotary_table,
    "hoist": hoist,
    "winder": winder,
    "feed-rolls": feed_rolls,
    "slider-crank": slider,
    "scotch-yoke": yoke,
    "toggle": toggle_press,
    "four-bar": linkage,
    "cam": cam,
    "ratio-table": ratio_table,
    "rotary-load": driven_load,
    "direct": direct,
}


def build_mechanism(
    params: MechanismParams,
    load: LoadParams,
    *,
    gravity: float = STANDARD_GRAVITY,
    balances: Sequence[CounterweightParams | SpringParams] = (),
) -> tuple[Stage | None, Load]:
    """Stage and load of a mechanism.

    Parameters
    ----------
    params : MechanismParams
        The record of its kind. An efficiency not stated counts as 1, see
        :data:`DEFAULT_EFFICIENCY`.
    load : LoadParams
        What it moves.
    gravity : float [m/s^2]
    balances : sequence of CounterweightParams or SpringParams
        What helps to carry the load.

    Returns
    -------
    stage : Stage or None
        None for a direct drive of which nothing else is stated.
    load : Load

    Raises
    ------
    FieldRangeError
        A number is missing or impossible; ``field`` starts with ``mechanism.``, ``load.`` or
        ``balance.`` and its number from 1.

    Examples
    --------
    >>> from dutyline.train.parameters import RackParams
    >>> stage, load = build_mechanism(RackParams(diameter=0.1), LoadParams(mass=40.0))
    >>> stage.ratio.constant, load.base.inertia
    (0.05, 40.0)
    """
    stated = Stated(params, "mechanism.")
    for name in ("travel", "overhang"):
        if getattr(params, name) is not None:
            stated.not_negative(name)
    stage, built = _BUILD[params.kind](params, load, gravity)
    return with_balances(params, stage, built, load, balances, gravity)


def mechanism_stages(
    params: MechanismParams,
    load: LoadParams,
    *,
    gravity: float = STANDARD_GRAVITY,
    balances: Sequence[CounterweightParams | SpringParams] = (),
) -> tuple[tuple[Stage, ...], Load]:
    """All stages of a mechanism and its load: as :func:`build_mechanism`, and a knee screw."""
    stage, built = build_mechanism(params, load, gravity=gravity, balances=balances)
    further = (knee_screw(params),) if isinstance(params, ToggleParams) else ()
    return (*(() if stage is None else (stage,)), *further), built


def travels_straight(params: MechanismParams, load: LoadParams) -> bool:
    """Whether the travel of the load is linear."""
    if isinstance(params, RatioTableParams):
        return params.load_travel == "linear"
    return is_straight(load) if params.kind == "direct" else params.linear
