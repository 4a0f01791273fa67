"""The screen decides what judging every check on every combination decides, and nothing else.

Cheap checks drop combinations before dear ones run, and while screening numbers may be bounds
where these decide. Neither may change a verdict.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import strategies as st

from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.ledger import (
    ABSENT,
    FAILS,
    MEETS,
    SHORT,
    UNCHECKED,
    judge,
    ledgers,
    verdict_word,
)
from dutyline.checks.listing import CHECKS
from dutyline.checks.verdict import stop_trials, trial_of
from dutyline.demand.output import output_demand
from dutyline.selection import search
from support import axes, benches
from support.judged import lift
from support.laws import law, often

pytestmark = pytest.mark.property

WORDS = {MEETS: "meets", SHORT: "short", UNCHECKED: "incomplete", FAILS: "fails"}
NAMES = {**axes.EXAMPLES, "lift of the ledger": lift}
QUICK = ("slide", "hoist", "direct")
"""Examples that are judged in a moment; the others in the slow tests."""
tasks = pytest.mark.parametrize("name", [
    n if n in QUICK else pytest.param(n, marks=pytest.mark.slow) for n in NAMES])  # fmt: skip


@cache
def synthetic_line():
    return benches.load("synthetic").product_line(16, 10, 4)


@cache
def prepared(name):
    axis = NAMES[name]()
    return axis, output_demand(axis)


def differing(trial):
    """Checks and combinations whose state as a must differs while screening."""
    quick = replace(trial, screening=True, kept={})
    found = []
    for check in CHECKS:
        full, fast = judge(trial, check), judge(quick, check)
        gone = ABSENT
        one = np.where(full.must, full.state, gone)
        two = np.where(fast.must, fast.state, gone)
        found += [(check.id, int(k), int(one[k]), int(two[k])) for k in np.nonzero(one != two)[0]]
    return found


@tasks
def test_decision_over_the_line_that_ships(name):
    """Every combination that the line pairs for the task."""
    axis, out = prepared(name)
    line = demo_line()
    choice = search.tries(axis, line, out)
    found = search.decide(trial_of(axis, line, choice, out))
    states, by_check = benches.plain_states(trial_of(axis, line, choice, out))
    assert np.array_equal(found.state, states)
    for k in np.nonzero(found.failing >= 0)[0]:
        check = CHECKS[found.failing[k]]
        assert by_check[f"{check.id} {check.part}"][k] == FAILS
    assert np.array_equal(found.failing >= 0, states == FAILS)


@tasks
def test_decision_over_a_made_up_line(name):
    """Combinations at random, most of them far too weak, some without gearhead or brake."""
    axis, out = prepared(name)
    line = synthetic_line()
    choice = benches.scattered(line, 300, seed=len(name))
    found = search.decide(trial_of(axis, line, choice, out))
    states, _ = benches.plain_states(trial_of(axis, line, choice, out))
    assert np.array_equal(found.state, states)


@tasks
@pytest.mark.parametrize("seed", [1, 2])
def test_no_state_of_any_check_differs(name, seed):
    """Check by check, whatever the other checks say, with reserves at random."""
    axis, out = prepared(name)
    rng = np.random.default_rng(seed)
    reserve = {
        c.id: float(r) for c, r in zip(CHECKS, rng.uniform(0, 0.6, len(CHECKS)), strict=True)
    }
    asked = replace(axis, reserve=reserve)
    line = demo_line() if seed == 1 else synthetic_line()
    choice = benches.scattered(line, 150, seed)
    assert differing(trial_of(asked, line, choice, replace(out, axis=asked))) == []


FULL = """
schema = 1
[axis]
title = "everything stated"
[load]
mass = "30 kg"
payloads = { part = "12 kg" }
incline = "60 deg"
friction = 0.02
[mechanism]
kind = "ball-screw"
lead = "20 mm"
diameter = "32 mm"
length = "900 mm"
root_diameter = "27 mm"
travel = "500 mm"
stiffness = "90 N/um"
speed_value = "90000 mm*rpm"
dynamic_rating = "20 kN"
static_rating = "40 kN"
[[stage]]
kind = "belt-reduction"
teeth = [24, 36]
pitch = "8 mm"
centre_distance = "250 mm"
belt_stiffness = "600 kN"
pretension = "600 N"
force_limit = "3 kN"
tooth_limit = "150 N"
[[stage]]
kind = "coupling"
stiffness = "9000 N*m/rad"
hub_force = "20 kN"
hub_friction = 0.12
bore = "14 mm"
torque_limit = "40 N*m"
[[phase]]
do = "move"
by = "400 mm"
time = "0.8 s"
carry = ["part"]
[[phase]]
do = "dwell"
time = "1.5 s"
carry = ["part"]
[[phase]]
do = "move"
by = "-400 mm"
time = "0.7 s"
[[phase]]
do = "dwell"
time = "0.3 s"
[stop]
free_distance = "80 mm"
reaction = "10 ms"
[guide]
kind = "ball"
spacing = ["200 mm", "150 mm"]
dynamic_rating = "9 kN"
static_rating = "15 kN"
rating_travel = "50 km"
mass_at = ["0 mm", "10 mm", "90 mm"]
drive_at = ["0 mm", "-30 mm"]
[accuracy]
encoder_error = "20 arcsec"
lead_error = "20 um"
temperature_change = "4 K"
[cabinet]
surface = "1 m^2"
fuse = "10 A"
shared_bus = true
bus_supply = "2 kW"
other_power = "400 W"
conductor = "2.5 mm^2"
feed_length = "20 m"
[cable]
section = "1 mm^2"
[control]
velocity_gain = "150 /s"
[require]
position = "0.1 mm"
settle = "0.2 s"
backlash = "8 arcmin"
mass = "8 kg"
encoder_bits = 20
command = "pulse"
unit = "5 um"
absolute = true
[site]
mains = "230 V"
phases = 3
"""


SEATED = """
schema = 1
[axis]
title = "what sits on shafts"
[load]
mass = "14 kg"
payloads = {{ part = "5 kg" }}
friction = 0.02
[mechanism]
{mechanism}
{stages}
[[phase]]
do = "move"
by = "300 mm"
time = "0.5 s"
carry = ["part"]
[[phase]]
do = "dwell"
time = "0.5 s"
[[phase]]
do = "move"
by = "-300 mm"
time = "0.6 s"
[[phase]]
do = "dwell"
time = "0.4 s"
[duty]
years = 2
[site]
mains = "230 V"
phases = 3
protection = "IP54"
"""
PINION = 'kind = "rack"\nteeth = 20\nmodule = "2 mm"\nhelix = "19.5 deg"\noverhang = "15 mm"'
BELT = 'kind = "belt"\nteeth = 24\npitch = "5 mm"\npretension = "250 N"\noverhang = "12 mm"'
SHAFT = """
[[stage]]
kind = "shaft"
diameter = "20 mm"
length = "200 mm"
overhang = "60 mm"
bearing_span = "100 mm"
bearing_ratings = ["8 kN", "6 kN"]
[[stage]]
kind = "coupling"
bore = "14 mm"
key = ["5 mm", "5 mm", "25 mm"]
key_limit = "100 MPa"
"""
FILES = {
    "full": FULL,
    "pinion": SEATED.format(mechanism=PINION, stages=""),
    "belt": SEATED.format(mechanism=BELT, stages=""),
    "shaft": SEATED.format(mechanism=BELT, stages=SHAFT),
}


@cache
def stated(name="full"):
    axis = read_axis(f"{name}.toml", text=FILES[name])
    return axis, output_demand(axis)


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("seed", [1, 2])
def test_no_state_differs_where_everything_is_stated(name, seed):
    """Screw, belt, hub, guide, shafts, mains, accuracy and stops as musts, sized by chance."""
    axis, out = stated(name)
    line = demo_line() if seed == 1 else synthetic_line()
    choice = benches.scattered(line, 120, seed)
    trial = trial_of(axis, line, choice, out)
    assert differing(trial) == []
    states, _ = benches.plain_states(trial)
    assert np.array_equal(search.decide(trial).state, states)


def test_every_must_of_the_mechanics_has_a_line_there():
    """The axes above reach the checks that the made axes have no data for."""
    line, found = demo_line(), set()
    for name in FILES:
        axis, out = stated(name)
        choice = search.tries(axis, line, out)
        for some in (choice.gearhead >= 0, choice.gearhead < 0):
            one = choice.take(np.nonzero(some)[0][:1])
            found |= {ln.check for ln in ledgers(trial_of(axis, line, one, out))[0]}
    asked = {"brake-stop-distance", "stop-distance", "mains-current", "protective-device",
             "bus-supply-peak",
             "conductor", "screw-critical-speed", "screw-speed-value", "screw-buckling",
             "screw-static", "screw-life", "guide-static", "guide-life", "belt-force",
             "belt-teeth", "belt-slack", "coupling-torque", "hub-slip", "backlash-lost-motion",
             "friction-windup", "accuracy", "command-frequency", "settling", "gear-radial",
             "gear-axial", "gear-tilting", "bearing-life", "motor-shaft-load",
             "key-pressure"}  # fmt: skip
    assert asked <= found


@pytest.mark.parametrize("seed", range(4))
def test_one_at_a_time_is_all_at_once(seed):
    """A verdict and its digits do not depend on what else is tried."""
    axis, out = prepared("hoist")
    line = demo_line()
    choice = search.tries(axis, line, out)
    rng = np.random.default_rng(seed)
    states = search.decide(trial_of(axis, line, choice, out)).state
    good = np.nonzero(states != FAILS)[0]
    pick = np.concatenate([rng.choice(good, 4), rng.choice(choice.size, 2)]).astype(np.intp)
    together = ledgers(trial_of(axis, line, choice.take(pick), out))
    for row, lines in zip(pick, together, strict=True):
        alone = ledgers(trial_of(axis, line, choice.take(np.array([row])), out))[0]
        assert verdict_word(alone) == WORDS[int(states[row])]
        assert [(ln.check, ln.state) for ln in alone] == [(ln.check, ln.state) for ln in lines]
        for a, b in zip(alone, lines, strict=True):
            assert (a.demand, a.limit, a.margin) == (b.demand, b.limit, b.margin)


def test_dense_block_finds_the_same():
    """The plain reference of the benchmarks, one millisecond steps, on 640 combinations.

    A combination nearer to its limit than the step is exact may come out otherwise: none does.
    """
    synthetic, block = benches.load("synthetic"), benches.load("block")
    axis, line = synthetic.lift_axis(), synthetic_line()
    choice = synthetic.every_combination(line)
    found = search.decide(trial_of(axis, line, choice))
    meets = block.verdicts(axis, line, choice, {c.id: c.reserve for c in CHECKS})
    assert 0 < int(meets.sum()) < choice.size
    assert np.array_equal(meets, found.state == MEETS)


def test_portions_change_nothing(monkeypatch):
    """Combinations decided a few at a time, with the progress told."""
    axis, out = prepared("slide")
    line = demo_line()
    choice = search.tries(axis, line, out)
    whole = search.decide(trial_of(axis, line, choice, out))
    monkeypatch.setattr(search, "PORTION", 37)
    told = []
    parts = search.decide(trial_of(axis, line, choice, out), lambda *p: told.append(p))
    assert np.array_equal(whole.state, parts.state)
    assert np.array_equal(whole.failing, parts.failing)
    assert told == [(n, choice.size) for n in range(0, choice.size, 37)]


@tasks
def test_shortlist_says_what_the_decision_says(name):
    """Every candidate has the verdict that the screen gave it; nothing that works is left out."""
    axis, out = prepared(name)
    line = demo_line()
    choice = search.tries(axis, line, out)
    trials = [trial_of(axis, line, choice, out)]
    states = search.decide_cases([*trials, *stop_trials(trials)])[0].state
    found = search.select(axis, line)
    index = {"motor": line.motor_index, "gearhead": line.gearhead_index,
             "drive": line.drive_index, "brake": line.brake_index,
             "resistor": line.resistor_index}  # fmt: skip
    table = {
        tuple(int(getattr(choice, kind)[k]) for kind in index): WORDS[int(states[k])]
        for k in range(choice.size)
    }
    for verdict in found.candidates:
        parts = verdict.combination
        key = tuple(
            -1 if getattr(parts, kind) is None else names[getattr(parts, kind)]
            for kind, names in index.items()
        )
        assert verdict.verdict == table[key]
    kept = {v.combination.motor + str(v.combination.gearhead) for v in found.candidates}
    works = {
        line.motors[m].name + str(None if g < 0 else line.gearheads[g].name)
        for (m, g, *_), word in table.items() if word != "fails"
    }  # fmt: skip
    assert kept == works
    assert found.tried == choice.size


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@pytest.mark.parametrize("name", QUICK)
@pytest.mark.parametrize("seed", [1, 7, 12, 14])
def test_missing_data_are_not_screened_away(name, seed):
    """Where a part does not say something the screen must leave the line open too."""
    axis, out = prepared(name)
    line = benches.blanked(demo_line(), seed=seed, share=0.01 * seed)
    choice = benches.scattered(line, 150, seed=seed)
    assert differing(trial_of(axis, line, choice, out)) == []


@law(axes.axes(), st.integers(0, 10_000), st.floats(0.0, 0.5), few=4, many=40)
def test_any_axis(axis, seed, reserve):
    """Check by check on any axis, sized by chance to anything between far too weak and idle."""
    asked = replace(axis, reserve={c.id: reserve for c in CHECKS})
    line = demo_line() if seed % 2 else synthetic_line()
    choice = benches.scattered(line, 12, seed)
    assert differing(trial_of(asked, line, choice)) == []


@pytest.mark.slow
@pytest.mark.parametrize("known", often(globals()), ids=lambda k: k.__name__[5:])
def test_on_many_inputs(known):
    """Every law of this module on many more inputs."""
    known.often()
