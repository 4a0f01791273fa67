"""What a correct file becomes: train, cycle, forces and everything around, in SI."""

import math
from pathlib import Path

import pytest
from tests.support.axis_files import LIFT, TABLE, edited

import dutyline.axis.fields as fields
from dutyline.axis.read import read_axis
from dutyline.axis.stated import default_of
from dutyline.core.errors import InputError
from dutyline.core.values import Value
from dutyline.train.mechanisms import DEFAULT_EFFICIENCY


def read(text=LIFT, *changes):
    return read_axis("lift.toml", text=edited(text, *changes))


def test_the_load_is_in_si():
    axis = read()
    base = axis.train.chain.load.base
    assert base.inertia == 40.0
    assert base.gravity == pytest.approx(40.0 * 9.80665, rel=1e-12)
    assert base.friction == pytest.approx(15.0, abs=1e-9)
    assert axis.train.chain.load.payloads["carton"].mass == 12.0


def test_stages_run_from_the_load_to_the_motor():
    axis = read()
    screw, coupling = axis.train.chain.stages
    assert screw.ratio.constant == pytest.approx(0.01 / (2 * math.pi), rel=1e-12)
    assert screw.efficiency == 0.92
    assert coupling.inertia_in == pytest.approx(0.3e-4, rel=1e-12)


TOOTHED = """
schema = 1
[axis]
title = "t"
[load]
mass = "10 kg"
[mechanism]
kind = "belt"
teeth = TEETH
pitch = "8 mm"
[[stage]]
kind = "gear"
ratio = RATIO
[[phase]]
do = "move"
by = "0.1 m"
time = "1 s"
[[phase]]
do = "move"
to = "0 m"
time = "1 s"
"""


def toothed(teeth, ratio="5"):
    return read_axis("t", text=TOOTHED.replace("TEETH", teeth).replace("RATIO", ratio))


def test_whole_numbers_and_ratios_may_be_tables_as_well():
    said = '{ value = 24, status = "assumed", note = "counted on a photo", range = "22..26" }'
    axis = toothed(said, '{ value = "24/7", status = "measured" }')
    stages = axis.train.chain.stages
    assert 2 * math.pi * stages[0].ratio.constant == pytest.approx(24 * 0.008, rel=1e-12)
    assert stages[1].ratio.constant == 1 / (24 / 7)
    found = {item.path: item.value for item in axis.inputs}
    teeth, ratio = found["mechanism.teeth"], found["stage.1.ratio"]
    assert (teeth.si, teeth.low, teeth.high, teeth.status) == (24.0, 22.0, 26.0, "assumed")
    assert teeth.note == "counted on a photo"
    assert (ratio.typed, ratio.status) == ("24/7", "measured")


@pytest.mark.parametrize("bad", ["{ value = 24.5 }", '{ value = "many" }', '{ status = "given" }'])
def test_a_table_of_a_whole_number_needs_one(bad):
    with pytest.raises(InputError, match=r"mechanism\.teeth"):
        toothed(bad)


def test_a_fraction_is_kept_exactly():
    assert read(TABLE).train.chain.stages[-1].ratio.constant == 1 / (24 / 7)


def test_the_cycle_has_the_phases_of_the_file():
    cycle = read().cycle
    assert [phase.name for phase in cycle.phases] == ["up", "2", "down", "4"]
    assert cycle.duration == pytest.approx(2.0, rel=1e-12)
    assert cycle.phases[0].carry == ("carton",)


def test_a_rate_gives_the_dwell_its_time():
    cycle = read(TABLE).cycle
    assert cycle.duration == pytest.approx(1.0, rel=1e-12)
    assert cycle.phases[1].duration == pytest.approx(0.75, rel=1e-12)


def test_a_table_may_end_elsewhere_but_a_lift_may_not():
    assert read(TABLE).cycle.net_travel == pytest.approx(math.radians(30.0), rel=1e-12)
    with pytest.raises(InputError, match="endless"):
        read(LIFT, ('by = "-300 mm"', 'by = "-200 mm"'))


