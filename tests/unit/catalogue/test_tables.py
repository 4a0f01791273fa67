"""Tables show the parts as arrays and change nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import Motor, ProductLine
from dutyline.catalogue.tables import tables


def test_every_number_of_every_part() -> None:
    line = demo_line()
    for table in (tables(line).motors, tables(line).gearheads, tables(line).drives):
        for name, column in table.items():
            for value, part in zip(column, table.parts, strict=True):
                given = getattr(part, name)
                assert np.isnan(value) if given is None else value == given


def test_kept_with_the_line_and_read_only() -> None:
    line = demo_line()
    assert tables(line) is tables(line)
    column = tables(line).motors["torque_stall"]
    assert column is tables(line).motors["torque_stall"]
    with pytest.raises(ValueError, match="read-only"):
        column[0] = 1.0


def test_absent_data_are_nan_and_empty_kinds_have_length_zero() -> None:
    line = ProductLine("x", "", (Motor("A"), Motor("B", pole_pairs=4)), (), (), (), (), (), ())
    assert np.isnan(tables(line).motors["pole_pairs"][0])
    assert tables(line).motors["pole_pairs"][1] == 4.0
    assert tables(line).brakes["inertia"].shape == (0,)


@pytest.mark.parametrize("name", ["name", "overload_curve", "torque", "brake"])
def test_fields_that_are_no_numbers(name: str) -> None:
    with pytest.raises(KeyError):
        tables(demo_line()).motors[name]


def test_words() -> None:
    words = tables(demo_line()).motors.words("supply_class")
    assert set(words.tolist()) == {"L", "H"}


def test_nothing_computed_of_the_old_data_stays_in_a_changed_line() -> None:
    line = demo_line()
    before = tables(line).motors["torque_peak"].copy()
    stronger = tuple(
        replace(m, torque_peak=None if m.torque_peak is None else 2.0 * m.torque_peak)
        for m in line.motors
    )
    np.testing.assert_array_equal(
        tables(replace(line, motors=stronger)).motors["torque_peak"], 2.0 * before
    )
    fewer = replace(line, motors=line.motors[1:])
    assert fewer.motor_index == {m.name: k for k, m in enumerate(line.motors[1:])}
    with pytest.raises(ValueError, match="derived"):
        replace(line, derived={})
