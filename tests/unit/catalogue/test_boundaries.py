"""Boundaries: tables reproduced from constants, between tables, at a site, and nested."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dutyline.catalogue.boundaries import (
    Place,
    boundary_limit,
    continuous_boundary,
    continuous_gap,
    peak_boundary,
    peak_gap,
)
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.motor_constants import heat_limit, voltage_limit
from dutyline.catalogue.parts import Curve, Motor, ProductLine
from dutyline.catalogue.polylines import CHORD, Polyline, interpolated, lower, sampled

RPM = math.pi / 30
LINE = demo_line()
H450 = LINE.motor_index["XM72-0450H"]


def bare(line: ProductLine = LINE, **changes: object) -> ProductLine:
    """The line without curves, its motors changed."""
    motors = tuple(replace(m, **changes) for m in line.motors)  # type: ignore[arg-type]
    return replace(line, curves=(), motors=motors)


@pytest.mark.parametrize("curve", LINE.curves, ids=lambda c: f"{c.motor}-{c.mains:g}-{c.kind}")
def test_tables_of_the_demo_line_follow_from_its_constants(curve: Curve) -> None:
    """A check of both: constants of three or four digits explain every printed point.

    Band: 0.1 % of the stall or peak torque for the digits of the constants, and half a turn per
    minute of the printed speed times the slope.
    """
    motor = LINE.motors[LINE.motor_index[curve.motor]]
    voltage, heat = voltage_limit(motor, curve.mains, curve.phases), heat_limit(motor)
    assert not isinstance(voltage, str)
    assert not isinstance(heat, str)

    def torque(speed: np.ndarray) -> np.ndarray:
        limited = voltage.torque(speed)
        return limited if curve.kind == "peak" else np.minimum(limited, heat.torque(speed))

    speed = np.array(curve.speed)
    slope = np.abs(torque(speed + 0.5 * RPM) - torque(np.maximum(speed - 0.5 * RPM, 0.0)))
    band = 1e-3 * curve.torque[0] + slope
    assert (np.abs(torque(speed) - curve.torque) <= band).all()
    assert curve.speed[-1] == pytest.approx(voltage.end, abs=1.0 * RPM)


def test_a_tabulated_supply_gives_the_table() -> None:
    found = peak_boundary(LINE, H450, 230.0, 3)
    assert found is not None
    assert found.origin == "table"
    curve = next(
        c for c in LINE.curves if (c.motor, c.mains, c.kind) == ("XM72-0450H", 230.0, "peak")
    )
    assert found.speed.tolist() == list(curve.speed)
    assert found.torque.tolist() == list(curve.torque)
    assert peak_boundary(LINE, H450, 230.0, 3) is found


@pytest.mark.parametrize("motor", LINE.motors, ids=lambda m: m.name)
@pytest.mark.parametrize("kind", ["peak", "continuous"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_between_two_tables(motor: Motor, kind: str, share: float) -> None:
    """Between its neighbours everywhere, never rising, and above none of the physics."""
    phases, top = (1, 115.0) if motor.supply_class == "L" else (3, 230.0)
    bottom = top / 1.15
    mains = bottom + share * (top - bottom)
    make = peak_boundary if kind == "peak" else continuous_boundary
    index = LINE.motor_index[motor.name]
    low, high = make(LINE, index, bottom, phases), make(LINE, index, top, phases)
    if bottom not in {c.mains for c in LINE.curves if c.motor == motor.name}:
        bottom = round(bottom)
        low = make(LINE, index, bottom, phases)
    found = make(LINE, index, mains, phases)
    assert found is not None
    assert low is not None
    assert high is not None
    assert found.origin == f"interpolated between {bottom:g} and {top:g} V"
    assert found.speed[0] == 0.0
    assert (np.diff(found.speed) > 0).all()
    assert (np.diff(found.torque) <= 0).all()
    speed = np.linspace(0.0, found.speed[-1], 999)
    torque = boundary_limit(found, speed)
    both = np.array([boundary_limit(low, speed), boundary_limit(high, speed)])
    slack = 1e-9 * found.torque[0]
    assert (torque <= both.max(axis=0) + slack).all()
    inside = speed <= low.speed[-1]
    assert (torque[inside] >= both.min(axis=0)[inside] - slack).all()
    computed = make(bare(), index, mains, phases)
    assert computed is not None
    assert computed.origin == "computed from motor constants"
    assert (torque <= boundary_limit(computed, speed) + 4e-3 * found.torque[0]).all()


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 3.9))
def test_speed_at_equal_torque_is_linear_in_the_mains(
    first: float, second: float, level: float
) -> None:
    """Read back from the curves: the speed of a torque moves along a straight line."""
    low, high = (
        Polyline(np.array(c.speed), np.array(c.torque))
        for c in sorted(
            (c for c in LINE.curves if c.motor == "XM72-0450H" and c.kind == "peak"),
            key=lambda c: c.mains,
        )
    )

    def reach(curve: Polyline) -> float:
        """Largest speed with at least this torque, by hand."""
        best = 0.0
        for k in range(curve.speed.size - 1):
            a, b = curve.torque[k], curve.torque[k + 1]
            if b >= level:
                best = curve.speed[k + 1]
            elif a >= level:
                best = curve.speed[k] + (a - level) / (a - b) * (
                    curve.speed[k + 1] - curve.speed[k]
                )
        return float(best)

    if level < max(low.torque[-1], high.torque[-1]) or level > 3.893:
        return
    for share in (first, second):
        expected = (1 - share) * reach(low) + share * reach(high)
        assert reach(interpolated(low, high, share)) == pytest.approx(expected, rel=1e-6)


def test_outside_the_tables_it_is_computed() -> None:
    for mains, phases in ((180.0, 3), (253.0, 3), (230.0, 1), (310.0, "dc"), (115.0, 1)):
        found = peak_boundary(LINE, H450, mains, phases)
        assert found is not None
        assert found.origin == "computed from motor constants"


def test_direct_current_is_its_own_bus() -> None:
    """310.5 V is the bus of 230 V three-phase: the same curve up to the digits of the table."""
    dc, table = (peak_boundary(LINE, H450, m, p) for m, p in ((310.5, "dc"), (230.0, 3)))
    assert dc is not None
    assert table is not None
    assert np.abs(boundary_limit(dc, table.speed) - table.torque).max() < 2e-3 * table.torque[0]


def test_one_phase_gives_less_than_three() -> None:
    one, three = (peak_boundary(LINE, H450, 230.0, p) for p in (1, 3))
    assert one is not None
    assert three is not None
    assert boundary_limit(one, one.speed[-2]) < boundary_limit(three, one.speed[-2])


@pytest.mark.parametrize("motor", LINE.motors, ids=lambda m: m.name)
@pytest.mark.parametrize(("mains", "phases"), [(180.0, 3), (230.0, 1), (100.0, 1), (24.0, "dc")])
def test_chords_stay_within_a_thousandth(motor: Motor, mains: float, phases: int | str) -> None:
    index = LINE.motor_index[motor.name]
    found = peak_boundary(bare(), index, mains, phases)
    limit = voltage_limit(motor, mains, phases)
    assert found is not None
    assert not isinstance(limit, str)
    speed = np.linspace(0.0, found.speed[-1], 4001)
    true = limit.torque(speed)
    floor = 0.05 * true[0]
    assert (np.abs(boundary_limit(found, speed) - true) <= 1e-3 * np.maximum(true, floor)).all()


@pytest.mark.parametrize("motor", LINE.motors, ids=lambda m: m.name)
@pytest.mark.parametrize(("mains", "phases"), [(180.0, 3), (230.0, 1), (100.0, 1), (24.0, "dc")])
def test_continuous_lies_inside_peak(motor: Motor, mains: float, phases: int | str) -> None:
    index = LINE.motor_index[motor.name]
    line = bare()
    peak = peak_boundary(line, index, mains, phases)
    continuous = continuous_boundary(line, index, mains, phases)
    assert peak is not None
    assert continuous is not None
    assert continuous.speed[-1] == peak.speed[-1]
    speed = np.union1d(peak.speed, continuous.speed)
    excess = boundary_limit(continuous, speed) - boundary_limit(peak, speed)
    assert excess.max() <= 1e-12 * peak.torque[0]


def test_limit_of_a_boundary_at_and_beyond_its_end() -> None:
    found = peak_boundary(LINE, H450, 230.0, 3)
    assert found is not None
    end = float(found.speed[-1])
    inside = boundary_limit(found, [0.0, -end, end, end * 1.001, np.nan])
    assert inside[:4].tolist() == [found.torque[0], found.torque[-1], found.torque[-1], 0.0]
    assert np.isnan(inside[4])


def test_ambient_takes_heat_not_torque() -> None:
    """Heat balance at the stall: 50 degC leave 90 of 100 K, so sqrt(0.9) of the torque."""
    cool, warm = (continuous_boundary(LINE, H450, 230.0, 3, ambient=a) for a in (40.0, 50.0))
    assert cool is not None
    assert warm is not None
    assert warm.torque[0] / cool.torque[0] == pytest.approx(math.sqrt(0.9), rel=1e-12)
    assert (warm.speed == cool.speed).all()
    lost = cool.torque**2 - warm.torque**2
    assert lost == pytest.approx(np.full(lost.size, 0.1 * cool.torque[0] ** 2), rel=1e-9)


def test_milder_surroundings_give_nothing_back() -> None:
    rated = continuous_boundary(LINE, H450, 230.0, 3)
    mild = continuous_boundary(LINE, H450, 230.0, 3, ambient=5.0, altitude=0.0, plate_area=9.0)
    assert rated is not None
    assert mild is not None
    assert mild.torque.tolist() == rated.torque.tolist()


@given(
    st.floats(-20.0, 60.0),
    st.floats(0.0, 4000.0),
    st.floats(0.0, 0.2),
    st.booleans(),
    st.booleans(),
)
def test_worse_surroundings_never_help(
    ambient: float, altitude: float, plate: float, enclosed: bool, brake: bool
) -> None:
    rated = continuous_boundary(LINE, H450, 230.0, 3)
    found = continuous_boundary(
        LINE,
        H450,
        230.0,
        3,
        ambient=ambient,
        altitude=altitude,
        plate_area=plate,
        enclosed=enclosed,
        brake_fitted=brake,
    )
    assert rated is not None
    assert found is not None
    assert (found.torque <= rated.torque + 1e-12).all()
    assert (found.torque >= 0.0).all()


def test_the_brake_factor_of_the_motor() -> None:
    with_brake = continuous_boundary(LINE, H450, 230.0, 3, brake_fitted=True)
    without = continuous_boundary(LINE, H450, 230.0, 3)
    assert with_brake is not None
    assert without is not None
    assert with_brake.torque == pytest.approx(0.98 * without.torque, rel=1e-12)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (Place(ambient=60.5), "60.5 degC is above the 60 degC"),
        (Place(altitude=4001.0), "4001 m is above the 4000 m"),
    ],
)
def test_places_where_no_motor_is_rated(place: Place, words: str) -> None:
    assert words in continuous_gap(LINE, H450, 230.0, 3, place)
    assert (
        continuous_boundary(LINE, H450, 230.0, 3, ambient=place.ambient, altitude=place.altitude)
        is None
    )


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("inductance", "winding inductance"),
        ("voltage_constant", "voltage constant"),
        ("speed_max", "maximum speed"),
        ("winding_limit", "winding limit"),
    ],
)
def test_constants_that_are_missing(field: str, words: str) -> None:
    line = bare(**{field: None})
    assert peak_boundary(line, H450, 230.0, 3) is None
    assert words in peak_gap(line, H450, 230.0, 3)
    assert continuous_boundary(line, H450, 230.0, 3) is None
    assert words in continuous_gap(line, H450, 230.0, 3, Place())


def test_tables_need_no_constants() -> None:
    motors = tuple(Motor(m.name) for m in LINE.motors)
    line = replace(LINE, motors=motors)
    assert peak_gap(line, H450, 230.0, 3) == ""
    assert continuous_boundary(line, H450, 230.0, 3) is not None
    assert "winding limit" in continuous_gap(line, H450, 230.0, 3, Place(ambient=45.0))
    assert "test plate" in continuous_gap(line, H450, 230.0, 3, Place(plate_area=0.01))
    assert "thermal resistances" in continuous_gap(line, H450, 230.0, 3, Place(enclosed=True))
    high = continuous_boundary(line, H450, 230.0, 3, altitude=2000.0)
    assert high is not None
    assert high.torque[0] == pytest.approx(1.492 * math.sqrt(0.9), rel=1e-12)


def test_the_rated_point_stands_in_for_the_iron_loss() -> None:
    """Rated and stall torque of the demo line say the same as its iron loss, to their digits."""
    known, guessed = (
        continuous_boundary(line, H450, 180.0, 3) for line in (bare(), bare(iron_loss_rated=None))
    )
    assert known is not None
    assert guessed is not None
    assert boundary_limit(guessed, known.speed) == pytest.approx(known.torque, rel=2e-3)


def test_without_stall_current_the_iron_saturates_early() -> None:
    """The safe reading: never more torque than with the stall current known."""
    known, unknown = (
        peak_boundary(line, H450, 180.0, 3)
        for line in (bare(), bare(current_stall=None, torque_stall=None))
    )
    assert known is not None
    assert unknown is not None
    speed = np.linspace(0.0, known.speed[-1], 500)
    gained = boundary_limit(unknown, speed) - boundary_limit(known, speed)
    assert gained.max() <= 1e-3 * known.torque[0]


def test_a_curve_that_rises_counts_as_its_lower_envelope() -> None:
    straight = Polyline(np.array([0.0, 10.0, 20.0]), np.array([3.0, 3.0, 1.0]))
    rising = Polyline(np.array([0.0, 5.0, 10.0, 20.0]), np.array([3.0, 2.0, 4.0, 1.0]))
    found = interpolated(rising, straight, 0.0)
    assert np.interp(8.0, found.speed, found.torque) <= 2.0 + 1e-9


def test_lower_of_two_curves_has_their_crossing() -> None:
    flat = Polyline(np.array([0.0, 10.0]), np.array([1.0, 1.0]))
    steep = Polyline(np.array([0.0, 8.0]), np.array([2.0, 0.0]))
    found = lower(flat, steep)
    assert found.speed.tolist() == [0.0, 4.0, 8.0]
    assert found.torque.tolist() == [1.0, 1.0, 0.0]


def test_sampling_a_square_root() -> None:
    """sqrt(1 - x) has a vertical end; elsewhere chords keep to the tolerance."""
    found = sampled(lambda x: np.sqrt(1.0 - x), [0.0, 1.0])
    x = np.linspace(0.0, 0.9, 999)
    true = np.sqrt(1.0 - x)
    assert (np.abs(np.interp(x, found.speed, found.torque) - true) <= 1.25 * CHORD * true).all()
