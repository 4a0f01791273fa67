"""Axes put together by hand, and strategies for random ones.

``EXAMPLES`` are ten axes that between them use every kind of load, stage, force and hold policy.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache

from hypothesis import strategies as st

from dutyline.axis.model import Axis, Site
from dutyline.motion.cycle import build_cycle
from dutyline.motion.pieces import Cycle, Piece, Wave
from dutyline.motion.specs import LAWS, PhaseSpec
from dutyline.train.records import Burden, Chain, ConstantRatio, Force, Load, Stage, Train

GRAVITY = 9.80665
TURN = 2 * math.pi
SITE = Site(230.0, 3, people_near=False)
HOLDS = ("ideal", "worst", "credit", "brake", "off")


def stage(ratio: float, forward: float = 1.0, backward: float | None = None, **other) -> Stage:
    """A stage with ``backward`` from equal loss torque in both directions where left out."""
    back = 2 - 1 / forward if backward is None else backward
    fields = {"name": "stage", "kind": "reduction", **other}
    return Stage(ratio=ConstantRatio(ratio), efficiency=forward, efficiency_back=back, **fields)


def weight(mass: float, incline: float = math.pi / 2, **other) -> Burden:
    """A mass on a straight axis at an incline, friction given as a force."""
    return Burden(inertia=mass, gravity=mass * GRAVITY * math.sin(incline), mass=mass, **other)


def make(load: Load, stages, specs, *, forces=(), endless: bool = False, **changes) -> Axis:
    """An axis with everything it needs to be judged."""
    cycle = build_cycle(list(specs), linear=load.linear, endless=endless)
    kind = stages[0].kind if stages else "direct"
    train = Train(Chain(load, tuple(stages)), tuple(forces), kind=kind)
    return Axis(**{"title": "made", "train": train, "cycle": cycle, "linear": load.linear,
                   "site": SITE, **changes})  # fmt: skip


def move(by: float, time: float, law: str = "trapezoid", **other) -> PhaseSpec:
    return PhaseSpec(do="move", by=by, time=time, law=law, **other)


def dwell(time: float, **other) -> PhaseSpec:
    return PhaseSpec(do="dwell", time=time, **other)


def run(speed: float, time: float, **other) -> PhaseSpec:
    return PhaseSpec(do="run", speed=speed, time=time, **other)


def swap(axis: Axis, *, load: Load | None = None, stages=None, forces=None, cycle=None) -> Axis:
    """The same axis with other parts."""
    chain = axis.train.chain
    chain = Chain(chain.load if load is None else load,
                  chain.stages if stages is None else tuple(stages))  # fmt: skip
    train = replace(axis.train, chain=chain,
                    forces=axis.train.forces if forces is None else tuple(forces))  # fmt: skip
    return replace(axis, train=train, cycle=axis.cycle if cycle is None else cycle)


# --- ten axes by hand -----------------------------------------------------------------------------


def slide() -> Axis:
    """A level carriage on a belt: friction, viscous drag, feed, pessimistic hold."""
    load = Load(True, Burden(inertia=40.0, friction=60.0, viscous=15.0, steady=12.0, mass=40.0))
    belt = stage(0.03, 0.96, inertia_in=8e-4, inertia_out=1.5, drag_in=0.2, linear_out=True)
    there = move(0.6, 0.5, accel_share=0.3)
    return make(load, [belt], [there, dwell(0.2, hold="worst"), move(-0.6, 0.7), dwell(0.3)])


def lift() -> Axis:
    """A belt lift with a box carried up only, static friction, a brake that holds."""
    load = Load(True, weight(20.0, friction=30.0), {"box": weight(9.0)}, breakaway=1.6)
    belt = stage(0.03, 0.97, inertia_in=6e-4, linear_out=True)
    curve = {"law": "s-curve", "jerk_share": 0.25}
    return make(load, [belt], [
        move(0.7, 0.6, carry=("box",), **curve), dwell(0.4, carry=("box",)),
        move(-0.7, 0.66, **curve), dwell(0.34, hold="brake"),
    ])  # fmt: skip


def inclined() -> Axis:
    """An inclined screw axis whose hold takes credit of friction."""
    lean = math.radians(35)
    load = Load(True, weight(30.0, lean, friction=20.0), {"part": weight(6.0, lean, friction=4.0)})
    screw = stage(0.02 / TURN, 0.9, inertia_in=3e-4, drag_in=0.15, viscous_in=1e-3,
                  linear_out=True, kind="ball-screw")  # fmt: skip
    return make(load, [screw], [
        move(0.3, 0.6, "quintic", carry=("part",)), dwell(0.3, hold="credit", carry=("part",)),
        move(-0.3, 0.5, "modified-sine"), dwell(0.2, hold="off"),
    ])  # fmt: skip


def swing() -> Axis:
    """An arm that carries its weight over the top, two stages behind it."""
    pull = 12.0 * GRAVITY * 0.35
    base = Burden(inertia=2.2, gravity_cos=pull * 0.9, gravity_sin=-pull * 0.43, friction=3.0,
                  viscous=0.4)  # fmt: skip
    part = Burden(inertia=0.5, gravity_cos=9.0, gravity_sin=4.0)
    gears = [
        stage(1 / 3, 0.97, viscous_out=0.05),
        stage(-1 / 4, 0.94, inertia_in=2e-4, drag_in=0.05),
    ]
    return make(Load(False, base, {"part": part}), gears, [
        move(2.6, 0.8, "modified-trapezoid", carry=("part",)), dwell(0.3, carry=("part",)),
        move(-1.2, 0.5, "cycloid"), dwell(0.1, hold="worst"), move(-1.4, 0.7, "gutman"),
        dwell(0.2, hold="credit"),
    ])  # fmt: skip


def table() -> Axis:
    """An indexing table that never comes back."""
    load = Load(False, Burden(inertia=1.8, friction=4.0, gravity_sin=6.0))
    return make(load, [stage(1 / 5, 0.95, inertia_out=0.02)], [
        move(TURN / 4, 0.4, "modified-sine"), dwell(0.25, hold="off"),
        move(TURN / 4, 0.4, "septic"), dwell(0.25),
        move(TURN / 2, 0.9, "simple-sine"), dwell(0.1, hold="worst"),
    ], endless=True)  # fmt: skip


def hoist() -> Axis:
    """A hoist with rope weight, two rope parts, gears and a counterweight with its own losses."""
    counter = Chain(Load(True, Burden(inertia=60.0, gravity=60.0 * GRAVITY, friction=15.0)),
                    (stage(-0.1, 0.96, 0.95, linear_out=True),))  # fmt: skip
    drum = stage(0.1, 0.95, 0.94, inertia_in=0.08, joined=(counter,), linear_out=True)
    load = Load(True, weight(45.0, friction=20.0, gravity_rise=-4.0), {"goods": weight(50.0)})
    gear = stage(1 / 4, 0.96, inertia_in=2e-3, drag_in=0.3)
    return make(load, [drum, gear], [
        move(1.2, 1.6, carry=("goods",)), dwell(0.8, carry=("goods",)),
        move(-1.2, 1.4, "cubic"), dwell(0.7, hold="credit"),
    ])  # fmt: skip


def locking_screw() -> Axis:
    """A lead screw that the load cannot drive, with a worm behind it."""
    load = Load(True, weight(25.0, friction=10.0))
    screw = stage(0.005 / TURN, 0.32, -0.6, inertia_in=5e-5, drag_in=0.1, linear_out=True)
    worm = stage(1 / 2, 0.8, 0.7, inertia_in=1e-5)
    return make(load, [screw, worm], [
        move(0.05, 0.8), dwell(0.2, hold="credit"), move(-0.05, 0.7), dwell(0.3, hold="worst"),
    ])  # fmt: skip


def press() -> Axis:
    """A press: force over travel one way only, over time in one phase, and a drag table."""
    load = Load(True, weight(15.0, friction=25.0))
    screw = stage(0.01 / TURN, 0.9, inertia_in=2e-4, linear_out=True)
    forces = (
        Force("forming", (0.0, 900.0, 1500.0, 200.0), (0.1, 0.14, 0.19, 0.2), "travel",
              only="forward"),
        Force("clamp", (80.0, 300.0, 0.0), (0.05, 0.1, 0.3), "time", "step", phases=(1,)),
        Force("wiper", (30.0, 60.0, 45.0), (0.0, 0.1, 0.25), "travel", sense="opposing"),
        Force("hose", (10.0, 60.0, -20.0), (0.1, 0.6, 1.3), "time"),
    )  # fmt: skip
    return make(load, [screw], [
        move(0.2, 0.5, accel_share=0.25), dwell(0.3), move(-0.2, 0.4), dwell(0.3, force=15.0),
    ], forces=forces)  # fmt: skip


def spindle() -> Axis:
    """Speeds one after the other, through standstill in the middle of a ramp."""
    load = Load(False, Burden(inertia=0.6, friction=2.0, viscous=0.15))
    return make(load, [stage(1 / 2, 0.98)], [
        run(30.0, 0.5, ramp=0.3), run(-18.0, 0.4, ramp=0.35), run(9.0, 0.3, ramp=0.2, force=5.0),
        run(0.0, 0.2, ramp=0.15),
    ], endless=True)  # fmt: skip


def direct() -> Axis:
    """A load straight on the shaft, no stage at all."""
    load = Load(False, Burden(inertia=3e-3, friction=0.2, gravity_cos=1.5))
    return make(load, [], [move(1.5, 0.3, "cycloid"), dwell(0.2, hold="worst"),
                           move(-1.5, 0.35, "triangle"), dwell(0.15)])  # fmt: skip


EXAMPLES: dict[str, Callable[[], Axis]] = {
    f.__name__: f
    for f in (slide, lift, inclined, swing, table, hoist, locking_screw, press, spindle, direct)
}


# --- the same axis seen otherwise -----------------------------------------------------------------


def mirrored(axis: Axis) -> Axis:
    """The + direction turned round, with every load turned round too."""

    def burden(b: Burden) -> Burden:
        return replace(b, gravity=-b.gravity, gravity_cos=-b.gravity_cos, steady=-b.steady)

    load = axis.train.chain.load
    other = replace(load, base=burden(load.base),
                    payloads={k: burden(b) for k, b in load.payloads.items()})  # fmt: skip
    pieces = tuple(
        replace(p, poly=tuple(-c for c in p.poly),
                waves=tuple(replace(w, amplitude=-w.amplitude) for w in p.waves))
        for p in axis.cycle.pieces
    )  # fmt: skip
    phases = tuple(replace(p, distance=-p.distance, force=-p.force) for p in axis.cycle.phases)
    cycle = replace(axis.cycle, pieces=pieces, phases=phases, net_travel=-axis.cycle.net_travel)
    stages = tuple(_mirrored_stage(s) for s in axis.train.chain.stages)
    return swap(axis, load=other, stages=stages, cycle=cycle,
                forces=[_mirrored_force(f) for f in axis.train.forces])  # fmt: skip


def _mirrored_stage(stage: Stage) -> Stage:
    """Joined loads hang on the shaft, whose motion is turned round with everything else."""

    def chain(c: Chain) -> Chain:
        base = replace(c.load.base, gravity=-c.load.base.gravity, steady=-c.load.base.steady)
        return replace(c, load=replace(c.load, base=base))

    return replace(stage, joined=tuple(chain(c) for c in stage.joined))


def _mirrored_force(force: Force) -> Force:
    """Forward is backward now, and a table over travel runs the other way."""
    only = {"both": "both", "forward": "backward", "backward": "forward"}[force.only]
    values, places = [-v for v in force.values], list(force.places)
    if force.over == "travel":
        places = [-p for p in reversed(places)]
        values = values[::-1]
        if force.between == "step":
            values = [*values[1:], 0.0]
    return replace(force, only=only, values=tuple(values), places=tuple(places))


def reversed_in_time(axis: Axis) -> Axis:
    """The film run backward: same places, opposite speeds."""
    end = axis.cycle.duration
    last = len(axis.cycle.phases) - 1
    pieces = tuple(
        replace(_backward(p), start=end - p.end, phase=last - p.phase)
        for p in reversed(axis.cycle.pieces)
    )
    phases = tuple(
        replace(p, start=end - p.start - p.duration, distance=-p.distance)
        for p in reversed(axis.cycle.phases)
    )
    travel = -axis.cycle.net_travel
    return swap(axis, cycle=replace(axis.cycle, pieces=pieces, phases=phases, net_travel=travel))


def _backward(piece: Piece) -> Piece:
    """The piece as a function of ``duration - tau``."""
    size, d = len(piece.poly), piece.duration
    poly = [0.0] * size
    for n, c in enumerate(piece.poly):
        for k in range(n + 1):
            poly[k] += c * math.comb(n, k) * d ** (n - k) * (-1) ** k
    waves = tuple(Wave(w.amplitude, w.rate, math.pi - w.rate * d - w.phase) for w in piece.waves)
    return replace(piece, poly=tuple(poly), waves=waves)


def slowed(axis: Axis, factor: float) -> Axis:
    """Everything ``factor`` times as long."""
    pieces = tuple(
        replace(
            p, start=p.start * factor, duration=p.duration * factor,
            poly=tuple(c / factor**k for k, c in enumerate(p.poly)),
            waves=tuple(replace(w, rate=w.rate / factor) for w in p.waves),
        )
        for p in axis.cycle.pieces
    )  # fmt: skip
    phases = tuple(
        replace(p, start=p.start * factor, duration=p.duration * factor) for p in axis.cycle.phases
    )
    return swap(axis, cycle=replace(axis.cycle, pieces=pieces, phases=phases,
                                    duration=axis.cycle.duration * factor))  # fmt: skip


def twice(axis: Axis) -> Axis:
    """The cycle and once more the cycle as one; forces of the cycle's own time are repeated."""
    end, count, travel = axis.cycle.duration, len(axis.cycle.phases), axis.cycle.net_travel
    again = tuple(
        replace(p, start=p.start + end, phase=p.phase + count,
                poly=(p.poly[0] + travel, *p.poly[1:]))
        for p in axis.cycle.pieces
    )  # fmt: skip
    later = tuple(replace(p, start=p.start + end) for p in axis.cycle.phases)
    cycle = Cycle(axis.cycle.pieces + again, axis.cycle.phases + later, 2 * end, 2 * travel)
    forces: list[Force] = []
    for force in axis.train.forces:
        if force.phases is not None:
            both = (*force.phases, *(k + count for k in force.phases))
            forces.append(replace(force, phases=both))
            continue
        forces.append(force)
        if force.over == "time":
            forces.append(replace(force, places=tuple(p + end for p in force.places)))
    return swap(axis, cycle=cycle, forces=forces)


