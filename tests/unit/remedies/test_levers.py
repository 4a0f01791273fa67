"""What may be changed, how it is called, and the texts that go back into a file."""

import pytest

from dutyline.axis.change import changed
from dutyline.axis.read import read_axis
from dutyline.core.errors import InputError
from dutyline.core.numbers import scale_for
from dutyline.remedies.levers import Lever, levers_of, plain, shown
from support import pure_inertia as flywheel
from support.axis_files import LIFT
from support.examples import NAMES, axis_file


def lever_of(axis, path: str) -> Lever:
    return next(lever for lever in levers_of(axis) if ", ".join(lever.paths) == path)


def value_at(axis, path: str) -> float:
    return next(item.value.si for item in axis.inputs if item.path == path)


def usable(axis, changes):
    """The axis changed; None where the motion cannot be so, as where a speed would jump."""
    try:
        return changed(axis, changes)
    except InputError as error:
        if "unit" in str(error):
            raise
        return None


@pytest.mark.parametrize("name", [
    pytest.param(n, marks=pytest.mark.slow) if n in ("flying-saw", "film-winder") else n
    for n in NAMES
])  # fmt: skip
def test_texts_read_as_what_they_say(name):
    """What a remedy would print goes into the file and comes out as the number meant."""
    axis = read_axis(axis_file(name))
    for lever in levers_of(axis):
        assert usable(axis, lever.stated()) is not None
        way = (lever.ways or lever.harms)[0]
        place = lever.start + way * (3.0 if lever.unit == "degC" else 0.0113)
        if lever.top is not None and lever.values(place)[0] > lever.top:
            continue
        typed = lever.rounded(place, way, 10.0)
        alone = usable(axis, typed)
        if alone is None:
            continue
        for path, wanted in zip(lever.paths, lever.values(place), strict=True):
            span = 1.0 if lever.unit == "degC" else 0.0021 * abs(wanted)
            assert lever.count or abs(value_at(alone, path) - wanted) <= span, typed


def test_units_stay_as_typed():
    axis = read_axis("lift.toml", text=LIFT.replace('"40 kg"', '"88 lb"'))
    lever = lever_of(axis, "load.mass")
    assert lever.stated() == {"load.mass": "88 lb"}
    assert lever.rounded(0.9, -1) == {"load.mass": "79 lb"}


def test_what_was_worked_out_is_changed_as_its_result():
    """A remedy for "2*(15 kg + 5 kg)" is one mass, not twice another."""
    for entry in ("2*(15 kg + 5 kg)", "80 kg / 2", "(30 + 10) kg", "2x20 kg"):
        axis = read_axis("lift.toml", text=LIFT.replace('"40 kg"', f'"{entry}"'))
        lever = lever_of(axis, "load.mass")
        assert lever.stated() == {"load.mass": "40 kg"}
        assert lever.rounded(0.9, -1) == {"load.mass": "36 kg"}


def test_an_exponent_is_part_of_the_number():
    axis = read_axis("a.toml", text=LIFT.replace('"15 N"', '"1.5e1 N"'))
    assert lever_of(axis, "load.drag").stated() == {"load.drag": "15 N"}


def test_moves_go_alone_and_together():
    levers = levers_of(read_axis("lift.toml", text=LIFT))
    paths = [", ".join(lever.paths) for lever in levers if lever.family == "move"]
    assert paths == ["phase.up.time", "phase.down.time", "phase.up.time, phase.down.time"]


def test_a_dwell_is_a_rest_and_no_move():
    assert lever_of(flywheel.axis(), "phase.rest.time").family == "rest"
    assert lever_of(flywheel.axis(), "phase.turn.time").family == "move"


def test_an_efficiency_ends_at_one():
    lever = lever_of(read_axis("lift.toml", text=LIFT), "mechanism.efficiency")
    assert lever.values(lever.most) == pytest.approx((1.0,), rel=1e-12)


def test_people_altitude_and_reserves_are_no_remedies():
    """A fact about people or place is not changed to please a check, nor is a reserve."""
    axis = read_axis(axis_file("lift"))
    helping = [path for lever in levers_of(axis) if lever.ways for path in lever.paths]
    assert not [p for p in helping if p.startswith(("reserve", "site.people", "site.altitude"))]


def test_print_has_its_spaces():
    assert plain(shown("1500 kg")) == "1500 kg"
    assert shown("0.0025 kg*m^2") == "0.0025\u00a0kg·m²"
    assert scale_for("s", 0.6).text == "s"


def test_what_has_no_name_is_called_by_its_number():
    """``force 1``, ``phase 2``, ``“up”``: a heading in the plural is no name."""
    text = LIFT.replace('name = "down"\n', "")
    text += '\n[[force]]\nvalue = "40 N"\nphases = ["up"]\n'
    axis = read_axis("lift.toml", text=text)
    names = {lever.name for lever in levers_of(axis)}
    assert "the value of force 1" in names
    assert "the time of “up”" in names
    assert not any("Forces" in name for name in names)
