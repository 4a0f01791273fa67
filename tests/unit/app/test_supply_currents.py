"""What a dc supply has to give at the peak, by hand from power over voltage."""

import pytest
from tests.support.axis_files import LIFT, edited

from dutyline.app.demand import peak_power, supply_currents
from dutyline.app.records_json import demand_json
from dutyline.axis.read import read_axis
from dutyline.demand.output import output_demand

MAINS = '[site]\nmains = "230 V"\nphases = 3\n'
BATTERY = '[site]\nmains = "48 V"\nphases = "dc"\nmains_low = "-25 %"\n'


def demanded(*changes):
    return output_demand(read_axis("a.toml", text=edited(LIFT, *changes)))


def test_a_battery_gives_more_current_when_it_is_empty():
    demand = demanded((MAINS, BATTERY))
    power = peak_power(demand)[0]
    found = dict(supply_currents(demand))
    assert found == {48.0: pytest.approx(power / 48), 36.0: pytest.approx(power / 36)}
    assert [entry["voltage"]["value"] for entry in demand_json(demand)["supply_current"]] == [
        48,
        36,
    ]


def test_one_voltage_is_told_once():
    (only,) = supply_currents(demanded((MAINS, BATTERY.replace("-25 %", "0 %"))))
    assert only[0] == 48.0


@pytest.mark.parametrize("site", [MAINS, ""])
def test_mains_have_a_power_factor_that_the_demand_does_not_know(site):
    assert supply_currents(demanded((MAINS, site))) == ()
