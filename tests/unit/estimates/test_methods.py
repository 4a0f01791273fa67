"""Each method of estimating, by hand on round numbers, and on the line that ships with one known
datum taken out.

The relations worked by hand are definitions and the two-node network; classes of insulation are
those of IEC 60085. Bands of the error on the shipped line are what was seen, rounded up: the line
is computed from formulas, so they are kinder than measured data would be.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from dutyline.catalogue.content import content_hash, plain_tables
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import Brake, Gearhead, Motor, ProductLine
from dutyline.estimates.fill import METHODS, estimated
from dutyline.physics.power_laws import power_law


def line_of(*motors, gearheads=(), brakes=()):
    return ProductLine("own", "", motors, gearheads, (), brakes, (), (), ())


def guess(part, field, *others):
    """The assumption about one datum of one motor beside others; None where there is none."""
    found = estimated(line_of(part, *others)).assumed
    return next((a for a in found if (a.part, a.field) == (part.name, field)), None)


def test_torque_constant_from_the_stall_point():
    motor = Motor("A", torque_stall=1.5, current_stall=3.0, voltage_constant=9.9)
    found = guess(motor, "torque_constant")
    assert found.value == found.low == found.high == pytest.approx(0.5)
    assert found.method == "stall torque over stall current"


def test_torque_constant_from_the_rated_point_is_a_lower_bound():
    found = guess(Motor("A", torque_rated=1.2, current_rated=3.0), "torque_constant")
    assert found.value == found.low == pytest.approx(0.4)
    assert found.high > found.low


def test_torque_and_emf_constant_go_by_the_root_of_three():
    """P = sqrt3 E I = T w; the safe end is a weak motor and a large emf."""
    emf = guess(Motor("A", torque_constant=0.5), "voltage_constant")
    torque = guess(Motor("A", voltage_constant=0.25), "torque_constant")
    assert emf.value == pytest.approx(1.08 * 0.5 / math.sqrt(3))
    assert torque.value == pytest.approx(0.92 * 0.25 * math.sqrt(3))


def test_peak_current_without_a_saturation():
    """4 N m at 0.5 N m/A are 8 A without saturation, 10 A where a fifth is lost."""
    motor = Motor("A", torque_constant=0.5, torque_peak=4.0)
    assert guess(motor, "saturation_peak").value == 0.8
    assert guess(motor, "current_peak").value == pytest.approx(10.0)


def test_resistance_of_another_winding_goes_with_the_square_of_the_turns():
    bare = Motor("A", size="S", voltage_constant=0.2)
    other = Motor("B", size="S", voltage_constant=0.1, resistance=1.0)
    found = guess(bare, "resistance", other)
    assert (found.low, found.value) == pytest.approx((4 * 0.85, 4 * 1.15))
    assert found.method == "by the turns from B"


def test_thermal_resistance_from_the_stall_loss():
    """2 A through 10 ohm between two terminals: 1.5 * 10 * 4 = 60 W at 20 degC, and at 140 degC
    60 * (1 + 0.00393 * 120) = 88.296 W; 100 K over that is 1.13255 K/W in all."""
    motor = Motor("A", resistance=10.0, current_stall=2.0, winding_limit=140.0, ambient_max=40.0)
    whole = 100.0 / 88.296
    winding, housing = (guess(motor, f) for f in ("rth_winding_housing", "rth_housing_ambient"))
    assert winding.value == pytest.approx(0.4 * whole * 1.3, rel=1e-4)
    assert housing.value == pytest.approx(0.8 * whole * 1.3, rel=1e-4)
    one = guess(replace(motor, rth_housing_ambient=0.8), "rth_winding_housing")
    assert one.value == pytest.approx(whole - 0.8 + 0.3 * whole, rel=1e-4)


def test_iron_loss_from_rated_and_stall_torque():
    """0.8 of the stall torque leaves 0.64 of the loss: 0.36 of 100 K over 2 K/W are 18 W."""
    motor = Motor("A", torque_stall=1.0, torque_rated=0.8, winding_limit=140.0, ambient_max=40.0,
                  rth_housing_ambient=2.0)  # fmt: skip
    found = guess(motor, "iron_loss_rated")
    assert found.value == pytest.approx(18.0 * 1.3)
    assert found.low == pytest.approx(18.0 * 0.7)


def test_heat_capacity_from_time_constant_and_resistance():
    motor = Motor("A", tau_winding=30.0, rth_winding_housing=1.5)
    assert guess(motor, "cth_winding").value == pytest.approx(0.95 * 20.0)


@pytest.mark.parametrize(("insulation", "limit"), [("B", 115.0), ("F", 140.0), ("h", 165.0)])
def test_winding_limit_from_the_class(insulation, limit):
    """IEC 60085: 130, 155 and 180 degC, 15 K kept for the hottest spot."""
    assert guess(Motor("A", insulation_class=insulation), "winding_limit").value == limit


def test_no_limit_from_an_unknown_class():
    assert guess(Motor("A", insulation_class="Q"), "winding_limit") is None


def test_rated_speed_from_power():
    found = guess(Motor("A", power_rated=300.0, torque_rated=1.0), "speed_rated")
    assert found.value == pytest.approx(0.97 * 300.0)


def sized(count, wrong=1.0):
    """Motors whose inertia is the square of the torque, the third off by a factor."""
    return [Motor(f"M{k}", torque_rated=2.0**k, inertia=4.0**k * (wrong if k == 2 else 1.0))
            for k in range(count)]  # fmt: skip


def test_power_law_of_the_line():
    bare = Motor("A", torque_rated=3.0)
    found = guess(bare, "inertia", *sized(5))
    assert found.value == pytest.approx(9.0)
    assert "through 5 motors" in found.method


def test_scatter_goes_to_the_safe_end():
    """Through numpy's own fit with the third size left out, the largest departure of all."""
    motors = sized(6, wrong=1.2)
    x = np.log([m.torque_rated for m in motors])
    y = np.log([m.inertia for m in motors])
    off = []
    for k in range(6):
        rest = np.arange(6) != k
        off.append(abs(y[k] - np.polyval(np.polyfit(x[rest], y[rest], 1), x[k])))
    middle = np.exp(np.polyval(np.polyfit(x, y, 1), np.log(3.0)))
    found = guess(Motor("A", torque_rated=3.0), "inertia", *motors)
    assert found.value == pytest.approx(middle * np.exp(max(off)))
    assert found.low == pytest.approx(middle / np.exp(max(off)))


