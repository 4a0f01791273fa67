"""Partners by rule are those of which every single pair fits, looked at one by one."""

from __future__ import annotations

from dataclasses import replace
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dutyline.catalogue import pairing
from dutyline.catalogue.pairing import MOST_COMBINATIONS, TooManyError, combinations, fits, partners
from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor, ProductLine, Resistor
from dutyline.core.errors import InputError

lengths = st.sampled_from([None, 0.054, 0.054 + 9e-6, 0.054 + 2e-5, 0.072, 0.011, 0.014])
classes = st.sampled_from(["", "L", "H"])
numbers = st.sampled_from([None, 20.0, 40.0, 400.0, 800.0])


def named(kind: type, **facts: st.SearchStrategy[object]) -> st.SearchStrategy[list[object]]:
    rows = st.lists(st.fixed_dictionaries(facts), max_size=8)
    return rows.map(lambda found: [kind(f"{kind.__name__}{k}", **f) for k, f in enumerate(found)])


@st.composite
def lines(draw: st.DrawFn) -> ProductLine:
    some_brakes = st.sampled_from(["", "Brake0", "Brake1", "Brake7", "other"])
    return ProductLine(
        "made", "",
        tuple(draw(named(Motor, flange=lengths, shaft=lengths, supply_class=classes,
                         brake=some_brakes))),
        tuple(draw(named(Gearhead, shaft_in_max=lengths, input_flanges=st.sampled_from(
            [(), (0.054,), (0.054, 0.072), (0.011,)])))),
        tuple(draw(named(Drive, supply_class=classes, resistor_min=numbers,
                         overvoltage_trip=numbers))),
        tuple(draw(named(Brake))),
        tuple(draw(named(Resistor, supply_class=classes, resistance=numbers,
                         voltage_max=numbers))),
        (), (),
    )  # fmt: skip


def same_class(one: str, other: str) -> bool:
    return not one or not other or one == other


def at_least(value: float | None, least: float | None) -> bool:
    return value is None or least is None or value >= least


@given(lines())
def test_partners_by_rule_are_the_pairs_that_fit(line: ProductLine) -> None:
    rules = {
        "motor-gearhead": lambda m, g: fits(m, g) is None,
        "motor-drive": lambda m, d: same_class(m.supply_class, d.supply_class),
        "motor-brake": lambda m, b: m.brake == b.name,
        "drive-resistor": lambda d, r: (
            same_class(d.supply_class, r.supply_class)
            and at_least(r.resistance, d.resistor_min)
            and at_least(r.voltage_max, d.overvoltage_trip)
        ),
    }
    for kind, rule in rules.items():
        left, right = (getattr(line, f"{side}s") for side in kind.split("-"))
        assert partners(line, kind) == {
            k: [n for n, other in enumerate(right) if rule(part, other)]
            for k, part in enumerate(left)
        }


@given(lines(), st.integers(0, 200))
def test_the_count_beforehand_is_the_count(line: ProductLine, most: int) -> None:
    found = combinations(line)
    with patch.object(pairing, "MOST_COMBINATIONS", most):
        if found.size <= most:
            assert combinations(line).size == found.size
        else:
            with pytest.raises(TooManyError) as caught:
                combinations(line)
            assert caught.value.count == found.size


def alike(count: int) -> ProductLine:
    """Parts of which each goes with each."""
    kinds = (Motor, Gearhead, Drive, Brake, Resistor)
    parts = [tuple(kind(f"{kind.__name__}{k}") for k in range(count)) for kind in kinds]
    return ProductLine("alike", "", *parts, (), ())


def test_a_vast_search_is_refused_before_anything_is_made() -> None:
    """Eight thousand of each kind, gearheads and resistors also left out."""
    line = alike(8000)
    with pytest.raises(TooManyError) as caught:
        combinations(line)
    assert caught.value.count == 8000 * 8001 * 8000 * 8001 > MOST_COMBINATIONS


def test_pairs_that_differ_too_much_to_be_ruled_are_asked_for() -> None:
    line = alike(2500)
    line = replace(
        line,
        motors=tuple(replace(m, shaft=0.01 + k * 1e-4) for k, m in enumerate(line.motors)),
        gearheads=tuple(
            replace(g, shaft_in_max=0.01 + k * 1e-4) for k, g in enumerate(line.gearheads)
        ),
    )
    assert sum(map(len, partners(line, "motor-drive").values())) == 2500 * 2500
    with pytest.raises(InputError) as caught:
        partners(line, "motor-gearhead")
    (fault,) = caught.value.faults
    assert fault.place == "pairings.csv"
    assert "2500 motors and 2500 gearheads" in fault.read
