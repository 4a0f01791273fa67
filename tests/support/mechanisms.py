"""Axes with cranks, cams, linkages, tables and rolls, built from records; strategies for them."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from hypothesis import assume
from hypothesis import strategies as st

from dutyline.axis.model import Axis
from dutyline.motion.cycle import build_cycle
from dutyline.motion.specs import PhaseSpec
from dutyline.train.bent_parameters import (
    CamParams,
    CamSectionParams,
    FourBarParams,
    RatioTableParams,
    RotaryLoadParams,
    ScotchYokeParams,
    SliderCrankParams,
    ToggleParams,
    WinderParams,
)
from dutyline.train.mechanisms import mechanism_stages
from dutyline.train.parameters import (
    BallScrewParams,
    CounterweightParams,
    LoadParams,
    MechanismParams,
    SpringParams,
)
from dutyline.train.records import Chain, Force, Stage, Train
from support.axes import SITE, dwell, move, run, stage

TURN = 2 * math.pi
SHAPED = ("cubic", "quintic", "septic", "cycloid", "modified-sine", "modified-trapezoid",
          "simple-sine", "gutman", "trapezoid", "triangle", "s-curve")  # fmt: skip


def driven(
    params: MechanismParams,
    load: LoadParams,
    specs: Sequence[PhaseSpec],
    *,
    stages: Sequence[Stage] = (),
    forces: Sequence[Force] = (),
    balances: Sequence[CounterweightParams | SpringParams] = (),
    of_load: bool = False,
    endless: bool = False,
) -> Axis:
    """An axis whose phases state the input of the mechanism, or its load."""
    own, built = mechanism_stages(params, load, balances=balances)
    linear = built.linear if of_load else params.kind == "toggle"
    period = TURN if endless and not of_load else None
    cycle = build_cycle(list(specs), linear=linear, endless=endless, period=period)
    train = Train(Chain(built, (*own, *stages)), tuple(forces), kind=params.kind,
                  input_stated=not of_load)  # fmt: skip
    return Axis("made", train, cycle, linear, site=SITE)


def _number(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def straight_loads(draw) -> LoadParams:
    return LoadParams(
        mass=draw(_number(0.5, 60)), incline=draw(_number(-1.5, 1.5)),
        friction=draw(_number(0, 0.2)), drag=draw(_number(0, 40)), viscous=draw(_number(0, 30)),
    )  # fmt: skip


@st.composite
def gears(draw) -> Stage:
    forward = draw(_number(0.6, 1.0))
    return stage(
        draw(st.sampled_from((1, -1))) / draw(_number(1.5, 30)), forward, draw(_number(-0.2, 1.0)),
        inertia_in=draw(_number(0, 2e-3)), drag_in=draw(_number(0, 0.2)),
    )  # fmt: skip


@st.composite
def turns(draw) -> list[PhaseSpec]:
    """Whole turns by moves and runs, and a swing back."""
    if draw(st.booleans()):
        speed = draw(_number(0.5, 30)) * draw(st.sampled_from((1, -1)))
        return [run(speed, TURN / abs(speed))]
    time = draw(_number(0.2, 3))
    first = draw(_number(0.3, 5.5))
    law = st.sampled_from(SHAPED)
    return [
        move(first, time, draw(law)), dwell(draw(_number(0.05, 1))),
        move(TURN - first, draw(_number(0.2, 3)), draw(law)),
        dwell(draw(_number(0.05, 1)), hold=draw(st.sampled_from(("ideal", "worst", "brake")))),
    ]  # fmt: skip


@st.composite
def cranks(draw) -> Axis:
    """Slider-cranks and scotch yokes that turn round."""
    r = draw(_number(0.01, 0.2))
    start = draw(_number(-3, 3))
    common = {"inertia": draw(_number(1e-4, 0.3)), "drag": draw(_number(0, 3)),
              "efficiency": draw(_number(0.7, 1)), "start_angle": start,
              "reverse": draw(st.booleans())}  # fmt: skip
    if draw(st.booleans()):
        params: MechanismParams = ScotchYokeParams(crank=r, **common)
        reach = 2 * r
    else:
        rod = r * draw(_number(1.8, 8))
        params = SliderCrankParams(
            crank=r, rod=rod, offset=draw(_number(-0.5, 0.5)) * (rod - r),
            rod_mass=draw(_number(0, 5)), rod_cg=draw(_number(0, 1)) * rod,
            rod_inertia=draw(_number(0, 0.05)), **common,
        )  # fmt: skip
        reach = 2 * r
    forces = []
    if draw(st.booleans()):
        places = (-0.6 * reach, 0.2 * reach, 0.5 * reach)
        values = tuple(draw(_number(0, 3000)) for _ in places)
        forces.append(Force("press", values, places, "travel",
                            draw(st.sampled_from(("linear", "step"))),
                            only=draw(st.sampled_from(("both", "forward"))),
                            sense=draw(st.sampled_from(("fixed", "opposing")))))  # fmt: skip
    return driven(params, draw(straight_loads()), draw(turns()), stages=[draw(gears())],
                  forces=forces, endless=True)  # fmt: skip


@st.composite
def bars(draw) -> Axis:
    """Crank-rockers, the rocker with its weight, in any tilt."""
    a = draw(_number(0.02, 0.1))
    ground = a * draw(_number(2.5, 5))
    coupler = a * draw(_number(2.2, 5))
    gap = 0.1 * a  # Grashof with the crank as the shortest bar, kept from its limits
    low = max(ground - coupler, coupler - ground) + a + gap
    high = ground + coupler - a - gap
    params = FourBarParams(
        crank=a, coupler=coupler, ground=ground,
        rocker=low + draw(_number(0.05, 0.9)) * (high - low),
        circuit=draw(st.sampled_from(("open", "crossed"))), start_angle=draw(_number(-3, 3)),
        tilt=draw(_number(0, 1.57)), coupler_mass=draw(_number(0, 4)),
        coupler_cg=draw(_number(0, 1)) * coupler, coupler_inertia=draw(_number(0, 0.02)),
        efficiency=draw(_number(0.7, 1)), inertia=draw(_number(1e-4, 0.1)),
    )  # fmt: skip
    load = LoadParams(inertia=draw(_number(0.01, 2)), mass=draw(_number(0.1, 20)),
                      arm=draw(_number(0, 0.4)), angle=draw(_number(-3, 3)),
                      drag=draw(_number(0, 5)))  # fmt: skip
    return driven(params, load, draw(turns()), stages=[draw(gears())], endless=True)


@st.composite
def toggles(draw) -> Axis:
    """A knee that goes past the straight line and back."""
    link, angle = draw(_number(0.1, 0.6)), draw(_number(-0.9, 0.9))
    params = ToggleParams(link=link, start_angle=angle, lead=draw(_number(0.004, 0.03)),
                          efficiency=draw(_number(0.5, 1)), inertia=draw(_number(0, 1e-3)),
                          drag=draw(_number(0, 0.3)))  # fmt: skip
    way = draw(_number(0.05, 0.9)) * link * (1 - abs(math.sin(angle)))
    law = st.sampled_from(SHAPED)
    specs = [move(way, draw(_number(0.3, 2)), draw(law)), dwell(0.2),
             move(-way, draw(_number(0.3, 2)), draw(law)), dwell(0.1, hold="brake")]  # fmt: skip
    return driven(params, draw(straight_loads()), specs)


@st.composite
def cams(draw) -> Axis:
    """A cam with a spring, turning round."""
    lift, rise = draw(_number(0.005, 0.08)), draw(_number(0.8, 2.4))
    rest, fall = draw(_number(0.2, 0.8)), draw(_number(0.8, 2.2))
    law = st.sampled_from(SHAPED[:8])
    params = CamParams(
        sections=(CamSectionParams(angle=rise, lift=lift, law=draw(law)),
                  CamSectionParams(angle=rest),
                  CamSectionParams(angle=fall, lift=-lift, law=draw(law)),
                  CamSectionParams(angle=TURN - rise - rest - fall)),
        spring_force=draw(_number(0, 300)), spring_stiffness=draw(_number(0, 2e4)),
        inertia=draw(_number(1e-4, 0.02)), drag=draw(_number(0, 1)),
    )  # fmt: skip
    return driven(params, draw(straight_loads()), draw(turns()), stages=[draw(gears())],
                  endless=True)  # fmt: skip


@st.composite
def tables(draw) -> Axis:
    """A table of input and load travel, stated at the input or at the load."""
    steps = draw(st.lists(_number(0.02, 0.06), min_size=5, max_size=9))
    places, values = [0.0], [0.0]
    for n, step in enumerate(steps, 1):
        places.append(0.4 * n)
        values.append(values[-1] + step)
    of_load = draw(st.booleans())
    params = RatioTableParams(points=tuple(zip(places, values, strict=True)),
                              motion="load" if of_load else "input")  # fmt: skip
    way = draw(_number(0.1, 0.95)) * (values[-1] if of_load else places[-1])
    law = st.sampled_from(SHAPED)
    specs = [move(way, draw(_number(0.3, 2)), draw(law)), dwell(0.2),
             move(-way, draw(_number(0.3, 2)), draw(law)), dwell(0.1)]  # fmt: skip
    axis = driven(params, draw(straight_loads()), specs, stages=[draw(gears())], of_load=of_load)
    ratio = axis.train.chain.stages[0].ratio
    grid = np.linspace(0.0, places[-1], 400)
    assume(not of_load or bool(np.all(ratio.at(grid)[0] > 0.01)))
    return axis


@st.composite
def cranks_by_load(draw) -> Axis:
    """Slider-cranks whose slider is stated, between the dead points."""
    r = draw(_number(0.03, 0.2))
    rod = r * draw(_number(2, 6))
    params = SliderCrankParams(crank=r, rod=rod, start_angle=-1.4, motion="load",
                               rod_mass=draw(_number(0, 5)), rod_cg=0.4 * rod,
                               inertia=draw(_number(1e-4, 0.1)))  # fmt: skip
    way = draw(_number(0.1, 0.75)) * r
    law = st.sampled_from(SHAPED)
    specs = [move(way, draw(_number(0.3, 2)), draw(law)), dwell(0.2, hold="worst"),
             move(-1.3 * way, 0.8, draw(law)), dwell(0.1), move(0.3 * way, 0.5)]  # fmt: skip
    return driven(params, draw(straight_loads()), specs, stages=[draw(gears())], of_load=True)


@st.composite
def winders(draw) -> Axis:
    """Winders and unwinders, centre and surface, speeding up, running and stopping."""
    core = draw(_number(0.05, 0.2))
    full = core * draw(_number(3, 8))
    start = core + draw(_number(0.2, 0.8)) * (full - core)
    drive = draw(st.sampled_from(("centre", "surface")))
    room = math.pi / 4 * min(start**2 - core**2, full**2 - start**2)  # side view of the web
    follows = draw(st.booleans())
    params = WinderParams(
        core=core, full=full, start=start if follows else None,
        roll=None if follows else start, width=draw(_number(0.2, 1.5)),
        thickness=draw(_number(0.01, 0.9)) * room / 70.0, density=draw(_number(300, 1500)),
        tension=draw(_number(20, 600)), taper=draw(_number(0, 0.6)),
        taper_law=draw(st.sampled_from(("hyperbolic", "linear"))),
        mode=draw(st.sampled_from(("wind", "unwind"))), drive=drive,
        drum_diameter=0.3 if drive == "surface" else None,
        roll_resistance=draw(_number(0, 1e-3)), inertia=draw(_number(0, 0.1)),
        drag=draw(_number(0, 5)), efficiency=draw(_number(0.8, 1)), reverse=draw(st.booleans()),
    )  # fmt: skip
    speed = draw(_number(0.5, 6))
    specs = [run(speed, draw(_number(0.2, 5)), ramp=draw(_number(0.3, 3))),
             run(0.0, 0.5, ramp=draw(_number(0.3, 3)))]  # fmt: skip
    return driven(params, LoadParams(drag=draw(_number(0, 10))), specs, stages=[draw(gears())],
                  of_load=True, endless=True)  # fmt: skip


@st.composite
def fans(draw) -> Axis:
    """A process torque over speed: a polynomial, constant power, or points."""
    what = draw(st.sampled_from(("polynomial", "power", "points")))
    own = {
        "polynomial": {"torque": 2.0, "torque_per_speed": draw(_number(0, 0.1)),
                       "torque_per_speed2": draw(_number(0, 1e-3))},
        "power": {"power": draw(_number(50, 2000)), "base_speed": draw(_number(5, 60))},
        "points": {"points": ((0.0, 3.0), (20.0, draw(_number(0, 8))), (60.0, 2.0), (99.0, 9.0))},
    }[what]  # fmt: skip
    params = RotaryLoadParams(inertia=draw(_number(0.01, 1)), efficiency=draw(_number(0.8, 1)),
                              **own)  # fmt: skip
    fast = draw(_number(10, 90)) * draw(st.sampled_from((1, -1)))
    specs = [run(fast, 0.5, ramp=draw(_number(0.2, 3))),
             run(-0.4 * fast, 0.5, ramp=draw(_number(0.2, 3))),
             run(0.0, 0.3, ramp=0.4)]  # fmt: skip
    return driven(params, LoadParams(inertia=draw(_number(0, 1))), specs, stages=[draw(gears())],
                  of_load=True, endless=True)  # fmt: skip


@st.composite
def slow_slides(draw) -> Axis:
    """A slide whose static friction fades with the speed."""
    load = LoadParams(mass=draw(_number(1, 50)), friction=draw(_number(0.05, 0.3)),
                      drag=draw(_number(0, 20)), breakaway=draw(_number(1.1, 2.2)),
                      stribeck_speed=draw(_number(0.002, 0.2)),
                      stribeck_exponent=draw(_number(1, 2)),
                      incline=draw(_number(-1, 1)))  # fmt: skip
    params = BallScrewParams(lead=draw(_number(0.004, 0.03)), inertia=1e-4,
                             efficiency=draw(_number(0.6, 1)))  # fmt: skip
    law = st.sampled_from(SHAPED)
    way, time = draw(_number(0.05, 0.6)), draw(_number(0.3, 2))
    specs = [move(way, time, draw(law)), dwell(0.2, hold="worst"),
             move(-way, draw(_number(0.3, 2)), draw(law)), dwell(0.1)]  # fmt: skip
    return driven(params, load, specs, of_load=True)


BENT = {
    f.__name__: f
    for f in (cranks, bars, toggles, cams, tables, cranks_by_load, winders, fans, slow_slides)
}
"""Strategies by name."""
EVERY = st.one_of(*(f() for f in BENT.values()))