def cut(axis: Axis, shares) -> Axis:
    """Every piece of the motion cut in two at a share of its length; the motion is the same."""
    pieces = [q for k, p in enumerate(axis.cycle.pieces)
              for q in p.split([shares[k % len(shares)] * p.duration])]  # fmt: skip
    return swap(axis, cycle=replace(axis.cycle, pieces=tuple(pieces)))


# --- random axes ----------------------------------------------------------------------------------

# A strategy made anew in every draw is looked through anew each time: those here are made once.
floats = cache(st.floats)
one_of = cache(lambda *values: st.sampled_from(values))
signs = one_of(1.0, -1.0)
efficiencies = st.one_of(st.just(1.0), floats(0.25, 0.999))


@cache
def _sometimes(strategy, otherwise=0.0):
    return st.one_of(st.just(otherwise), strategy)


@cache
def _either(size: float):
    """Magnitudes of four decades and of either sign: what a machine may have."""
    return st.builds(lambda a, s: a * s, floats(1e-4 * size, size), signs)


@cache
@st.composite
def stages(draw, *, linear: bool, joined: bool = False) -> Stage:
    """Any stage: reversing, self-locking, dragging."""
    size = draw(floats(5e-3, 0.08)) if linear else 1 / draw(floats(1.0, 8.0))
    forward = draw(efficiencies)
    backward = draw(one_of("equal loss", "same", "free", "stated"))
    back = {"equal loss": 2 - 1 / forward, "same": forward, "free": 1.0}.get(backward)
    if back is None:
        back = draw(floats(-1.5, 1.0))
    out = 1.0 if linear else 1e-3
    counter = draw(_sometimes(counterweights(), None)) if joined else None
    return Stage(
        name="stage",
        kind="reduction",
        ratio=ConstantRatio(size * draw(signs)),
        efficiency=forward,
        efficiency_back=back,
        inertia_in=draw(_sometimes(floats(1e-5, 1e-3))),
        inertia_out=draw(_sometimes(floats(0.1, 3.0))) * out,
        drag_in=draw(_sometimes(floats(0.01, 0.3))),
        drag_out=draw(_sometimes(floats(0.1, 10.0))) * out,
        viscous_in=draw(_sometimes(floats(1e-5, 1e-3))),
        viscous_out=draw(_sometimes(floats(0.1, 10.0))) * out,
        joined=(counter,) if counter is not None else (),
        linear_out=linear,
    )