@pytest.mark.parametrize(
    ("bare", "others"),
    [
        pytest.param(Motor("A", torque_rated=3.0), sized(4), id="four sizes"),
        pytest.param(Motor("A", torque_rated=3.0), sized(6, wrong=3.0), id="scatter"),
        pytest.param(Motor("A", torque_rated=300.0), sized(6), id="beyond the sizes"),
        pytest.param(Motor("A", torque_rated=3.0, series="low"), sized(6), id="another series"),
        pytest.param(Motor("A"), sized(6), id="no size"),
    ],
)
def test_a_law_that_says_too_little_is_refused(bare, others):
    assert guess(bare, "inertia", *others) is None


def test_worst_of_those_alike():
    own = [Gearhead(f"G{k}", style="inline", stages=1, ratio=3.0 + k, efficiency=0.95 + 0.005 * k)
           for k in range(5)]  # fmt: skip
    bare = Gearhead("A", style="inline", stages=1)
    found = estimated(line_of(gearheads=(bare, *own))).assumed
    assert [(a.part, a.field, a.value) for a in found if a.field == "efficiency"] == [
        ("A", "efficiency", 0.95)
    ]


def test_what_a_maker_promises_is_never_estimated():
    """Strength, life, permitted forces, torque and work of brakes, protection."""
    line = demo_line()
    held = ("torque_rated", "torque_acceleration", "torque_emergency", "life", "radial",
            "tilting", "speed_in_max", "torque_static", "work_per_stop", "work_total",
            "radial_load")  # fmt: skip
    assert not {m.field for m in METHODS} & set(held)
    bare = replace(line, brakes=tuple(Brake(b.name) for b in line.brakes))
    assert all(a.kind != "brake" for a in estimated(bare).assumed)


def test_nothing_stated_is_changed_and_nothing_estimated_twice():
    line = demo_line()
    bare = replace(line, motors=tuple(replace(m, resistance=None) for m in line.motors[:1])
                   + line.motors[1:])  # fmt: skip
    once = estimated(bare)
    assert [(a.part, a.field) for a in once.assumed if a.field == "resistance"] == [
        (line.motors[0].name, "resistance")
    ]
    assert once.as_stated is bare
    assert bare.motors[0].resistance is None
    assert estimated(once).assumed == once.assumed
    for before, after in zip(bare.motors, once.motors, strict=True):
        for name in before.__dataclass_fields__:
            stated = getattr(before, name)
            assert stated is None or getattr(after, name) == stated


