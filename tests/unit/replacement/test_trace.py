"""A measured record: columns, units, what 100 % means, and the duty of another rotor."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from dutyline.catalogue.library import demo_line
from dutyline.core.errors import InputError
from dutyline.grids.records import Grid
from dutyline.replacement.on_trace import find_on_trace
from dutyline.replacement.trace_read import trace_of
from support.plates import plate_of

STEP, PERIOD, TOP = 1e-3, 0.5, 200.0
ROTOR, LOAD, FRICTION, GRAVITY = 3.1e-4, 9.0e-4, 0.15, 0.4
MOTOR = """[motor]
torque = "2.4 Nm"
speed = "3000 r/min"
inertia = "3.1 kg*cm^2"
kt = "0.7 Nm/A"
kt_form = "rms"
[keep]
mains = "230 V"
phases = 3
[trace]
time = "t"
speed = "n"
"""


def motion(periods: int = 8):
    """Time, speed and the acceleration of a sine, in closed form."""
    t = np.arange(round(periods * PERIOD / STEP) + 1) * STEP
    w = 2 * pi / PERIOD
    return t, TOP * np.sin(w * t), TOP * w * np.cos(w * t)


def measured():
    t, speed, acceleration = motion()
    torque = (ROTOR + LOAD) * acceleration + FRICTION * np.sign(speed) + GRAVITY
    return t, speed, torque


def grid_of(heads, columns, mark=".", separator=",", decimals=6):
    rows = [heads] + [
        [f"{value:.{decimals}f}".replace(".", mark) for value in row]
        for row in zip(*columns, strict=True)
    ]
    return Grid("trace.csv", "", rows, separator=separator)


def record(more='torque = "M"\n', **shape):
    t, speed, torque = measured()
    grid = grid_of(["t", "n", "M"], (t, speed * 30 / pi, torque), **shape)
    return trace_of(grid, plate_of(MOTOR + more))


def test_units_of_the_columns():
    _, speed, torque = measured()
    trace = record()
    assert trace.step == pytest.approx(STEP, rel=1e-9)
    np.testing.assert_allclose(trace.speed, speed, atol=1e-5)
    np.testing.assert_allclose(trace.torque, torque, atol=1e-5)


def test_decimal_comma_and_semicolon():
    _, speed, _ = measured()
    np.testing.assert_allclose(record(mark=",", separator=";").speed, speed, atol=1e-5)


def test_a_comma_with_three_digits_is_asked():
    grid = Grid("t.csv", "", [["t", "n", "M"], *([f"{k}", "1,250", "1"] for k in range(30))])
    with pytest.raises(InputError, match="decimal mark or group digits"):
        trace_of(grid, plate_of(MOTOR + 'torque = "M"\n'))
    stated = plate_of(MOTOR + 'torque = "M"\ndecimal = "comma"\n')
    assert trace_of(grid, stated).speed[0] == pytest.approx(1.25 * pi / 30)


def test_per_cent_needs_what_100_per_cent_means():
    with pytest.raises(InputError, match="what 100 % means"):
        record('torque = "M"\ntorque_unit = "%"\n')
    trace = record('torque = "M"\ntorque_unit = "%"\ntorque_full = "2.4 Nm"\n')
    _, _, torque = measured()
    np.testing.assert_allclose(trace.torque, torque / 100 * 2.4, atol=1e-6)


def test_current_needs_its_form_and_makes_torque_with_the_constant():
    with pytest.raises(InputError, match="rms or crest"):
        record('current = "M"\n')
    trace = record('current = "M"\ncurrent_form = "peak"\n')
    _, _, torque = measured()
    np.testing.assert_allclose(trace.torque, torque / sqrt(2) * 0.7, atol=1e-5)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([["t", "n", "M"], *([f"{k}", "1", "1"] for k in range(5))], "20 or more"),
        ([["t", "n", "M"], *([f"{k}", "1", "1"] for k in range(30)), ["31", "x", "1"]],
         "a number is needed"),
        ([["t", "n", "M"], *([f"{30 - k}", "1", "1"] for k in range(30))], "does not rise"),
        ([["t", "w", "M"], *([f"{k}", "1", "1"] for k in range(30))], "no column is headed"),
        ([["t", "n", "n", "M"], *([f"{k}", "1", "1", "1"] for k in range(30))], "stands twice"),
        ([], "no column is headed"),
    ],
)  # fmt: skip
def test_bad_records_are_told(rows, words):
    with pytest.raises(InputError, match=words):
        trace_of(Grid("t.csv", "", rows), plate_of(MOTOR + 'torque = "M"\n'))


def still(count=30, **cells):
    """Samples a millisecond apart, with other cells at ``{(row, column): text}``."""
    rows = [[f"0.{k:03d}", "1", "1"] for k in range(count)]
    return [["t", "n", "M"], *rows]


def changed(row, column, text):
    rows = still()
    rows[row][column] = text
    return rows


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (changed(20, 1, "1e999"), 'cell B21: trace.speed: read "1e999"; a speed of a motor shaft'),
        (changed(20, 2, "-1e308"), "cell C21: trace.torque"),
        (changed(30, 0, "1e999"), "does not rise"),
        (changed(30, 0, "1e12"), "missing before this sample"),
        (changed(30, 0, "0.100"), "cell A31: trace.time: 0.0720 s are missing"),
        (changed(1, 2, "NaN"), 'cell C2: trace.torque: read "NaN"; a number is needed'),
        (changed(20, 1, "\u0663"), "a number is needed"),
        ([["t", "n", "M"], *([f"{k}e-300", "1", "1"] for k in range(30))], "unit of the time"),
        ([["t", "n", "M"], *([f"{k}e9", "1", "1"] for k in range(30))], "unit of the time"),
        ([["t", "n", "M"], *([f"0.{k:03d}", "1", "-0"] for k in range(30))],
         "zero in every sample"),
        ([["t", "n", "M"], *[["here", "none", "yet"]] * 70, *still()[1:]], "no row holds a number"),
    ],
)  # fmt: skip
def test_records_from_which_nothing_may_be_read(rows, words):
    plate = plate_of(MOTOR + 'torque = "M"\n')
    with pytest.raises(InputError) as told:
        trace_of(Grid("t.csv", "", rows), plate)
    assert words in " ".join(str(told.value).replace("\u00a0", " ").split())


@pytest.mark.parametrize(
    ("column", "words"),
    [("n", "same column as the speed"), ("\u00b2", "no column is headed"),
     ("0", "there is no column 0"), ("9" * 50, "the columns are 1 to 3")],
)  # fmt: skip
def test_columns_that_are_none(column, words):
    plate = plate_of(MOTOR + f'torque = "{column}"\n')
    with pytest.raises(InputError, match=words):
        trace_of(Grid("t.csv", "", still()), plate)


def test_rows_of_units_below_the_heads_are_passed():
    rows = still()
    rows[1:1] = [["[s]", "[1/min]", "[Nm]"], ["", "", ""]]
    assert trace_of(Grid("t.csv", "", rows), plate_of(MOTOR + 'torque = "M"\n')).speed.size == 30


def test_a_unit_with_a_range_is_none():
    with pytest.raises(InputError, match="a unit alone is needed"):
        record('torque = "M"\ntorque_unit = "N*m +- 1"\n')


def test_a_plate_without_mapping():
    grid = Grid("t.csv", "", [["t"]])
    with pytest.raises(InputError, match="which column is what"):
        trace_of(grid, plate_of("[motor]\n"))


def test_duty_of_another_rotor_against_the_closed_form():
    """Mean squares of a sine by hand: T = J a cos + F sign(sin) + G, so the cross terms vanish.

    mean T^2 = J^2 a^2 / 2 + F^2 + G^2 with a = TOP * 2 pi / PERIOD.
    """
    found = find_on_trace(plate_of(MOTOR + 'torque = "M"\nfilter = "200 Hz"\n'), demo_line(),
                          record())  # fmt: skip
    a = TOP * 2 * pi / PERIOD
    for one in found.equivalents:
        inertia = LOAD + one.motor.inertia
        rms = sqrt(inertia**2 * a**2 / 2 + FRICTION**2 + GRAVITY**2)
        assert one.duty.torque_rms == pytest.approx(rms, rel=2e-3), one.motor.name
        assert one.duty.inertia_change == pytest.approx(one.motor.inertia - ROTOR, rel=1e-9)
        assert one.duty.speed_mean == pytest.approx(TOP * 2 / pi, rel=1e-4)
        assert one.duty.speed_peak == pytest.approx(TOP, rel=1e-6)


def test_load_inertia_is_identified():
    found = find_on_trace(plate_of(MOTOR + 'torque = "M"\n'), demo_line(), record())
    fact = found.plate.facts["keep.load_inertia"]
    assert fact.si == pytest.approx(LOAD, rel=0.01)
    assert fact.status == "calculated"
    best = found.equivalents[0]
    assert "Inertia ratio" in next(h.text for h in best.hurts if h.key == "inertia")


@pytest.mark.parametrize("lag", [6, -4])
def test_torque_recorded_late_or_early_is_shifted(lag):
    """On two sines and friction of 0.15 N*m, with noise of 1 %; a sine alone hides a shift."""
    t = np.arange(4000) * STEP
    a, b = 2 * pi * 0.75, 2 * pi * 2.5
    speed = 120 * (np.sin(a * t) + 0.5 * np.sin(b * t))
    torque = 1.2e-3 * 120 * (a * np.cos(a * t) + 0.5 * b * np.cos(b * t))
    torque += FRICTION * np.sign(speed) + GRAVITY
    torque += np.random.default_rng(1).normal(0.0, 0.01, t.size)
    plate = plate_of(MOTOR + 'torque = "M"\n')

    def notes(shift):
        kept = t.size - abs(shift)
        own = speed[shift:] if shift > 0 else speed[:kept]
        late = torque[:kept] if shift >= 0 else torque[-shift:]
        grid = grid_of(["t", "n", "M"], (t[:kept], own * 30 / pi, late))
        found = find_on_trace(plate, demo_line(), trace_of(grid, plate))
        return [n for n in found.notes if "it was shifted" in n]

    (note,) = notes(lag)
    assert f"{abs(lag) * STEP:.5f}\u00a0s" in note
    assert ("after" in note) == (lag > 0)
    assert notes(0) == []


def test_points_are_judged_at_their_speed():
    # Constant torque at a constant speed: the use is torque over the boundary there.
    t = np.arange(2000) * STEP
    grid = grid_of(["t", "n", "M"], (t, np.full(2000, 3000.0), np.full(2000, 1.2)))
    plate = plate_of(MOTOR + 'torque = "M"\n')
    found = find_on_trace(plate, demo_line(), trace_of(grid, plate))
    one = next(e for e in found.equivalents if e.combination.motor == "XM72-0450H")
    from dutyline.catalogue.boundaries import boundary_limit, continuous_boundary, peak_boundary

    index = demo_line().motor_index["XM72-0450H"]
    w = 3000 * pi / 30
    rows = {row.key: row for row in one.duty.rows}
    peak = float(boundary_limit(peak_boundary(demo_line(), index, 230.0, 3), w))
    long = float(boundary_limit(continuous_boundary(demo_line(), index, 230.0, 3), w))
    assert rows["duty-peak"].new_si == pytest.approx(1.2 / peak, rel=1e-9)
    assert rows["duty-rms"].new_si == pytest.approx(1.2 / long, rel=1e-9)


def test_beyond_the_top_speed_fails():
    t = np.arange(200) * STEP
    grid = grid_of(["t", "n", "M"], (t, np.full(200, 9000.0), np.full(200, 0.01)))
    plate = plate_of(MOTOR + 'torque = "M"\n')
    found = find_on_trace(plate, demo_line(), trace_of(grid, plate))
    assert all(e.state == "fails" for e in found.equivalents)


def test_without_rotor_inertia_nothing_is_met():
    text = MOTOR.replace('inertia = "3.1 kg*cm^2"\n', "").replace('torque = "2.4 Nm"\n', "")
    plate = plate_of(text + 'torque = "M"\n')
    found = find_on_trace(plate, demo_line(), record())
    for one in found.equivalents:
        rows = {row.key: row for row in one.duty.rows}
        assert rows["duty-peak"].state == rows["duty-rms"].state == "not-checked"
        assert "rotor inertia of the old motor" in rows["duty-rms"].missing[0]


def test_a_torque_limit_in_the_record_is_doubted():
    t, speed, torque = measured()
    clipped = np.clip(torque, -1.5, 1.5)
    grid = grid_of(["t", "n", "M"], (t, speed * 30 / pi, clipped))
    plate = plate_of(MOTOR + 'torque = "M"\n')
    assert any("torque limit" in note for note in trace_of(grid, plate).notes)
    assert not any("torque limit" in note for note in record().notes)


def test_uneven_samples_are_drawn_on_an_even_grid():
    t, speed, torque = measured()
    kept = np.ones(t.size, dtype=bool)
    kept[5::7] = False
    grid = grid_of(["t", "n", "M"], (t[kept], speed[kept] * 30 / pi, torque[kept]))
    trace = trace_of(grid, plate_of(MOTOR + 'torque = "M"\n'))
    assert any("evenly" in note for note in trace.notes)
    np.testing.assert_allclose(trace.speed, speed[: trace.speed.size], atol=0.05)


def test_parts_faster_than_the_samples_are_doubted():
    """A ripple of every second sample: half the samples carry all of it, or none."""
    t, speed, torque = measured()
    ripple = torque + np.where(np.arange(t.size) % 2, 1.0, 0.0)
    grid = grid_of(["t", "n", "M"], (t, speed * 30 / pi, ripple))
    notes = trace_of(grid, plate_of(MOTOR + 'torque = "M"\n')).notes
    assert any("folded" in note for note in notes)
    assert not any("folded" in note for note in record().notes)


@pytest.mark.parametrize("stated", [True, False])
def test_a_duty_corrected_by_an_estimated_rotor_is_assumed(stated):
    """The measured torque less a rotor that nobody stated is no measured torque."""
    own = 'inertia = "3.1 kg*cm^2"\n'
    plate = plate_of((MOTOR if stated else MOTOR.replace(own, "")) + 'torque = "M"\n')
    found = find_on_trace(plate, demo_line(), record())
    for one in found.equivalents:
        rows = {row.key: row.assumed for row in one.duty.rows}
        assert rows == {"duty-speed": False, "duty-peak": not stated, "duty-rms": not stated}