@cache
@st.composite
def counterweights(draw) -> Chain:
    """Another load on the shaft, with losses of its own."""
    mass = draw(floats(1.0, 60.0))
    load = Load(True, weight(mass, friction=draw(_sometimes(floats(1.0, 20.0)))))
    forward = draw(efficiencies)
    return Chain(load, (stage(-draw(floats(0.01, 0.06)), forward, linear_out=True),))


@cache
@st.composite
def linear_burdens(draw, lean: float) -> Burden:
    return weight(
        draw(floats(0.5, 80.0)),
        lean,
        friction=draw(_sometimes(floats(1.0, 150.0))),
        viscous=draw(_sometimes(floats(0.5, 60.0))),
        steady=draw(_sometimes(_either(60.0))),
        gravity_rise=draw(_sometimes(_either(20.0))),
    )


@cache
@st.composite
def rotary_burdens(draw) -> Burden:
    inertia = draw(floats(0.01, 4.0))
    pull = _either(40.0)
    return Burden(
        inertia=inertia,
        gravity_cos=draw(_sometimes(pull)),
        gravity_sin=draw(_sometimes(pull)),
        friction=draw(_sometimes(floats(0.05, 8.0))),
        viscous=draw(_sometimes(floats(0.01, 2.0))),
        steady=draw(_sometimes(_either(4.0))),
        mass=inertia,
    )