def test_a_weight_off_the_axis_has_to_come_round():
    arm = ('mass = "60 kg"', 'mass = "60 kg"\narm = "0.1 m"')
    tilt = ('kind = "rotary-table"', 'kind = "rotary-table"\ntilt = "30 deg"')
    with pytest.raises(InputError, match="whole number of periods"):
        read(TABLE, arm, tilt)
    assert read(TABLE, arm, tilt, ('"30 deg"\ntime', '"360 deg"\ntime')).cycle.net_travel > 6.0


def test_turns_of_a_run_are_turns_of_the_load():
    move = 'do = "move"\nby = "30 deg"\ntime = "0.25 s"'
    run = 'do = "run"\nspeed = "60 r/min"\nturns = 3\n'
    text = edited(TABLE, (move, run), ('\n[[phase]]\ndo = "dwell"\n', ""), ('rate = "60 /min"', ""))
    cycle = read(text).cycle
    assert cycle.net_travel == pytest.approx(6 * math.pi, rel=1e-12)
    assert cycle.duration == pytest.approx(3.0, rel=1e-12)


def test_words_of_the_trade_are_read_and_written_in_one_way():
    axis = read(
        LIFT,
        ("ball-screw", "Ball Screw"),
        ('time = "0.6 s"', 'Duration = "0.6 s"\nlaw = "S_curve"'),
        ("mains =", "Voltage ="),
        ("[load]", "[LOAD]"),
    )
    assert axis.train.kind == "ball-screw"
    assert axis.stated["phase"][0]["law"] == "s-curve"
    assert axis.stated["phase"][0]["time"] == "0.6 s"
    assert axis.stated["mechanism"][0]["kind"] == "ball-screw"
    assert axis.site is not None
    assert axis.site.mains == 230.0


def test_a_field_decides_its_dimension():
    axis = read(LIFT, ('"40 kg"', '"33 lb"'), ('"15 N"', '"33 lbf"'))
    assert axis.train.chain.load.base.mass == pytest.approx(33 * 0.45359237, rel=1e-12)
    assert axis.train.chain.load.base.friction == pytest.approx(33 * 4.4482216152605, rel=1e-9)


def test_statuses_notes_and_ranges_travel_with_the_input():
    table = '{ value = "40 kg", status = "measured", note = "weighed", range = ["36 kg", "46 kg"] }'
    axis = read(LIFT, ('"40 kg"', table))
    mass = next(i for i in axis.inputs if i.path == "load.mass")
    assert isinstance(mass.value, Value)
    assert (mass.value.status, mass.value.note) == ("measured", "weighed")
    assert (mass.value.low, mass.value.high) == (36.0, 46.0)
    assert mass.line == 7
    assert mass.section == "Load"
    assert mass.symbol == "m"


def test_defaults_are_told_with_their_status():
    axis = read(LIFT, ("friction = 0.01\n", ""))
    friction = next(i for i in axis.inputs if i.path == "load.friction")
    assert friction.line is None
    assert isinstance(friction.value, Value)
    assert (friction.value.si, friction.value.status) == (0.01, "assumed")
    assert "load.friction" in axis.assumed(("load",))


def test_the_efficiency_of_a_kind_is_assumed_where_it_is_not_stated():
    axis = read(LIFT, ("efficiency = 0.92\n", ""))
    assert axis.train.chain.stages[0].efficiency == 0.90
    assert "mechanism.efficiency" in axis.assumed(("mechanism",))


def test_without_site_an_axis_can_still_be_computed():
    axis = read(LIFT, ('[site]\nmains = "230 V"\nphases = 3\n', ""))
    assert axis.site is None
    assert axis.questions[0].path == "site.mains"


