"""Emergency ramps: from which state, how far, with what torque."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

import dutyline as dl
from dutyline.app.demand import stop_table
from dutyline.axis.read import read_axis
from support import dense
from support.axis_files import LIFT, edited
from support.command import dutyline

G = 9.80665
BELT = edited(
    LIFT,
    ('kind = "ball-screw"\nlead = "10 mm"\ndiameter = "20 mm"\nlength = "600 mm"\n',
     'kind = "belt"\ndiameter = "60 mm"\n'),
    ("efficiency = 0.92", "efficiency = 0.95"),
    ('drag = "15 N"', 'drag = "0 N"'),
    ("friction = 0.01", "friction = 0"),
    ('inertia = "0.3 kg*cm^2"', 'inertia = "0 kg*cm^2"'),
)  # fmt: skip
"""A level train without friction: 12 kg up with 40 kg, 40 kg down, at 0.75 m/s."""
STOP = '\n[[phase]]\ndo = "stop"\nname = "e-stop"\ndecel = "8 m/s^2"\nreaction = "20 ms"\n'
SPEED, DECEL, RADIUS = 0.75, 8.0, 0.03


def read(text: str) -> dl.Axis:
    return read_axis("axis.toml", text=text)


def rows(text: str):
    return {row.name: row for row in stop_table(dl.demand(read(text)))}


def test_distance_and_time_of_a_ramp():
    """v t + v^2/(2 d) and t + v/d."""
    for row in rows(BELT + STOP).values():
        assert abs(row.distance) == pytest.approx(SPEED * 0.02 + SPEED**2 / (2 * DECEL))
        assert row.time == pytest.approx(0.02 + SPEED / DECEL)
        assert row.speed == pytest.approx(SPEED)


def test_torque_of_a_downward_stop_is_weight_and_ramp():
    """m (g + d) r, less what the belt loses towards the motor: 2 - 1/0.95 of it."""
    found = rows(BELT + STOP)
    (down,) = (row for name, row in found.items() if "from down" in name)
    assert down.peak_torque == pytest.approx(40 * (G + DECEL) * RADIUS * (2 - 1 / 0.95))
    assert down.distance < 0


def test_torque_of_an_upward_stop_is_weight_less_ramp():
    """m (g - d) r/0.95 still drives; before the ramp m g r/0.95 is the larger one."""
    (up,) = (row for name, row in rows(BELT + STOP).items() if "from up" in name)
    assert up.peak_torque == pytest.approx(52 * G * RADIUS / 0.95)
    at_once = BELT + STOP.replace('reaction = "20 ms"\n', "")
    (up,) = (row for name, row in rows(at_once).items() if "from up" in name)
    assert up.peak_torque == pytest.approx(52 * (G - DECEL) * RADIUS / 0.95)


def test_a_ramp_by_its_time():
    timed = STOP.replace('decel = "8 m/s^2"', 'time = "50 ms"')
    for row in rows(BELT + timed).values():
        assert row.time == pytest.approx(0.07)
        assert abs(row.distance) == pytest.approx(SPEED * 0.02 + SPEED * 0.025)


def test_from_a_phase():
    found = rows(BELT + STOP + 'from = "up"\n')
    assert found
    assert all("from up" in name for name in found)


def test_a_process_force_counts_where_it_drives_on():
    """A pull of 200 N against + travel helps to stop on the way up and drives on the way down."""
    pulled = edited(BELT, ('name = "up"', 'name = "up"\nforce = "200 N"'),
                    ('name = "down"', 'name = "down"\nforce = "200 N"'))  # fmt: skip
    found = rows(pulled + STOP.replace('reaction = "20 ms"\n', ""))
    (down,) = (row for name, row in found.items() if "from down" in name)
    (up,) = (row for name, row in found.items() if "from up" in name)
    assert down.peak_torque == pytest.approx((40 * (G + DECEL) + 200) * RADIUS * (2 - 1 / 0.95))
    assert up.peak_torque == pytest.approx(52 * (G - DECEL) * RADIUS / 0.95)


def test_the_stop_is_no_part_of_the_cycle():
    with_stop, without = dl.demand(read(BELT + STOP)), dl.demand(read(BELT))
    assert with_stop.cycle_time == without.cycle_time
    assert with_stop.rms_torque == without.rms_torque
    assert len(with_stop.axis.cycle.phases) == 4


PARTS = dl.Combination("XM116-1300H", "XG116-4", brake="XB116")


def verdict(text: str) -> dict[tuple[str, str], dl.Line]:
    found = dl.verify(read(text), PARTS)
    return {(ln.check, ln.part): ln for ln in found.ledger}


def test_a_hard_stop_is_the_peak_of_the_ledger():
    """Motor torque of the downward stop at constant deceleration, by hand from the parts."""
    line = dl.demo_line()
    motor = line.motors[line.motor_index["XM116-1300H"]]
    gear = line.gearheads[line.gearhead_index["XG116-4"]]
    hard = STOP.replace("8 m/s^2", "40 m/s^2")
    peak = verdict(BELT + hard)[("peak-torque", "motor")]
    assert peak.case.startswith("e-stop from down")
    output = 40 * (G + 40) * RADIUS * (2 - 1 / 0.95)
    spin = 40 / RADIUS * gear.ratio
    own = (motor.inertia_with_brake + gear.inertia_in) * spin
    at_teeth = gear.torque_rated / gear.ratio / gear.efficiency
    mesh = gear.torque_rated / gear.ratio / (at_teeth - gear.no_load_torque)
    wanted = output / gear.ratio * mesh + own - gear.no_load_torque
    assert peak.demand == pytest.approx(wanted, rel=1e-6)
    soft = verdict(BELT)[("peak-torque", "motor")]
    assert soft.demand < peak.demand


OF_RAMPS = ("peak-torque", "drive-peak-current", "gear-emergency", "resistor-peak",
            "resistor-pulse", "assumed-inputs")  # fmt: skip


def test_cycle_checks_do_not_see_the_stop():
    with_stop, without = verdict(BELT + STOP.replace("8 m", "40 m")), verdict(BELT)
    for key, line in without.items():
        if key[0] not in OF_RAMPS:
            assert with_stop[key].demand == line.demand, key
            assert with_stop[key].case == "main"


def test_distance_against_what_is_free():
    free = '\n[stop]\nfree_distance = ["45 mm", "60 mm"]\n'
    line = verdict(BELT + STOP + free)[("stop-distance", "axis")]
    assert line.limit == 0.045
    assert line.demand == pytest.approx(0.015 + SPEED**2 / 16)
    assert line.state == "fails"
    assert ("stop-distance", "axis") not in verdict(BELT + STOP)


@pytest.mark.slow
def test_select_and_verify_agree_on_stops():
    axis = read(BELT + STOP + '\n[stop]\nfree_distance = "80 mm"\n')
    found = dl.select(axis)
    assert found.candidates
    for candidate in found.candidates:
        alone = dl.verify(axis, candidate.combination)
        assert alone.verdict == candidate.verdict
        assert [ln.case for ln in alone.ledger] == [ln.case for ln in candidate.ledger]


def test_a_case_with_phases_of_its_own_keeps_the_stop():
    own = """
