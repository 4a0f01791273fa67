"""Checks of stages with stated limits, and of hubs clamped or keyed on a shaft."""

from __future__ import annotations

from collections.abc import Iterator

from dutyline.checks.mechanics import Share, in_ramp, nothing, same, stage_peak, worst_of
from dutyline.checks.records import Outcome, Severity
from dutyline.checks.trial import Trial
from dutyline.physics.friction_drives import hub_slip_torque, key_pressure
from dutyline.physics.keys import bearing_height
from dutyline.train.parameters import CouplingParams, StageParams

HUB_SAFETY = 1.5
"""Slip torque over the largest torque, stop included (common practice, 1.5 to 2)."""
WEAR = 10.0 / 3.0
"""Exponent of the mean torque of gears with a limit for lasting torque (common practice)."""
TORQUES = "torque of brake and motor, N·m"


def _stages(trial: Trial) -> Iterator[tuple[int, StageParams, str]]:
    first = len(trial.axis.train.chain.stages) - len(trial.axis.stages)
    for number, stage in enumerate(trial.axis.stages, first):
        yield number, stage, stage.name or stage.kind


def torque(trial: Trial) -> Outcome:
    """Torque and input speed of stages against the limits stated for them."""
    shares: list[Share] = []
    for number, stage, name in _stages(trial):
        use = trial.out.stages[number]
        if stage.peak_torque_limit is not None:
            most = stage_peak(trial, number)
            shares.append(Share(most, stage.peak_torque_limit, f"{name}, peak", "N*m"))
        if stage.torque_limit is not None and isinstance(stage, CouplingParams):
            if stage.peak_torque_limit is None:
                most = stage_peak(trial, number)
            else:
                most = same(trial, use.peak)
            shares.append(Share(most, stage.torque_limit, f"{name}, peak", "N*m"))
        elif stage.torque_limit is not None and not in_ramp(trial):
            mean = same(trial, use.mean_effort(use.effort, WEAR))
            shares.append(Share(mean, stage.torque_limit, f"{name}, mean by turns", "N*m"))
        if stage.speed_limit is not None:
            top = same(trial, use.top_speed)
            shares.append(Share(top, stage.speed_limit, f"{name}, input speed", "rad/s"))
    return worst_of(trial, shares, TORQUES) if shares else nothing(trial)


def hub(trial: Trial) -> Outcome:
    """Largest torque with its safety against the torque at which a clamped hub slips."""
    shares = []
    for number, stage, name in _stages(trial):
        if not isinstance(stage, CouplingParams) or stage.hub_force is None:
            continue
        nan = float("nan")
        friction = nan if stage.hub_friction is None else stage.hub_friction
        bore = nan if stage.bore is None else stage.bore
        grip = float(hub_slip_torque(friction, stage.hub_force, bore))
        shares.append(Share(HUB_SAFETY * stage_peak(trial, number), grip, name, "N*m"))
    if not shares:
        return nothing(trial)
    missing = f"friction and bore of the hub; {TORQUES}"
    return worst_of(trial, shares, missing, text=str if len(shares) > 1 else lambda _: "")


def key(trial: Trial) -> Outcome:
    """Pressure on the flank of a key at the largest torque, stop included, against its limit.

    The key counts with round ends, and with the part of its flank that stands out of the shaft.
    """
    shares = []
    severity: Severity = "note"
    for number, stage, name in _stages(trial):
        if not isinstance(stage, CouplingParams) or stage.key is None:
            continue
        nan = float("nan")
        width, height, length = stage.key
        flank = bearing_height(width, height)
        limit = nan if stage.key_limit is None else stage.key_limit
        severity = "must" if stage.key_limit is not None else severity
        pressed = same(trial, nan)
        if flank is not None and stage.bore is not None and length > width:
            most = stage_peak(trial, number)
            pressed = key_pressure(most, stage.bore, flank, length - width)
        shares.append(Share(pressed, limit, name, "Pa"))
    if not shares:
        return nothing(trial)
    missing = (
        f"bore of the hub, pressure that the key bears, a section after DIN 6885-1 longer than "
        f"it is wide; {TORQUES}"
    )
    named = str if len(shares) > 1 else lambda _: ""
    return worst_of(trial, shares, missing, severity=severity, text=named)
