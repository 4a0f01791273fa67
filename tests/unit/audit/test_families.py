"""Power laws and order over sizes, against a second computation and on families made by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from dutyline.audit.look import beside
from dutyline.audit.order import in_order
from dutyline.audit.power_law import departures
from dutyline.audit.run import audit
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import Brake, Motor, ProductLine

SPEED = 3000 * math.pi / 30


def family(count: int, series: str = "", factor: float = 1.0, **faults) -> list[Motor]:
    """Motors of geometrically similar build: power doubles, mass as P, inertia as P**1.5.

    ``faults`` are factors on a datum of the motor in the middle.
    """
    made = []
    for k in range(count):
        power = 100.0 * 2.0**k
        motor = Motor(
            name=f"M{series}{k}", size=f"{series}{k}", series=series,
            power_rated=power, speed_rated=SPEED, torque_rated=power / SPEED,
            torque_peak=3.0 * power / SPEED, inertia=factor * 1e-5 * (power / 100.0) ** 1.5,
            mass=0.5 * factor * power / 100.0,
        )  # fmt: skip
        if k == count // 2:
            motor = replace(motor, **{n: getattr(motor, n) * f for n, f in faults.items()})
        made.append(motor)
    return made


def line_of(*motors: Motor) -> ProductLine:
    return ProductLine("made", "", tuple(motors), (), (), (), (), (), ())


def broken(line: ProductLine) -> set[str]:
    return {rule for rule, _ in audit(line).fired}


def test_departures_against_numpy_polyfit():
    """Each size left out, the line through the others by a general library."""
    rng = np.random.default_rng(4)
    x = np.sort(rng.uniform(0, 5, 9))
    y = 0.3 + 1.4 * x + rng.normal(0, 0.03, 9)
    found = departures([(x[k : k + 1], y[k : k + 1]) for k in range(9)])
    for k in range(9):
        slope, start = np.polyfit(np.delete(x, k), np.delete(y, k), 1)
        assert found[k] == pytest.approx(y[k] - start - slope * x[k], abs=1e-9)


def test_one_outlier_does_not_accuse_the_others():
    x = np.arange(8.0)
    y = 1.2 * x
    y[5] += 6.0  # a factor of 400
    found = departures([(x[k : k + 1], y[k : k + 1]) for k in range(8)])
    assert found[5] == pytest.approx(6.0)
    assert np.abs(np.delete(found, 5)).max() < 1e-9


def test_two_outliers_are_both_seen():
    x = np.arange(9.0)
    y = 1.2 * x
    y[2] -= 3.0
    y[6] += 5.0
    found = departures([(x[k : k + 1], y[k : k + 1]) for k in range(9)])
    assert found[[2, 6]] == pytest.approx([-3.0, 5.0])


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [("inertia", 1.85, 1.87), ("mass", 1.64, 1.66), ("torque_peak", 1.49, 1.50)],
)
def test_bands_of_the_power_law(name, inside, outside):
    """exp(0.62) = 1.859, exp(0.5) = 1.649, exp(0.4) = 1.492 on an exact power law."""
    for factor in (inside, 1 / inside):
        made = line_of(*family(8, **{name: factor}))
        assert "family-log-log-outlier" not in broken(made)
    for factor in (outside, 1 / outside):
        made = line_of(*family(8, **{name: factor}))
        assert "family-log-log-outlier" in broken(made)


@pytest.mark.parametrize(
    ("factor", "out"), [(2.33, False), (2.35, True), (0.43, False), (0.42, True)]
)
def test_power_rate(factor, out):
    """T**2 / J falls by the factor on J: exp(0.85) = 2.340."""
    assert ("power-rate-continuity" in broken(line_of(*family(8, inertia=factor)))) is out


def test_four_sizes_are_too_few_and_it_says_so():
    result = audit(line_of(*family(4, inertia=400.0)))
    asked = {a.rule.id: a for a in result.asked}
    assert asked["family-log-log-outlier"].count == 0
    assert asked["family-log-log-outlier"].silent == "no series has five sizes"
    assert "family-log-log-outlier" not in broken(result.line)
    assert "family-log-log-outlier" in broken(line_of(*family(5, inertia=400.0)))


def test_series_are_families_of_their_own():
    """Rotors of a quarter of the inertia in a series apart: one family together, clean apart."""
    light = family(6, "light", 0.15)
    heavy = family(6, "heavy")
    assert broken(line_of(*light, *heavy)) & {"family-log-log-outlier"} == set()
    mixed = [replace(m, series="") for m in (*light, *heavy)]
    assert "monotone-with-size" in broken(line_of(*mixed))


def test_order_with_size():
    motors = family(6)
    motors[3] = replace(motors[3], mass=motors[2].mass * 0.99)
    result = audit(line_of(*motors))
    assert "monotone-with-size" in broken(result.line)
    assert {f.part for f in result.findings} <= {"M2", "M3"}


def test_equal_is_in_order():
    motors = family(6)
    motors[3] = replace(motors[3], mass=motors[2].mass)
    assert "monotone-with-size" not in broken(line_of(*motors))


def test_in_order_against_every_subset():
    """The longest row that never falls, by trying all subsets of short rows."""
    rng = np.random.default_rng(1)
    for _ in range(60):
        row = rng.integers(0, 6, 8).astype(float)
        kept = in_order(row.tolist())
        assert (np.diff(row[kept]) >= 0).all()
        best = 0
        for mask in range(1 << 8):
            some = row[[k for k in range(8) if mask >> k & 1]]
            if (np.diff(some) >= 0).all():
                best = max(best, some.size)
        assert kept.sum() == best


def test_beside_against_numpy_median():
    rng = np.random.default_rng(2)
    for count in range(2, 9):
        values = rng.integers(0, 5, count).astype(float)
        wanted = [np.median(np.delete(values, k)) for k in range(count)]
        assert beside(values).tolist() == wanted


def test_windings_disagree_and_the_wrong_one_is_named():
    """The other rules of the motor tell which of two windings is wrong."""
    line = demo_line()
    k = line.motor_index["XM54-0120L"]
    motors = list(line.motors)
    motors[k] = replace(motors[k], torque_stall=0.8392)
    found = audit(replace(line, motors=tuple(motors))).findings
    assert [(f.part, f.column) for f in found] == [("XM54-0120L", "torque_stall_nm")]


def loaded(factor: float = 1.0, scatter: float = 0.0) -> ProductLine:
    """Eight sizes whose radial load follows P**0.7, every other one off by ``scatter``."""
    motors = family(8)
    for k, m in enumerate(motors):
        load = 50.0 * (m.power_rated / 100.0) ** 0.7 * math.exp(scatter * (-1) ** k)
        motors[k] = replace(m, radial_load=load * (factor if k == 4 else 1.0))
    return line_of(*motors)


@pytest.mark.parametrize(
    ("factor", "out"), [(1.99, False), (2.01, True), (0.51, False), (0.49, True)]
)
def test_a_column_follows_its_size(factor, out):
    """Twice or half of an exact law: exp(0.693) = 1.9997."""
    assert ("column-follows-its-size" in broken(loaded(factor))) is out


def test_a_family_that_scatters_is_given_more():
    """Scatter of 0.25 in logarithms: four times the median departure is about a factor of e."""
    assert "column-follows-its-size" not in broken(loaded(2.05, scatter=0.25))
    assert "column-follows-its-size" in broken(loaded(9.0, scatter=0.25))


def brakes(count: int, odd: float) -> ProductLine:
    """Brakes of one coil voltage but the last."""
    volts = [24.0] * (count - 1) + [odd]
    made = tuple(Brake(f"B{k}", coil_voltage=v) for k, v in enumerate(volts))
    return ProductLine("made", "", (), (), (), made, (), (), ())


def test_a_value_stands_alone():
    found = audit(brakes(6, 42.0)).findings
    assert [(f.part, f.column, f.raw, f.severity) for f in found] == [
        ("B5", "coil_v", "42", "note")
    ]
    assert found[0].proposal == "24"
    assert audit(brakes(6, 24.0)).findings == ()


def test_few_or_divided_values_stand_not_alone():
    """Four brakes are too few to speak; two voltages in use are no slip."""
    assert audit(brakes(4, 42.0)).findings == ()
    line = brakes(7, 42.0)
    made = tuple(replace(b, coil_voltage=42.0) if b.name == "B0" else b for b in line.brakes)
    assert audit(replace(line, brakes=made)).findings == ()