def test_estimates_are_never_written():
    """Content and plain tables are those of the stated line."""
    line = demo_line()
    bare = replace(line, motors=tuple(replace(m, cth_winding=None) for m in line.motors))
    filled = estimated(bare)
    assert filled.motors[0].cth_winding is not None
    assert plain_tables(filled) == plain_tables(bare)
    assert content_hash(filled) == content_hash(bare) != content_hash(line)


OFF = {
    ("motor", "speed_rated"): (-0.031, 0.0),
    ("motor", "torque_constant"): (-0.001, 0.001),
    ("motor", "voltage_constant"): (0.0, 0.081),
    ("motor", "current_peak"): (-0.002, 0.002),
    ("motor", "torque_peak"): (-0.002, 0.002),
    ("motor", "resistance"): (0.0, 0.16),
    ("motor", "inductance"): (-0.10, 0.30),
    ("motor", "winding_limit"): (0.0, 0.0),
    ("motor", "rth_winding_housing"): (0.0, 1.01),
    ("motor", "rth_housing_ambient"): (0.0, 0.44),
    ("motor", "iron_loss_rated"): (0.0, 0.31),
    ("motor", "tau_winding"): (-0.69, 0.0),
    ("motor", "tau_housing"): (-0.58, 0.0),
    ("motor", "cth_winding"): (-0.06, 0.0),
    ("motor", "cth_housing"): (-0.06, 0.0),
    ("motor", "mass"): (0.0, 0.26),
    ("gearhead", "no_load_torque"): (0.0, 0.24),
    ("gearhead", "inertia_in"): (0.0, 0.17),
    ("gearhead", "stiffness"): (-0.05, 0.001),
    ("gearhead", "mass"): (-0.001, 0.11),
    ("gearhead", "efficiency"): (0.0, 0.0),
    ("gearhead", "backlash"): (0.0, 0.0),
    ("brake", "inertia"): (0.0, 0.56),
    ("brake", "engage_time"): (0.0, 0.19),
    ("brake", "release_time"): (0.0, 0.43),
    ("brake", "coil_power"): (0.0, 0.38),
    ("drive", "loss_fixed"): (-0.24, 0.0),
    ("drive", "loss_per_ampere"): (-0.001, 0.0),
    ("drive", "idle_power"): (0.0, 0.42),
}
"""Between which errors the value used lies, one part at a time left without the datum."""


@pytest.mark.parametrize(("kind", "field"), OFF, ids=".".join)
def test_error_on_the_line_that_ships(kind, field):
    """All on the safe side but one of 11 inductances, 10 % low."""
    line, errors = demo_line(), []
    for k, part in enumerate(getattr(line, f"{kind}s")):
        true = getattr(part, field)
        if not true:
            continue
        parts = list(getattr(line, f"{kind}s"))
        parts[k] = replace(part, **{field: None})
        bare = replace(line, **{f"{kind}s": tuple(parts)})
        errors += [a.value / true - 1 for a in estimated(bare).assumed if a.field == field]
    low, high = OFF[kind, field]
    assert errors
    assert low - 5e-4 <= min(errors) <= max(errors) <= high + 5e-4


def test_law_with_two_sizes_against_numpy():
    rng = np.random.default_rng(4)
    sizes = rng.uniform(1.0, 9.0, (12, 2))
    values = 0.3 * sizes[:, 0] ** 2.5 / sizes[:, 1] * rng.uniform(0.9, 1.1, 12)
    law = power_law(sizes, values)
    columns = np.column_stack([np.ones(12), np.log(sizes)])
    found, *_ = np.linalg.lstsq(columns, np.log(values), rcond=None)
    assert [law.start, *law.slopes] == pytest.approx(found)
    off = []
    for k in range(12):
        rest = np.arange(12) != k
        own, *_ = np.linalg.lstsq(columns[rest], np.log(values[rest]), rcond=None)
        off.append(abs(np.log(values[k]) - columns[k] @ own))
    assert law.scatter == pytest.approx(max(off))
