"""Peak power at the output shaft and at the motor, worked by hand from the file of the lift."""

import math

import pytest

import dutyline as dl
from dutyline.app.demand import peak_power
from support.examples import axis_file

RADIUS = 24 * 8e-3 / (2 * math.pi)
MASS, DRAG, PULLEY = 40.0, 15.0, 4.5e-4
"""Carriage and carton together, cable chain, pulley: examples/lift/axis.toml."""


def lift():
    return dl.read_axis(axis_file("lift"))


def test_put_in_at_the_end_of_the_even_acceleration_upwards():
    ramp, jerk, distance, time = 0.2, 0.02, 0.3, 0.6
    top = distance / (time - ramp)
    accel = top / (ramp - jerk)
    speed = top - accel * jerk / 2
    force = MASS * (9.80665 + accel) + DRAG
    torque = force * RADIUS / 0.96 + PULLEY * accel / RADIUS
    put_in, returned = peak_power(dl.demand(lift()))
    assert put_in == pytest.approx(torque * speed / RADIUS, rel=1e-9)
    assert 0 < returned < put_in


def test_a_dense_sampling_finds_the_same():
    out = dl.demand(lift())
    verdict = dl.verify(lift(), dl.Combination("XM72-0450H", "XG72-24", brake="XB72"))
    trace = verdict.trace
    sampled = trace.output_speed * trace.output_torque
    put_in, returned = peak_power(out)
    assert put_in == pytest.approx(sampled.max(), rel=1e-4)
    assert returned == pytest.approx(-sampled.min(), rel=1e-4)
    assert put_in >= sampled.max() * (1 - 1e-12)


def test_the_motor_gives_more_than_the_output_takes():
    verdict = dl.verify(lift(), dl.Combination("XM72-0450H", "XG72-24", brake="XB72"))
    assert verdict.demand["motor"]["peak_power"] > peak_power(dl.demand(lift()))[0]
