"""Demand and limit of every check worked out a second way: by hand, or from dense sampling.

Data of the parts are read as they stand in the product line; nothing of the package's evaluation
is used. A check that is added to data/checks.toml without a second way here fails.
"""

from __future__ import annotations

import tomllib
from functools import cache, cached_property
from importlib.resources import files

import numpy as np
import pytest

from dutyline.checks.records import Combination
from support import dense
from support.judged import CURVE, PARTS, changed, judged, lift, lines_of, stocked

TABLE = tomllib.loads((files("dutyline") / "data" / "checks.toml").read_text(encoding="utf-8"))
KEYS = [(row["id"], row["part"]) for row in TABLE["check"]]
G = 9.80665
STEPS = 1500
DRIVE_CURVE = ((1.2, 14.0), (1.5, 6.2), (2.0, 2.3), (3.0, 0.6))  # drives.csv of the line


class Bench:
    """One combination on the lift: its ledger, its parts, and dense samples of its shafts."""

    def __init__(self, parts: Combination = PARTS, **site) -> None:
        self.axis = lift(**site)
        line = changed(stocked(), "gearhead", parts.gearhead, torque_acceleration=25.0,
                       thermal_resistance=0.6)  # fmt: skip
        self.line = line
        self.motor = line.motors[line.motor_index[parts.motor]]
        self.gear = line.gearheads[line.gearhead_index[parts.gearhead]]
        self.drive = line.drives[line.drive_index[parts.drive]]
        self.brake = line.brakes[line.brake_index[parts.brake]]
        self.resistor = (
            line.resistors[line.resistor_index[parts.resistor]] if parts.resistor else None
        )
        verdict = judged(self.axis, line, parts)
        self.ledger = lines_of(verdict)
        self.cycle = lines_of(verdict.cases[0])

    @cached_property
    def mesh(self) -> float:
        """Efficiency of the teeth: the rated one, the no-load torque at rated load taken out."""
        g = self.gear
        rated_in = g.torque_rated / g.ratio / g.efficiency
        return g.torque_rated / g.ratio / (rated_in - g.no_load_torque)

    @cached_property
    def inertia(self) -> float:
        """Rotor with brake, and gearhead input."""
        return self.motor.inertia_with_brake + self.gear.inertia_in

    @cached_property
    def out(self) -> dense.Samples:
        return dense.output_samples(self.axis, STEPS)

    @cached_property
    def shaft(self) -> dense.Samples:
        g = self.gear
        return dense.motor_samples(self.out, g.ratio, self.inertia, self.mesh, g.no_load_torque)

    @cached_property
    def winding(self) -> dense.Winding:
        m = self.motor
        return dense.Winding(m.torque_constant, m.current_stall, m.current_peak, m.saturation_peak)

    @cached_property
    def current(self) -> np.ndarray:
        return self.winding.current(self.shaft.torque)

    @cached_property
    def rms_current(self) -> float:
        return float(np.sqrt(self.shaft.mean(self.current**2)))

    @cached_property
    def weight(self) -> float:
        """Weight torque at the output, with the tray."""
        return (12.0 + 7.0) * G * 0.0305

    def curve(self, kind: str, mains: float) -> tuple[np.ndarray, np.ndarray]:
        """A boundary as it stands in curves.csv."""
        found = next(c for c in self.line.curves if c.motor == self.motor.name
                     and (c.kind, c.mains, c.phases) == (kind, mains, 3))  # fmt: skip
        return np.array(found.speed), np.array(found.torque)

    @cached_property
    def steady(self) -> tuple[np.ndarray, np.ndarray]:
        """The continuous boundary beside a fitted brake."""
        speed, torque = self.curve("continuous", 230.0)
        return speed, torque * self.motor.brake_factor

    @cached_property
    def reach(self) -> float:
        """How much of the motor's stall current the drive gives for ever."""
        return min(self.drive.current_rated / self.motor.current_stall, 1.0)

    @cached_property
    def capacity(self) -> float:
        idle = np.sqrt(2) * 230.0 * 1.1
        return 0.5 * 0.8 * self.drive.bus_capacitance * (self.drive.chopper_on**2 - idle**2)

    @cached_property
    def bus(self) -> dense.Bus:
        m, d = self.motor, self.drive
        return dense.bus(self.shaft, self.winding, self.capacity, resistance=m.resistance / 2,
                         iron=m.iron_loss_rated, speed_rated=m.speed_rated,
                         exponent=m.iron_exponent, fixed=d.loss_fixed,
                         per_ampere=d.loss_per_ampere)  # fmt: skip

    def at_low_mains(self, speed: np.ndarray) -> np.ndarray:
        """Torque at 207 V: speeds at equal torque, 7/30 of the way from 200 V to 230 V."""
        low, high = self.curve("peak", 200.0), self.curve("peak", 230.0)
        torque = np.linspace(float(high[1][-1]), float(low[1][0]), 20001)

        def fastest(curve):
            return np.interp(-torque, -curve[1][1:], curve[0][1:])

        both = fastest(low) + (207.0 - 200.0) / 30.0 * (fastest(high) - fastest(low))
        return np.interp(speed, both[::-1], torque[::-1])


