"""The same axis with some fields set anew."""

import pytest
from tests.support.axis_files import LIFT, TABLE, edited

from dutyline.axis.change import changed
from dutyline.axis.read import read_axis
from dutyline.core.errors import InputError


def lift(*changes):
    return read_axis("lift.toml", text=edited(LIFT, *changes))


@pytest.mark.parametrize(
    ("path", "item", "old", "new"),
    [
        ("load.mass", "28 kg", 'mass = "40 kg"', 'mass = "28 kg"'),
        ("mechanism.efficiency", 0.8, "efficiency = 0.92", "efficiency = 0.8"),
        ("stage.1.inertia", "1 kg*cm^2", '"0.3 kg*cm^2"', '"1 kg*cm^2"'),
        ("phase.up.time", "0.7 s", 'time = "0.6 s"', 'time = "0.7 s"'),
        ("phase.2.time", "1 s", 'time = "0.4 s"', 'time = "1 s"'),
        ("phase.up.carry", [], 'carry = ["carton"]', "carry = []"),
        ("load.payloads.carton", "5 kg", '"12 kg"', '"5 kg"'),
        ("load.payloads.carton.mass", "5 kg", '"12 kg"', '"5 kg"'),
        ("site.ambient", "50 degC", "phases = 3", 'phases = 3\nambient = "50 degC"'),
        ("require.brake", True, "[site]", "[require]\nbrake = true\n\n[site]"),
        ("load.friction", None, "friction = 0.01\n", ""),
    ],
)
def test_a_change_is_like_another_file(path, item, old, new):
    other, same = lift((old, new)), changed(lift(), {path: item})
    assert same.train == other.train
    assert same.cycle == other.cycle
    assert (same.site, same.require) == (other.site, other.require)


def test_several_changes_at_once_leave_the_axis_alone():
    axis = lift()
    other = changed(axis, {"phase.up.time": "0.7 s", "phase.down.time": "0.8 s"})
    assert other.cycle.duration == pytest.approx(2.3)
    assert axis.cycle.duration == pytest.approx(2.0)
    assert axis.stated["phase"][0]["time"] == "0.6 s"


@pytest.mark.parametrize(
    "path",
    ["mass", "load.mas", "phase.sideways.time", "phase.9.time", "lod.mass", "load.drag.x", ""],
)
def test_a_path_that_leads_nowhere_is_told(path):
    with pytest.raises(InputError, match="no such field to set"):
        changed(lift(), {path: "1 kg"})


def test_a_change_that_cannot_be_is_a_fault_with_its_field():
    with pytest.raises(InputError, match=r"load\.mass"):
        changed(lift(), {"load.mass": "-1 kg"})


def test_numbers_in_si_can_be_written_back():
    axis = read_axis("dial.toml", text=TABLE)
    other = changed(axis, {"load.inertia": f"{6.5!r} kg*m^2"})
    assert other.train.chain.load.base.inertia == 6.5
