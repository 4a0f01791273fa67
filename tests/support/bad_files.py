"""Axis files that cannot be used, with the place and the remedy that have to be told."""

from __future__ import annotations

from support.axis_files import LIFT, edited

SITE = '[site]\nmains = "230 V"\nphases = 3\n'
ESCAPE = "\\u001b[31m"


def pieces(*rows: str) -> tuple[str, str]:
    """Further tables at the end of the file."""
    return (SITE, SITE + "\n" + "\n".join(rows) + "\n")


def force(*rows: str) -> tuple[str, str]:
    """One process force at the end of the file."""
    return pieces("[[force]]", *rows)


def many(row: str, count: int) -> str:
    """A row again and again, each with its number."""
    return "".join(row.format(k) for k in range(count))


MOVE = 'do = "move"\nby = "300 mm"\ntime = "0.6 s"'


def table(row: str) -> str:
    """The lift with samples in place of its first move."""
    return edited(LIFT, (MOVE, f'do = "table"\n{row}'))


def case(row: str, kind: str = "case", name: str = "c") -> str:
    """The lift with a case or a variant."""
    return f'{LIFT}\n[[{kind}]]\nname = "{name}"\n{row}\n'


# name, text of the file, place told, remedy told
FILES: list[tuple[str, str | bytes, str, str]] = [
    ("nothing", "", "axis.toml: schema", "Write schema = 1"),
    ("white space", "\n" * 900, "axis.toml: load", "Add [load]"),
    ("a comment", "# axis\n", "axis.toml: phase", "Add at least one [[phase]]"),
    ("UTF-16", LIFT.encode("utf-16"), "axis.toml:1", "Save the file as UTF-8"),
    ("UTF-16 unmarked", LIFT.encode("utf-16-le"), "axis.toml:1", "Save the file as UTF-8"),
    ("an older encoding", LIFT.replace("Lift", "Aufzüge").encode("latin-1"), "axis.toml:4",
     "Save the file as UTF-8"),
    ("bytes", bytes(range(256)) * 40, "axis.toml:1", "Save the file as UTF-8"),
    ("a zero byte", LIFT.replace("Lift", "Li\0ft").encode(), "axis.toml:4", "UTF-8"),
    ("a PDF", b"%PDF-1.7\n\x93\xaa", "axis.toml:2", "UTF-8"),
    ("two megabytes", "#" + "x" * 2_000_000, "axis.toml", "right file"),
    ("a table of a database", "a;b\n1;2\n", "axis.toml:1", "Look at"),
    ("braces", '{"axis": {"title": "x"}}', "axis.toml:1", "Look at"),
    ("colons", "axis:\n  title: x\n", "axis.toml:1", "Look at"),
    ("an open bracket", 'schema = 1\n[axis\ntitle = "x"\n', "axis.toml:2", "Look at"),
    ("an open quote", edited(LIFT, ('"Lift"', '"Lift')), "axis.toml:4", "Look at"),
    ("an open text", edited(LIFT, ('"Lift"', '"""Lift')), "axis.toml:", "end of the file"),
    ("deep lists", "schema = 1\nx = " + "[" * 5000 + "]" * 5000, "axis.toml:2", "brackets"),
    ("deep tables", "schema = 1\nx = " + "{a=" * 3000 + "1" + "}" * 3000, "axis.toml:2",
     "brackets"),
    ("a deep name", "schema = 1\n" + ".".join("a" * 5000) + " = 1", "axis.toml:2", "brackets"),
    ("many sections", "schema = 1\n" + many("[x{}]\n", 30_000), "axis.toml:2", "There are axis"),
    ("many fields", "schema = 1\n[axis]\n" + many("k{} = 1\n", 30_000), "axis.toml:3",
     "There are title"),
    ("many times one field", "schema = 1\n[axis]\n" + 'title = "a"\n' * 30_000, "axis.toml:4",
     "Keep one"),
    ("many times one table", "schema = 1\n" + "[axis]\n" * 30_000, "axis.toml:3", "Keep one"),
    ("many phases", LIFT + '\n[[phase]]\ndo = "dwell"\ntime = "1 s"\n' * 4000, "phase: there are",
     "Join phases"),
    ("many stages", edited(LIFT, ("[[phase]]", '[[stage]]\nkind = "shaft"\n' * 40 + "[[phase]]")),
     "stage: there are", "Join some"),
    ("another schema", edited(LIFT, ("schema = 1", "schema = 2")), "axis.toml:1: schema",
     "Write schema = 1"),
    ("schema as text", edited(LIFT, ("schema = 1", 'schema = "1"')), "axis.toml:1: schema",
     "Write schema = 1"),
    ("numbers for sections", "schema = 1\naxis = 3\nload = 4\nmechanism = 5\nphase = 6\n",
     "axis.toml:3: load", "Write [load]"),
    ("single brackets", LIFT.replace("[[phase]]", "[phase]"), "axis.toml:24: phase",
     "double brackets"),
    ("negative mass", edited(LIFT, ('"40 kg"', '"-40 kg"')), "axis.toml:7: load.mass", "minus"),
    ("mass without a unit", edited(LIFT, ('"40 kg"', "40")), "load.mass", 'Write "40 kg"'),
    ("mass in N", edited(LIFT, ('"40 kg"', '"40 N"')), "load.mass", "its mass is"),
    ("mass nan", edited(LIFT, ('"40 kg"', '"nan kg"')), "load.mass", "Write a number"),
    ("mass inf", edited(LIFT, ('"40 kg"', "inf")), "load.mass", "kg"),
    ("mass 1e308", edited(LIFT, ('"40 kg"', '"1e308 kg"')), "load.mass", "Check the exponent"),
    ("mass in hexadecimal", edited(LIFT, ('"40 kg"', '"0x10 kg"')), "load.mass",
     "Write the value"),
    ("mass below something", edited(LIFT, ('"40 kg"', '"<= 40 kg"')), "load.mass",
     'mass = "40 kg"'),
    ("mass with words", edited(LIFT, ('"40 kg"', '"40 kg (full)"')), "load.mass",
     "nearest unit"),
    ("two signs", edited(LIFT, ('"40 kg"', '"--40 kg"')), "load.mass", 'mass = "40 kg"'),
    ("zero lead", edited(LIFT, ('"10 mm"', '"0 mm"')), "axis.toml:15: mechanism.lead",
     "Usual: 1 to 50 mm"),
    ("zero diameter", edited(LIFT, ('"20 mm"', '"0 mm"')), "mechanism.diameter", "Check"),
    ("no efficiency", edited(LIFT, ("efficiency = 0.92", "efficiency = 0")),
     "mechanism.efficiency", "Usual: 0.8"),
    ("efficiency above one", edited(LIFT, ("efficiency = 0.92", "efficiency = 1.2")),
     "mechanism.efficiency", "Usual: 0.8"),
    ("negative efficiency", edited(LIFT, ("efficiency = 0.92", "efficiency = -0.5")),
     "mechanism.efficiency", "Usual: 0.8"),
    ("efficiency nan", edited(LIFT, ("efficiency = 0.92", "efficiency = nan")),
     "mechanism.efficiency", "Usual: 0.8"),
    ("efficiency beyond machines", edited(LIFT, ("efficiency = 0.92", "efficiency = 1e-12")),
     "axis.toml:13: mechanism", "Check the ratios and efficiencies"),
    ("unknown kind", edited(LIFT, ('"ball-screw"', '"screwball"')), "axis.toml:14: mechanism.kind",
     "Choose one of"),
    ("misspelt kind", edited(LIFT, ('"ball-screw"', '"ball-scew"')), "mechanism.kind",
     'nearest is "ball-screw"'),
    ("misspelt field", edited(LIFT, ("friction", "fricton")), "load.fricton",
     'nearest is "friction"'),
    ("misspelt section", edited(LIFT, ("[load]", "[laod]")), "axis.toml:6: laod",
     'nearest is "load"'),
    ("a field twice", edited(LIFT, ('drag = "15 N"', 'drag = "15 N"\ndrag = "1 N"')), "load.drag",
     "Keep one"),
    ("a section twice", LIFT + '\n[load]\nmass = "1 kg"\n', "load: this stands twice", "Keep one"),
    ("overhead slope", edited(LIFT, ('"90 deg"', '"180 deg"')), "read \"180 deg\"; it has to be 90",
     "Check the number"),
    ("carried twice", edited(LIFT, ('["carton"]', '["carton", "carton"]')), "phase.up.carry",
     "Name it once"),
    ("unknown payload", edited(LIFT, ('["carton"]', '["cartoon"]')), "phase.up.carry",
     'nearest is "carton"'),
    ("contradiction", edited(LIFT, ('"0.6 s"', '"0.6 s"\nspeed = "0.1 m/s"')),
     "contradict each other", "State a speed above"),
    ("no time at all", edited(LIFT, ('"0.6 s"', '"0 s"')), "phase.up.time", "Check the number"),
    ("no distance", edited(LIFT, ('by = "300 mm"\n', "")), "phase.up.by", "State by or to"),
    ("no way back", edited(LIFT, ('"-300 mm"', '"-200 mm"')), "phase: the cycle ends",
     "go back to = 0"),
    ("nothing moves", LIFT.split("[[phase]]")[0] + '[[phase]]\ndo = "dwell"\ntime = "1 s"\n' + SITE,
     "nothing moves", "Add a move or a run"),
    ("ramps without time", edited(LIFT, ('"0.6 s"', '"0.6 s"\naccel_time = "0 s"')),
     "phase.up.accel_time", "Check the number"),
    ("no phase", LIFT.split("[[phase]]")[0] + SITE, "phase: there is no [[phase]]", "Add at least"),
    ("two phases of mains", edited(LIFT, ("phases = 3", "phases = 2")), "axis.toml:47: site.phases",
     "Write phases = 3"),
    ("0 V", edited(LIFT, ('"230 V"', '"0 V"')), "site.mains", "Check the number"),
    ("a furnace", edited(LIFT, ("phases = 3", 'phases = 3\nambient = "300 degC"')),
     "it has to be 200 °C or less", "Check the number"),
    ("space", edited(LIFT, ("phases = 3", 'phases = 3\naltitude = "100 km"')), "site.altitude",
     "Check the number"),
    ("hours without a unit", edited(LIFT, ("[site]", "[duty]\nhours = 16\n\n[site]")),
     "duty.hours", 'as in hours = "16 h"'),
    ("a long day", edited(LIFT, ("[site]", '[duty]\nhours = "25 h"\n\n[site]')),
     "it has to be 24 h or less", "Check the number"),
    ("a reserve of nothing", edited(LIFT, ("[site]", "[reserve]\nno-such = 0.1\n\n[site]")),
     "reserve.no-such", "dutyline schema"),
    ("half a stage", edited(LIFT, ('kind = "coupling"', 'kind = "reduction"\nratio = 0')),
     "stage.1.ratio", "Give speed in over speed out"),
    ("a thousand million to one", edited(LIFT, ("[[phase]]", '[[stage]]\nkind = "reduction"\n'
     "ratio = 1e9\n\n" * 4 + "[[phase]]")), "no machine does that", "Check the ratios"),
    ("a force of one point", edited(LIFT, force('points = [["10 mm", "1 N"]]')),
     "force.1.points: there is one point", "where it ends"),
    ("a force unsorted", edited(LIFT, force('points = [["9 mm", "1 N"], ["5 mm", "2 N"]]')),
     "force.1.points: place 2", "rising order"),
    ("a force beyond the travel", edited(LIFT, force('points = [["1 m", "1 N"], ["2 m", "1 N"]]')),
     "the force acts nowhere: travel goes from 0 m to 0.3 m", "Check the places"),
    ("a force in no phase", edited(LIFT, force('value = "1 N"', "phases = []")),
     "force.1.phases", "for the whole cycle"),
    ("a force in an unknown phase", edited(LIFT, force('value = "1 N"', 'phases = ["upp"]')),
     "force.1.phases", 'nearest is "up"'),
    ("a force that drives", edited(LIFT, force('value = "-1 N"', 'sense = "opposing"')),
     "force.1.sense", "minus"),
    ("a force of many points",
     edited(LIFT, force("points = [" + many('["{} mm", "1 N"], ', 501) + "]")),
     "there are 501 points", "on a line between"),
    ("many forces", edited(LIFT, pieces('[[force]]\nvalue = "1 N"\n' * 101)),
     "force: there are 101", "Join some"),
    ("a title that steers", edited(LIFT, ("Lift", ESCAPE + "Lift")), "axis.title", "U+001B"),
    ("a title that turns round", edited(LIFT, ("Lift", "\\u202etfiL")), "axis.title", "U+202E"),
    ("a title of two lines", edited(LIFT, ("Lift", "Lift\\nmeets")), "axis.title",
     "Join the lines"),
    ("a title of a page", edited(LIFT, ("Lift", "L" * 100_000)), "axis.title", "Shorten it"),
    ("a name that steers", edited(LIFT, ('"up"', f'"{ESCAPE}up"')), "phase.\\u001b[31mup.name",
     "U+001B"),
    ("a payload that steers", LIFT.replace("carton =", f'"{ESCAPE}" ='), "load.payloads", "U+001B"),
    ("a note that steers", edited(LIFT, ('"40 kg"', f'{{ value = "40 kg", note = "{ESCAPE}" }}')),
     "load.mass", "U+001B"),
    ("a field that steers", edited(LIFT, ("friction", f'"{ESCAPE}" = 1\nfriction')),
     "load.\\u001b[31m", "There are mass"),
    ("a section that steers", LIFT + f'\n["{ESCAPE}"]\n', "\\u001b[31m", "There are axis"),
    ("many cases", LIFT + '\n[[case]]\nname = "c"\nset = { "load.mass" = "1 kg" }\n' * 21,
     "case: there are 21", "Join some"),
    ("a case that steers", case('set = { "load.mass" = "1 kg" }', name=ESCAPE),
     "name", "U+001B"),
    ("a case of nothing", case(""), "case.c: neither set", "Add set"),
    ("a case without a path", case('set = { "a.b.c" = 1 }'),
     "case.c.set", "Paths look like"),
    ("a variant of minus mass", case('set = { "load.mass" = "-1 kg" }', "variant", "v"),
     "variant.v.load.mass", "minus"),
    ("samples outside of the folder", table('file = "../../../../etc/passwd"'),
     "phase.up.file", "folder of the axis file"),
    ("samples from a device", table('file = "/dev/zero"'), "phase.up.file",
     "folder of the axis file"),
    ("samples of nowhere", table('file = "none.csv"'), "there is no file",
     "folder of the axis file"),
    ("two samples", table('points = [["0 s", "0 mm"], ["1 s", "300 mm"]]'), "needs 4 or more",
     "Add samples"),
    ("samples that turn back",
     table("points = [" + many('["{} s", "0 mm"], ', 3) + '["1 s", "300 mm"]]'),
     "not beyond the one before", "rising order"),
    ("a knife on a screw", edited(LIFT, (MOVE,
     'do = "follow"\ntool = "rotary-knife"\nline_speed = "1 m/s"\nlength = "1 m"\n'
     'diameter = "160 mm"')), "a rotary knife turns", "load turns"),
    ("a cut too short", edited(LIFT, (MOVE,
     'do = "follow"\ntool = "flying-cut"\nline_speed = "1 m/s"\nlength = "1 mm"\n'
     'sync = "1 m"\naccel = "1 m/s^2"')), "is the shortest", "a longer length"),
    ("a number of ten thousand digits", LIFT + "more = [" + "9" * 10_000 + "]",
     "a whole number has thousands of digits", "Look at"),
    ("a stop without end", LIFT + '\n[[phase]]\ndo = "stop"\n', "phase.5.decel",
     "one of the two"),
    ("stops alone", LIFT.split("[[phase]]")[0] + '[[phase]]\ndo = "stop"\ntime = "1 s"\n' + SITE,
     "there are stops only", "phases of the cycle"),
    ("a stage on a linear motor",
     edited(LIFT, ('"ball-screw"\nlead = "10 mm"\ndiameter = "20 mm"\nlength = "600 mm"',
                   '"direct"')), "axis.toml:17: stage", "Leave out the stages"),
]  # fmt: skip
