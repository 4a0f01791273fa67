"""The way to the mains a second way: power of the lift by dense sampling, tables by hand."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from dutyline.axis.equipment import Cabinet, Cable, Equipment
from dutyline.axis.model import Duty, Input
from dutyline.core.numbers import quantity
from dutyline.core.values import Value
from dutyline.demand.mains import _worst_window
from support import dense
from support.judged import PARTS, changed, judged, lift, line_of, stocked

FULL = Cabinet(surface=0.8, fan=1.5, other_loss=30.0, fuse=6.0, conductor=2.5e-6, method="C",
               feed_length=30.0, axes=2, power_factor=0.7)  # fmt: skip
STATED = Input("duty.hours", "Duty", "Hours", "", Value(57600.0, "s", "16 h", "given"), 7)
HOURS = Duty(hours=10 * 3600.0, days=200.0)


def axis_with(cabinet: Cabinet | None = FULL, cable: Cable | None = None, **changes):
    return lift(equipment=Equipment(cabinet=cabinet, cable=cable), duty=HOURS, inputs=(STATED,),
                **changes)  # fmt: skip


class Sampled:
    """Power at the bus of the lift in the middle of small steps."""

    def __init__(self) -> None:
        line = stocked()
        self.motor = m = line.motors[line.motor_index[PARTS.motor]]
        self.gear = g = line.gearheads[line.gearhead_index[PARTS.gearhead]]
        self.drive = d = line.drives[line.drive_index[PARTS.drive]]
        self.brake = b = line.brakes[line.brake_index[PARTS.brake]]
        rated_in = g.torque_rated / g.ratio / g.efficiency
        mesh = g.torque_rated / g.ratio / (rated_in - g.no_load_torque)
        out = dense.output_samples(lift(), 3000)
        own = m.inertia_with_brake + g.inertia_in
        shaft = dense.motor_samples(out, g.ratio, own, mesh, g.no_load_torque)
        on = shaft.inner
        self.dt = shaft.weight[on]
        winding = dense.Winding(m.torque_constant, m.current_stall, m.current_peak,
                                m.saturation_peak)  # fmt: skip
        current = winding.current(shaft.torque[on])
        hot = m.resistance / 2 * (1 + 0.00393 * (m.winding_limit - 20))
        iron = m.iron_loss_rated * (np.abs(shaft.speed[on]) / m.speed_rated) ** m.iron_exponent
        self.heat = d.loss_fixed + d.loss_per_ampere * self.mean(np.abs(current))
        self.power = (shaft.torque[on] * shaft.speed[on] + 3 * hot * current**2 + iron
                      + d.loss_fixed + d.loss_per_ampere * np.abs(current))  # fmt: skip
        idle = np.sqrt(2) * 230.0 * 1.1
        capacity = 0.5 * 0.8 * d.bus_capacitance * (d.chopper_on**2 - idle**2)
        bus = dense.bus(shaft, winding, capacity, resistance=m.resistance / 2,
                        iron=m.iron_loss_rated, speed_rated=m.speed_rated,
                        exponent=m.iron_exponent, fixed=d.loss_fixed,
                        per_ampere=d.loss_per_ampere)  # fmt: skip
        self.burnt = bus.burnt / float(self.dt.sum())
        self.bought = self.mean(self.power) + self.burnt + b.coil_power
        rms = np.sqrt(self.mean(np.maximum(self.power, 0.0) ** 2))
        self.current = (rms + b.coil_power) / 0.7 / (np.sqrt(3) * 230.0 * 0.9)

    def mean(self, value: np.ndarray) -> float:
        return float((value * self.dt).sum() / self.dt.sum())


@cache
def sampled() -> Sampled:
    return Sampled()


@cache
def full():
    return judged(axis_with(cable=Cable(section=1.5e-6)), stocked())


def test_mains_current():
    line = line_of(full(), "mains-current")
    assert line.demand == pytest.approx(2 * sampled().current, rel=1e-4)
    assert (line.limit, line.severity) == (6.0, "must")
    assert "2 axes" in line.text


def test_protective_device_and_conductor():
    """2.5 mm2 laid as C: 21 A at 40 degC (IEC 60204-1 table 6, from memory)."""
    device, conductor = line_of(full(), "protective-device"), line_of(full(), "conductor", "supply")
    assert (device.demand, device.limit) == (6.0, pytest.approx(21.0))
    assert conductor.demand == pytest.approx(2 * sampled().current, rel=1e-4)
    assert conductor.limit == pytest.approx(21.0)
    assert {device.severity, conductor.severity} == {"must"}


def test_motor_cable():
    """1.5 mm2 laid as B2 carries 13.1 A: more than the drive's rated current."""
    line = line_of(full(), "conductor", "drive")
    assert (line.demand, line.limit) == (sampled().drive.current_rated, pytest.approx(13.1))


