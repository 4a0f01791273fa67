"""Files of cranks, linkages, cams, tables, webs and driven loads: read right, or refused."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from dutyline.axis.read import read_axis
from dutyline.core.errors import InputError
from dutyline.demand.output import output_demand
from dutyline.demand.stop_ramps import stop_axes
from dutyline.train.rolls import held_in

HEAD = 'schema = 1\n\n[axis]\ntitle = "Made"\n\n'
MASS = '[load]\nmass = "6 kg"\nfriction = 0\n\n'
TURN = '\n[[phase]]\ndo = "run"\nspeed = "60 r/min"\nturns = 1\n'
CRANK = 'kind = "slider-crank"\ncrank = "40 mm"\nrod = "160 mm"\n'
BARS = (
    'kind = "four-bar"\ncrank = "50 mm"\ncoupler = "140 mm"\nrocker = "120 mm"\nground = "150 mm"\n'
)
WEB = (
    'kind = "winder"\ncore = "92 mm"\nfull = "380 mm"\nwidth = "300 mm"\nthickness = "40 um"\n'
    'density = "900 kg/m^3"\ntension = "40 N"\n'
)
PULL = '\n[[phase]]\ndo = "run"\nspeed = "1 m/s"\ntime = "10 s"\nramp = "0 s"\n'
LIFT = (
    'kind = "cam"\nsections = [{ angle = "150 deg", lift = "20 mm" }, { angle = "30 deg" }, '
    '{ angle = "180 deg", lift = "-20 mm", law = "quintic" }]\n'
)


def axis(mechanism, phases=TURN, load=MASS):
    return read_axis("made.toml", text=f"{HEAD}{load}[mechanism]\n{mechanism}{phases}")


def refused(mechanism, phases=TURN, load=MASS):
    """Faults as (field, read, remedy)."""
    with pytest.raises(InputError) as found:
        axis(mechanism, phases, load)
    return [(f.field, f.read, f.remedy) for f in found.value.faults]


def moves(by, time="0.4 s"):
    return (f'\n[[phase]]\ndo = "move"\nby = "{by}"\ntime = "{time}"\n'
            f'\n[[phase]]\ndo = "move"\nto = "0 mm"\ntime = "{time}"\n')  # fmt: skip


def test_phases_state_the_crank_and_forces_the_slider():
    text = CRANK + 'start_angle = "180 deg"\n'
    force = '\n[[force]]\npoints = [["70 mm", "500 N"], ["80 mm", "500 N"]]\nonly = "forward"\n'
    found = axis(text, TURN + force)
    assert not found.linear
    assert found.train.chain.load.linear
    assert found.cycle.net_travel == pytest.approx(2 * math.pi)
    assert output_demand(found).task_work == pytest.approx(5.0, rel=1e-9)


def test_a_phase_force_on_a_crank_is_one_of_the_load():
    found = axis(CRANK, TURN.replace("turns = 1", 'turns = 1\nforce = "20 N"'))
    assert found.cycle.phases[0].force == 20.0
    fault = refused(CRANK, TURN.replace("turns = 1", 'turns = 1\nforce = "20 N*m"'))[0]
    assert fault[0] == "phase.1.force"
    assert "a force is needed" in fault[1]


def test_a_crank_may_turn_whole_turns_only():
    read = refused(CRANK, TURN.replace("turns = 1", 'by = "300 deg"'))[0][1]
    assert "not a whole number of periods" in read
    assert "6.28319 rad" in read


def test_the_load_may_be_stated_between_dead_points():
    text = CRANK + 'start_angle = "-90 deg"\nmotion = "load"\n'
    found = axis(text, moves("20 mm"))
    assert found.linear
    assert not found.train.input_stated
    assert output_demand(found).balance < 1e-12


def test_a_dead_point_in_load_coordinates_is_refused_with_its_place():
    text = CRANK + 'start_angle = "-90 deg"\nmotion = "load"\n'
    ((field, read, remedy),) = refused(text, moves("50 mm"))
    assert field == "phase"
    assert re.search(r"to go to 50\.0\smm, but at 45\.1\smm", read), read
    assert "input at 0°" in read
    assert "dead point" in read
    assert "infinitely fast" in read
    assert "Stay within" in remedy
    assert 'motion = "input"' in remedy


def test_a_load_stated_from_a_dead_point_is_refused():
    ((field, read, _),) = refused(CRANK + 'motion = "load"\n', moves("20 mm"))
    assert field == "mechanism.start_angle"
    assert "dead point" in read


def test_a_crank_that_cannot_turn_round_is_told():
    text = CRANK.replace('"160 mm"', '"45 mm"') + 'offset = "20 mm"\n'
    ((_, read, remedy),) = refused(text)
    assert "rod is too short" in read
    assert "lengths" in remedy


def test_bars_that_do_not_turn_round_are_told():
    ((_, read, _),) = refused(BARS.replace('"50 mm"', '"200 mm"'),
                              load='[load]\ninertia = "0.1 kg*m^2"\n\n')  # fmt: skip
    assert "do not meet" in read


@pytest.mark.parametrize("lacking", ["crank", "coupler", "rocker", "ground"])
def test_every_bar_is_needed(lacking):
    text = "".join(row for row in BARS.splitlines(True) if not row.startswith(lacking))
    fields = [f for f, *_ in refused(text, load='[load]\ninertia = "0.1 kg*m^2"\n\n')]
    assert f"mechanism.{lacking}" in fields


def test_rocker_of_a_four_bar_is_a_turning_load():
    assert refused(BARS)[0][0].startswith("load.")
    found = axis(BARS, load='[load]\ninertia = "0.1 kg*m^2"\n\n')
    assert not found.train.chain.load.linear


def test_a_cam_has_its_sections():
    found = axis(LIFT + 'spring_force = "100 N"\nspring_stiffness = "5 N/mm"\n')
    base = found.train.chain.load.base
    assert (base.gravity, base.gravity_rise) == (100.0, 5000.0)
    ((field, read, _),) = refused(LIFT.replace("180 deg", "170 deg"))
    assert field == "mechanism.sections"
    assert "350 deg" in read
    ((field, read, _),) = refused(LIFT.replace('"quintic"', '"quick"'))
    assert field == "mechanism.sections.3.law"


def test_a_toggle_has_a_screw_at_its_knee():
    text = 'kind = "toggle"\nlink = "200 mm"\nstart_angle = "-30 deg"\nlead = "8 mm"\n'
    found = axis(text, moves("90 mm"))
    assert found.linear
    assert [stage.kind for stage in found.train.chain.stages] == ["toggle", "lead-screw"]
    assert output_demand(found).peak_speed == pytest.approx(
        1.5 * 0.09 / 0.4 / (0.008 / (2 * math.pi)), rel=1e-9
    )
    ((_, read, _),) = refused(text, moves("310 mm"))
    assert "farther from the line than a link" in read


@pytest.mark.parametrize("load, points, linear", [
    (MASS, '[["0 deg", "0 mm"], ["90 deg", "10 mm"], ["180 deg", "40 mm"], ["270 deg", "50 mm"]]',
     True),
    ('[load]\ninertia = "0.1 kg*m^2"\n\n',
     '[["0 deg", "0 deg"], ["90 deg", "10 deg"], ["180 deg", "40 deg"], ["270 deg", "50 deg"]]',
     False),
])  # fmt: skip
def test_units_of_a_table_tell_what_moves(load, points, linear):
    phases = moves("200 deg").replace("0 mm", "0 deg")
    found = axis(f'kind = "ratio-table"\npoints = {points}\n', phases, load)
    assert not found.linear
    assert found.train.chain.load.linear is linear
    far = moves("300 deg").replace("0 mm", "0 deg")
    ((_, read, _),) = refused(f'kind = "ratio-table"\npoints = {points}\n', far, load)
    assert "does not reach as far" in read


@pytest.mark.parametrize("points, said", [
    ('[["0 deg", "0 mm"], ["90 deg", "10 mm"], ["80 deg", "40 mm"], ["270 deg", "50 mm"]]', "rise"),
    ('[["0 deg", "0 mm"], ["90 deg", "10 mm"], ["180 deg", "40 mm"]]', "four or more"),
    ('[["0 deg", "0 mm"], ["90 deg", "10 deg"], ["99 deg", "1 mm"], ["120 deg", "2 mm"]]', "some"),
    ('[["0 deg", "0 mm"], ["90 deg"]]', "pairs"),
])  # fmt: skip
def test_points_that_make_no_table_are_refused(points, said):
    faults = refused(f'kind = "ratio-table"\npoints = {points}\n')
    assert any(field == "mechanism.points" and said in read for field, read, _ in faults)


def test_webs_and_fans_need_no_load():
    for text, phases in (
        (WEB + 'start = "200 mm"\n', PULL),
        ('kind = "feed-rolls"\ndiameter = "90 mm"\ntension_in = "50 N"\n', PULL),
        ('kind = "fan"\ntorque_per_speed2 = "2e-6 N*m/(r/min)^2"\n', TURN),
    ):
        assert axis(text, phases, load="").train.chain.load.base.mass == 0.0


def test_a_roll_that_follows_stays_between_core_and_full():
    ((field, read, remedy),) = refused(WEB + 'start = "379.9 mm"\n', PULL, load="")
    assert field == "mechanism.start"
    assert "between core and full" in read
    assert "another diameter" in remedy


def test_a_winder_without_a_roll_is_judged_in_several():
    found = axis(WEB, PULL, load="")
    names = [case.case for case in found.cases]
    assert names[0] == "core"
    speeds = [output_demand(case).peak_speed for case in (found, *found.cases)]
    assert speeds[0] == pytest.approx(1.0 / 0.19)
    assert speeds[1] == pytest.approx(1.0 / 0.046)
    assert not axis(WEB + 'roll = "200 mm"\n', PULL, load="").cases


def test_corner_power_is_told_once_with_what_running_takes():
    """40 N at 1 m/s without drag: 40 W run at any roll, times 380/92 at the corner."""
    (note,) = (n for n in axis(WEB, PULL, load="").notes if "corner power" in n.lower())
    told = note.replace("\u00a0", " ")
    assert f"corner power of {40 * 380 / 92:.0f} W" in told
    assert "takes 40.0 W at most" in told
    one = axis(WEB + 'roll = "200 mm"\n', PULL, load="")
    assert not any("corner" in n.lower() for n in one.notes)


def test_the_worst_roll_between_is_found():
    """With a linear taper to nothing the torque F R has its maximum inside, at F' R + F = 0."""
    found = axis(WEB + 'taper = 1\ntaper_law = "linear"\n', PULL, load="")
    worst = next(case for case in found.cases if case.case.startswith("worst"))
    core, full = 0.046, 0.19
    radius = full / 2  # of F0 (1 - (R - Rc)/(Rf - Rc)) R
    peak = 40.0 * (full - radius) / (full - core) * radius
    assert output_demand(worst).peak_torque == pytest.approx(peak, rel=1e-3)
    assert output_demand(found).peak_torque < 0.2 * peak