def test_everything_around_is_in_si():
    axis = read(
        LIFT,
        ("phases = 3", 'phases = "dc"\nambient = "95 degF"\naltitude = "1000 ft"\n'
         'mains_low = "-5 %"\n\n[stop]\nfree_distance = "50 mm"\nreaction = "20 ms"\n\n'
         '[require]\nlife = "20000 h"\nbandwidth = "20 Hz"\nposition = "0.05 mm"\n'
         'envelope = ["100 mm", "100 mm", "300 mm"]\n\n[duty]\nhours = "8 h"\n\n'
         '[reserve]\npeak_torque = "15 %"\n\n[choose]\nmotors = "XM*"\n'),
    )  # fmt: skip
    assert axis.site is not None
    assert axis.site.phases == "dc"
    assert axis.site.ambient == pytest.approx(35.0, abs=1e-9)
    assert axis.site.altitude == pytest.approx(304.8, rel=1e-12)
    assert axis.site.mains_low == pytest.approx(-0.05)
    assert axis.stop.free_distance == (0.05, 0.05)
    assert axis.stop.reaction == pytest.approx(0.02)
    assert axis.require.life == pytest.approx(72e6)
    assert axis.require.bandwidth == pytest.approx(2 * math.pi * 20)
    assert axis.require.envelope == (0.1, 0.1, 0.3)
    assert axis.duty.hours == 28800.0
    assert axis.reserve == {"peak-torque": pytest.approx(0.15)}
    assert axis.choose.motors == ("XM*",)


def test_forces_are_read_over_travel_and_over_time():
    axis = read(
        LIFT,
        ("[site]", '[[force]]\nname = "press"\npoints = [["0 mm", "0 N"], ["20 mm", "300 N"]]\n'
         'only = "forward"\nphases = ["up"]\n\n[[force]]\nvalue = "20 N"\nsense = "opposing"\n\n'
         '[[force]]\npoints = [["0 s", "1 N"], ["0.1 s", "2 N"]]\nbetween = "step"\n\n[site]'),
    )  # fmt: skip
    press, rub, pulse = axis.train.forces
    assert (press.over, press.places, press.values) == ("travel", (0.0, 0.02), (0.0, 300.0))
    assert (press.only, press.phases) == ("forward", (0,))
    assert (rub.over, rub.values, rub.sense) == ("constant", (20.0,), "opposing")
    assert (pulse.over, pulse.between, pulse.phases) == ("time", "step", None)


def test_a_counterweight_joins_the_shaft():
    text = edited(LIFT, ("[site]", '[[balance]]\nkind = "counterweight"\nmass = "30 kg"\n\n[site]'))
    screw = read(text).train.chain.stages[0]
    assert screw.joined[0].load.base.mass == 30.0


def test_sections_of_later_checks_are_read_and_said_to_be_unused():
    text = edited(LIFT, ("[site]", '[guide]\nkind = "ball"\nseal = "5 N"\n\n[site]'))
    assert read(text).notes[0] == "Stated, but used by no check of this version: guide.seal."
    with pytest.raises(InputError, match=r"guide\.kind"):
        read(edited(text, ('"ball"', '"bowl"')))


def test_single_fields_that_no_check_uses_are_said_too():
    axis = read(LIFT, ("[site]", '[site]\nfrequency = "60 Hz"'))
    assert axis.notes[0].endswith("version: site.frequency.")
    assert not any("Stated, but" in note for note in read().notes)


def test_efficiencies_of_kinds_are_those_of_the_builders():
    for name in ("mechanism", "stage"):
        for field in fields.SECTIONS[name].fields:
            for kind in field.kinds:
                if field.name == "efficiency" and field.assumed:
                    assert float(field.default) == DEFAULT_EFFICIENCY[kind]


