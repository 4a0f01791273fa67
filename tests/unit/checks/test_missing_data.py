"""What a product line does not say: never met, never an exception, and told by name.

Each datum of each part is blanked in turn. Every check that needs it must say *not checked*, name
it, and keep the verdict open where the check is a must; and no check may look better for it.
"""

from __future__ import annotations

import warnings
from dataclasses import fields, replace
from functools import cache

import pytest

from dutyline.axis.model import Require, Site, Stop
from dutyline.axis.read import read_axis
from dutyline.catalogue import parts
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination
from support.judged import CURVE, changed, judged, lift, lines_of, sprung

HOT = Site(230.0, 3, ambient=50.0, altitude=1500.0, people_near=False)
CHOSEN = Combination("XM72-0450H", "XG72-6", "XD-H6", "XB72", "XR-H56-180")
RECORDS = {"motor": parts.Motor, "gearhead": parts.Gearhead, "drive": parts.Drive,
           "brake": parts.Brake, "resistor": parts.Resistor}  # fmt: skip
PINION = """
schema = 1
[axis]
title = "pinion"
[load]
mass = "8 kg"
incline = "0 deg"
[mechanism]
kind = "rack"
teeth = 20
module = "2 mm"
helix = "19.5 deg"
overhang = "15 mm"
[[phase]]
do = "move"
by = "300 mm"
time = "0.5 s"
[[phase]]
do = "dwell"
time = "0.5 s"
[[phase]]
do = "move"
by = "-300 mm"
time = "0.5 s"
[[phase]]
do = "dwell"
time = "0.5 s"
[site]
mains = "230 V"
phases = 3
protection = "IP54"
"""
NEVER_BLANK = ("name", "ratio", "ratio_exact")


def stock():
    """The line that ships, the drive's peak current below the motor's, a motor curve, and what
    it does not state of its gearheads."""
    line = changed(demo_line(), "motor", CHOSEN.motor, overload_curve=CURVE)
    line = changed(line, "brake", CHOSEN.brake, work_per_stop=120.0)
    line = changed(line, "gearhead", CHOSEN.gearhead, thermal_resistance=0.6, protection="IP65")
    return changed(line, "drive", CHOSEN.drive, current_peak=8.4)


@cache
def bench(case: str):
    """Axis, line and combination of a case in which every must check is met or short."""
    axis, line, chosen = sprung(lift(site=HOT)), stock(), CHOSEN
    if case == "no resistor":
        line = changed(line, "drive", CHOSEN.drive, internal_resistor_power=0.0,
                       bus_capacitance=0.02)  # fmt: skip
        chosen = replace(CHOSEN, resistor=None)
    elif case == "no curves":
        line = replace(line, curves=())
    elif case == "long":
        line = changed(line, "motor", CHOSEN.motor, tau_winding=10.0)
    elif case in ("pinion", "bare pinion"):
        axis = read_axis("pinion.toml", text=PINION)
        line = changed(line, "motor", CHOSEN.motor, protection_shaft="IP54")
        bare = case == "bare pinion"
        chosen = replace(CHOSEN, brake=None, gearhead=None if bare else CHOSEN.gearhead)
    elif case == "near peak":
        line = changed(line, "drive", CHOSEN.drive, current_peak=7.6)
    return axis, line, chosen


@cache
def before(case: str):
    return judged(*bench(case))


def blank(record: str, name: str):
    kind = next(f.type for f in fields(RECORDS[record]) if f.name == name)
    return "" if kind == "str" else () if kind.startswith("tuple") else None


@cache
def after(case: str, kind: str, names: tuple[str, ...]):
    return run(case, kind, names)[0]


@cache
def run(case: str, kind: str, names: tuple[str, ...]):
    """The verdict without some data, and the warnings on the way."""
    axis, line, chosen = bench(case)
    part = getattr(chosen, kind)
    lacking = changed(line, kind, part, **{name: blank(kind, name) for name in names})
    with warnings.catch_warnings(record=True) as heard:
        warnings.simplefilter("always")
        verdict = judged(axis, lacking, chosen)
    return verdict, [str(w.message) for w in heard]


CURRENT = ("drive-peak-current", "drive-continuous-current", "continuous-use", "thermal-runaway",
           "overload-accumulated motor", "overload-single motor", "overload-accumulated drive",
           "overload-single drive", "resistor-mean", "resistor-peak", "resistor-pulse",
           "winding-temperature")  # fmt: skip
TORQUE = (*CURRENT, "peak-torque", "speed-on-low-mains", "continuous-use-plain")
BURNT = ("resistor-mean", "resistor-peak", "resistor-pulse")
LASTING = ("standstill-torque", "continuous-use", "continuous-use-plain")
RATED = ("drive-continuous-current", "overload-accumulated drive", "overload-single drive",
         "continuous-use", "continuous-use-plain")  # fmt: skip