def test_warm_conductor_carries_less():
    """Loss over rise to 70 degC: sqrt(20/30) of it at 50 degC."""
    site = replace(lift().site, ambient=50.0)
    line = line_of(judged(axis_with(site=site), stocked()), "conductor", "supply")
    assert line.limit == pytest.approx(21.0 * np.sqrt(20 / 30), rel=1e-12)


def test_voltage_drop():
    """Three phases: sqrt3 times current times 30 m of copper of 0.0225 ohm mm2/m at 70 degC."""
    line = line_of(full(), "voltage-drop")
    wanted = np.sqrt(3) * 2 * sampled().current * 30.0 * 0.0225 / 2.5
    assert line.demand == pytest.approx(wanted, rel=1e-4)
    assert line.limit == pytest.approx(0.05 * 230.0)


def test_heat_in_the_cabinet():
    """Two drives and 30 W through 0.8 m2 of wall at 5.5 W/(m2 K) and a fan of 1.5 W/K."""
    line = line_of(full(), "cabinet-heat")
    rise = (2 * sampled().heat + 30.0) / (0.8 * 5.5 + 1.5)
    assert line.demand == pytest.approx(40.0 + rise, rel=1e-5)
    assert line.limit == sampled().drive.ambient_max


def test_a_resistor_built_into_the_drive_heats_the_cabinet():
    drive = {"internal_resistor_power": 200.0, "internal_resistor_pulse": 500.0}
    line = changed(stocked(), "drive", PARTS.drive, **drive)
    inside = line_of(judged(axis_with(), line, replace(PARTS, resistor=None)), "cabinet-heat")
    outside = line_of(full(), "cabinet-heat")
    gained = (inside.demand - outside.demand) * (0.8 * 5.5 + 1.5)
    assert gained == pytest.approx(2 * sampled().burnt, rel=1e-3)


def test_energy_in_a_year():
    """2000 h at the mean power, the rest of 8760 h idle; what the resistor burns is bought."""
    line = line_of(full(), "yearly-energy")
    idle = sampled().drive.idle_power
    wanted = 2000 * 3600.0 * sampled().bought + 6760 * 3600.0 * idle
    assert line.demand == pytest.approx(wanted, rel=1e-4)
    assert np.isinf(line.limit)
    assert (line.severity, line.state) == ("note", "meets")
    assert full().demand["mains"]["yearly_energy"] == line.demand


def test_without_a_fuse_the_current_is_told():
    line = line_of(judged(axis_with(Cabinet(surface=1.0)), stocked()), "mains-current")
    assert (line.severity, line.state) == ("note", "meets")
    assert np.isinf(line.limit)
    assert "power factor 0.65" in line.text


def test_fuse_without_conductor_is_open():
    line = line_of(judged(axis_with(Cabinet(fuse=10.0)), stocked()), "protective-device")
    assert (line.severity, line.state) == ("note", "not-checked")
    assert "conductor" in line.missing[0]


def test_section_below_the_table_is_open():
    line = line_of(judged(axis_with(Cabinet(conductor=0.5e-6)), stocked()), "conductor", "supply")
    assert (line.severity, line.state) == ("must", "not-checked")


def test_missing_losses_are_open():
    line = changed(stocked(), "drive", PARTS.drive, loss_fixed=None)
    verdict = judged(axis_with(), line)
    for check in ("mains-current", "conductor", "cabinet-heat", "yearly-energy"):
        found = line_of(verdict, check, None if check != "conductor" else "supply")
        assert found.state == "not-checked"
        assert "loss" in found.missing[0]


