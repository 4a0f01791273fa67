"""Combinations are the pairings multiplied out, in the order of the files."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from dutyline.catalogue.library import demo_line
from dutyline.catalogue.pairing import Combos, combinations, fits, unmatched
from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor, ProductLine, Resistor

Names = tuple[str | None, ...]


def named(line: ProductLine, found: Combos) -> list[Names]:
    kinds = (line.motors, line.gearheads, line.brakes, line.drives, line.resistors)
    columns = (found.motor, found.gearhead, found.brake, found.drive, found.resistor)
    return [
        tuple(parts[k].name if k >= 0 else None for parts, k in zip(kinds, row, strict=True))
        for row in zip(*columns, strict=True)
    ]


def by_hand(line: ProductLine) -> list[Names]:
    """The pairings multiplied out without any array."""

    def partners(kind: str, left: str) -> list[str]:
        names = {p.right for p in line.pairings if p.kind == kind and p.left == left}
        parts = getattr(line, kind.split("-")[1] + "s")
        return [part.name for part in parts if part.name in names]

    rows: list[Names] = []
    for motor in line.motors:
        gears = [None, *partners("motor-gearhead", motor.name)]
        brakes = [None, *partners("motor-brake", motor.name)]
        drives = partners("motor-drive", motor.name)
        for gear, brake, drive in itertools.product(gears, brakes, drives):
            for resistor in [None, *partners("drive-resistor", drive)]:
                rows.append((motor.name, gear, brake, drive, resistor))
    return rows


def test_all_combinations_of_the_demo_line() -> None:
    line = demo_line()
    assert named(line, combinations(line)) == by_hand(line)


@pytest.mark.parametrize("brake", [True, False, None])
@pytest.mark.parametrize("gearhead", ["allowed", "none", "needed"])
def test_wishes(brake: bool | None, gearhead: str) -> None:
    line = demo_line()
    wanted = [
        row
        for row in by_hand(line)
        if (brake is None or (row[2] is not None) == brake)
        and (gearhead == "allowed" or (row[1] is not None) == (gearhead == "needed"))
    ]
    found = combinations(line, brake=brake, gearhead=gearhead)  # type: ignore[arg-type]
    assert named(line, found) == wanted


def test_patterns() -> None:
    line = demo_line()
    found = combinations(
        line,
        motors=("xm72*", "XM88-0800H"),
        gearheads=("XG88-?",),
        drives=("XD-H*",),
        resistors=("none", "XR-H56*"),
    )
    wanted = [
        row
        for row in by_hand(line)
        if row[0] in ("XM72-0450L", "XM72-0450H", "XM88-0800H")
        and row[1] in ("XG88-4", "XG88-6", "XG88-9")
        and str(row[3]).startswith("XD-H")
        and row[4] in (None, "XR-H56-180")
    ]
    assert wanted
    assert named(line, found) == wanted


def test_none_alone_and_patterns_without_none() -> None:
    line = demo_line()
    assert set(combinations(line, gearheads=("none",)).gearhead) == {-1}
    assert -1 not in combinations(line, gearheads=("XG*",)).gearhead
    assert combinations(line, gearhead="needed", gearheads=("none",)).size == 0
    assert combinations(line, motors=("nothing",)).size == 0


def test_unmatched_patterns_are_told() -> None:
    assert unmatched(demo_line(), "motors", ("XM*", "YM*", "none")) == ("YM*",)


def test_distinct_choices_lead_back() -> None:
    found = combinations(demo_line())
    pairs = np.column_stack([found.pair_motor, found.pair_gearhead, found.pair_brake])
    assert len(np.unique(pairs, axis=0)) == len(pairs)
    whole = np.column_stack([found.motor, found.gearhead, found.brake])
    assert (pairs[found.pair_of] == whole).all()


def test_every_gearhead_pairing_of_the_demo_line_fits() -> None:
    line = demo_line()
    for pairing in line.pairings:
        if pairing.kind == "motor-gearhead":
            motor = line.motors[line.motor_index[pairing.left]]
            assert fits(motor, line.gearheads[line.gearhead_index[pairing.right]]) is None


@pytest.mark.parametrize(
    ("motor", "words"),
    [
        (Motor("M", flange=0.072, shaft=0.011), ()),
        (Motor("M"), ()),
        (Motor("M", flange=0.088), ("88.0 mm flange", "54.0 mm or 72.0 mm")),
        (Motor("M", shaft=0.016), ("16.0 mm shaft", "14.0 mm at most")),
        (Motor("M", flange=0.088, shaft=0.016), ("flange", "shaft")),
    ],
)
def test_fit_of_flange_and_shaft(motor: Motor, words: tuple[str, ...]) -> None:
    gearhead = Gearhead("G", input_flanges=(0.054, 0.072), shaft_in_max=0.014)
    sentence = fits(motor, gearhead)
    assert (sentence is None) == (not words)
    for word in words:
        assert word in (sentence or "").replace("\N{NO-BREAK SPACE}", " ")


def test_a_gearhead_that_states_nothing_fits() -> None:
    assert fits(Motor("M", flange=0.072, shaft=0.014), Gearhead("G")) is None


def small_line() -> ProductLine:
    motors = (
        Motor("M1", supply_class="H", flange=0.054, brake="B1"),
        Motor("M2", supply_class="L", flange=0.088),
    )
    drives = (
        Drive("D1", supply_class="H", resistor_min=50.0, overvoltage_trip=400.0),
        Drive("D2", supply_class="L"),
        Drive("D3"),
    )
    resistors = (
        Resistor("R1", supply_class="H", resistance=49.0),
        Resistor("R2", supply_class="H", resistance=50.0, voltage_max=450.0),
        Resistor("R3", supply_class="H", resistance=60.0, voltage_max=399.0),
        Resistor("R4"),
    )
    gearheads = (Gearhead("G1", input_flanges=(0.054,)), Gearhead("G2", input_flanges=(0.088,)))
    return ProductLine(
        "small", "", motors, gearheads, drives, (Brake("B1"), Brake("B2")), resistors, (), ()
    )


def test_rules_where_there_are_no_pairings() -> None:
    line = small_line()
    rows = named(line, combinations(line))
    assert {row[:3] for row in rows} == {
        ("M1", None, None),
        ("M1", None, "B1"),
        ("M1", "G1", None),
        ("M1", "G1", "B1"),
        ("M2", None, None),
        ("M2", "G2", None),
    }
    assert {(row[0], row[3]) for row in rows} == {
        ("M1", "D1"),
        ("M1", "D3"),
        ("M2", "D2"),
        ("M2", "D3"),
    }
    assert {row[4] for row in rows if row[3] == "D1"} == {None, "R2", "R4"}
    assert {row[4] for row in rows if row[3] == "D2"} == {None, "R4"}


def test_a_line_without_drives() -> None:
    line = replace(small_line(), drives=())
    rows = named(line, combinations(line, brake=False, gearhead="none"))
    assert rows == [("M1", None, None, None, None), ("M2", None, None, None, None)]