@pytest.mark.parametrize("more", [
    "", "reverse = true\n", 'mode = "unwind"\n',
    'drive = "surface"\ndrum_diameter = "200 mm"\nnip_force = "80 N"\nroll_resistance = "1 mm"\n',
])  # fmt: skip
def test_a_stage_of_many_rolls_is_that_of_each(more):
    """The rolls that are tried at once take what each takes in a file that states its diameter."""
    radius, place = np.array([0.046, 0.1, 0.19]), np.array([0.3, -0.2, 1.4])
    text = WEB + more

    def stage(diameter):
        return axis(text + f'roll = "{diameter!r} m"\n', PULL, load="").train.chain.stages[0]

    many = held_in(stage(0.38), radius)
    for k, own in enumerate(radius):
        one, here = stage(float(2 * own)), place[k : k + 1]
        assert many.ratio.at(place)[0][k] == one.ratio.at(here)[0][0]
        assert many.ratio.input_of(place)[k] == one.ratio.input_of(here)[0]
        for name in ("inertia", "slope", "process", "friction"):
            wanted = getattr(one.members.at(here), name)[0]
            assert getattr(many.members.at(place), name)[k] == pytest.approx(wanted, rel=1e-12)


def test_a_curve_of_torque_goes_as_far_as_the_cycle():
    text = 'kind = "rotary-load"\npoints = [["0 r/min", "2 N*m"], ["50 r/min", "3 N*m"]]\n'
    ((field, read, remedy),) = refused(text, load="")
    assert field == "mechanism.points"
    assert "50" in read
    assert "60" in read
    assert "top speed" in remedy