def test_nothing_stated_no_lines():
    verdict = judged(lift(), stocked())
    for check in ("mains-current", "protective-device", "conductor", "voltage-drop",
                  "cabinet-heat", "yearly-energy"):  # fmt: skip
        assert line_of(verdict, check) is None


def test_long_cycles_count_their_worst_half_minute():
    """Ten seconds at 300 W once in two minutes: over 30 s a third of the square."""
    square = np.array([[10 * 300.0**2, 0.0]])
    worst = _worst_window(square, np.array([[10.0, 110.0]]), 120.0)
    assert worst[0] == pytest.approx(300.0**2 / 3)
    around = np.array([[5 * 300.0**2, 0.0, 5 * 300.0**2]])  # the burst runs over the cycle's end
    found = _worst_window(around, np.array([[5.0, 110.0, 5.0]]), 120.0)
    assert found[0] == pytest.approx(300.0**2 / 3)
    assert _worst_window(square, np.array([[10.0, 10.0]]), 20.0)[0] == pytest.approx(300.0**2 / 2)


def _inrush(**stated):
    cabinet = Cabinet(fuse=6.0, **stated)
    return line_of(judged(axis_with(cabinet), stocked()), "inrush")


def test_switching_on_against_small_steps_of_the_charging_current():
    """The bus as a capacitor behind the resistor that the stated inrush needs, stepped in time."""
    drive = sampled().drive
    crest = np.sqrt(2) * 230.0 * 1.1
    resistance = np.sqrt(2) * drive.mains_max / drive.inrush_peak
    dt = 1e-3 * resistance * drive.bus_capacitance
    volts, heat = 0.0, 0.0
    for _ in range(15_000):
        current = (crest - volts) / resistance
        volts += current * dt / drive.bus_capacitance
        heat += current**2 * dt
    line = _inrush(let_through=400.0, axes=3)
    assert line.demand == pytest.approx(9 * heat, rel=2e-3)
    assert (line.limit, line.severity, line.state) == (400.0, "caution", "meets")
    assert "3 axes switched on at once" in line.text
    assert _inrush(let_through=1e-3).state == "fails"


def test_switching_on_is_a_number_where_the_device_states_nothing():
    line = _inrush()
    assert line.severity == "note"
    assert np.isinf(line.limit)
    assert line.state == "meets"
    assert line_of(judged(axis_with(Cabinet(surface=1.0)), stocked()), "inrush") is None


@pytest.mark.parametrize(("data", "words"), [
    ({"inrush_peak": None}, "inrush current"), ({"bus_capacitance": None}, "capacitance")
])  # fmt: skip
def test_switching_on_names_what_is_missing(data, words):
    line = changed(stocked(), "drive", PARTS.drive, **data)
    found = line_of(judged(axis_with(Cabinet(fuse=6.0, let_through=400.0)), line), "inrush")
    assert found.state == "not-checked"
    assert any(words in missing for missing in found.missing)


def test_supply_of_a_shared_bus():
    """The largest power in small steps, two axes alike and 500 W of others at once."""
    cabinet = Cabinet(axes=2, shared_bus=True, bus_supply=5000.0, other_power=500.0)
    line = line_of(judged(axis_with(cabinet), stocked()), "bus-supply-peak")
    assert line.demand == pytest.approx(2 * sampled().power.max() + 500.0, rel=2e-3)
    assert (line.limit, line.severity, line.required) == (5000.0, "must", 0.1)
    assert line.text == f"2 axes alike and {quantity(500.0, 'W')} of others, all at once"


def test_supply_of_a_shared_bus_that_nobody_stated_leaves_the_verdict_open():
    verdict = judged(axis_with(Cabinet(shared_bus=True)), stocked())
    line = line_of(verdict, "bus-supply-peak")
    assert line.state == "not-checked"
    assert "bus_supply" in line.missing[0]
    assert verdict.verdict in ("incomplete", "fails")
    assert line_of(judged(axis_with(Cabinet()), stocked()), "bus-supply-peak") is None