STOPS = ("brake-stop-energy", "brake-life", "brake-gear-load", "gear-emergency")
SPEEDS = ("top-speed", "peak-torque", "speed-on-low-mains", *LASTING)

NEEDS = {
    # data of the part: words one of which must be told, case, checks
    ("motor", ("inertia", "inertia_with_brake")): (
        ("inertia",), "plain", (*TORQUE, "inertia-ratio", "brake-drop")),
    ("motor", ("torque_constant",)): (("torque constant",), "plain", CURRENT),
    ("motor", ("current_stall", "torque_stall")): (("stall",), "plain", CURRENT),
    ("motor", ("current_peak", "torque_peak")): (("peak",), "plain", CURRENT),
    ("motor", ("resistance",)): (("resistance",), "plain", (*BURNT, "thermal-runaway",
                                                         "winding-temperature")),
    ("motor", ("speed_rated",)): (("rated speed",), "plain", (*BURNT, "winding-temperature")),
    ("motor", ("iron_loss_rated",)): (("iron loss",), "long", ("winding-temperature",)),
    ("motor", ("rth_winding_housing",)): (("thermal resistance",), "long", (
        "thermal-runaway", "winding-temperature")),
    ("motor", ("rth_housing_ambient",)): (("thermal resistance",), "long", (
        "thermal-runaway", "winding-temperature")),
    ("motor", ("cth_winding",)): (("capacit",), "long", ("winding-temperature",)),
    ("motor", ("cth_housing",)): (("capacit",), "long", ("winding-temperature",)),
    ("motor", ("winding_limit",)): (("limit",), "long", ("winding-temperature", *LASTING)),
    ("motor", ("encoder_bits",)): (("encoder",), "plain", ("encoder-resolution",)),
    ("motor", ("torque_peak",)): (("peak torque",), "plain", ("gear-torque-limit-set",)),
    ("motor", ("torque_stall",)): (("stall torque",), "no curves", LASTING),
    ("motor", ("speed_max",)): (("maximum speed", "boundary"), "no curves", SPEEDS),
    ("motor", ("voltage_constant",)): (("voltage constant", "boundary"), "no curves", SPEEDS),
    ("motor", ("inductance",)): (("inductance", "boundary"), "no curves", SPEEDS),
    ("motor", ("pole_pairs",)): (("pole", "boundary"), "no curves", SPEEDS),
    ("motor", ("supply_class",)): (("class",), "plain", ("supply-match",)),
    ("motor", ("mains_min",)): (("mains",), "plain", ("supply-match",)),
    ("motor", ("mains_max",)): (("mains",), "plain", ("supply-match",)),
    ("gearhead", ("efficiency",)): (("efficiency",), "plain", (*TORQUE, "gear-torque-limit-set")),
    ("gearhead", ("inertia_in",)): (("inertia",), "plain", (
        *TORQUE, "inertia-ratio", "brake-drop")),
    ("gearhead", ("no_load_torque",)): (("no-load",), "plain", (
        *TORQUE, "gear-torque-limit-set")),
    ("gearhead", ("torque_rated",)): (("rated torque",), "plain", ("gear-equivalent", "gear-life")),
    ("gearhead", ("torque_acceleration",)): (("acceleration torque",), "plain", (
        "gear-peak", "gear-torque-limit-set")),
    ("gearhead", ("torque_emergency",)): (("emergency torque",), "plain", (
        "brake-gear-load", "gear-emergency")),
    ("gearhead", ("speed_in_mean",)): (("mean input speed",), "plain", ("gear-mean-speed",)),
    ("gearhead", ("speed_in_max",)): (("input speed",), "plain", ("gear-max-speed",)),
    ("gearhead", ("life",)): (("life",), "pinion", ("gear-life", "bearing-life gearhead")),
    ("gearhead", ("speed_rated_out",)): (("rated output speed", "rated speed"), "pinion", (
        "gear-life", "bearing-life gearhead")),
    ("gearhead", ("radial",)): (("radial force",), "pinion", (
        "gear-radial", "bearing-life gearhead")),
    ("gearhead", ("axial",)): (("axial force",), "pinion", (
        "gear-axial", "bearing-life gearhead")),
    ("gearhead", ("tilting",)): (("tilting moment",), "pinion", ("gear-tilting",)),
    ("gearhead", ("bearing_offset",)): (("pressure point",), "pinion", (
        "gear-radial", "gear-tilting", "bearing-life gearhead")),
    ("gearhead", ("thermal_resistance",)): (("thermal resistance",), "plain", ("gear-thermal",)),
    ("gearhead", ("protection",)): (("protection class",), "pinion", ("protection-class",)),
    ("motor", ("protection",)): (("protection class",), "pinion", ("protection-class",)),
    ("motor", ("protection_shaft",)): (("shaft leaves",), "bare pinion", ("protection-class",)),
    ("motor", ("radial_load",)): (("radial force",), "bare pinion", ("motor-shaft-load",)),
    ("motor", ("axial_load",)): (("axial force",), "bare pinion", ("motor-shaft-load",)),
    ("motor", ("radial_load_point",)): (("place of",), "bare pinion", ("motor-shaft-load",)),
    ("motor", ("bearing_offset",)): (("pressure point",), "bare pinion", ("motor-shaft-load",)),
    ("drive", ("current_rated",)): (("rated current",), "plain", RATED),
    ("drive", ("current_peak",)): (("peak current",), "plain", (
        "drive-peak-current", "peak-torque", "speed-on-low-mains", "gear-torque-limit-set")),
    ("drive", ("peak_time",)): (("peak time", "time"), "near peak", ("drive-peak-current",)),
    ("drive", ("ambient_max",)): (("ambient",), "plain", RATED),
    ("drive", ("derate_per_kelvin",)): (("derating",), "plain", RATED),
    ("drive", ("altitude_max",)): (("altitude",), "plain", RATED),
    ("drive", ("derate_per_metre",)): (("derating",), "plain", RATED),
    ("drive", ("bus_capacitance",)): (("capacitance",), "plain", BURNT),
    ("drive", ("chopper_on",)): (("switching voltage",), "plain", BURNT),
    ("drive", ("loss_fixed",)): (("loss",), "plain", BURNT),
    ("drive", ("loss_per_ampere",)): (("loss",), "plain", BURNT),
    ("drive", ("resistor_min",)): (("lowest resistance",), "plain", ("resistor-minimum",)),
    ("drive", ("supply_class",)): (("class",), "plain", ("supply-match",)),
    ("drive", ("phases",)): (("phases",), "plain", ("supply-match",)),
    ("drive", ("mains_min",)): (("mains",), "plain", ("supply-match",)),
    ("drive", ("mains_max",)): (("mains",), "plain", ("supply-match",)),
    ("brake", ("torque_static",)): (("static torque",), "plain", ("brake-hold", *STOPS)),
    ("brake", ("engage_time",)): (("engage time",), "plain", (
        "brake-drop", "brake-speed", "brake-stop-energy", "brake-life")),
    ("brake", ("work_per_stop",)): (("friction work",), "plain", ("brake-stop-energy",)),
    ("brake", ("work_total",)): (("total friction work",), "plain", ("brake-life",)),
    ("brake", ("backlash",)): (("play", "backlash"), "plain", ("brake-drop",)),
    ("resistor", ("resistance",)): (("resistance",), "plain", (
        "resistor-minimum", "resistor-peak")),
    ("resistor", ("power_mean",)): (("mean power",), "plain", ("resistor-mean",)),
    ("resistor", ("pulse_energy",)): (("pulse energy",), "plain", ("resistor-pulse",)),
    ("resistor", ("supply_class",)): (("class",), "plain", ("supply-match",)),
}  # fmt: skip
BARE = {
    ("drive", ("bus_capacitance",)): ("capacitance",),
    ("drive", ("chopper_on",)): ("switching voltage",),
    ("drive", ("loss_fixed",)): ("loss",),
    ("drive", ("loss_per_ampere",)): ("loss",),
    ("motor", ("resistance",)): ("resistance",),
    ("motor", ("torque_constant",)): ("torque constant",),
    ("motor", ("speed_rated",)): ("rated speed",),
    ("gearhead", ("efficiency",)): ("efficiency",),
}
"""Data of regen-capacitor, where there is no resistor."""

