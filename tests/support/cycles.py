"""Figures of a cycle to compare, motor shafts to put behind it, and axes stripped to one cause."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import strategies as st

from dutyline.demand.motor import Shafts, peak_torque, rms_torque, strips
from dutyline.train.records import Burden, Load
from support.axes import EXAMPLES, swap

examples = pytest.mark.parametrize("axis", [f() for f in EXAMPLES.values()], ids=list(EXAMPLES))


def shaft(ratio=1.0, inertia=0.0, efficiency=1.0, drag=0.0) -> Shafts:
    return Shafts(*(np.atleast_1d(np.asarray(v, dtype=float))
                    for v in np.broadcast_arrays(ratio, inertia, efficiency, drag)))  # fmt: skip


random_shafts = st.builds(
    shaft, st.floats(1.0, 30.0), st.floats(1e-6, 1e-3), st.floats(0.5, 1.0), st.floats(0.0, 0.2)
)


def scale_of(out) -> float:
    """Energy that passes the shaft in either direction [J]."""
    return out.energy_motoring + out.energy_regenerated


def motor_energies(out, shafts) -> tuple[float, float]:
    """Motoring and returned energy at the motor shaft [J]."""
    cut = strips(out, shafts, np.zeros((shafts.ratio.size, 1)))
    work = cut.integral(cut.torque * cut.speed)[0]
    return float(np.maximum(work, 0).sum()), float(np.maximum(-work, 0).sum())


def figures(out, shafts) -> dict[str, float]:
    """Every figure of a cycle that does not count phases or pieces."""
    motoring, returned = motor_energies(out, shafts)
    return {
        "time": out.cycle_time,
        "rms": out.rms_torque,
        "mean": out.mean(out.torque),
        "mean speed": out.mean_speed,
        "peak": out.peak_torque,
        "peak speed": out.peak_speed,
        "cubic": out.equivalent_torque(3.0),
        "equivalent": out.equivalent_torque(10 / 3),
        "motoring": out.energy_motoring,
        "returned": out.energy_regenerated,
        "friction": out.friction_work,
        "lost": float(out.lost.sum()),
        "process": out.process_work,
        "hold": out.hold_torque,
        "static": abs(out.static_torque),
        "inertia": out.inertia_max,
        "least inertia": out.inertia_min,
        "motor rms": float(rms_torque(out, shafts)[0]),
        "motor peak": float(peak_torque(out, shafts)[0][0]),
        "motor motoring": motoring,
        "motor returned": returned,
    }


def assert_same(one: dict[str, float], other: dict[str, float], rel=1e-9, **factor) -> None:
    """Equal figures; ``factor`` holds those that differ by a known factor."""
    energy = max(abs(one[n]) for n in ("motoring", "returned", "lost", "friction", "process"))
    size = {"static": one["peak"], "mean": one["rms"], "hold": one["peak"]}
    for name, value in one.items():
        wanted = value * factor.get(name.replace(" ", "_"), 1.0)
        near = max(rel, 1e-3) if name == "static" else rel
        still = energy if name in _ENERGIES else size.get(name, abs(value))
        assert other[name] == pytest.approx(wanted, rel=near, abs=near * still + 1e-300), name


_ENERGIES = ("motoring", "returned", "friction", "lost", "process", "motor motoring",
             "motor returned")  # fmt: skip
SHAFT = shaft(4.0, 2e-4, 0.95, 0.03)


def lossless(stage):
    joined = tuple(replace(c, stages=tuple(lossless(s) for s in c.stages)) for c in stage.joined)
    return replace(stage, efficiency=1.0, efficiency_back=1.0, joined=joined)


def inertia_only(axis):
    """Weight, friction and process taken away; stages without loss or drag."""
    load = axis.train.chain.load
    bare = Load(load.linear, Burden(inertia=load.base.inertia),
                {k: Burden(inertia=b.inertia) for k, b in load.payloads.items()})  # fmt: skip
    stages = [replace(lossless(s), drag_in=0.0, drag_out=0.0, viscous_in=0.0, viscous_out=0.0,
                      joined=()) for s in axis.train.chain.stages]  # fmt: skip
    phases = tuple(replace(p, force=0.0) for p in axis.cycle.phases)
    return swap(axis, load=bare, stages=stages, forces=(),
                     cycle=replace(axis.cycle, phases=phases))  # fmt: skip


def conservative(axis):
    """No losses, no friction; weight and fixed constant force stay."""

    def burden(b):
        return replace(b, friction=0.0, viscous=0.0)

    load = axis.train.chain.load
    kept = replace(load, base=burden(load.base), breakaway=1.0,
                   payloads={k: burden(b) for k, b in load.payloads.items()})  # fmt: skip

    def plain(stage):
        joined = tuple(
            replace(c, load=replace(c.load, base=burden(c.load.base)),
                    stages=tuple(plain(s) for s in c.stages)) for c in stage.joined
        )  # fmt: skip
        return replace(stage, efficiency=1.0, efficiency_back=1.0, drag_in=0.0, drag_out=0.0,
                       viscous_in=0.0, viscous_out=0.0, joined=joined)  # fmt: skip

    return swap(axis, load=kept, stages=[plain(s) for s in axis.train.chain.stages],
                     forces=())  # fmt: skip
