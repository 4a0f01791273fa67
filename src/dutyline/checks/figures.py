"""Figures of a verdict that are not ledger lines: by place, in SI, with the trace for plots."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property, partial

import numpy as np
from numpy.typing import NDArray

from dutyline.catalogue.boundaries import Boundary
from dutyline.checks.accuracy import figures as accuracy_figures
from dutyline.checks.courses import bus_course, heat_course
from dutyline.checks.gearhead import torque_limit
from dutyline.checks.mains import figures as mains_figures
from dutyline.checks.resonance import figures as resonance_figures
from dutyline.checks.stopping import figures as stop_figures
from dutyline.checks.trial import Trial
from dutyline.checks.winding import figures as winding_figures
from dutyline.core.later import Later
from dutyline.demand.trace import LoadTrace, MotorTrace, load_trace, sample

Array = NDArray[np.float64]


class Figures:
    """Figures of verdicts that are not ledger lines, shared over a trial."""

    def __init__(self, trial: Trial) -> None:
        self.trial = trial
        side, drive = trial.motor_side, trial.drive_side
        self.rms, self.current = trial.at_motor(side.rms_torque), trial.at_motor(side.rms_current)
        self.peak, self.peak_at = (trial.at_motor(v) for v in side.peak)
        self.bus = {
            name: trial.at_drive(getattr(drive.bus, name))
            for name in ("motoring", "regenerated", "surplus", "resistor")
        }
        self.winding = winding_figures(trial)
        self.limit = torque_limit(trial)
        self.more = {
            "stop": stop_figures(trial),
            "mains": mains_figures(trial),
            "control": resonance_figures(trial),
        }
        self.tool = accuracy_figures(trial)

    def of(self, k: int, trace: MotorTrace | None) -> dict[str, dict[str, float | None]]:
        """The figures of combination ``k`` by place, SI."""
        trial, out = self.trial, self.trial.out
        side = trial.motor_side
        ratio = float(trial.at_motor(side.shafts.ratio)[k])
        own = float(trial.at_motor(side.shafts.inertia)[k])
        smallest = out.inertia_min / ratio**2 / own
        motor = {
            "peak_torque": self.peak[k],
            "rms_torque": self.rms[k],
            "peak_speed": ratio * out.peak_speed,
            "mean_speed": ratio * out.mean_speed,
            "inertia": own,
            "load_inertia": out.inertia_max / ratio**2,
            "inertia_ratio": trial.at_motor(side.inertia_ratio)[k],
            "inertia_ratio_min": smallest,
            "hold_torque": trial.at_motor(side.hold[0])[k],
            "energy_motoring": self.bus["motoring"][k],
            "energy_regenerated": self.bus["regenerated"][k],
            "torque_limit": self.limit[k],
            "rms_current": self.current[k],
            "peak_current": trial.at_motor(side.peak_current)[k],
            "peak_power": np.nan if trace is None else trace.power.max(initial=0.0),
            "mean_power": (self.bus["motoring"][k] - self.bus["regenerated"][k]) / out.cycle_time,
        }
        output = {
            "peak_torque": out.peak_torque,
            "rms_torque": out.rms_torque,
            "cubic_torque": out.equivalent_torque(3.0),
            "equivalent_torque": out.equivalent_torque(10 / 3),
            "peak_speed": out.peak_speed,
            "mean_speed": out.mean_speed,
        }
        drive = trial.drive_side
        bus = {
            "capacitor_energy": trial.at_drive(drive.capacity)[k],
            "surplus_energy": self.bus["surplus"][k],
            "resistor_energy": self.bus["resistor"][k],
        }
        reach = out.travel_per_radian
        bits = trial.motor("encoder_bits")[k]
        tool = {
            "resolution": np.nan if reach is None else abs(reach) / ratio * 2 * np.pi / 2.0**bits,
            **{name: column[k] for name, column in self.tool.items()},
        }
        overload, _ = drive.overload
        places = {
            "motor": motor,
            "output": output,
            "bus": bus,
            "winding": {name: column[k] for name, column in self.winding.items()},
            "overload": {
                "use": trial.at_drive(overload.largest)[k],
                "trip_cycle": trial.at_drive(overload.trip_cycle)[k],
                "net_per_cycle": trial.at_drive(overload.net)[k],
            },
            "tool": tool,
            **{
                place: {name: column[k] for name, column in columns.items()}
                for place, columns in self.more.items()
            },
        }
        return {place: {n: _or_none(v) for n, v in row.items()} for place, row in places.items()}

    @cached_property
    def _load_trace(self) -> LoadTrace:
        return load_trace(self.trial.out)

    def trace(self, k: int) -> MotorTrace | None:
        """Samples for plots, or None when a datum of the motor side is missing."""
        trial = self.trial
        shafts = trial.motor_side.shafts.take(trial._motor_split[1][[k]])
        if not np.isfinite(shafts.vector).all():
            return None
        return sample(
            self._load_trace,
            shafts,
            peak_time=float(self.peak_at[k]),
            rms_torque=float(self.rms[k]),
            effective_speed=self._effective_speed(k),
            energies=(float(self.bus["motoring"][k]), float(self.bus["regenerated"][k])),
        )

    def _boundary(self, k: int) -> Boundary | None:
        trial = self.trial
        return trial.boundaries.continuous[int(trial.at_motor(trial.motor_side.braked)[k])]

    def _effective_speed(self, k: int) -> float:
        """Speed at which the continuous boundary equals its root mean square over the cycle."""
        boundary = self._boundary(k)
        limit = float(self.trial.at_motor(self.trial.motor_side.continuous)[k])
        if boundary is None or not np.isfinite(limit):
            return float("nan")
        return float(np.interp(-limit, -boundary.torque, boundary.speed))

    def extra(self, k: int) -> Mapping[str, object]:
        """Boundaries and courses for the plots; courses are made when they are asked for."""
        trial = self.trial
        motor = int(trial.choice.motor[k])
        shelves = {
            "peak": trial.boundaries.peak[motor],
            "low": trial.boundaries.low[motor],
            "continuous": self._boundary(k),
        }
        curves = {n: (b.speed, b.torque) for n, b in shelves.items() if b is not None}
        warm = _or_none(self.winding["time_to_warm"][k])
        courses: dict[str, Callable[[], object]] = {
            "heat": partial(heat_course, trial, k, warm),
            "bus": partial(bus_course, trial, k),
        }
        return Later({"boundaries": curves, "output": trial.out}, courses)


def _or_none(value: object) -> float | None:
    number = float(value)  # type: ignore[arg-type]
    return None if np.isnan(number) else number
