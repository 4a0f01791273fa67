"""How demand follows time, direction and the parts of the train."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume
from hypothesis import strategies as st

from dutyline.demand.motor import peak_torque, rms_torque
from dutyline.demand.output import output_demand
from dutyline.train.records import Burden, ConstantRatio, Load
from support import axes
from support.cycles import (
    SHAFT,
    assert_same,
    conservative,
    figures,
    inertia_only,
    lossless,
    scale_of,
    shaft,
)
from support.laws import law, often

pytestmark = pytest.mark.property


@law(axes.axes(forces=False), st.sampled_from([0.5, 2.0, 4.0]))
def test_pure_inertia_scales_with_the_square_of_time(axis, factor):
    """T ~ 1/t^2 exactly, energy ~ 1/t^2, speed ~ 1/t."""
    bare = inertia_only(axis)
    one, other = output_demand(bare), output_demand(axes.slowed(bare, factor))
    by = factor**-2
    assert other.peak_torque == pytest.approx(one.peak_torque * by, rel=1e-12)
    assert other.rms_torque == pytest.approx(one.rms_torque * by, rel=1e-12)
    assert other.equivalent_torque(3.0) == pytest.approx(one.equivalent_torque(3.0) * by, rel=1e-10)
    assert other.energy_motoring == pytest.approx(one.energy_motoring * by, rel=1e-10)
    assert other.peak_speed == pytest.approx(one.peak_speed / factor, rel=1e-12)


@law(axes.axes(forces=False))
def test_pure_inertia_gives_back_what_it_took(axis):
    """No mean torque, motoring equals returned energy, J w_p^2 / 2 in every move."""
    out = output_demand(inertia_only(axis))
    assert out.mean(out.torque) == pytest.approx(0.0, abs=1e-10 * out.rms_torque)
    assert out.energy_regenerated == pytest.approx(out.energy_motoring, rel=1e-9)


@law(axes.axes(forces=False), st.floats(1.0, 20.0), st.floats(1e-6, 1e-2))
def test_time_reversed_conservative_load_swaps_energies(axis, ratio, rotor):
    """With conservative loads T(t) becomes T(end - t), motoring becomes returned energy."""
    plain = conservative(axis)
    one, other = output_demand(plain), output_demand(axes.reversed_in_time(plain))
    shafts = shaft(ratio, rotor)
    a, b = figures(one, shafts), figures(other, shafts)
    for x, y in (("motoring", "returned"), ("motor motoring", "motor returned")):
        a[x], a[y] = a[y], a[x]
    a["process"] = -a["process"]
    assert_same(a, b, rel=1e-7)


@law(axes.axes(forces=False))
def test_friction_is_the_only_thing_that_knows_the_direction_of_time(axis):
    """The other half: on an axis with friction reversal costs as much as before, not less."""
    out = output_demand(axis)
    back = output_demand(axes.reversed_in_time(axis))
    lost = float(out.lost.sum()) + out.friction_work
    again = float(back.lost.sum()) + back.friction_work
    assert out.friction_work == pytest.approx(
        back.friction_work, rel=1e-7, abs=1e-9 * scale_of(out)
    )
    assert lost >= -1e-9 * scale_of(out)
    assert again >= -1e-9 * scale_of(out)


@law(axes.axes(forces=False), st.floats(0.01, 3.0))
def test_constant_force_adds_its_square(axis, share):
    """rms^2 = rms_inertia^2 + T_L^2 when a constant load acts all the time."""
    bare = inertia_only(axis)
    alone = output_demand(bare).rms_torque
    ratio = float(np.prod([s.ratio.value for s in bare.train.chain.stages]))
    pull = share * alone / abs(ratio)
    load = bare.train.chain.load
    loaded = axes.swap(bare, load=replace(load, base=replace(load.base, gravity=pull)))
    phases = tuple(replace(p, hold="ideal") for p in loaded.cycle.phases)
    loaded = axes.swap(loaded, cycle=replace(loaded.cycle, phases=phases))
    both = output_demand(loaded).rms_torque
    assert both**2 == pytest.approx(alone**2 + (pull * ratio) ** 2, rel=1e-9)


@law(axes.axes(), st.floats(0.2, 5.0))
def test_lossless_train_split_otherwise(axis, share):
    """With no losses the motor torque does not depend on how the ratio is split."""
    stages = [lossless(s) for s in axis.train.chain.stages]
    assume(stages)
    whole = axes.swap(axis, stages=stages)
    last = stages[-1]
    first = replace(last, ratio=ConstantRatio(last.ratio.value / share), inertia_in=0.0,
                    drag_in=0.0, viscous_in=0.0, joined=())  # fmt: skip
    second = replace(last, ratio=ConstantRatio(share), inertia_out=0.0, drag_out=0.0,
                     viscous_out=0.0)  # fmt: skip
    parts = axes.swap(axis, stages=[*stages[:-1], first, second])
    assert_same(
        figures(output_demand(whole), SHAFT), figures(output_demand(parts), SHAFT), rel=1e-8
    )


@law(axes.axes(), st.floats(0.2, 5.0), st.floats(0.6, 1.0))
def test_split_efficiencies_multiply(axis, share, part):
    """(r, eta) as two stages of r1 r2 = r and eta1 eta2 = eta with nothing between."""
    stages = list(axis.train.chain.stages)
    assume(stages)
    last = stages[-1]
    forward = max(last.efficiency, 1e-9) ** part
    backward = 1.0 if last.efficiency_back <= 0 else last.efficiency_back**part
    first = replace(last, ratio=ConstantRatio(last.ratio.value / share), inertia_in=0.0,
                    drag_in=0.0, viscous_in=0.0, joined=(), efficiency=forward,
                    efficiency_back=backward)  # fmt: skip
    second = replace(last, ratio=ConstantRatio(share), inertia_out=0.0, drag_out=0.0,
                     viscous_out=0.0, efficiency=last.efficiency / forward,
                     efficiency_back=last.efficiency_back / backward)  # fmt: skip
    one, two = (figures(output_demand(axes.swap(axis, stages=s)), SHAFT)
                for s in (stages, [*stages[:-1], first, second]))  # fmt: skip
    assert_same(one, two, rel=1e-8)


@law(axes.axes(), st.floats(1e-5, 1e-3))
def test_inertia_moved_through_a_lossless_stage(axis, inertia):
    """J at the output of a lossless stage is J r^2 at its input."""
    stages = [lossless(s) for s in axis.train.chain.stages]
    assume(stages)
    last = stages[-1]
    r = last.ratio.value
    out = replace(last, inertia_out=last.inertia_out + inertia / r**2)
    into = replace(last, inertia_in=last.inertia_in + inertia)
    one, two = (figures(output_demand(axes.swap(axis, stages=[*stages[:-1], s])), SHAFT)
                for s in (out, into))  # fmt: skip
    assert_same(one, two, rel=1e-8)


@law(axes.axes(), st.floats(0.5, 1.0), st.floats(0.0, 0.5))
def test_worse_efficiency_never_saves(axis, forward, backward):
    """Less eta_f never lowers the motoring, less eta_b never raises the returned energy.

    One stage: behind a second one a worse first stage may change what that one sees.
    """
    stages = list(axis.train.chain.stages[:1])
    assume(stages)
    best = replace(stages[0], efficiency=1.0, efficiency_back=0.9, joined=(), drag_in=0.0,
                   viscous_in=0.0, inertia_in=0.0)  # fmt: skip
    a, b, c = (
        output_demand(axes.swap(axis, stages=[s]))
        for s in (
            best,
            replace(best, efficiency=forward),
            replace(best, efficiency_back=0.9 - backward),
        )
    )
    tiny = 1e-9 * scale_of(a)
    assert b.energy_motoring >= a.energy_motoring - tiny
    assert c.energy_regenerated <= a.energy_regenerated + tiny


@law(axes.axes(forces=False), st.floats(1e-6, 1e-3))
def test_ratio_optimum_of_pure_inertia(axis, rotor):
    """T = a (J_M i + J_L/i) is least at i = sqrt(J_L/J_M): found by scanning many shafts."""
    bare = inertia_only(axis)
    load = bare.train.chain.load
    bare = axes.swap(bare, load=replace(load, payloads={k: Burden() for k in load.payloads}))
    out = output_demand(bare)
    assert out.inertia_max == pytest.approx(out.inertia_min, rel=1e-12)
    best = math.sqrt(out.inertia_max / rotor)
    ratios = best * np.exp(np.linspace(-1.0, 1.0, 2001))
    shafts = shaft(ratios, rotor)
    for torque in (rms_torque(out, shafts), peak_torque(out, shafts)[0]):
        found = ratios[np.argmin(torque)]
        assert found == pytest.approx(best, rel=1.1e-3)
    twice, once = rms_torque(out, shaft([2 * best, best], rotor))
    assert twice / once == pytest.approx(1.25, rel=1e-9)


def test_ratio_optimum_with_a_load_torque():
    """i^4 = Q/(J_M^2 A) with Q = mean (J_L a + T_L)^2, A = mean a^2 (derived from the rms)."""
    load = Load(False, Burden(inertia=0.4, gravity=6.0))
    axis = axes.make(load, [], [axes.move(2.0, 0.6, "quintic"), axes.move(-2.0, 0.8, "cycloid")])
    out = output_demand(axis)
    rotor = 2e-4
    square = out.mean(out.acceleration**2)
    best = (out.mean(out.torque**2) / (rotor**2 * square)) ** 0.25
    ratios = best * np.exp(np.linspace(-0.5, 0.5, 4001))
    found = ratios[np.argmin(rms_torque(out, shaft(ratios, rotor)))]
    assert found == pytest.approx(best, rel=5e-4)


@pytest.mark.slow
@pytest.mark.parametrize("known", often(globals()), ids=lambda k: k.__name__[5:])
def test_on_many_inputs(known):
    """Every law of this module on many more inputs."""
    known.often()