@cache
def main() -> Bench:
    return Bench()


@cache
def bare() -> Bench:
    """A drive with no resistor at all."""
    return Bench(Combination("XM72-0450H", "XG72-6", "XD-H2", "XB72"))


def two_nodes(b: Bench) -> float:
    """Largest rise of the winding in the settled cycle, by small steps of the trapezoid rule."""
    m = b.motor
    on = b.shaft.inner
    dt, square = b.shaft.weight[on], b.current[on] ** 2
    heat = 1.5 * m.resistance * square
    iron = m.iron_loss_rated * (np.abs(b.shaft.speed[on]) / m.speed_rated) ** m.iron_exponent
    alpha, ambient = 0.00393, 40.0
    whole, rest = np.eye(2), np.zeros(2)
    steps = []
    for h, p, q in zip(dt, heat, iron, strict=True):
        a = np.array(
            [
                [
                    (alpha * p - 1 / m.rth_winding_housing) / m.cth_winding,
                    1 / m.rth_winding_housing / m.cth_winding,
                ],
                [
                    1 / m.rth_winding_housing / m.cth_housing,
                    -(1 / m.rth_winding_housing + 1 / m.rth_housing_ambient) / m.cth_housing,
                ],
            ]
        )
        force = np.array([p * (1 + alpha * (ambient - 20)) / m.cth_winding, q / m.cth_housing])
        left = np.linalg.inv(np.eye(2) - h / 2 * a)
        step, push = left @ (np.eye(2) + h / 2 * a), left @ (h * force)
        steps.append((step, push))
        whole, rest = step @ whole, step @ rest + push
    state = np.linalg.solve(np.eye(2) - whole, rest)
    top = state[0]
    for step, push in steps:
        state = step @ state + push
        top = max(top, state[0])
    return float(top)


def peaks_per_hour(b: Bench) -> float:
    """Ramps whose largest output torque is above half the acceleration torque, per hour."""
    out, count = b.out, 0
    for phase in (0, 2):
        p = b.axis.cycle.phases[phase]
        own = (out.time >= p.start) & (out.time <= p.start + p.duration)
        speeding = out.acceleration * out.direction > 0
        braking = out.acceleration * out.direction < 0
        for ramp in (own & speeding, own & braking):
            count += np.abs(out.torque[ramp]).max() > 0.5 * b.gear.torque_acceleration
    return count * 3600.0 / b.axis.cycle.duration


def gear_peak(b):
    log = np.log(np.maximum(peaks_per_hour(b), 1.0))
    factor = np.interp(log, np.log([1000.0, 3000.0, 10000.0]), [1.0, 0.9, 0.7])
    return b.out.peak, factor * b.gear.torque_acceleration


def gear_life(b):
    g = b.gear
    turned = b.out.mean(np.abs(b.out.speed))
    equal = b.out.equivalent(10 / 3)
    life = g.life * (g.torque_rated / equal) ** (10 / 3) * g.speed_rated_out / turned
    return 16 * 3600.0 * 250 * 8, life


def mean_input_speed(b):
    moving = 0.5 + 0.45
    share = moving / b.axis.cycle.duration
    mean = b.out.mean(np.abs(b.out.speed)) / (share if share > 0.6 else 1.0)
    return mean * b.gear.ratio, b.gear.speed_in_mean


