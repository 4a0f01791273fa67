"""Both ends of a roll of web, cylinders, and the bus of idle mains."""

import numpy as np
import pytest

from dutyline.core.errors import RangeError
from dutyline.physics.pneumatics import cylinder_thrust, free_air
from dutyline.physics.rolls import corner, web_tension
from dutyline.physics.torque_speed import BUS_THREE_PHASE, bus_idle, bus_voltage


@pytest.mark.parametrize("linear", [False, True])
@pytest.mark.parametrize("taper", [0.0, 0.25, 0.6, 1.0])
def test_the_corner_is_the_largest_of_all_rolls(taper, linear):
    radius = np.linspace(0.04, 0.5, 20001)
    torque = web_tension(150.0, taper, radius, 0.04, 0.5, linear) * radius
    largest, turning = corner(150.0, 0.04, 0.5, -3.0, taper, linear)
    assert float(largest) == pytest.approx(torque.max(), rel=1e-7)
    assert float(turning) == pytest.approx(3.0 / 0.04)


def test_a_cylinder_by_hand():
    # 40 mm bore: 12.566 cm2; 6 bar gauge are 0.6 N/mm2 and 7 bar absolute
    assert float(cylinder_thrust(0.04, 6e5)) == pytest.approx(753.98, rel=1e-5)
    assert float(free_air(0.04, 0.1, 6e5)) == pytest.approx(1.2566e-4 * 7, rel=1e-4)
    assert float(free_air(0.04, 0.1, 0.0)) == pytest.approx(1.2566e-4, rel=1e-4)
    with pytest.raises(RangeError, match="bore"):
        cylinder_thrust(0.0, 6e5)


def test_an_idle_bus_stands_above_a_loaded_one():
    crest, mean = float(bus_idle(230.0, 3)), float(bus_voltage(230.0, 3))
    assert mean / crest == pytest.approx(BUS_THREE_PHASE / np.sqrt(2))
    assert float(bus_idle(230.0, 1)) == pytest.approx(230.0 * np.sqrt(2))
    assert float(bus_idle(48.0, "dc")) == 48.0
