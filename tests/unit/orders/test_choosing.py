"""The smallest accessory that fits, by hand: eight made-up rows, picked over on paper."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import Accessory
from dutyline.orders.choosing import Need, choose, fitting

FILTERS = (
    Accessory("F1-20", "mains-filter", current=20.0, voltage=250.0, phases=(1,)),
    Accessory("F3-16", "mains-filter", current=16.0, voltage=480.0, phases=(3,)),
    Accessory("F3-8", "mains-filter", current=8.0, voltage=480.0, phases=(3,)),
    Accessory("F3-8S", "mains-filter", current=8.0, voltage=250.0, phases=(3,)),
    Accessory("F3-4", "mains-filter", current=4.0, voltage=480.0, phases=(1, 3)),
)


def line(*rows):
    return replace(demo_line(), accessories=rows)


def wanted(current, voltage=230.0, phases=3, **more):
    least = {"current": current, "voltage": voltage}
    return Need("mains-filter", "mains filter", least=least, phases=phases, **more)


@pytest.mark.parametrize(
    ("need", "name"),
    [
        (wanted(3.9), "F3-4"),
        (wanted(4.0), "F3-4"),  # the limit itself is enough
        (wanted(4.1), "F3-8S"),  # of two 8 A the lower voltage
        (wanted(4.1, voltage=400.0), "F3-8"),
        (wanted(8.1), "F3-16"),
        (wanted(3.0, phases=1), "F3-4"),
        (wanted(5.0, phases=1), "F1-20"),
    ],
)
def test_the_smallest_that_reaches(need, name):
    found = choose(line(*FILTERS), need)
    assert found.part.name == name
    assert found.missing == ()


def test_the_order_of_the_file_does_not_matter():
    names = {choose(line(*rows), wanted(4.1)).part.name for rows in (FILTERS, FILTERS[::-1])}
    assert names == {"F3-8S"}


def test_nothing_reaches():
    found = choose(line(*FILTERS), wanted(21.0))
    assert found.part is None
    (text,) = found.missing
    assert "current 21" in text
    assert "none of 5" in text


def test_a_datum_not_stated_is_never_taken_for_fit():
    silent = replace(FILTERS[1], current=None)
    found = choose(line(silent), wanted(3.0))
    assert found.part is None
    assert found.missing == ("current of F3-16 (accessories.csv)",)
    # one that surely fits is taken before one that might, whatever its size
    assert choose(line(silent, FILTERS[1]), wanted(3.0)).part.name == "F3-16"
    # one that fails by what it does state needs no further datum
    assert "none of 1" in choose(line(replace(silent, phases=(1,))), wanted(3.0)).missing[0]


def test_patterns_name_the_parts():
    own = replace(FILTERS[4], fits_drives="XD-H*; xd-l2")
    for drive, there in (("XD-H9", True), ("XD-L2", True), ("XD-L4", False), (None, False)):
        assert bool(fitting(line(own), wanted(1.0, parts={"drives": drive}))) == there
    found = choose(line(own), wanted(1.0, parts={"drives": "XD-L4"}))
    assert found.missing == ("no mains filter of the product line goes with these parts",)


def test_a_line_without_any():
    found = choose(line(), wanted(1.0))
    assert found.missing == ("mains filter: the product line lists none",)
    assert choose(None, wanted(1.0)).missing == found.missing


CABLES = (
    Accessory("C3", "motor-cable", current=8.0, length=3.0, moving="no"),
    Accessory("C5", "motor-cable", current=8.0, length=5.0, moving="no"),
    Accessory("C5F", "motor-cable", current=8.0, length=5.0, moving="yes"),
    Accessory("CM", "motor-cable", current=16.0, moving="yes"),
)


@pytest.mark.parametrize(
    ("length", "current", "moving", "name"),
    [
        (2.0, 5.0, False, "C3"),
        (4.0, 5.0, False, "C5"),
        (4.0, 5.0, True, "C5F"),
        (6.0, 5.0, False, "CM"),  # cut to length, longer than any made up
        (4.0, 9.0, False, "CM"),
    ],
)
def test_cables(length, current, moving, name):
    need = Need("motor-cable", "motor cable", least={"length": length, "current": current},
                moving=moving)  # fmt: skip
    assert choose(line(*CABLES), need).part.name == name


def test_a_cable_that_does_not_say_whether_it_may_move():
    silent = replace(CABLES[1], moving="")
    need = Need("motor-cable", "motor cable", least={"length": 4.0}, moving=True)
    assert choose(line(silent), need).missing == ("whether it may move of C5 (accessories.csv)",)