def drop(b):
    """Free fall for engaging and reaction time, the tray on board, and the brake's play."""
    pull = b.weight / b.gear.ratio
    mass = b.inertia + (19.0 * 0.0305**2 + 5.8e-4) / b.gear.ratio**2
    time = b.brake.engage_time + 0.012
    angle = 0.5 * pull / mass * time**2 + b.brake.backlash
    return angle * 0.0305 / b.gear.ratio, 0.005


def gear_heat(b):
    """What goes into the gearhead less what comes out, at 0.6 K/W."""
    rotor = b.inertia * b.out.acceleration * b.gear.ratio
    into = (b.shaft.torque - rotor) * b.shaft.speed
    return 0.6 * (b.out.mean(into) - b.out.mean(b.out.torque * b.out.speed)), 50.0


def low_mains(b):
    share = np.abs(b.shaft.torque) / b.at_low_mains(np.abs(b.shaft.speed))
    return float(share.max()), 1.0


def strongest(b):
    """What comes out of the gearhead at the motor's peak torque; the drive gives its current."""
    m, g = b.motor, b.gear
    assert b.drive.current_peak > m.current_peak
    return (m.torque_peak - g.no_load_torque) * g.ratio * b.mesh, g.torque_acceleration


def ramp_distance(b: Bench) -> tuple[float, float]:
    """Down, 0.7 m in 0.45 s with thirds, is the faster way: v t + v^2/(2 d)."""
    speed = 1.5 * 0.7 / 0.45
    return speed * 0.02 + speed**2 / 8.0, 0.9


SECOND = {
    ("stop-distance", "axis"): ramp_distance,
    ("supply-match", "supply"): lambda b: (0.0, 1.0),  # H, H and H; 230 V in 200 to 230; 3 phases
    ("fit", "gearhead"): lambda b: (
        0.0 if b.motor.flange in b.gear.input_flanges and b.motor.shaft <= b.gear.shaft_in_max
        else 1.0, 1.0),
    ("top-speed", "motor"): lambda b: (
        np.abs(b.shaft.speed).max(), b.curve("peak", 230.0)[0][-1]),
    ("gear-max-speed", "gearhead"): lambda b: (
        np.abs(b.shaft.speed).max(), b.gear.speed_in_max),
    ("gear-mean-speed", "gearhead"): mean_input_speed,
    ("gear-peak", "gearhead"): gear_peak,
    ("gear-equivalent", "gearhead"): lambda b: (b.out.equivalent(10 / 3), b.gear.torque_rated),
    ("gear-life", "gearhead"): gear_life,
    ("brake-hold", "brake"): lambda b: (
        1.5, 0.8 * b.brake.torque_static * b.gear.ratio / b.weight),
    ("gravity-without-brake", "brake"): lambda b: (0.0, 1.0),
    ("standstill-torque", "motor"): lambda b: (
        b.weight / b.gear.ratio, b.motor.torque_stall * b.motor.brake_factor / np.sqrt(2)),
    ("peak-torque", "motor"): lambda b: (
        dense.worst_share(b.shaft, *b.curve("peak", 230.0)), 1.0),
    ("drive-peak-current", "drive"): lambda b: (b.current.max(), b.drive.current_peak),
    ("drive-continuous-current", "drive"): lambda b: (b.rms_current, b.drive.current_rated),
    ("continuous-use", "motor"): lambda b: (
        b.rms_current * b.motor.torque_constant,
        b.reach * dense.continuous_limit(b.shaft, *b.steady)),
    ("thermal-runaway", "motor"): lambda b: (
        0.00393 * 1.5 * b.motor.resistance * b.rms_current**2
        * (b.motor.rth_winding_housing + b.motor.rth_housing_ambient), 1.0),
    ("winding-temperature", "motor"): lambda b: (two_nodes(b), b.motor.winding_limit - 40.0),
    ("overload-accumulated", "motor"): lambda b: (
        dense.damage(b.shaft, b.winding, b.motor.current_stall, CURVE, 10.0)[0], 1.0),
    ("overload-single", "motor"): lambda b: (
        dense.burst(b.shaft, b.winding, b.motor.current_stall, CURVE), 1.0),
    ("overload-accumulated", "drive"): lambda b: (
        dense.damage(b.shaft, b.winding, min(b.motor.current_stall, b.drive.current_rated),
                     DRIVE_CURVE, 10.0)[0], 1.0),
    ("overload-single", "drive"): lambda b: (
        dense.burst(b.shaft, b.winding, min(b.motor.current_stall, b.drive.current_rated),
                    DRIVE_CURVE), 1.0),
    ("regen-capacitor", "drive"): lambda b: (b.bus.largest_store, b.capacity),
    ("resistor-minimum", "resistor"): lambda b: (b.drive.resistor_min, b.resistor.resistance),
    ("resistor-mean", "resistor"): lambda b: (
        b.bus.burnt / b.axis.cycle.duration, b.resistor.power_mean),
    ("resistor-peak", "resistor"): lambda b: (
        b.bus.peak_power, b.drive.chopper_on**2 / b.resistor.resistance),
    ("resistor-pulse", "resistor"): lambda b: (b.bus.pulse, b.resistor.pulse_energy),
    ("encoder-resolution", "axis"): lambda b: (
        2 * np.pi / 2**b.motor.encoder_bits * 0.0305 / b.gear.ratio, 0.0005 / 4),
    ("ambient-altitude", "axis"): lambda b: (40.0, 60.0),  # nearer its end than 300 of 4000 m
    ("brake-drop", "brake"): drop,
    ("gear-torque-limit-set", "gearhead"): strongest,
    ("gear-thermal", "gearhead"): gear_heat,
    ("speed-on-low-mains", "motor"): low_mains,
    ("inertia-ratio", "axis"): lambda b: (
        (19.0 * 0.0305**2 + 5.8e-4) / b.gear.ratio**2 / b.inertia, 10.0),
    ("gravity-safety-caution", "axis"): lambda b: (None, None),
    ("continuous-use-plain", "motor"): lambda b: (
        b.shaft.rms, b.reach * np.interp(b.shaft.mean(np.abs(b.shaft.speed)), *b.steady)),
    ("assumed-inputs", "axis"): lambda b: (0.0, 0.0),  # the lift states no input as assumed
}  # fmt: skip
"""Demand and limit by check id and part."""