@cache
@st.composite
def specs(draw, *, linear: bool, payloads: tuple[str, ...], force: float) -> list[PhaseSpec]:
    """There and back in any law, held by any policy, payloads taken up and put down at rest."""
    size = floats(0.02, 1.0) if linear else floats(0.1, 5.0)
    times = floats(0.15, 2.0)
    found: list[PhaseSpec] = []
    place = 0.0

    def other() -> dict:
        carry = tuple(name for name in payloads if draw(st.booleans()))
        return {"carry": carry, "force": draw(_sometimes(_either(force)))}

    for _ in range(draw(st.integers(1, 3))):
        law = draw(one_of(*LAWS))
        extra = {"jerk_share": draw(floats(0.05, 0.5))} if law == "s-curve" else {}
        step = draw(size) * draw(signs)
        place += step
        found.append(move(step, draw(times), law, **extra, **other()))
        if draw(st.booleans()):
            found.append(dwell(draw(times), hold=draw(one_of(*HOLDS)), **other()))
    if abs(place) < 0.02:
        found.append(move(0.3, 0.5, **other()))
    back = PhaseSpec(do="move", to=0.0, time=draw(times), law=draw(one_of(*LAWS)), **other())
    return [*found, back, dwell(draw(times), hold=draw(one_of(*HOLDS)), **other())]


