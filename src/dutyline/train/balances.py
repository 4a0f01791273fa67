"""Counterweights and springs that help to carry a load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from dutyline.train.burdens import added
from dutyline.train.mechanism_stage import mechanism_stage
from dutyline.train.parameters import (
    CounterweightParams,
    LoadParams,
    MechanismParams,
    SpringParams,
)
from dutyline.train.records import Burden, Chain, ConstantRatio, Load, Stage
from dutyline.train.stated import Stated


def with_balances(
    mechanism: MechanismParams,
    stage: Stage | None,
    load: Load,
    load_params: LoadParams,
    balances: Sequence[CounterweightParams | SpringParams],
    gravity: float,
) -> tuple[Stage | None, Load]:
    """Stage and load with balances added.

    A counterweight joins the shaft of the mechanism as a load of its own, with its own efficiency
    and power direction. A spring acts on the load itself.
    """
    helping = _relief_sign(load)
    for number, balance in enumerate(balances, start=1):
        stated = Stated(balance, f"balance.{number}.")
        if isinstance(balance, SpringParams):
            load = replace(load, base=added(load.base, _spring(balance, stated, helping)))
        else:
            if not load.linear:
                raise stated.fault(
                    "kind",
                    "a counterweight hangs on a rope, and a turning load has no travel for it: "
                    "state a mass that turns along as a body of the load (radius, angle), one on a "
                    "drum as [[branch]] with a hoist.",
                )
            stage = stage or _plain_stage(mechanism, load)
            if stage.ratio.constant is None:
                load = replace(
                    load, base=added(load.base, _hung(balance, stated, helping, gravity))
                )
                continue
            chain = _counterweight(balance, stated, stage, helping, gravity)
            stage = replace(stage, joined=(*stage.joined, chain))
    return stage, load


def _relief_sign(load: Load) -> float:
    """+1 where the load weighs against + travel at travel 0, or does not weigh; else -1."""
    weight = load.base.gravity + load.base.gravity_cos
    return -1.0 if weight < 0 else 1.0


def _plain_stage(mechanism: MechanismParams, load: Load) -> Stage:
    return replace(mechanism_stage(mechanism, "Direct drive", 1.0), linear_out=load.linear)


def _counterweight(
    params: CounterweightParams, stated: Stated, stage: Stage, helping: float, gravity: float
) -> Chain:
    mass, share = stated.positive("mass"), stated.positive("ratio")
    forward, back = stated.efficiencies()
    own = stage.ratio.constant or 1.0
    weight = Burden(inertia=mass, gravity=helping * mass * gravity, mass=mass)
    rope = Stage(
        name=params.name,
        kind=params.kind,
        ratio=ConstantRatio(-share * own),
        efficiency=forward,
        efficiency_back=back,
        linear_out=True,
    )
    return Chain(Load(linear=True, base=weight), (rope,))


def _hung(params: CounterweightParams, stated: Stated, helping: float, gravity: float) -> Burden:
    """A counterweight of a load whose travel is no multiple of the shaft's: part of the load."""
    mass, share = stated.positive("mass"), stated.positive("ratio")
    if stated.efficiencies() != (1.0, 1.0):
        raise stated.fault(
            "efficiency",
            "where the ratio depends on the place a counterweight is computed without a loss of "
            "its own.",
        )
    return Burden(inertia=mass * share**2, gravity=-helping * mass * share * gravity)


def _spring(params: SpringParams, stated: Stated, helping: float) -> Burden:
    """Relief, linear from travel 0 to the end; the larger force counts for its hysteresis."""
    start = stated.not_negative("force")
    end = start if params.force_end is None else stated.not_negative("force_end")
    rise = 0.0
    if end != start:
        rise = (end - start) / stated.positive("travel", "force_end is the force at its end")
    loss = stated.within("hysteresis", 0.0, 1.0, "from 0 to 1") * max(start, end)
    return Burden(
        inertia=stated.not_negative("mass"),
        gravity=-helping * start,
        gravity_rise=-helping * rise,
        friction=loss,
    )
