"""Every example: its page is true, one figure of it is worked by hand, and together they show all.

The hand calculations use elementary mechanics with g = 9.80665 m/s2 and the numbers of the axis
file; nothing of the product is in them.
"""

from __future__ import annotations

import math
from math import cos, pi, radians, tan
from math import sin as sine

import pytest

import dutyline as dl
from support.examples import (
    NAMES,
    axis_file,
    lines_of,
    page,
    run,
    searched,
    shown,
    verify_command,
)

pytestmark = pytest.mark.e2e

G = 9.80665
INCH, POUND = 0.0254, 0.45359237


def lift() -> tuple[str, float]:
    """Peak at the pulley: end of the acceleration upwards with the carton.

    Ramps take a third of 0.6 s each, a tenth of a ramp is jerk time at either end of it, so that
    v = s/(t - t_a) and a = v/(t_a - t_j).
    """
    time, ramp = 0.6, 0.2
    speed = 0.3 / (time - ramp)
    accel = speed / (ramp - 0.1 * ramp)
    radius = 24 * 8e-3 / (2 * pi)
    force = 40 * (G + accel) + 15
    return "peak_torque", force * radius / 0.96 + 4.5e-4 * accel / radius


def bearing_press() -> tuple[str, float]:
    """Peak at the screw: 2.4 kN at the bottom at constant speed, less the weight."""
    return "peak_torque", (2400 - 45 * G + 60) * 10e-3 / (2 * pi) / 0.9


def plate_lift() -> tuple[str, float]:
    """Top speed: a 3-4-5 polynomial peaks at 15/8 of the mean; lead 6 mm, belt 20 to 30."""
    return "peak_speed", 15 / 8 * 9.5 * INCH / 4 / 6e-3 * 2 * pi * 30 / 20


def panel_saw() -> tuple[str, float]:
    """Peak at the pinion: blade, dust extraction and guide at constant speed."""
    radius = 20 * 2e-3 / cos(radians(19 + 31 / 60 + 42 / 3600)) / 2
    return "peak_torque", (350 + 80 + 0.015 * 95 * G) * radius / 0.97


def sorter() -> tuple[str, float]:
    """Top speed: 200 ft/min on the drum with half the belt, times 40/24."""
    return "peak_speed", 200 * 12 * INCH / 60 / ((4.5 + 0.125) / 2 * INCH) * 40 / 24


def dial() -> tuple[str, float]:
    """Top speed: a modified sine peaks at 4 pi/(4 + pi) of the mean; bevel stage 2."""
    return "peak_speed", 4 * pi / (4 + pi) * radians(45) / 0.3 * 2


def kettle() -> tuple[str, float]:
    """Torque at the worm while the kettle stands empty at 110 degrees, friction against it.

    Through the worm tan(lead)/tan(lead + friction angle) of the torque times the ratio is left.
    """
    reach = 85 * G * sine(radians(85)) * 0.06 * cos(radians(-100 + 110))
    lead = radians(11)
    efficiency = tan(lead) / tan(lead + math.atan(0.06))
    return "hold_torque", (reach + 14) / 30 / efficiency + 0.6


def scenery_bar() -> tuple[str, float]:
    """Top speed: two parts of rope on a drum of 160 mm radius, gear 85 to 17."""
    return "peak_speed", 0.75 * 2 / 0.16 * 85 / 17


def print_cylinder() -> tuple[str, float]:
    """Peak at the end of the stop: inertia less the drag of the bearings."""
    mass = 7850 * pi * 0.06**2 * 0.33
    inertia = mass * 0.06**2 / 2 + 16e-4 + 4e-4
    return "peak_torque", inertia * 25 / 1.0 - 0.15


def flying_saw() -> tuple[str, float]:
    """Peak while the carriage catches up: guide, cable chain and 2.5 m/s^2, pinion of 50 mm.

    The coupling of its shaft, 0.6 kg cm^2, lies before the loss of the teeth.
    """
    force = 85 * 2.5 + 0.008 * 85 * G + 60
    return "peak_torque", force * 0.025 / 0.96 + 0.6e-4 * 2.5 / 0.025


