"""Several equal motors on one load: the part of it that the most loaded one carries."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from dutyline.train.parameters import TandemParams
from dutyline.train.records import Burden, Chain, ConstantRatio, MemberState, Stage
from dutyline.train.stated import Stated

Array = NDArray[np.float64]
EVEN = 1e-9
"""By which a share may miss that of equal loading."""


@dataclass(frozen=True, slots=True)
class Preload:
    """A constant torque with which the motors work against each other."""

    torque: float
    """[N*m] on the shaft looked at; the other motor has it with the other sign"""

    def at(self, position: Array) -> MemberState:
        """The torque, and nothing else."""
        none = np.zeros_like(position)
        return MemberState(none, none, none, none + self.torque, none)

    def height(self, position: Array) -> Array:
        """Nothing."""
        return np.zeros_like(position)

    def gained(self, position: Array, speed: Array) -> Array:
        """Nothing."""
        return np.zeros_like(speed)

    def drift(self, position: Array, speed: Array) -> Array:
        """None."""
        return np.zeros_like(speed)


def tandem(chain: Chain, params: TandemParams) -> Chain:
    """The chain of one motor of several: its share of the load, mechanism and stages of its own.

    Parameters
    ----------
    chain : Chain
        With the whole load.
    params : TandemParams

    Returns
    -------
    Chain

    Raises
    ------
    FieldRangeError
        Fewer than two motors, or a share that the most loaded one cannot have.
    """
    stated = Stated(params, "tandem.")
    motors = stated.whole("motors")
    if motors < 2:
        raise stated.fault("motors", "motors is 1; a tandem has 2 or more.")
    share = 1.0 / motors if params.share is None else stated.positive("share")
    if not 1.0 / motors - EVEN <= share <= 1.0:
        raise stated.fault(
            "share",
            f"share is {share:g}; the most loaded of {motors} motors carries "
            f"{1 / motors:.3g} to 1.",
        )
    rider = None if chain.load.rider is None else _times(chain.load.rider, motors)
    load = replace(chain.load, share=share, rider=rider)
    stages = tuple(
        replace(stage, joined=tuple(_shared(other, share) for other in stage.joined))
        for stage in chain.stages
    )
    preload = stated.needed("preload")
    if preload == 0:
        return Chain(load, stages)
    plain = not stages or stages[-1].members is not None
    last = Stage("Preload", "shaft", ConstantRatio(1.0)) if plain else stages[-1]
    kept = stages if plain else stages[:-1]
    return Chain(load, (*kept, replace(last, members=Preload(preload))))


def _times(burden: Burden, factor: float) -> Burden:
    return Burden(**{f.name: factor * getattr(burden, f.name) for f in fields(Burden)})


def _shared(chain: Chain, share: float) -> Chain:
    return replace(chain, load=replace(chain.load, base=_times(chain.load.base, share)))
