"""A tray lift put together by hand and judged on the line that ships: for tests of the report."""

from __future__ import annotations

import hashlib
import math
from dataclasses import replace

from dutyline.axis.model import Axis, Duty, Input, Question, Require, Site, Stop
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination, Verdict
from dutyline.checks.verdict import verify
from dutyline.core.values import Value
from dutyline.motion.cycle import build_cycle
from dutyline.motion.specs import PhaseSpec
from dutyline.train.records import Burden, Chain, ConstantRatio, Load, Stage, Train

GRAVITY = 9.80665
PARTS = Combination("XM72-0450H", "XG72-6", "XD-H4", "XB72", "XR-H80-90")


def _value(
    si: float, unit: str, typed: str = "", status: str = "given", note: str = "", inch: bool = False
) -> Value:
    return Value(si, unit, typed, status, note, inch=inch)  # type: ignore[arg-type]


def _inputs() -> tuple[Input, ...]:
    rows = (
        (
            "load.mass",
            "Load",
            "Moving mass",
            "m",
            _value(12.0, "kg", "12 kg", "measured", "weighed with cable chain"),
        ),
        (
            "load.payloads.tray",
            "Load",
            "Payload tray",
            "m",
            _value(7.030682, "kg", "15.5 lb", inch=True),
        ),
        (
            "load.drag",
            "Load",
            "Drag",
            "F",
            _value(35.0, "N", "about 35 N", "assumed", "guide friction, not measured"),
        ),
        ("load.incline", "Load", "Incline", "alpha", _value(math.pi / 2, "rad", "90 deg")),
        ("mechanism.kind", "Belt drive", "Kind", "", "belt"),
        ("mechanism.teeth", "Belt drive", "Teeth", "z", _value(24.0, "1", "24")),
        ("mechanism.pitch", "Belt drive", "Pitch", "p", _value(0.008, "m", "8 mm")),
        (
            "mechanism.efficiency",
            "Belt drive",
            "Efficiency",
            "eta",
            _value(0.97, "1", "0.97", "assumed", "common practice 0.95 to 0.98"),
        ),
        (
            "mechanism.inertia",
            "Belt drive",
            "Inertia",
            "J",
            _value(5.76e-4, "kg*m^2", "5.76 kg*cm^2", "calculated"),
        ),
        ("phase.up.by", "Motion", "Up, loaded: by", "s", _value(0.7, "m", "700 mm")),
        ("phase.up.time", "Motion", "Up, loaded: time", "t", _value(0.6, "s", "0,6 s")),
        ("phase.unload.time", "Motion", "Unload: time", "t", _value(0.4, "s", "0.4 s")),
        ("phase.down.by", "Motion", "Down, empty: by", "s", _value(-0.7, "m", "-700 mm")),
        ("phase.down.time", "Motion", "Down, empty: time", "t", _value(0.66, "s", "0.66 s")),
        ("phase.load.time", "Motion", "Load: time", "t", _value(0.34, "s", "340 ms")),
        ("site.mains", "Site and wishes", "Mains", "U", _value(230.0, "V", "230 V")),
        ("site.phases", "Site and wishes", "Phases", "", "3"),
        (
            "site.ambient",
            "Site and wishes",
            "Ambient",
            "theta",
            _value(40.0, "degC", "", "default"),
        ),
        ("site.people_near", "Site and wishes", "People near or beneath", "", "no"),
        (
            "stop.free_distance",
            "Site and wishes",
            "Free distance",
            "h",
            _value(0.3, "m", "300 mm", "measured", "end stop to floor plate"),
        ),
    )
    return tuple(
        Input(path, section, label, symbol, value, line=n + 5)
        for n, (path, section, label, symbol, value) in enumerate(rows)
    )


def tray_lift(**changes: object) -> Axis:
    """Twelve kilograms and a tray, straight up by a belt, thirty times a minute."""
    move = {"do": "move", "law": "s-curve", "jerk_share": 0.25}
    specs = [
        PhaseSpec(name="Up, loaded", by=0.7, time=0.6, carry=("tray",), **move),
        PhaseSpec(name="Unload", do="dwell", time=0.4, carry=("tray",)),
        PhaseSpec(name="Down, empty", by=-0.7, time=0.66, **move),
        PhaseSpec(name="Load", do="dwell", time=0.34),
    ]
    mass, tray = 12.0, 15.5 * 0.45359237
    load = Load(
        True,
        Burden(inertia=mass, gravity=mass * GRAVITY, friction=35.0, mass=mass),
        {"tray": Burden(inertia=tray, gravity=tray * GRAVITY, mass=tray)},
    )
    belt = Stage(
        "Belt drive",
        "belt",
        ConstantRatio(24 * 0.008 / (2 * math.pi)),
        0.97,
        2 - 1 / 0.97,
        inertia_in=5.76e-4,
        stiffness=2e6,
        linear_out=True,
    )
    axis = Axis(
        title="Tray lift",
        train=Train(Chain(load, (belt,)), kind="belt"),
        cycle=build_cycle(specs, linear=True),
        linear=True,
        duty=Duty(),
        stop=Stop(reaction=0.01, free_distance=(0.3, 0.3)),
        site=Site(230.0, 3, altitude=300.0, people_near=False),
        require=Require(position=0.0005),
        enquiry="Lift one tray, 15.5 lb, by 700 mm, 30 times a minute; it must not come down "
        "when power fails.",
        project="Packing hall 2",
        customer="",
        inputs=_inputs(),
        questions=(
            Question(
                "How stiff is the belt, pulley to carriage?",
                "mechanism.stiffness",
                "Opens first resonance and settling.",
                rank=1,
            ),
            Question(
                "What is the guide friction, measured?",
                "load.drag",
                "Moves continuous use.",
                "35 N",
                rank=2,
            ),
        ),
        file="tray-lift.toml",
        checksum=hashlib.sha256(b"tray lift").hexdigest(),
    )
    return replace(axis, **changes)  # type: ignore[arg-type]


def sample_verdict(parts: Combination = PARTS, **changes: object) -> Verdict:
    """The tray lift with parts of the line that ships, every check made."""
    return verify(tray_lift(**changes), demo_line(), parts)