def eyelet_press() -> tuple[str, float]:
    """Work of the punch: 3500 N over 2 mm, once a cycle."""
    return "task_work", 3500 * 2e-3


def film_winder() -> tuple[str, float]:
    """Peak at the belt stage: full roll at the start, tension, inertia and bearings.

    The web on the roll is a hollow cylinder, pi/2 rho w (R^4 - r^4); the tension falls by a quarter
    of its share 1 - r/R. The coupling, 1 kg cm^2, lies before the loss of the belt.
    """
    outer, core = 0.19, 0.046
    inertia = pi / 2 * 900 * 0.3 * (outer**4 - core**4) + 120e-4
    pull = 40 * (1 - 0.25 * (1 - core / outer)) * outer
    return "peak_torque", (pull + inertia * (1.0 / 4) / outer + 0.4) / 0.97 + 1e-4 * (
        1.0 / 4
    ) / outer


BY_HAND = {
    "lift": lift,
    "bearing-press": bearing_press,
    "plate-lift": plate_lift,
    "panel-saw": panel_saw,
    "sorter": sorter,
    "dial": dial,
    "kettle": kettle,
    "scenery-bar": scenery_bar,
    "print-cylinder": print_cylinder,
    "flying-saw": flying_saw,
    "eyelet-press": eyelet_press,
    "film-winder": film_winder,
}


@pytest.mark.parametrize("name", NAMES)
def test_a_figure_by_hand(name):
    figure, value = BY_HAND[name]()
    found = getattr(dl.demand(dl.read_axis(axis_file(name))), figure)
    assert found == pytest.approx(value, rel=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_the_page_shows_what_comes_out(name):
    for command, lines in shown(name):
        answer = iter(lines_of(run(command)))
        for line in lines:
            assert line in answer, f"{command}: {line}"


@pytest.mark.parametrize("name", NAMES)
def test_the_page_gives_the_customers_words(name):
    said = " ".join(page(name).split("*")[1].split())
    assert said == " ".join(dl.read_axis(axis_file(name)).enquiry.split())
    commands = [command.split()[1] for command, _ in shown(name)]
    assert commands[0] == "demand"
    assert "verify" in commands
    assert f"--example {name} " in verify_command(name)


def test_together_they_show_every_kind():
    axes = [dl.read_axis(axis_file(name)) for name in NAMES]
    kinds = {axis.train.kind for axis in axes}
    assert kinds == {
        "ball-screw",
        "lead-screw",
        "rack",
        "belt",
        "conveyor",
        "rotary-table",
        "hoist",
        "slider-crank",
        "winder",
        "direct",
    }
    stages = {stage["kind"] for axis in axes for stage in axis.stated.get("stage", [])}
    assert stages == {"coupling", "shaft", "reduction", "belt-reduction", "worm", "right-angle"}
    phases = [phase for axis in axes for phase in axis.stated["phase"]]
    assert {phase["do"] for phase in phases} == {"move", "dwell", "run", "follow", "stop"}
    laws = {phase["law"] for phase in phases if "law" in phase}
    assert laws == {"trapezoid", "s-curve", "quintic", "modified-sine", "cycloid"}
    holds = {phase["hold"] for phase in phases if "hold" in phase}
    assert holds == {"brake", "off", "worst", "credit"}
    for section in ("balance", "force", "reserve", "choose", "require", "duty", "stop"):
        assert any(axis.stated.get(section) for axis in axes), section
    assert {axis.site.phases for axis in axes} == {1, 3}
    assert sum(axis.units == "inch" for axis in axes) >= 2


def test_every_example_is_listed():
    listing = (axis_file("lift").parents[1] / "README.md").read_text(encoding="utf-8")
    assert [name for name in NAMES if f"[{name}]({name}/README.md)" not in listing] == []


@pytest.mark.parametrize("name", NAMES)
def test_a_search_has_something_to_offer(name):
    assert searched(name).candidates[0].verdict == "meets"


def test_the_first_shortlist_shows_all_there_is_to_see():
    found = searched("lift")
    states = [candidate.verdict for candidate in found.candidates]
    assert states.count("meets") >= 2
    assert states.count("short") >= 2
    assert min(rejection.worst_share for rejection in found.rejected) < 1.1