EVERY = [(kind, f.name) for kind, record in RECORDS.items() for f in fields(record)
         if f.name not in NEVER_BLANK]  # fmt: skip
OWN_CURVE = {("overload-accumulated", "motor"), ("overload-single", "motor")}
"""No overload curve for a motor: the drive's lines alone judge."""
ROUNDED = 5e-4
"""What follows from other data differs by the rounding of the table."""


def datum(kind, names):
    return f"{kind}.{names if isinstance(names, str) else '+'.join(names)}"


def every(data):
    """All data, each named in the test's id."""
    rows = [pytest.param(kind, names, id=datum(kind, names)) for kind, names in data]
    return pytest.mark.parametrize(("kind", "names"), rows)


def every_of(cases):
    """All data of the parts that a case has."""
    rows = [pytest.param(case, *row, id=f"{case}-{datum(*row)}") for case in cases
            for row in EVERY if getattr(bench(case)[2], row[0]) is not None]  # fmt: skip
    return pytest.mark.parametrize(("case", "kind", "names"), rows)


def wanted(kind, names):
    """Case, check and words of every line that the datum must open."""
    words, case, checks = NEEDS[(kind, names)]
    found = [(case, check, words) for check in checks]
    if (kind, names) in BARE:
        found.append(("no resistor", "regen-capacitor", BARE[(kind, names)]))
    return found