def test_power_and_base_speed_go_together():
    ((field, _, _),) = refused('kind = "spindle"\npower = "3 kW"\n', load="")
    assert field == "mechanism.base_speed"


def test_a_cam_without_a_spring_says_how_it_is_guided():
    assert "guided on both sides" in " ".join(axis(LIFT).notes)
    assert "guided" not in " ".join(axis(LIFT + 'spring_force = "2 N"\n').notes)


TABLE = "crank [deg];slide [mm]\n" + "".join(
    f"{10 * k};{str(20 - 20 * math.cos(math.radians(10 * k))).replace('.', ',')}\n"
    for k in range(37)
)


def test_points_of_a_table_may_stand_in_a_file():
    """A turn of a crank of 20 mm, every 10 deg: all but the yoke."""
    text = f'{HEAD}{MASS}[mechanism]\nkind = "ratio-table"\nfile = "crank.csv"\n{TURN}'
    text = text.replace("[mechanism]", "[mechanism]\nendless = true")
    found = output_demand(read_axis("made.toml", text=text, files={"crank.csv": TABLE}))
    assert found.peak_torque == pytest.approx(6 * 0.02**2 * (2 * math.pi) ** 2 / 2, rel=2e-3)
    assert "points from crank.csv" in " ".join(found.axis.notes)
    assert found.axis.train.chain.load.linear


