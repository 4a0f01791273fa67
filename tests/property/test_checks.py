"""A stronger part never makes a margin smaller, and a heavier task never a larger one."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import strategies as st

from dutyline.catalogue.library import demo_line
from dutyline.checks.ledger import ABSENT, judge
from dutyline.checks.listing import CHECKS
from dutyline.checks.verdict import trial_of
from dutyline.demand.output import output_demand
from dutyline.train.records import Burden
from support import axes, benches
from support.judged import lift
from support.laws import law, often

pytestmark = pytest.mark.property

NAMES = {**axes.EXAMPLES, "lift of the ledger": lift}
CURVE = ((1.2, 14.0), (1.6, 5.0), (2.2, 1.8), (3.0, 0.5))
TINY = 1e-9
ROUGH = {"overload-single": 0.01}
"""The worst burst is looked for at a limited number of levels."""


@cache
def line():
    """The line that ships, every motor with an overload curve."""
    shipped = demo_line()
    motors = tuple(replace(m, overload_curve=CURVE) for m in shipped.motors)
    return replace(shipped, motors=motors)


def scaled(kind, names, factor):
    """The line with some ratings of all parts of a kind multiplied."""
    parts = tuple(
        replace(p, **{n: getattr(p, n) * factor for n in names if getattr(p, n) is not None})
        for p in getattr(line(), kind)
    )
    return replace(line(), **{kind: parts})


def longer(kind, factor):
    """The line with all times of the overload curves multiplied."""
    parts = tuple(
        replace(p, overload_curve=tuple((x, t * factor) for x, t in p.overload_curve))
        for p in getattr(line(), kind)
    )
    return replace(line(), **{kind: parts})


def higher(kind, factor):
    """The line with the torque of all tabulated boundaries of a kind multiplied."""
    curves = tuple(
        replace(c, torque=tuple(t * factor for t in c.torque)) if c.kind == kind else c
        for c in line().curves
    )
    return replace(line(), curves=curves)


def wider(factor):
    """The line with the speeds of all tabulated boundaries multiplied."""
    curves = tuple(replace(c, speed=tuple(s * factor for s in c.speed)) for c in line().curves)
    return replace(line(), curves=curves)


REACHES = ("gear-torque-limit-set", "gear-emergency")
"""A stronger motor reaches more torque at the gearhead: a torque limit is sooner needed."""
STOPS = ("brake-gear-load", "gear-emergency", "brake-stop-energy", "brake-life")
"""A stronger brake stops harder, and takes more of the energy of a rising load, gravity less."""
RETURNS = ("regen-capacitor", "resistor-mean", "resistor-peak", "resistor-pulse")
"""Less copper loss leaves more of the returned energy to the bus."""
ENDS = ("speed-on-low-mains",)
"""Beyond the end of the curve the speed is told, short of it the torque, perhaps farther off."""
MESH = ("gear-equivalent", "gear-life")
"""The rated torque also says how the rated losses divide between teeth and no-load torque."""

RATINGS = {
    # what is raised: how, checks that get more to do by nature, or the only ones it is a rating of
    "peak boundary": (lambda f: higher("peak", f), ()),
    "continuous boundary": (lambda f: higher("continuous", f), ()),
    "speeds of the boundaries": (wider, ENDS),
    "torque constant": (lambda f: scaled("motors", ("torque_constant",), f), REACHES + RETURNS),
    "current limit of the motor": (
        lambda f: scaled("motors", ("current_peak",), f), REACHES + RETURNS),
    "winding limit": (lambda f: scaled("motors", ("winding_limit",), f), ()),
    "motor overload curve": (lambda f: longer("motors", f), ()),
    "rated current of the drive": (lambda f: scaled("drives", ("current_rated",), f), ()),
    "peak current of the drive": (lambda f: scaled("drives", ("current_peak",), f), REACHES),
    "peak time of the drive": (lambda f: scaled("drives", ("peak_time",), f), ()),
    "drive overload curve": (lambda f: longer("drives", f), ()),
    "bus capacitance": (lambda f: scaled("drives", ("bus_capacitance",), f), ()),
    "switching voltage": (lambda f: scaled("drives", ("chopper_on",), f), ()),
    "built-in resistor": (lambda f: scaled(
        "drives", ("internal_resistor_power", "internal_resistor_pulse"), f), ()),
    "acceleration torque": (
        lambda f: scaled("gearheads", ("torque_acceleration",), f), ("gear-emergency",)),
    "emergency torque": (lambda f: scaled("gearheads", ("torque_emergency",), f), ()),
    "gearhead speeds": (lambda f: scaled(
        "gearheads", ("speed_in_mean", "speed_in_max", "speed_rated_out"), f), ()),
    "gearhead life": (lambda f: scaled("gearheads", ("life",), f), ()),
    "brake torque": (lambda f: scaled("brakes", ("torque_static",), f), STOPS),
    "friction work of the brake": (
        lambda f: scaled("brakes", ("work_per_stop", "work_total"), f), ()),
    "resistor power": (lambda f: scaled("resistors", ("power_mean",), f), ()),
    "resistor pulse": (lambda f: scaled("resistors", ("pulse_energy",), f), ()),
}  # fmt: skip


@cache
def base(name):
    """Margins by check of some combinations of the line on a task."""
    axis = NAMES[name]()
    out = output_demand(axis)
    choice = benches.scattered(line(), 6, seed=len(name))
    return axis, out, choice, margins(axis, out, line(), choice)


def margins(axis, out, parts, choice):
    found = {}
    for check in CHECKS:
        judged = judge(trial_of(axis, parts, choice, out), check)
        found[f"{check.id} {check.part}"] = np.where(judged.state == ABSENT, np.nan, judged.margin)
    return found


def worse(before, after, spared):
    """Checks with a smaller margin, by how much at most."""
    found = {}
    for check, margin in before.items():
        if check.split()[0] in (*spared, "data-quality"):  # a rating beside its family is doubted
            continue
        with np.errstate(invalid="ignore"):
            lost = np.where(np.isfinite(after[check]) & np.isfinite(margin),
                            margin - after[check], 0.0)  # fmt: skip
            lost = np.where(np.isneginf(after[check]) & ~np.isneginf(margin), np.inf, lost)
            near = ROUGH.get(check.split()[0], TINY)
            allowed = near * np.maximum(1.0, 1.0 - margin)
        if np.any(lost > np.where(np.isfinite(allowed), allowed, np.inf)):
            found[check] = float(lost.max())
    return found


@pytest.mark.parametrize("rating", RATINGS)
@pytest.mark.parametrize("name", ["hoist", pytest.param("lift", marks=pytest.mark.slow),
                                  pytest.param("direct", marks=pytest.mark.slow)])  # fmt: skip
def test_higher_rating_never_lowers_a_margin(rating, name):
    """No check gets worse when a part is rated higher; those that get more to do are spared."""
    axis, out, choice, before = base(name)
    raise_, spared = RATINGS[rating]
    assert worse(before, margins(axis, out, raise_(1.3), choice), spared) == {}


def test_rated_torque_of_a_gearhead_raises_its_own_margins():
    """Equivalent torque and life; the losses follow another division and are not compared."""
    axis, out, choice, before = base("hoist")
    after = margins(axis, out, scaled("gearheads", ("torque_rated",), 1.3), choice)
    others = tuple(c.split()[0] for c in before if c.split()[0] not in MESH)
    assert worse(before, after, others) == {}
    assert np.nanmin(after["gear-equivalent gearhead"] - before["gear-equivalent gearhead"]) > 0


@law(
    st.sampled_from(sorted(NAMES)),
    st.sampled_from(sorted(RATINGS)),
    st.floats(1.0001, 4.0),
    few=3,
    many=40,
)
def test_any_higher_rating(name, rating, factor):
    """As above by any factor on any example."""
    axis, out, choice, before = base(name)
    raise_, spared = RATINGS[rating]
    assert worse(before, margins(axis, out, raise_(factor), choice), spared) == {}


def heavier(axis, factor):
    """All masses, weights and frictions of the load multiplied."""

    def burden(b: Burden) -> Burden:
        names = Burden.__dataclass_fields__
        return Burden(**{n: getattr(b, n) * factor for n in names})

    load = axis.train.chain.load
    loads = {k: burden(b) for k, b in load.payloads.items()}
    return axes.swap(axis, load=replace(load, base=burden(load.base), payloads=loads))


OF_THE_OUTPUT = ("gear-peak gearhead", "gear-equivalent gearhead", "gear-life gearhead",
                 "brake-hold brake", "inertia-ratio axis")  # fmt: skip


@law(
    st.sampled_from(["slide", "lift", "swing", "direct", "lift of the ledger"]),
    st.floats(1.01, 3.0),
    few=3,
    many=40,
)
def test_heavier_load_never_raises_a_margin_of_the_output(name, factor):
    """What loads gearhead output and brake grows with the load (hoists may be balanced by it)."""
    axis, _, choice, before = base(name)
    more = heavier(axis, factor)
    after = margins(more, output_demand(more), line(), choice)
    for check in OF_THE_OUTPUT:
        gained = after[check] - before[check]
        assert not np.any(gained[np.isfinite(gained)] > TINY)


@law(st.sampled_from(sorted(NAMES)), few=3)
def test_cycle_told_twice_leaves_every_margin(name):
    """A cycle and once more the same cycle asks for what one does, through all checks.

    Spared: what a longer cycle says by its length, the winding's peak by its ripple.
    """
    axis, _, choice, before = base(name)
    again = axes.twice(axis)
    after = margins(again, output_demand(again), line(), choice)
    for check, margin in before.items():
        if check.startswith("winding-temperature"):
            continue
        one, two = margin, after[check]
        assert np.array_equal(np.isnan(one), np.isnan(two)), check
        both = np.isfinite(one) & np.isfinite(two)
        assert two[both] == pytest.approx(one[both], rel=1e-6, abs=1e-7), check
        assert np.array_equal(one[~both], two[~both], equal_nan=True), check


@pytest.mark.slow
@pytest.mark.parametrize("known", often(globals()), ids=lambda k: k.__name__[5:])
def test_on_many_inputs(known):
    """Every law of this module on many more inputs."""
    known.often()