[[case]]
name = "slow"
[[case.phase]]
do = "move"
by = "300 mm"
time = "1 s"
[[case.phase]]
do = "move"
to = "0 mm"
time = "1 s"
"""
    (case,) = read(BELT + STOP + own).cases
    assert [stop.name for stop in case.stops] == ["e-stop"]


def test_loss_of_power_is_judged_by_the_checks_of_the_brake():
    dark = '\n[[phase]]\ndo = "stop"\nname = "dark"\nmeans = "brake"\ncategory = 0\n'
    axis = read(BELT + dark)
    assert axis.stops[0].means == "brake"
    assert any(note.startswith("phase.dark: a stop by the brake") for note in axis.notes)
    assert not any("phase.dark.reaction" in note for note in axis.notes)
    assert stop_table(dl.demand(axis)) == ()
    assert ("brake-stop-energy", "brake") in verdict(BELT + dark)
    late = read(BELT + dark + 'reaction = "30 ms"\nfrom = "up"\n')
    assert any("phase.dark.from, phase.dark.reaction" in note for note in late.notes)


def test_json(tmp_path):
    file = tmp_path / "axis.toml"
    file.write_text(BELT + STOP)
    told = json.loads(dutyline("demand", str(file), "--json").out)
    assert {stop["name"].split(" at ")[0] for stop in told["stops"]} == {
        "e-stop from up", "e-stop from down",
    }  # fmt: skip
    assert "e-stop from down" in dutyline("demand", str(file)).out


@pytest.mark.parametrize(
    ("stop", "field", "words", "remedy"),
    [
        ("", "phase.e.decel", "missing", "one of the two"),
        ('decel = "8 m/s^2"\ntime = "1 s"', "phase.e.decel", "twice", "one of the two"),
        ('decel = "8 m/s^2"\nfrom = "upp"', "phase.e.from", 'no phase "upp"', '"up"'),
        ('decel = "8 m/s^2"\nmeans = "brake"', "phase.e.decel", "no ramp", "Leave decel out"),
        ('decel = "8 m/s^2"\ncategory = 0', "phase.e.category", "removes the power", "Change"),
        ('decel = "8 m/s^2"\ncategory = 3', "phase.e.category", "2 or less", "Check"),
        ('means = "brake"\ncategory = 2', "phase.e.category", "keeps it", "Change"),
        ('decel = "-8 m/s^2"', "phase.e.decel", '"-8 m/s^2"', "minus"),
        ('decel = "8 m/s^2"\ncarry = ["carton"]', "phase.e.carry", "no such field", "move"),
        ('decel = "8 m/s^2"\nby = "1 m"', "phase.e.by", "no such field", "move"),
        ('decel = "8 m/s^2"\nmeans = "parachute"', "phase.e.means", "parachute", "drive"),
    ],
)
def test_what_cannot_be_used_is_told(stop, field, words, remedy):
    text = f'{BELT}\n[[phase]]\ndo = "stop"\nname = "e"\n{stop}\n'
    with pytest.raises(dl.InputError) as caught:
        read(text)
    found = [f for f in caught.value.faults if f.field == field]
    assert found, [f.text() for f in caught.value.faults]
    assert words in found[0].read
    assert remedy in found[0].remedy


def test_stops_alone_are_no_cycle():
    text = BELT.split("[[phase]]")[0] + STOP
    with pytest.raises(dl.InputError, match="stops only"):
        read(text)


def test_a_ramp_is_held_against_the_emergency_torque_of_the_gearhead():
    """What the ramp puts through the gearhead, m (g + d) r less the loss of the belt, not lowered
    for peaks per hour."""
    hard = verdict(BELT + STOP.replace("8 m", "60 m"))[("gear-emergency", "gearhead")]
    gear = dl.demo_line().gearheads[dl.demo_line().gearhead_index[PARTS.gearhead]]
    assert hard.case.startswith("e-stop from down")
    assert hard.limit == gear.torque_emergency
    assert hard.demand == pytest.approx(40 * (G + 60) * RADIUS * (2 - 1 / 0.95))
    assert hard.text.startswith("in an emergency ramp")


ARM = """
schema = 1
[axis]
title = "Arm"
[load]
inertia = "1.2 kg*m^2"
mass = "8 kg"
arm = "0.35 m"
angle = "-20 deg"
[mechanism]
kind = "swing-arm"
efficiency = 1
[[phase]]
name = "there"
do = "move"
by = "100 deg"
time = "1 s"
law = "quintic"
[[phase]]
name = "back"
do = "move"
by = "-100 deg"
time = "1 s"
law = "quintic"
[site]
mains = "230 V"
phases = 3
[[phase]]
do = "stop"
name = "e-stop"
decel = "200 rad/s^2"
"""


def test_the_worst_instant_of_a_ramp_is_found():
    """Torque of an arm, ``J a + m g l cos x`` over the whole ramp, on a grid of starts."""
    t = np.linspace(0.0, 1.0, 4001)
    h = np.radians(100.0)
    worst = 0.0
    for by, start in ((h, np.radians(-20.0)), (-h, np.radians(80.0))):
        place = start + by * (10 * t**3 - 15 * t**4 + 6 * t**5)
        speed = by * (30 * t**2 - 60 * t**3 + 30 * t**4)
        sign = np.sign(by)
        for share in np.linspace(0.0, 1.0, 41):
            there = place + speed**2 / 400 * sign * (1 - (1 - share) ** 2)
            torque = -sign * 1.2 * 200 + 8 * G * 0.35 * np.cos(there)
            worst = max(worst, float(np.abs(torque)[1:-1].max()))
    assert max(r.peak_torque for r in rows(ARM).values()) == pytest.approx(worst, rel=1e-6)


BARE = dl.Combination("XM116-1300H", "XG116-4")
HARD = STOP.replace("8 m", "60 m")
FORCE = 40 * (G + 60)
"""Of the downward ramp, on 40 kg; everything before it in the cycle asks for less."""


def ramp_line(text: str, check: str) -> dl.Line:
    """The line of a check, judged without a brake, whose stop would ask for more."""
    found = dl.verify(read(text + HARD), BARE)
    (line,) = (ln for ln in found.ledger if ln.check == check)
    return line


@pytest.mark.parametrize(
    ("own", "check", "demand"),
    [
        ('kind = "belt"\ndiameter = "60 mm"\npretension = "4 kN"\nforce_limit = "9 kN"\n',
         "belt-force", 4000 + FORCE),
        ('kind = "belt"\ndiameter = "60 mm"\npretension = "4 kN"\n', "belt-slack", FORCE),
        ('kind = "belt"\nteeth = 40\npitch = "5 mm"\ntooth_limit = "300 N"\n',
         "belt-teeth", FORCE / 12),
        ('kind = "rack"\ndiameter = "60 mm"\nforce_limit = "5 kN"\n', "pinion-force", FORCE),
    ],
)  # fmt: skip
def test_belts_and_pinions_bear_the_ramp(own, check, demand):
    """Mass times weight and ramp, by hand; half of 40 teeth are in mesh and 12 at most count."""
    text = BELT.replace('kind = "belt"\ndiameter = "60 mm"\n', own)
    line = ramp_line(text, check)
    assert line.case.startswith("e-stop from down")
    assert line.demand == pytest.approx(demand)


def test_couplings_and_hubs_bear_the_ramp():
    """m (g + d) r less the loss of the belt, 1.5 times that at the hub."""
    hub = 'inertia = "0 kg*cm^2"\npeak_torque_limit = "90 N*m"\nhub_force = "60 kN"\n' \
          'hub_friction = 0.15\nbore = "30 mm"\n'  # fmt: skip
    text = BELT.replace('inertia = "0 kg*cm^2"\n', hub)
    torque = FORCE * RADIUS * (2 - 1 / 0.95)
    for check, wanted in (("coupling-torque", torque), ("hub-slip", 1.5 * torque)):
        line = ramp_line(text, check)
        assert line.case.startswith("e-stop from down")
        assert line.demand == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("check", "demand", "limit"),
    [("screw-buckling", FORCE, None), ("screw-static", 2.0, 40e3 / FORCE)],
)
def test_screws_bear_the_ramp(check, demand, limit):
    own = 'kind = "ball-screw"\nlead = "40 mm"\ndiameter = "32 mm"\nlength = "900 mm"\n' \
          'root_diameter = "27 mm"\nstatic_rating = "40 kN"\n'  # fmt: skip
    line = ramp_line(BELT.replace('kind = "belt"\ndiameter = "60 mm"\n', own), check)
    assert line.case.startswith("e-stop from down")
    assert line.demand == pytest.approx(demand)
    assert limit is None or line.limit == pytest.approx(limit)


DARK = STOP.replace('decel = "8 m/s^2"', 'decel = "0.4 m/s^2"\nmeans = "bus"')
FLAT = edited(BELT, ('incline = "90 deg"', 'incline = "0 deg"'))
DRAGGED = edited(
    BELT, ('incline = "90 deg"', 'incline = "0 deg"'), ('drag = "0 N"', 'drag = "DRAG"')
)


def at_bus(found, drag, hot=True):
    """The drive, and power at the bus and at the shaft over speed, ramp and mass: its own way."""
    shelf = dl.demo_line()
    motor = shelf.motors[shelf.motor_index["XM116-1300H"]]
    gear = shelf.gearheads[shelf.gearhead_index["XG116-4"]]
    drive = next(d for d in shelf.drives if d.name == found.combination.drive)
    at_teeth = gear.torque_rated / gear.ratio / gear.efficiency
    mesh = gear.torque_rated / gear.ratio / (at_teeth - gear.no_load_torque)
    warm = 1 + 0.00393 * (motor.winding_limit - 20) if hot else 1.0
    phase = motor.resistance / 2 * warm
    winding = dense.Winding(motor.torque_constant, motor.current_stall, motor.current_peak,
                            motor.saturation_peak)  # fmt: skip
    exponent = 1.5 if motor.iron_exponent is None else motor.iron_exponent
    per_metre = gear.ratio / RADIUS

    def power(speed, decel, mass):
        force = drag - mass * decel
        output = force * RADIUS * (1 / 0.95 if force > 0 else 2 - 1 / 0.95)
        inner = output / gear.ratio * (1 / mesh if output > 0 else mesh) + gear.no_load_torque
        torque = inner - (motor.inertia_with_brake + gear.inertia_in) * decel * per_metre
        w = speed * per_metre
        current = winding.current(np.full_like(w, torque))
        iron = motor.iron_loss_rated * (w / motor.speed_rated) ** exponent
        return (torque * w + 3 * phase * current**2 + iron + drive.loss_fixed
                + drive.loss_per_ampere * current), torque * w  # fmt: skip

    return drive, power


@pytest.mark.parametrize("drag", [0.0, 120.0])
def test_a_ramp_without_mains_is_held_against_the_bus(drag):
    """Power at the bus over ramps, added up in steps of 0.1 ms; the largest draw."""
    axis = read(DRAGGED.replace("DRAG", f"{drag} N") + DARK)
    found = dl.verify(axis, PARTS)
    (line,) = (ln for ln in found.ledger if ln.check == "bus-stop")
    drive, power = at_bus(found, drag)
    step, worst = 1e-4, 0.0
    for mass in (40.0, 52.0):
        waited, shaft = power(np.array([SPEED]), 0.0, mass)
        reaction = 0.02 * float(waited[0] - min(shaft[0], 0.0))
        speed = SPEED - 0.4 * (np.arange(round(SPEED / 0.4 / step)) + 0.5) * step
        drawn = np.cumsum(np.concatenate([[0.0], power(speed, 0.4, mass)[0] * step]))
        worst = max(worst, reaction + float((drawn - np.minimum.accumulate(drawn)).max()))
    assert line.demand == pytest.approx(worst, rel=2e-4)
    low = 1.35 * 230.0 * 0.9
    held = 0.5 * 0.8 * drive.bus_capacitance * (low**2 - drive.undervoltage_trip**2)
    assert line.limit == pytest.approx(held, rel=1e-4)
    assert (line.severity, line.state) == ("must", "fails" if worst > held else "meets")
    assert line.case.startswith("e-stop from")


def test_no_ramp_on_the_bus_no_line_of_it():
    assert not any(ln.check == "bus-stop" for ln in dl.verify(read(BELT + STOP), PARTS).ledger)


ENDS = """
schema = 1
[axis]
title = "s-curve"
[load]
mass = "60 kg"
friction = 0
[mechanism]
kind = "rack"
diameter = "42 mm"
endless = true
[[phase]]
do = "move"
by = "1.1 m"
time = "1.4 s"
law = "s-curve"
accel = "4 m/s^2"
jerk = "30 m/s^3"
[[phase]]
do = "dwell"
time = "0.5 s"
[site]
mains = "230 V"
phases = 3
"""


def test_the_end_of_a_move_is_no_motion_to_stop():
    """Rounding leaves a speed of -1e-16 m/s where this s-curve ends: there is no way back."""
    axis = read(ENDS + DARK)
    found = {row.name: row for row in stop_table(dl.demand(axis))}
    assert all(abs(row.speed) > 1.0 for row in found.values())
    assert all(row.distance > 0 for row in found.values())


TOGGLE = """\
schema = 1
[axis]
title = "Clamp"
[load]
mass = "25 kg"
[mechanism]
kind = "toggle"
link = "200 mm"
start_angle = "-35 deg"
lead = "10 mm"
[[phase]]
do = "move"
by = "110 mm"
time = "0.8 s"
[[phase]]
do = "move"
to = "0 mm"
time = "0.8 s"
[[phase]]
name = "halt"
do = "stop"
time = "{time}"
[site]
mains = "230 V"
phases = 3
"""


def test_a_stop_that_drives_a_knee_beyond_its_end_is_refused():
    """From 0.206 m/s in 4 s the screw goes on for 0.41 m; two links of 0.2 m leave it 0.4 m."""
    assert stop_table(dl.demand(read(TOGGLE.format(time="0.1 s"))))
    with pytest.raises(dl.InputError, match="knee is farther") as caught:
        stop_table(dl.demand(read(TOGGLE.format(time="4 s"))))
    assert caught.value.faults[0].field == "phase.halt"


def returned(power) -> tuple[float, float, float]:
    """Overflow of a full capacitor, largest store of an empty one, largest power of the overflow.

    The reaction and the ramp of 52 kg, added up in steps of 10 us.
    """
    step = 1e-5
    speed = SPEED - DECEL * (np.arange(round(SPEED / DECEL / step)) + 0.5) * step
    waited = np.full(2000, float(-power(np.array([SPEED]), 0.0, 52.0)[0][0]))
    gains = np.concatenate([waited, -power(speed, DECEL, 52.0)[0]])
    below, store, burnt, most, peak = 0.0, 0.0, 0.0, 0.0, 0.0
    for gain in gains.tolist():
        below += gain * step
        burnt += max(below, 0.0)
        peak = max(peak, gain if below > 0 else 0.0)
        below = min(below, 0.0)
        store = max(store + gain * step, 0.0)
        most = max(most, store)
    return burnt, most, peak


def test_what_a_ramp_returns_goes_to_the_resistor():
    """Begun with a full capacitor, from which the reaction takes first."""
    found = dl.verify(read(FLAT + STOP), replace(PARTS, resistor="XR-H40-320"))
    lines = {ln.check: ln for ln in found.ledger}
    burnt, _, peak = returned(at_bus(found, 0.0, hot=False)[1])
    assert burnt > 5.0
    assert lines["resistor-pulse"].case.startswith("e-stop from up")
    assert lines["resistor-pulse"].demand == pytest.approx(burnt, rel=1e-3)
    assert "full capacitor" in lines["resistor-pulse"].text
    assert lines["resistor-peak"].demand == pytest.approx(peak, rel=1e-3)
    assert not lines["resistor-mean"].case.startswith("e-stop")


def test_what_a_ramp_returns_goes_to_the_capacitor():
    """Of a drive without any resistor; said to begin at the idle voltage."""
    line = dl.demo_line()
    drive = dl.verify(read(FLAT + STOP), PARTS).combination.drive
    bare = tuple(
        replace(d, internal_resistor_power=0.0) if d.name == drive else d for d in line.drives
    )
    found = dl.verify(read(FLAT + STOP), PARTS, replace(line, drives=bare))
    (own,) = (ln for ln in found.ledger if ln.check == "regen-capacitor")
    _, most, _ = returned(at_bus(found, 0.0, hot=False)[1])
    assert own.case.startswith("e-stop from up")
    assert own.demand == pytest.approx(most, rel=1e-3)
    assert "idle voltage" in own.text


def test_a_key_bears_the_ramp():
    """2 T/(d (h - t1) (l - b)) of a key 8 x 7 with 3 mm above the shaft (DIN 6885-1)."""
    key = 'inertia = "0 kg*cm^2"\nbore = "30 mm"\nkey = ["8 mm", "7 mm", "40 mm"]\n' \
          'key_limit = "100 MPa"\n'  # fmt: skip
    line = ramp_line(BELT.replace('inertia = "0 kg*cm^2"\n', key), "key-pressure")
    assert line.case.startswith("e-stop from down")
    torque = FORCE * RADIUS * (2 - 1 / 0.95)
    assert line.demand == pytest.approx(2 * torque / (0.03 * 0.003 * 0.032))


def test_the_shaft_under_a_belt_bears_the_ramp():
    """Twice the pretension and the pull of the ramp, the loss of the belt as while it drives."""
    seat = 'diameter = "60 mm"\npretension = "4 kN"\noverhang = "15 mm"\n'
    text = BELT.replace('diameter = "60 mm"\n', seat)
    stage = text[text.index("[[stage]]") :].split("\n\n")[0]
    line = ramp_line(text.replace(stage, ""), "shaft-stop-load")
    assert line.case.startswith("e-stop from down")
    assert line.demand == pytest.approx(8000 + FORCE / 0.95)


def test_a_shared_bus_is_said_to_be_judged_alone():
    found = dl.verify(read(FLAT + STOP + "\n[cabinet]\nshared_bus = true\n"), PARTS)
    texts = {ln.check: ln.text for ln in found.ledger if ln.group.startswith("Braking")}
    for check in ("resistor-mean", "resistor-peak", "resistor-pulse"):
        assert "as if no other axis shared the bus" in texts[check]
    alone = dl.verify(read(FLAT + STOP), PARTS)
    assert not any("shared the bus" in ln.text for ln in alone.ledger)