@pytest.mark.parametrize("table, said", [
    ("a;b\n1;2\n", "unit"),
    (TABLE.replace("20;", "30;", 1), "does not lie beyond"),
])  # fmt: skip
def test_a_file_that_is_no_table_is_refused(table, said):
    text = f'{HEAD}{MASS}[mechanism]\nkind = "ratio-table"\nfile = "crank.csv"\n{TURN}'
    with pytest.raises(InputError) as found:
        read_axis("made.toml", text=text, files={"crank.csv": table})
    assert any(said in f.read or said in f.remedy for f in found.value.faults)


def test_a_missing_table_is_told():
    fields = [field for field, *_ in refused('kind = "ratio-table"\n')]
    assert "mechanism.points" in fields


def test_endless_turning_of_a_cam_is_refused_and_does_not_hang():
    many = TURN.replace("turns = 1", "turns = 1000000")
    with pytest.raises(InputError) as found:
        output_demand(axis(LIFT, many))
    assert "smooth pieces" in str(found.value)


STOP = '\n[[phase]]\ndo = "stop"\nname = "halt"\ntime = "80 ms"\n'


def test_a_crank_is_stopped_in_the_worst_of_its_places():
    """T = m r^2 (sin^2 q a + sin q cos q w^2) along every ramp, looked at densely."""
    text = 'kind = "scotch-yoke"\ncrank = "40 mm"\n'
    found = axis(text, TURN.replace("60 r/min", "120 r/min") + STOP)
    out = output_demand(found)
    stops = stop_axes(found, out)
    assert stops
    mass, r, w, a = 6.0, 0.04, 4 * math.pi, -4 * math.pi / 0.08
    for stop in stops:
        first = float(stop.cycle.pieces[0].position(0.0))
        peak = 0.0
        for k in range(4001):
            t = 0.08 * k / 4000
            q, v = first + w * t + a * t * t / 2, w + a * t
            s, c = math.sin(q), math.cos(q)
            peak = max(peak, abs(mass * r * r * (s * s * a + s * c * v * v)))
        one = output_demand(stop)
        assert one.peak_torque == pytest.approx(peak, rel=1e-6)
        assert one.balance < 1e-9


def test_a_fan_does_not_help_to_stop():
    """A resistance that follows the speed is left out of an emergency ramp."""
    text = 'kind = "fan"\ntorque_per_speed2 = "0.2 N*m*s^2"\ninertia = "0.5 kg*m^2"\n'
    found = axis(text, TURN + STOP, load="")
    (stop, *_) = stop_axes(found, output_demand(found))
    assert output_demand(stop).peak_torque == pytest.approx(0.5 * 2 * math.pi / 0.08, rel=1e-9)


