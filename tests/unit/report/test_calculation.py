"""The numbers that the report works out itself, each by a second way."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from tests.support.examples import axis_file
from tests.support.sample_verdict import sample_verdict, tray_lift

import dutyline as dl
from dutyline.report.hand import hand_steps
from dutyline.report.peak import peak_point
from dutyline.report.sections.adds import additions
from dutyline.report.sections.rms import quadrature, stretches


@pytest.fixture(scope="module")
def verdict():
    return sample_verdict()


@pytest.fixture(scope="module")
def point(verdict):
    found = peak_point(verdict)
    assert found is not None
    return found


def worked_out(inserted: str) -> float:
    """What a pocket calculator shows for the printed right-hand side."""
    text = inserted.replace("\u202f", "").replace("10 000", "10000")
    for sign, python in (("×", "*"), ("−", "-"), ("²", "**2"), ("π", "*math.pi"), ("(2*", "(2*")):
        text = text.replace(sign, python)
    assert re.fullmatch(r"[\d\s.+\-*/()a-z]+", text), text
    return float(eval(text, {"__builtins__": {}, "math": math}))


def test_every_step_can_be_repeated_with_a_pocket_calculator(verdict, point):
    for step in hand_steps(point, verdict.axis):
        shown = float(step.result.replace("\u202f", "").replace("−", "-"))
        assert worked_out(step.inserted) == pytest.approx(shown, rel=2e-4), step.label


@pytest.mark.parametrize(
    ("name", "parts", "bodies"),
    [
        ("film-winder", ("XM72-0450H", "XG72-9"), "Roll and web"),
        ("eyelet-press", ("XM116-1300H", "XG116A-24"), "Bodies of slider-crank"),
    ],
)
def test_bodies_between_shaft_and_load_are_opened_cause_by_cause(name, parts, bodies):
    verdict = dl.verify(dl.read_axis(axis_file(name)), dl.Combination(*parts))
    steps = hand_steps(peak_point(verdict), verdict.axis)
    assert bodies in [step.label for step in steps]
    for step in steps:
        if re.search(r"\d", step.inserted) and "from" not in step.inserted:
            shown = float(step.result.replace("\u202f", "").replace("−", "-"))
            assert worked_out(step.inserted) == pytest.approx(shown, rel=2e-4, abs=2e-6), step.label


def test_the_last_step_is_the_peak_of_the_ledger(verdict, point):
    last = hand_steps(point, verdict.axis)[-1]
    assert float(last.result) == pytest.approx(verdict.demand["motor"]["peak_torque"], rel=5e-4)


def test_peak_by_elementary_mechanics(point):
    # Own derivation, worked apart from the package: belt lift, thirds with a quarter of each ramp
    # rounded at both ends, so that a = 1.5 s/t / (0.75 t/3); then F = m (g + a) + drag.
    mass, g, s, t = 12.0 + 15.5 * 0.45359237, 9.80665, 0.7, 0.6
    a = 1.5 * s / t / (0.75 * t / 3)
    force = mass * (g + a) + 35.0
    radius = 24 * 0.008 / (2 * math.pi)
    at_shaft = force * radius / 0.97 + 5.76e-4 * a / radius
    mesh = 1 / (1 / 0.965 - 0.028 * 6 / 36.1)
    motor = at_shaft / (6 * mesh) + 0.028 + (5.11e-5 + 6.63e-6) * a / radius * 6
    assert point.torque == pytest.approx(motor, rel=1e-12)


def test_additions_make_up_the_whole(verdict, point):
    parts = additions(point, verdict)
    figures = verdict.demand["motor"]
    whole = math.fsum(p.inertia for p in parts)
    assert math.fsum(p.torque for p in parts) == pytest.approx(figures["peak_torque"], rel=1e-9)
    assert whole == pytest.approx(figures["inertia"] + figures["load_inertia"], rel=1e-9)


def test_a_driven_load_is_followed_with_the_backward_efficiency():
    from dataclasses import replace

    base = tray_lift()
    chain = base.train.chain
    heavy = replace(chain.load.base, gravity=900.0, inertia=1.0, friction=0.0)
    train = replace(base.train, chain=replace(chain, load=replace(chain.load, base=heavy)))
    verdict = sample_verdict(train=train)
    point = peak_point(verdict)
    assert point is not None
    assert abs(point.torque) == pytest.approx(verdict.demand["motor"]["peak_torque"], rel=1e-9)


def test_quadrature_against_gauss():
    # numpy's Gauss-Legendre rule, exact to degree 79, as the second way.
    count = 24
    z = -np.cos(np.pi * np.arange(count) / (count - 1))
    nodes, weights = np.polynomial.legendre.leggauss(40)
    for function in (lambda x: x**22 + x**3, np.exp, lambda x: 1 / (2 + x)):
        mine = float(quadrature(count) @ function(z))
        assert mine == pytest.approx(float(weights @ function(nodes)), rel=1e-12)


def test_stretches_give_the_rms_torque(verdict):
    parts = stretches(verdict.trace, verdict.axis.cycle.phases)
    cycle = verdict.axis.cycle.duration
    assert math.fsum(p.time for p in parts) == pytest.approx(cycle)
    rms = math.sqrt(math.fsum(p.square for p in parts) / cycle)
    assert rms == pytest.approx(verdict.demand["motor"]["rms_torque"], rel=1e-10)


def test_stretches_name_what_the_motor_does(verdict):
    said = [p.word for p in stretches(verdict.trace, verdict.axis.cycle.phases)]
    moving = ["accelerate", "run", "brake"]
    assert said == [*moving, "stands, motor holds", *moving, "stands, motor holds"]