@pytest.mark.parametrize(
    "own",
    [
        'inertia = "1 kg*cm^2"',
        'body = [{ mass = "1 kg", inertia = "1 kg*cm^2" }]',
        'rotating = "nut"',
        'diameter = "20 mm"\nlength = "600 mm"',
    ],
)
def test_a_screw_is_described_in_one_way_or_another(own):
    text = edited(LIFT, ('diameter = "20 mm"\nlength = "600 mm"', own))
    assert read(text).train.kind == "ball-screw"


def test_a_lead_screw_takes_friction_or_efficiency():
    base = edited(LIFT, ("ball-screw", "lead-screw"), ("efficiency = 0.92\n", ""))
    with pytest.raises(InputError, match="efficiency or friction is missing"):
        read(base)
    sliding = read(edited(base, ('lead = "10 mm"', 'lead = "5 mm"\nfriction = 0.12')))
    assert sliding.train.self_locking
    with pytest.raises(InputError, match="say the same thing"):
        read(edited(base, ('lead = "10 mm"', 'lead = "5 mm"\nfriction = 0.1\nefficiency = 0.5')))


def test_direct_axes_are_linear_or_rotary_by_their_load():
    linear = edited(LIFT, ('lead = "10 mm"\ndiameter = "20 mm"\nlength = "600 mm"\n', ""),
                    ('[[stage]]\nkind = "coupling"\ninertia = "0.3 kg*cm^2"\n', ""),
                    ("ball-screw", "direct"))  # fmt: skip
    assert read(linear).linear
    assert not read(edited(TABLE, ("rotary-table", 'direct"\nendless = true #'))).linear


@pytest.mark.parametrize(
    ("kind", "own", "radius"),
    [
        ("belt", 'teeth = 24\npitch = "8 mm"', 24 * 0.008 / (2 * math.pi)),
        ("rack", 'teeth = 20\nmodule = "2 mm"', 0.02),
        ("hoist", 'diameter = "200 mm"', 0.1),
        ("conveyor", 'diameter = "80 mm"\nfriction = 0.3\nendless = true', 0.04),
    ],
)
def test_every_linear_kind_has_its_travel_per_radian(kind, own, radius):
    screw = 'lead = "10 mm"\ndiameter = "20 mm"\nlength = "600 mm"\n'
    text = edited(LIFT, (screw, own + "\n"), ("ball-screw", kind))
    if kind == "conveyor":
        text = edited(text, ('incline = "90 deg"', 'incline = "10 deg"'))
    assert read(text).train.chain.stages[0].ratio.constant == pytest.approx(radius, rel=1e-12)


def test_a_file_on_disk_reads_like_its_text(tmp_path):
    file = tmp_path / "lift.toml"
    file.write_bytes(b"\xef\xbb\xbf" + LIFT.replace("\n", "\r\n").encode())
    axis = read_axis(file)
    assert axis.file == "lift.toml"
    assert axis.train == read().train
    assert len(axis.checksum) == 64


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (LIFT.encode("utf-16"), "UTF-16"),
        (LIFT.replace("Lift", "Aufzüge").encode("latin-1"), "not UTF-8"),
        (LIFT.encode() + b"\0", "zero bytes"),
        (b"# " + b"x" * 1_000_001, "larger than 1 MB"),
    ],
)
def test_a_file_that_is_no_utf8_text_is_refused(tmp_path, raw, words):
    file = tmp_path / "lift.toml"
    file.write_bytes(raw)
    with pytest.raises(InputError, match=words):
        read_axis(file)


def test_bytes_from_standard_input_are_judged_as_they_were():
    text = LIFT.replace("Lift", "Aufzüge").encode("latin-1").decode("utf-8", "surrogateescape")
    with pytest.raises(InputError, match="not UTF-8"):
        read_axis("standard input", text=text)


def test_numbers_of_thousands_of_digits_are_refused():
    with pytest.raises(InputError, match="digits"):
        read(LIFT, ("friction = 0.01", "friction = " + "9" * 5000))