SHARES = (("peak-torque", "motor"), ("speed-on-low-mains", "motor"))
"""The second way finds the share alone, not where it occurs."""
NEAR = {
    ("overload-single", "motor"): 0.02,
    ("overload-single", "drive"): 0.02,
    ("overload-accumulated", "motor"): 2e-3,
    ("overload-accumulated", "drive"): 2e-3,
    ("resistor-peak", "resistor"): 2e-3,
    ("speed-on-low-mains", "motor"): 1e-3,
    ("peak-torque", "motor"): 1e-3,
}
"""Tolerance where the second way itself is rough; else 1e-4."""


ELSEWHERE = {
    "test_stops": {
        ("brake-stop-energy", "brake"), ("brake-life", "brake"), ("brake-speed", "brake"),
        ("brake-stop-distance", "brake"), ("brake-gear-load", "gearhead"),
        ("gear-emergency", "gearhead"), ("stop-distance", "drive"), ("short-circuit-stop", "motor"),
        ("bus-stop", "supply"),
    },
    "test_stop_ramps": {("bus-stop", "drive")},
    "test_cam_and_rolls": {("follower-contact", "axis"), ("cam-pressure-angle", "axis")},
    "test_mains": {
        ("mains-current", "supply"), ("protective-device", "supply"), ("conductor", "supply"),
        ("conductor", "drive"), ("voltage-drop", "supply"), ("cabinet-heat", "drive"),
        ("yearly-energy", "supply"), ("inrush", "supply"), ("bus-supply-peak", "supply"),
    },
    "test_own_mechanics": {(name, "axis") for name in (
        "screw-critical-speed", "screw-speed-value", "nut-pressure-speed", "screw-buckling",
        "screw-static", "screw-life", "guide-static", "guide-life", "belt-force", "belt-teeth",
        "belt-slack", "pinion-force", "coupling-torque", "hub-slip", "traction", "key-pressure",
        "follower-contact")},
    "test_shaft_loads": {
        ("gear-radial", "gearhead"), ("gear-axial", "gearhead"), ("gear-tilting", "gearhead"),
        ("bearing-life", "gearhead"), ("bearing-life", "axis"), ("motor-shaft-load", "motor"),
        ("shaft-stop-load", "axis"),
    },
    "test_rest": {
        ("backlash-lost-motion", "axis"), ("backlash-lost-motion", "gearhead"),
        ("friction-windup", "axis"), ("accuracy", "axis"), ("first-resonance", "axis"),
        ("mass-limit", "motor"), ("fit", "motor"), ("protection-class", "axis"),
    },
    "test_control": {("settling", "axis")},
    "test_encoder_and_creep": {
        ("drive-low-frequency", "drive"), ("encoder-resolution", "motor"),
        ("command-frequency", "axis"), ("absolute-range", "axis"),
        ("gear-ratio-registers", "axis"),
    },
    "test_data_quality": {("data-quality", "axis")},
}  # fmt: skip
"""Checks whose second way stands in a module of its own."""
HERE = [key for key in KEYS if not any(key in keys for keys in ELSEWHERE.values())]