@cache
def _some_of(count: int):
    return st.sets(st.integers(0, count - 1), min_size=1)


@st.composite
def tables(draw, phases: int, duration: float, reach: float, force: float, *, jumps: bool) -> Force:
    over = draw(one_of("constant", "time", "travel"))
    where = draw(_sometimes(_some_of(phases), None))
    count = 1 if over == "constant" else draw(st.integers(2, 4))
    between = draw(one_of("linear", "step")) if jumps else "linear"
    values = [draw(_either(force)) for _ in range(count)]
    sense = draw(one_of("fixed", "opposing"))
    if sense == "opposing":
        values = [abs(v) for v in values]
    if not jumps and over != "constant":
        values[0] = values[-1] = 0.0
    span = duration if over == "time" else reach
    low = 0.0 if over == "time" else -span
    gaps = [draw(floats(0.05, 1.0)) for _ in range(count)]
    scale = (span - low) / sum(gaps)
    places, at = [], low
    for gap in gaps:
        places.append(at)
        at += gap * scale
    return Force(
        "force", tuple(values), () if over == "constant" else tuple(places), over, between,
        None if where is None else tuple(sorted(where)),
        draw(one_of("both", "forward", "backward")) if jumps else "both",
        sense,
    )  # fmt: skip


@st.composite
def axes(draw, *, jumps: bool = True, forces: bool = True) -> Axis:
    """Any axis. Without ``jumps`` no force jumps in the middle of a motion."""
    linear = draw(st.booleans())
    lean = draw(one_of(0.0, math.pi / 2, math.pi / 6, -math.pi / 2))
    one = linear_burdens(lean) if linear else rotary_burdens()
    names = ("box", "part")[: draw(st.integers(0, 2))]
    load = Load(
        linear,
        draw(one),
        {name: draw(one) for name in names},
        breakaway=draw(_sometimes(floats(1.0, 2.0), 1.0)),
    )
    force = 200.0 if linear else 5.0
    phases = draw(specs(linear=linear, payloads=names, force=force))
    count = draw(st.integers(1 if linear else 0, 3))
    train = [draw(stages(linear=linear and k == 0, joined=True)) for k in range(count)]
    axis = make(load, train, phases)
    if not forces:
        return axis
    reach = 1.0 if linear else 5.0
    given = draw(st.lists(
        tables(len(phases), axis.cycle.duration, reach, force, jumps=jumps), max_size=2
    ))  # fmt: skip
    return swap(axis, forces=given)
