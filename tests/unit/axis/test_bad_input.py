"""Files that cannot be used: each fault has its line, its field, what was read and what helps."""

import re

import pytest
from tests.support.axis_files import LIFT, TABLE, edited, line_of

from dutyline.axis.read import read_axis
from dutyline.core.errors import InputError

MOVE = 'by = "300 mm"\ntime = "0.6 s"'
LAST = 'do = "dwell"\ntime = "0.4 s"\n\n[site]'
RUNS = """
[[phase]]
do = "run"
speed = "0.2 m/s"
ramp = "0.1 s"
time = "1 s"
"""


def faults(text):
    with pytest.raises(InputError) as caught:
        read_axis("lift.toml", text=text)
    return caught.value.faults


# name, base, (old, new), text at the fault's line, field, words of what was read, of the remedy
CASES = [
    ("mass of another kind", LIFT, ('"40 kg"', '"15.5 lb/in"'),
     "mass =", "load.mass", "a mass is needed", "kg"),
    ("mass without unit", LIFT, ('"40 kg"', "40"),
     "mass =", "load.mass", "without a unit", "kg"),
    ("mass with an unknown unit", LIFT, ('"40 kg"', '"40 parsec"'),
     "mass =", "load.mass", "no unit \"parsec\"", "arcsec"),
    ("negative mass", LIFT, ('"40 kg"', '"-40 kg"'),
     "mass =", "load.mass", "0 or more", "minus"),
    ("mass that is nan", LIFT, ('"40 kg"', "nan"), "mass =", "load.mass", "a mass", ""),
    ("mass that is inf", LIFT, ('"40 kg"', "inf"), "mass =", "load.mass", "a mass", ""),
    ("mass nan kg", LIFT, ('"40 kg"', '"nan kg"'), "mass =", "load.mass", "nan kg", ""),
    ("friction nan", LIFT, ("friction = 0.01", "friction = nan"),
     "friction =", "load.friction", "nan", ""),
    ("friction infinite", LIFT, ("friction = 0.01", "friction = inf"),
     "friction =", "load.friction", "inf", ""),
    ("empty text", LIFT, ('"40 kg"', '""'), "mass =", "load.mass", "empty", "kg"),
    ("mass as a list", LIFT, ('"40 kg"', '["40 kg"]'),
     "mass =", "load.mass", "a list", 'mass = "40 kg"'),
    ("mass as a flag", LIFT, ('"40 kg"', "true"), "mass =", "load.mass", "a mass is needed", "kg"),
    ("mass as a date", LIFT, ('"40 kg"', "2026-01-01"), "mass =", "load.mass", "a mass", "kg"),
    ("two readings of a comma", LIFT, ('"40 kg"', '"1,250 kg"'),
     "mass =", "load.mass", "1 250", '"1.250 kg"'),
    ("mass above its range", LIFT,
     ('"40 kg"', '{ value = "40 kg", range = ["50 kg", "60 kg"] }'),
     "mass =", "load.mass", "range", "range"),
    ("unknown status", LIFT, ('"40 kg"', '{ value = "40 kg", status = "sure" }'),
     "mass =", "load.mass", "sure", ""),
    ("strange key of a value", LIFT, ('"40 kg"', '{ value = "40 kg", notes = "x" }'),
     "mass =", "load.mass", "notes", "note"),
    ("missing mass", LIFT, ('mass = "40 kg"\n', ""),
     "[load]", "load.mass", "is missing", 'mass = "40 kg"'),
    ("misspelt field", LIFT, ("friction", "fricton"),
     "fricton", "load.fricton", "no such field", '"friction"'),
    ("field of another section", LIFT, ('friction = 0.01', 'lead = "10 mm"'),
     "lead =", "load.lead", "no such field", "[mechanism]"),
    ("field of another kind", LIFT, ('lead = "10 mm"', 'lead = "10 mm"\nteeth = 24'),
     "teeth", "mechanism.teeth", "no such field", "belt"),
    ("field of a winder", LIFT, ('lead = "10 mm"', 'lead = "10 mm"\ncore = "76 mm"'),
     "core", "mechanism.core", "no such field", "winder"),
    ("rotary field on a linear load", LIFT, ('drag = "15 N"', 'inertia = "1 kg*m^2"'),
     "inertia =", "load.inertia", "no such field", "rotary-table"),
    ("torque as drag of a linear load", LIFT, ('"15 N"', '"15 N*m"'),
     "drag =", "load.drag", "a force is needed", "N"),
    ("field twice by another spelling", LIFT, ('drag = "15 N"', 'Drag = "15 N"\ndrag = "1 N"'),
     'drag = "1 N"', "load.drag", "twice", "Keep one"),
    ("field twice", LIFT, ('drag = "15 N"', 'drag = "15 N"\ndrag = "1 N"'),
     'drag = "1 N"', "load.drag", "twice", "Keep one"),
    ("alias and word", LIFT, ('time = "0.6 s"', 'time = "0.6 s"\nduration = "0.6 s"'),
     "duration", "phase.up.time", "twice", "Keep one"),
    ("table twice", LIFT, ("[site]", "[load]\n[site]"),
     "[load]\n[site]", "load", "twice", "Keep one"),
    ("unknown section", LIFT, ("[site]", "[sight]"),
     "[sight]", "sight", "no such section", '"site"'),
    ("section in the plural", LIFT, ("[[stage]]", "[[stages]]"),
     "[[stages]]", "stages", "no such section", '"stage"'),
    ("field outside of sections", LIFT, ("schema = 1\n", 'schema = 1\nmass = "3 kg"\n'),
     'mass = "3 kg"', "mass", "outside", "[load]"),
    ("list written as a table", LIFT, ("[[stage]]", "[stage]"),
     "[stage]", "stage", "a list of tables", "[[stage]]"),
    ("table written as a list", LIFT, ("[site]", "[[site]]"),
     "[[site]]", "site", "a section is needed", "[site]"),
    ("no load", LIFT, ('[load]\nmass = "40 kg"\npayloads = { carton = "12 kg" }\n'
                       'incline = "90 deg"\nfriction = 0.01\ndrag = "15 N"\n', ""),
     None, "load", "there is no [load]", "Add [load]"),
    ("no title", LIFT, ('title = "Lift"\n', ""), "[axis]", "axis.title", "missing", "Add it"),
    ("empty title", LIFT, ('"Lift"', '"  "'), "title", "axis.title", "empty", "title"),
    ("title that is no text", LIFT, ('"Lift"', "7"), "title", "axis.title", "a text", "quotes"),
    ("unknown kind", LIFT, ('"ball-screw"', '"ball-scrw"'),
     "kind =", "mechanism.kind", "no such mechanism", '"ball-screw"'),
    ("no kind", LIFT, ('kind = "ball-screw"\n', ""),
     "[mechanism]", "mechanism.kind", "missing", "ball-screw"),
    ("kind that is no text", LIFT, ('"ball-screw"', "3"),
     "kind =", "mechanism.kind", "read 3", "quotes"),
    ("zero lead", LIFT, ('"10 mm"', '"0 mm"'), "lead =", "mechanism.lead", "above 0", ""),
    ("negative lead", LIFT, ('"10 mm"', '"-10 mm"'), "lead =", "mechanism.lead", "above 0", ""),
    ("lead and pitch", LIFT, ('lead = "10 mm"', 'lead = "10 mm"\npitch = "5 mm"'),
     "pitch", "mechanism.pitch", "say the same", "Leave one"),
    ("no lead", LIFT, ('lead = "10 mm"\n', ""),
     "[mechanism]", "mechanism.lead", "lead or pitch is missing", 'lead = "10 mm"'),
    ("screw without length", LIFT, ('length = "600 mm"\n', ""),
     "[mechanism]", "mechanism.length", "length is missing beside diameter", "length"),
    ("efficiency above 1", LIFT, ("efficiency = 0.92", "efficiency = 92"),
     "efficiency", "mechanism.efficiency", "1 or less", ""),
    ("efficiency of zero", LIFT, ("efficiency = 0.92", "efficiency = 0"),
     "efficiency", "mechanism.efficiency", "above 0", ""),
    ("efficiency backwards above 1", LIFT, ("efficiency = 0.92", "efficiency_back = 1.2"),
     "efficiency_back", "mechanism.efficiency_back", "1 or less", ""),
    ("efficiency as a table of speeds", LIFT,
     ("efficiency = 0.92", 'efficiency = [["1 r/min", "1 N*m", 0.9]]'),
     "efficiency", "mechanism.efficiency", "not computed", "one efficiency"),
    ("half a start", LIFT, ('lead = "10 mm"', 'pitch = "5 mm"\nstarts = 1.5'),
     "starts", "mechanism.starts", "whole number", "starts = 2"),
    ("maybe", LIFT, ('lead = "10 mm"', 'lead = "10 mm"\nreverse = "maybe"'),
     "reverse", "mechanism.reverse", "yes or no", "reverse = true"),
    ("unknown ends", LIFT, ('lead = "10 mm"', 'lead = "10 mm"\nends = "fixed-fixd"'),
     "ends", "mechanism.ends", "no such", '"fixed-fixed"'),
    ("stage without ratio", LIFT, ('kind = "coupling"\ninertia = "0.3 kg*cm^2"',
                                   'kind = "reduction"'),
     "[[stage]]", "stage.1.ratio", "is missing", "ratio = 5"),
    ("ratio of zero", TABLE, ('"24/7"', "0"), "ratio", "stage.1.ratio", "zero", "24/7"),
    ("ratio over zero", TABLE, ('"24/7"', '"24/0"'), "ratio", "stage.1.ratio", "24/0", ""),
    ("ratio and teeth", TABLE, ('ratio = "24/7"', 'ratio = 3\nteeth = [20, 60]'),
     "teeth", "stage.1.teeth", "say the same", "Leave one"),
    ("one number of teeth", TABLE, ('ratio = "24/7"', "teeth = [20]"),
     "teeth", "stage.1.teeth", "2 values", "in and out"),
    ("name in the address", TABLE, ('ratio = "24/7"', 'name = "box"\nratio = "three"'),
     "ratio", "stage.box.ratio", "three", ""),
    ("rotary load without inertia", TABLE, ('inertia = "6 kg*m^2"\n', ""),
     "[load]", "load.inertia", "is missing", "inertia ="),
    ("inertia with two readings", TABLE, ('"6 kg*m^2"', '"14 lb-in"'),
     "inertia", "load.inertia", "14 lb-in", ""),
    ("distance in mm on a table", TABLE, ('"30 deg"', '"30 mm"'),
     "by =", "phase.1.by", "an angle is needed", "deg"),
    ("table that does not turn", TABLE, ('"30 deg"', '"0 deg"'),
     "[[phase]]", "phase", "nothing moves", "Add a move"),
    ("rate and cycle", TABLE, ('rate = "60 /min"', 'rate = "60 /min"\ncycle = "2 s"'),
     "rate", "duty.rate", "60", "Leave one"),
    ("cycle shorter than its phases", TABLE, ('"60 /min"', '"600 /min"'),
     "[[phase]]", "phase", "more than the cycle", "Shorten"),
    ("no phase", TABLE, ('[[phase]]\ndo = "move"\nby = "30 deg"\ntime = "0.25 s"\n\n'
                         '[[phase]]\ndo = "dwell"\n', ""),
     None, "phase", "there is no [[phase]]", "Add at least one"),
    ("phase without do", LIFT, ('name = "up"\ndo = "move"\n', 'name = "up"\n'),
     "[[phase]]", "phase.up.do", "missing", "move"),
    ("unknown law", LIFT, (MOVE, MOVE + '\nlaw = "quintick"'),
     "law", "phase.up.law", "no such law", '"quintic"'),
    ("dwell with a distance", LIFT, ('do = "dwell"', 'do = "dwell"\nby = "3 mm"'),
     'by = "3 mm"', "phase.2.by", "no such field", "move"),
    ("time of zero", LIFT, ('time = "0.6 s"', 'time = "0 s"'),
     "time =", "phase.up.time", "above 0", ""),
    ("negative time", LIFT, ('time = "0.6 s"', 'time = "-0.6 s"'),
     "time =", "phase.up.time", "above 0", "minus"),
    ("three numbers that contradict", LIFT, (MOVE, MOVE + '\nspeed = "0.4 m/s"'),
     None, None, "0.3 m", ""),
    ("move with a distance alone", LIFT, ('time = "0.6 s"\ncarry', "carry"),
     None, None, "", ""),
    ("by and to", LIFT, (MOVE, MOVE + '\nto = "300 mm"'), "to =", "phase.up.to", "twice", "Leave"),
    ("open cycle", LIFT, ('by = "-300 mm"', 'by = "-200 mm"'),
     "[[phase]]", "phase", "from where it started", "endless"),
    ("travel left", LIFT, ('lead = "10 mm"', 'lead = "10 mm"\ntravel = "250 mm"'),
     "by =", "phase.up.by", "0.25 m", "travel"),
    ("payload unknown", LIFT, ('["carton"]', '["cartn"]'),
     "carry", "phase.up.carry", 'no payload "cartn"', '"carton"'),
    ("payload of negative mass", LIFT, ('"12 kg"', '"-12 kg"'),
     "payloads", "load.payloads.carton.mass", "0 or more", ""),
    ("payloads that are no table", LIFT, ('{ carton = "12 kg" }', '"12 kg"'),
     "payloads", "load.payloads", "a table of names", "payloads = {"),
    ("speed jump", LIFT, (LAST, 'do = "run"\nspeed = "0.2 m/s"\ntime = "1 s"\n\n[site]'),
     None, "phase.4.ramp", "jump", "ramp"),
    ("payload changed in motion", LIFT,
     (LAST, 'do = "dwell"\ntime = "0.4 s"\n' + RUNS + '\n[[phase]]\ndo = "run"\n'
      'speed = "0.2 m/s"\ntime = "1 s"\ncarry = ["carton"]\n\n[[phase]]\ndo = "run"\n'
      'speed = "0 m/s"\nramp = "0.1 s"\n\n[site]'),
     "carry = [\"carton\"]\n\n[[phase]]\ndo = \"run\"\nspeed = \"0 m/s\"", "phase.6.carry",
     "changes while the axis moves", "rest"),
    ("dwell without time", LIFT, ('do = "dwell"\ntime = "0.4 s"', 'do = "dwell"'),
     "[[phase]]\ndo = \"dwell\"", "phase.2.time", "no time", "cycle"),
    ("two phases of one name", LIFT, ('name = "down"', 'name = "up"'),
     'name = "up"\ndo = "move"\nby = "-300', "phase.up.name", "phase 1 too", "own"),
    ("spring whose end has no place", LIFT,
     ("[site]", '[[balance]]\nkind = "spring"\nforce = "9 N"\nforce_end = "8 N"\n\n[site]'),
     "[mechanism]", "mechanism.travel", "travel is missing", "Add it"),
    ("lists in lists in lists", LIFT, ("friction = 0.01", "friction = " + "[" * 99 + "]" * 99),
     "friction", "", "too deeply", "brackets"),
    ("force of an unknown phase", LIFT,
     ("[site]", '[[force]]\nvalue = "100 N"\nphases = ["upp"]\n\n[site]'),
     'phases = ["upp"]', "force.1.phases", 'no phase "upp"', '"up"'),
    ("force without a value", LIFT, ("[site]", '[[force]]\nname = "cut"\n\n[site]'),
     "[[force]]", "force.cut", "value or points is missing", "one of the two"),
    ("force with falling places", LIFT,
     ("[site]", '[[force]]\npoints = [["20 mm", "0 N"], ["10 mm", "5 N"]]\n\n[site]'),
     "points", "force.1.points", "does not lie beyond", "rising"),
    ("force over the wrong thing", LIFT,
     ("[site]", '[[force]]\nover = "time"\npoints = [["0 mm", "0 N"], ["9 mm", "5 N"]]\n\n[site]'),
     "points", "force.1.points", "over is time", 'over = "travel"'),
    ("force in torque", LIFT, ("[site]", '[[force]]\nvalue = "100 N*m"\n\n[site]'),
     "value", "force.1.value", "a force is needed", "N"),
    ("site without mains", LIFT, ('mains = "230 V"\n', ""),
     "[site]", "site.mains", "missing", 'mains = "230 V"'),
    ("two phases of mains", LIFT, ("phases = 3", "phases = 2"),
     "phases = 2", "site.phases", "1, 3 or dc", "phases = 3"),
    ("people as a number", LIFT, ("phases = 3", "phases = 3\npeople_near = 2"),
     "people_near", "site.people_near", "yes or no", "people_near = true"),
    ("mains tolerance of the wrong sign", LIFT, ("phases = 3", "phases = 3\nmains_low = 0.1"),
     "mains_low", "site.mains_low", "0 or less", ""),
    ("temperature without a scale", LIFT, ("phases = 3", 'phases = 3\nambient = "-25 degrees"'),
     "ambient", "site.ambient", "-25 degrees", ""),
    ("reserve of an unknown check", LIFT, ("[site]", "[reserve]\npeak-torqe = 0.1\n\n[site]"),
     "peak-torqe", "reserve.peak-torqe", "no such field", '"peak-torque"'),
    ("reserve of one", LIFT, ("[site]", "[reserve]\npeak-torque = 1.0\n\n[site]"),
     "peak-torque", "reserve.peak-torque", "or less", ""),
    ("unknown objective", LIFT, ("[site]", '[choose]\nobjective = "price"\n\n[site]'),
     "objective", "choose.objective", "no such objective", "cost"),
    ("motors as a number", LIFT, ("[site]", "[choose]\nmotors = 4\n\n[site]"),
     "motors", "choose.motors", "a list of names", 'motors = ["one", "two"]'),
    ("branch without its tables", LIFT, ("[site]", '[[branch]]\nname = "left"\n[site]'),
     "[[branch]]", "branch.left.load", "missing", "[branch.load]"),
    ("guide with a fault", LIFT, ("[site]", '[guide]\nspacing = ["1 mm"]\n\n[site]'),
     "spacing", "guide.spacing", "2 values", "across"),
    ("schema missing", LIFT, ("schema = 1\n", ""), None, "schema", "missing", "schema = 1"),
    ("schema of tomorrow", LIFT, ("schema = 1", "schema = 2"),
     "schema", "schema", "read 2", "schema = 1"),
    ("quotes forgotten", LIFT, ('"40 kg"', "40 kg"),
     "mass = 40 kg", "", "without quotes", 'mass = "40 kg"'),
    ("not TOML", LIFT, ('title = "Lift"', "title : Lift"), "title", "", "not TOML", '"="'),
    ("string left open", LIFT, ('"Lift"', '"Lift'), "title", "", "not TOML", "title"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("base", "change", "at", "field", "read", "remedy"),
    [case[1:] for case in CASES],
    ids=[case[0] for case in CASES],
)
def test_a_fault_says_where_what_and_what_helps(base, change, at, field, read, remedy):
    text = edited(base, change)
    found = faults(text)
    if field is None:
        fault = found[0]
    else:
        fault = next((f for f in found if f.field == field), None)
        assert fault is not None, [f.text() for f in found]
    assert read in fault.read
    assert remedy in fault.remedy
    assert fault.remedy or not remedy
    assert fault.read.endswith((".", ".", '"'))
    if at is not None:
        assert fault.place == f"lift.toml:{line_of(text, at)}", fault.text()
    else:
        assert re.fullmatch(r"lift\.toml(:\d+)?", fault.place)


def test_there_are_sixty_cases_with_names_of_their_own():
    assert len({case[0] for case in CASES}) == len(CASES) >= 60


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_one_slip_is_told_once(case):
    """No slip brings a row of faults that only follow from it."""
    assert len(faults(edited(case[1], case[2]))) <= 2


def test_all_faults_are_told_at_once_in_the_order_of_the_file():
    text = edited(
        LIFT,
        ('"40 kg"', '"15.5 lb/in"'),
        ("efficiency", "efficency"),
        ('by = "300 mm"', 'by = "1,250 mm"'),
        ("phases = 3", "phases = 4"),
    )
    found = faults(text)
    assert [f.field for f in found] == [
        "load.mass", "mechanism.efficency", "phase.up.by", "site.phases",
    ]  # fmt: skip
    lines = [int(f.place.rpartition(":")[2]) for f in found]
    assert lines == sorted(lines)


def test_the_whole_message_counts_and_says_that_nothing_was_done():
    with pytest.raises(InputError) as caught:
        read_axis("lift.toml", text=edited(LIFT, ('"40 kg"', '"-40 kg"'), ("phases = 3", "")))
    head = str(caught.value).splitlines()[0]
    assert head == "lift.toml cannot be used: 2 faults. Nothing was computed or written."


def test_contradictory_moves_name_the_three_numbers():
    text = edited(LIFT, (MOVE, MOVE + '\nspeed = "0.4 m/s"'))
    fault = faults(text)[0]
    for number in ("0.3 m", "0.6 s", "0.4 m/s"):
        assert number in fault.read


def test_more_than_five_hundred_phases_are_refused():
    row = '\n[[phase]]\ndo = "dwell"\ntime = "0.1 s"\n'
    text = LIFT + row * 500
    found = faults(text)
    assert [f.field for f in found] == ["phase"]
    assert "504" in found[0].read
    assert "500" in found[0].read


def test_faults_of_nested_tables_have_the_line_of_their_row():
    text = edited(
        LIFT,
        ('lead = "10 mm"', 'lead = "10 mm"\nbody = [\n  { mass = "1 kg", inertia = "1 kg*m^2" },\n'
         '  { shape = "cylinder", mass = "1 kg", diametr = "3 mm" },\n]'),
    )  # fmt: skip
    found = [f for f in faults(text) if "diametr" in f.field]
    assert found[0].field == "mechanism.body.2.diametr"
    assert found[0].place == f"lift.toml:{line_of(text, 'diametr')}"


def test_a_file_full_of_faults_is_given_up():
    assert len(faults(LIFT + "".join(f"k{n} = 1\n" for n in range(5000)))) == 200
    assert len(faults("schema = 1\n" * 5000)) == 200


def test_a_lead_beside_starts_is_refused_with_both_readings():
    (fault,) = faults(edited(LIFT, ('lead = "10 mm"', 'lead = "10 mm"\nstarts = 2')))
    assert fault.field == "mechanism.starts"
    assert "leave starts out" in fault.remedy
    assert 'pitch = "10 mm"' in fault.remedy


def test_one_start_beside_a_lead_says_nothing_new():
    read_axis("a.toml", text=edited(LIFT, ('lead = "10 mm"', 'lead = "10 mm"\nstarts = 1')))


PRINT = """\
schema = 1
[axis]
title = "Cylinder"
[load]
{load}
[mechanism]
kind = "direct"
endless = true
[[phase]]
do = "run"
speed = "25 rad/s"
ramp = "1 s"
time = "2 s"
[[phase]]
do = "run"
speed = "0 rad/s"
ramp = "1 s"
"""


@pytest.mark.parametrize("load", ['drag = "0.1 N*m"', 'mass = "4 kg"'])
def test_a_direct_axis_that_turns_lacks_one_thing(load):
    (fault,) = faults(PRINT.format(load=load))
    assert fault.field == "load.inertia"
    assert 'inertia = "' in fault.remedy


def test_a_direct_axis_turns_where_its_phases_do():
    body = 'body = [{ shape = "cylinder", mass = "4 kg", diameter = "0.1 m", length = "1 m" }]'
    assert not read_axis("a.toml", text=PRINT.format(load=body)).linear