RAMPED = {
    ("regen-capacitor", "drive"),
    ("resistor-peak", "resistor"),
    ("resistor-pulse", "resistor"),
}
"""Of which the ramp of the lift asks for more; its second way stands with the ramps."""


def test_every_check_has_a_second_way():
    """Nothing in data/checks.toml is left out, and nothing here that is not there."""
    assert set(SECOND).union(*ELSEWHERE.values()) == set(KEYS)
    assert set(SECOND) == set(HERE)


@pytest.mark.parametrize("key", HERE, ids=[f"{c}-{p}" for c, p in HERE])
def test_second_way(key):
    """Demand and limit of the ledger line against the second way."""
    b = bare() if key[0] == "regen-capacitor" else main()
    line = (b.cycle if key in RAMPED else b.ledger)[key]
    demand, limit = SECOND[key](b)
    if demand is None:
        assert (line.demand, line.limit, line.state) == (None, None, "not-checked")
        return
    near = NEAR.get(key, 1e-4)
    if key in SHARES:
        assert line.demand / line.limit == pytest.approx(demand / limit, rel=near)
        return
    assert line.demand == pytest.approx(demand, rel=near, abs=1e-12)
    assert line.limit == pytest.approx(limit, rel=near if key in NEAR else 1e-5, abs=1e-12)


def test_second_way_meets_every_line_of_the_lift():
    """The lift has a line for every check but the one that needs a drive without resistor."""
    assert set(main().ledger) >= set(HERE) - {("regen-capacitor", "drive")}


def test_peaks_count():
    """The gear factor of the lift is below one, so the second way of gear-peak tells something."""
    assert peaks_per_hour(main()) > 1000


def test_drive_caps_the_peak_torque():
    """Kt I sat(I) at the drive's peak current where that is below the motor's boundary."""
    b = bare()
    line = b.ledger[("peak-torque", "motor")]
    assert b.drive.current_peak < b.motor.current_peak
    assert line.limit == pytest.approx(float(b.winding.torque(b.drive.current_peak)), rel=1e-12)
    assert line.demand == pytest.approx(b.shaft.peak, rel=1e-4)


def test_long_time_near_the_drives_peak():
    """Time above 0.9 I_pk without a pause against the drive's peak time, in place of the current.

    The drive is given a peak current just above the demand and a peak time of 10 ms.
    """
    b = main()
    line = changed(b.line, "drive", PARTS.drive, current_peak=b.current.max() * 1.01,
                   peak_time=0.010)  # fmt: skip
    found = lines_of(judged(b.axis, line))[("drive-peak-current", "drive")]
    on = b.shaft.inner
    longest = dense.longest_stretch(
        b.current[on] >= 0.9 * 1.01 * b.current.max(), b.shaft.weight[on]
    )
    assert found.unit == "s"
    assert found.demand == pytest.approx(longest, rel=5e-3)
    assert found.limit == 0.010
    assert found.state == "fails"
