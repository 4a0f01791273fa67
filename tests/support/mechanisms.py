"""Axes with cranks, cams, linkages, tables and rolls, built from records; strategies for them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from dutyline.axis.model import Axis
from dutyline.motion.cycle import build_cycle
from dutyline.motion.specs import PhaseSpec
from dutyline.train.mechanisms import mechanism_stages
from dutyline.train.parameters import (
    CounterweightParams,
    LoadParams,
    MechanismParams,
    SpringParams,
)
from dutyline.train.records import Chain, Force, Stage, Train
from support.axes import SITE

TURN = 2 * math.pi
RELIEF = Sequence[CounterweightParams | SpringParams]


def driven(
    params: MechanismParams,
    load: LoadParams,
    specs: Sequence[PhaseSpec],
    *,
    stages: Sequence[Stage] = (),
    forces: Sequence[Force] = (),
    balances: RELIEF = (),
    of_load: bool = False,
    endless: bool = False,
) -> Axis:
    """An axis whose phases state the input of the mechanism, or its load."""
    own, built = mechanism_stages(params, load, balances=balances)
    linear = built.linear if of_load else (params.kind in ("toggle",))
    period = None if linear or not endless else TURN
    cycle = build_cycle(list(specs), linear=linear, endless=endless, period=period)
    chain = Chain(built, (*own, *stages))
    train = Train(chain, tuple(forces), kind=params.kind, input_stated=not of_load)
    return Axis("made", train, cycle, linear, site=SITE)