def test_missing_files_and_folders_are_told(tmp_path):
    with pytest.raises(InputError, match="no such file"):
        read_axis(tmp_path / "none.toml")
    with pytest.raises(InputError, match="folder"):
        read_axis(tmp_path)
    with pytest.raises(InputError, match="cannot be read"):
        read_axis(Path("a\0b"))


def test_every_default_reads_in_its_dimension():
    for section in (*fields.SECTIONS.values(), *fields.NESTED.values()):
        for field in section.fields:
            linear = "direct rotary" not in field.kinds
            value = default_of(field, linear)
            assert value is None or value.status in ("assumed", "default")


def test_names_of_fields_are_plain_and_once_for_each_kind():
    for section in (*fields.SECTIONS.values(), *fields.NESTED.values()):
        kinds = {kind for f in section.fields for kind in f.kinds} or {None}
        for kind in kinds:
            names = [word for f in section.fields_of(kind) for word in (f.name, *f.aliases)]
            assert len(names) == len(set(names)), (section.name, kind)


def test_an_inertia_of_zero_is_an_answer():
    screw = 'diameter = "20 mm"\nlength = "600 mm"\n'
    axis = read(edited(LIFT, (screw, 'inertia = "0 kg*m^2"\n')))
    assert axis.train.chain.stages[0].inertia_in == 0.0


def test_what_an_axis_states_may_be_changed_without_changing_the_next_one():
    first = read()
    first.stated["load"][0]["payloads"]["carton"] = "99 kg"
    first.stated["phase"][0]["time"] = "9 s"
    again = read()
    assert again.stated["load"][0]["payloads"]["carton"] == "12 kg"
    assert again.stated["phase"][0]["time"] == "0.6 s"


def test_a_fault_is_told_again_in_a_text_read_twice_and_its_table_mended_is_read_anew():
    broken = edited(LIFT, ('time = "0.6 s"', 'time = "0.6 kg"'))
    told = []
    for _ in range(2):
        with pytest.raises(InputError) as caught:
            read_axis("lift.toml", text=broken)
        told.append(caught.value.faults)
        assert read().cycle.phases[0].duration == 0.6
    assert told[0] == told[1]
    lower = "\n" + broken
    with pytest.raises(InputError) as caught:
        read_axis("lift.toml", text=lower)
    assert [f.read for f in caught.value.faults] == [f.read for f in told[0]]
    assert caught.value.faults[0].place != told[0][0].place


def test_a_number_is_not_taken_for_the_flag_that_equals_it():
    number = edited(LIFT, ("[axis]", "[axis]\nnote = 1"))
    flag = edited(LIFT, ("[axis]", "[axis]\nnote = true"))
    told = []
    for text in (number, flag):
        with pytest.raises(InputError) as caught:
            read_axis("lift.toml", text=text)
        told.append(caught.value.faults[0].read)
    assert told[0] != told[1]


def test_lines_of_fields_follow_the_text_and_cautions_the_decimal_mark():
    odd = edited(LIFT, ("[axis]", '[axis]\ndecimal = "comma"'))
    first, lower = read(), read_axis("lift.toml", text="\n" + LIFT)
    assert [i.line for i in lower.inputs] == [i.line and i.line + 1 for i in first.inputs]
    assert [i.line for i in read().inputs] == [i.line for i in first.inputs]
    steep = ("friction = 0.01", "friction = 0.5")
    told = [[i.unusual for i in read(edited(t, steep)).inputs if i.unusual] for t in (LIFT, odd)]
    assert ["0.002" in told[0][0], "0,002" in told[0][0]] == [True, False]
    assert ["0.002" in told[1][0], "0,002" in told[1][0]] == [False, True]


def test_a_table_too_long_to_be_kept_is_read_anew_and_says_the_same():
    long = ("[axis]", f'[axis]\nnote = "{"long " * 1000}"')
    first, again = read(edited(LIFT, long)), read(edited(LIFT, long))
    assert first.inputs == again.inputs
    assert first.stated["axis"] == again.stated["axis"]
    assert first.train == read().train