def line_for(verdict, check):
    check, _, part = check.partition(" ")
    lines = lines_of(verdict).items()
    return next((ln for key, ln in lines if key[0] == check and part in ("", key[1])), None)


@pytest.mark.parametrize("case", ["plain", "no resistor", "no curves", "long", "near peak",
                                  "pinion", "bare pinion"])  # fmt: skip
def test_nothing_is_open_before(case):
    """The cases are complete: blanking is what opens a line. No pinion has a stiffness: a note."""
    assert before(case).verdict in ("meets", "short")
    assert all(ln.state != "not-checked" for ln in before(case).ledger
               if ln.check not in (
                   "gravity-safety-caution", "friction-windup", "settling"))  # fmt: skip


@every(NEEDS)
def test_checks_are_open_without_a_datum(kind, names):
    """Not checked, with neither a margin nor a state that could be taken for met."""
    lines = {c: line_for(after(case, kind, names), c) for case, c, _ in wanted(kind, names)}
    judged_all_the_same = [
        f"{check}: {line.state if line else 'no line'}"
        for check, line in lines.items()
        if line is None or line.state != "not-checked" or line.margin is not None
    ]
    assert judged_all_the_same == []


@every(NEEDS)
def test_missing_datum_is_named(kind, names):
    """Where a line is open, a reader sees what to ask for."""
    silent = []
    for case, check, words in wanted(kind, names):
        line = line_for(after(case, kind, names), check)
        told = " ".join(line.missing).lower() if line is not None else ""
        if told and not any(word in told for word in words):
            silent.append(check)
    assert silent == []


@every(NEEDS)
def test_verdict_is_open_where_a_must_is(kind, names):
    """fails > incomplete > short > meets: an open must line leaves the verdict incomplete."""
    for case, _, _ in wanted(kind, names):
        verdict = after(case, kind, names)
        must = [ln.state for ln in verdict.ledger if ln.severity == "must"]
        if "not-checked" in must and "fails" not in must:
            assert verdict.verdict == "incomplete"


@pytest.mark.slow
@every_of(["plain", "pinion"])
def test_lack_of_a_datum_never_helps(case, kind, names):
    """No must line gets a better margin, or goes away, because a part says less."""
    now = lines_of(after(case, kind, (names,)))
    better = []
    for key, line in lines_of(before(case)).items():
        if line.severity != "must" or key in OWN_CURVE:
            continue
        if key not in now or (now[key].margin or -1.0) > line.margin + ROUNDED:
            better.append(key[0])
    assert better == []


@pytest.mark.slow
@every(EVERY)
def test_no_exception_or_warning(kind, names):
    """Arithmetic with a missing number is silent."""
    assert run("plain", kind, (names,))[1] == []


def test_axis_without_a_wish_has_no_line_for_it():
    """Nothing required, no line: no allowed drop, no brake drop."""
    axis = lift(stop=Stop(), require=Require())
    verdict = judged(axis, stock(), CHOSEN)
    assert line_for(verdict, "brake-drop") is None
    assert line_for(verdict, "encoder-resolution").severity == "note"


@pytest.mark.parametrize(
    ("kind", "name", "words"),
    [
        ("motor", "flange", "flange of the motor"),
        ("motor", "shaft", "shaft of the motor"),
        ("gearhead", "input_flanges", "input flanges"),
        ("gearhead", "shaft_in_max", "input shaft"),
    ],
)
def test_fit_is_open_unless_a_pairing_says_it(kind, name, words):
    """Dimensions that are not stated fit nothing; a listed pair of motor and gearhead does."""
    line = changed(stock(), kind, getattr(CHOSEN, kind), **{name: blank(kind, name)})
    others = tuple(p for p in line.pairings if p.kind != "motor-gearhead")
    alone = line_for(judged(lift(site=HOT), replace(line, pairings=others), CHOSEN), "fit")
    assert alone.state == "not-checked"
    assert words in alone.missing[0]
    assert line_for(judged(lift(site=HOT), line, CHOSEN), "fit").state == "meets"
