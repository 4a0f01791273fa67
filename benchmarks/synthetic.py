"""A made-up axis and made-up product lines of any size for timing; scaled by plain power laws."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from dutyline.axis.model import Axis, Site
from dutyline.catalogue.parts import Brake, Curve, Drive, Gearhead, Motor, ProductLine, Resistor
from dutyline.checks.sides import Choice
from dutyline.motion.cycle import build_cycle
from dutyline.motion.specs import PhaseSpec
from dutyline.train.records import Burden, Chain, ConstantRatio, Load, Stage, Train

RPM = np.pi / 30


def lift_axis() -> Axis:
    """A vertical rack: sixteen smooth pieces in 2.456 s, ten kilograms carried up."""
    up = PhaseSpec(
        name="up", do="move", by=0.9, time=0.7, law="s-curve", jerk_share=0.25, carry=("box",)
    )
    wait = PhaseSpec(name="unload", do="dwell", time=0.4, carry=("box",))
    down = PhaseSpec(name="down", do="move", by=-0.9, time=0.75, law="s-curve", jerk_share=0.25)
    rest = PhaseSpec(name="load", do="dwell", time=0.606)
    cycle = build_cycle([up, wait, down, rest], linear=True)
    g = 9.80665
    load = Load(
        linear=True,
        base=Burden(inertia=24.0, gravity=24.0 * g, friction=35.0, viscous=4.0, mass=24.0),
        payloads={"box": Burden(inertia=10.0, gravity=10.0 * g, mass=10.0)},
    )
    rack = Stage(
        "rack",
        "rack",
        ConstantRatio(0.03),
        0.97,
        0.969,
        inertia_in=6e-4,
        drag_in=0.1,
        linear_out=True,
    )
    return Axis(
        title="Lift for timing",
        train=Train(Chain(load, (rack,)), kind="rack"),
        cycle=cycle,
        linear=True,
        site=Site(230.0, 3, people_near=False),
    )


def product_line(motors: int, gearheads: int, drives: int) -> ProductLine:
    """A line whose sizes spread over two decades; every curve falls with speed."""
    power = np.geomspace(50.0, 5000.0, motors)
    made = [_motor(k, p) for k, p in enumerate(power)]
    curves = [c for k, p in enumerate(power) for c in _curves(k, p)]
    ratio = np.geomspace(2.0, 60.0, gearheads)
    rated = np.geomspace(12.0, 220.0, 7)
    heads = [_gearhead(k, float(i), float(rated[k % 7])) for k, i in enumerate(ratio)]
    boxes = [_drive(k, float(a)) for k, a in enumerate(np.geomspace(1.5, 40.0, drives))]
    brake = Brake(
        "B",
        torque_static=60.0,
        inertia=2e-5,
        engage_time=0.03,
        work_per_stop=600.0,
        work_total=6e5,
        speed_max=700.0,
        mass=0.5,
    )
    resistor = Resistor("R", "H", 45.0, 400.0, 3300.0, 6000.0, 120.0, 35.0, 450.0, 0.4)
    return ProductLine(
        name="synthetic",
        folder="",
        motors=tuple(made),
        gearheads=tuple(heads),
        drives=tuple(boxes),
        brakes=(brake,),
        resistors=(resistor,),
        curves=tuple(curves),
        pairings=(),
    )


def _motor(k: int, power: float) -> Motor:
    rated = power / (3000 * RPM)
    constant = 0.12 * (rated / 0.16) ** 0.35
    stall = rated * 1.12
    return Motor(
        name=f"M{k}",
        size=f"M{k}",
        supply_class="H",
        mains_min=200.0,
        mains_max=230.0,
        flange=0.06,
        shaft=0.01,
        power_rated=power,
        torque_rated=rated,
        torque_stall=stall,
        torque_peak=3.0 * rated,
        speed_rated=3000 * RPM,
        speed_max=6000 * RPM,
        inertia=2.6e-5 * (rated / 0.6) ** 1.35,
        inertia_with_brake=None,
        mass=0.35 + 2.0 * rated**0.7,
        torque_constant=constant,
        resistance=6.0 / rated**0.8,
        current_stall=stall / constant,
        current_peak=3.0 * rated / constant / 0.95,
        saturation_peak=0.95,
        iron_loss_rated=4.0 + 9.0 * rated,
        iron_exponent=1.5,
        rth_winding_housing=0.8 / rated**0.6,
        rth_housing_ambient=1.9 / rated**0.6,
        cth_winding=40.0 * rated**0.8,
        cth_housing=400.0 * rated**0.8,
        tau_winding=32.0,
        brake_factor=1.0,
        winding_limit=140.0,
        encoder_bits=20,
    )


def _curves(k: int, power: float) -> list[Curve]:
    rated = power / (3000 * RPM)
    knee = (3400 + 7 * (k % 200)) * RPM
    end = 6000 * RPM
    peak = Curve(f"M{k}", 230.0, 3, "peak", (0.0, knee, end), (3 * rated, 3 * rated, 1.3 * rated))
    low = Curve(
        f"M{k}",
        200.0,
        3,
        "peak",
        (0.0, knee * 0.86, end * 0.95),
        (3 * rated, 3 * rated, 1.2 * rated),
    )
    speed = np.linspace(0.0, end, 7)
    torque = 1.12 * rated * np.sqrt(1 - 0.2 * (speed / (3000 * RPM)) ** 1.5 / 1.6)
    steady = [
        Curve(f"M{k}", mains, 3, "continuous", tuple(speed), tuple(torque))
        for mains in (230.0, 200.0)
    ]
    return [peak, low, *steady]


def _gearhead(k: int, ratio: float, rated: float) -> Gearhead:
    return Gearhead(
        name=f"G{k}",
        style="inline",
        frame=0.06,
        ratio=ratio,
        ratio_exact=Fraction(ratio),
        stages=1,
        torque_rated=rated,
        torque_acceleration=1.7 * rated,
        torque_emergency=60.0 * rated,  # one strong brake for every size
        emergency_count=1000,
        speed_in_mean=3300 * RPM,
        speed_in_max=6500 * RPM,
        efficiency=0.96,
        backlash=1.5e-3,
        stiffness=6000.0,
        inertia_in=4e-6 * (1 + rated / 40),
        no_load_torque=0.01 + 0.0004 * rated,
        life=20000 * 3600.0,
        speed_rated_out=3300 * RPM / ratio,
        mass=0.5 + rated / 40,
        input_flanges=(0.06,),
        shaft_in_max=0.014,
    )


def _drive(k: int, current: float) -> Drive:
    return Drive(
        name=f"D{k}",
        supply_class="H",
        mains_min=200.0,
        mains_max=230.0,
        mains_tolerance=0.1,
        phases=(1, 3),
        current_rated=current,
        current_peak=3 * current,
        peak_time=2.5,
        bus_capacitance=2e-4 * current**0.7,
        chopper_on=388.0,
        overvoltage_trip=412.0,
        resistor_min=30.0,
        internal_resistor_power=0.0,
        internal_resistor_pulse=0.0,
        loss_fixed=8.0 + current,
        loss_per_ampere=2.4,
        ambient_max=45.0,
        derate_per_kelvin=0.025,
        altitude_max=1000.0,
        derate_per_metre=1e-4,
        overload_curve=((1.2, 14.0), (1.5, 6.2), (2.0, 2.3), (3.0, 0.6)),
    )


def every_combination(line: ProductLine) -> Choice:
    """Every motor with every gearhead and drive, the one brake and the one resistor."""
    m, g, d = (len(p) for p in (line.motors, line.gearheads, line.drives))
    motor, gearhead, drive = np.meshgrid(np.arange(m), np.arange(g), np.arange(d), indexing="ij")
    one = np.zeros(motor.size, dtype=np.intp)
    return Choice(motor.ravel(), gearhead.ravel(), drive.ravel(), one, one.copy())