def test_a_tandem_stops_its_share():
    """A weight pulls on through the ramp: half of it at each motor."""
    text = 'kind = "rack"\ndiameter = "60 mm"\nefficiency = 1\n'
    load = '[load]\nmass = "20 kg"\nincline = "90 deg"\nfriction = 0\n\n'
    phases = moves("200 mm") + '\n[[force]]\nvalue = "-300 N"\n' + STOP
    one = axis(text, phases, load)
    two = axis(text, phases + "\n[tandem]\nmotors = 2\n", load)
    peaks = [
        max(output_demand(stop).peak_torque for stop in stop_axes(a, output_demand(a)))
        for a in (one, two)
    ]
    assert peaks[1] == pytest.approx(peaks[0] / 2, rel=1e-9)


def test_a_stop_that_runs_into_a_dead_point_is_told():
    text = CRANK + 'start_angle = "-90 deg"\nmotion = "load"\n'
    found = axis(text, moves("43 mm") + STOP.replace("80 ms", "3 s"))
    with pytest.raises(InputError) as raised:
        stop_axes(found, output_demand(found))
    assert "dead point" in str(raised.value)
    assert "this stop goes so far" in str(raised.value)


def test_an_unwinder_brakes_harder_in_an_emergency():
    """Paper 600 mm wide, 76 to 1000 mm, 250 N, 300 m/min, stopped in 4 s, by hand with 900 kg/m^3.

    Full roll: 125 N m run; J = pi/2 rho w (R^4 - r^4) = 53.0 kg m^2 adds J a/R = 133 N m to it.
    """
    text = (
        'kind = "unwinder"\nmode = "unwind"\ncore = "76 mm"\nfull = "1000 mm"\nwidth = "600 mm"\n'
        'thickness = "0.1 mm"\ndensity = "900 kg/m^3"\ntension = "250 N"\n'
    )
    web = '\n[[phase]]\ndo = "run"\nspeed = "300 m/min"\ntime = "60 s"\nramp = "0 s"\n'
    found = axis(text, web + STOP.replace("80 ms", "4 s"), load="")
    full, core = output_demand(found), output_demand(found.cases[0])
    inertia = math.pi / 2 * 900 * 0.6 * (0.5**4 - 0.038**4)
    assert inertia == pytest.approx(53.0, abs=0.1)
    assert full.inertia_max == pytest.approx(inertia, rel=1e-12)
    assert full.energy_motoring == 0.0
    assert full.energy_regenerated / 60 == pytest.approx(1250.0, rel=2e-3)
    assert full.peak_speed * 30 / math.pi == pytest.approx(95.5, abs=0.1)
    assert core.peak_speed * 30 / math.pi == pytest.approx(1256.5, abs=0.5)
    corner = 125.0 * core.peak_speed
    assert corner == pytest.approx(16.4e3, rel=5e-3)
    stops = [output_demand(stop).peak_torque for stop in stop_axes(found, full)]
    assert max(stops) == pytest.approx(125.0 + inertia * (5.0 / 4) / 0.5, rel=2e-3)
    assert max(stops) == pytest.approx(258.0, rel=5e-3)


def test_a_chain_on_few_teeth_runs_uneven():
    """1 - cos(180 deg/13) = 2.906 %, and 2.185 % for 15; toothed belts are not spoken of."""
    text = 'kind = "belt"\nteeth = 13\npitch = "12.7 mm"\nelement = "chain"\n'
    load, phases = '[load]\nmass = "20 kg"\n', moves("300 mm")
    stage = '\n[[stage]]\nkind = "belt-reduction"\nteeth = [15, 40]\nelement = "chain"\n'
    told = [n.replace("\u00a0", " ") for n in axis(text, phases + stage, load).notes]
    assert any("A chain on 13 teeth" in n and "2.9 %" in n for n in told)
    assert any("A chain on 15 teeth" in n and "2.2 %" in n for n in told)
    other = text.replace('element = "chain"\n', "")
    assert not any("chain on" in n for n in axis(other, phases, load).notes)
