"""Order lists by hand: what stands in them, how it is sized, what stays open, what it costs."""

from __future__ import annotations

from dataclasses import replace

import pytest

import dutyline as dl
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination
from support.axis_files import LIFT
from support.command import spaced
from support.lines import tables, write

PARTS = Combination("XM72-0450H", None, "XD-H4", "XB72", "XR-H80-90")
CABLE = '[cable]\nlength = "4 m"\nmoving = true\n'
TWO = "[tandem]\nmotors = 2\n"
PARTS_FILES = ("motors", "gearheads", "drives", "brakes", "resistors")


def judged(more="", parts=PARTS, line=None, text=LIFT):
    return dl.verify(read_axis("lift.toml", text=text + more), parts, line or demo_line())


def listed(*arguments, **named):
    found = dl.order_list(judged(*arguments, **named))
    return {p.kind: p for p in found.positions}, found


def with_logic(volts=24.0, watts=12.0):
    line = demo_line()
    drives = tuple(replace(d, logic_voltage=volts, logic_power=watts) for d in line.drives)
    return replace(line, drives=drives)


def test_every_part_of_the_combination_is_there_once():
    order, found = listed()
    for kind in ("motor", "drive", "brake", "resistor"):
        assert order[kind].part == getattr(PARTS, kind)
    assert "gearhead" not in order
    assert "input-adapter" not in order
    assert [p.number for p in found.positions] == list(range(1, len(found.positions) + 1))
    counted = [p.kind for p in found.positions if p.kind != "dc-supply"]
    assert len(counted) == len(set(counted))


def test_without_brake_resistor_and_gearhead_there_is_less():
    order, _ = listed(parts=Combination("XM72-0450H", drive="XD-H4"))
    assert not {"brake", "resistor", "gearhead", "brake-cable", "coil-varistor"} & set(order)
    assert "without brake" in order["motor"].options


def test_a_drive_that_is_left_out_comes_from_the_pairings():
    order, _ = listed(parts=Combination("XM72-0450H"))
    assert order["drive"].part is not None


def test_no_drive_in_the_line():
    line = replace(demo_line(), drives=(), resistors=(), pairings=())
    order, found = listed(parts=Combination("XM72-0450H"), line=line)
    assert order["drive"].part is None
    assert order["drive"].state == "open"
    assert "mains-filter" not in order
    assert found.warning  # not proved without a drive


def test_two_motors_have_two_of_all_but_the_supply():
    one, two = listed()[0], listed(TWO)[0]
    for kind in ("motor", "drive", "brake", "resistor", "motor-cable", "encoder-cable"):
        assert (one[kind].pieces, two[kind].pieces) == (1, 2)
    assert (one["dc-supply"].pieces, two["dc-supply"].pieces) == (1, 1)


def test_the_24_v_supply_by_hand():
    # XB72 draws 9.8 W; electronics 12 W stated here: 21.8 W, with a fifth in hand 26.2 W, 1.09 A
    order, _ = listed(line=with_logic())
    assert order["dc-supply"].part == "XP24-30"
    assert spaced(order["dc-supply"].options[0]) == "1.1 A or more"
    assert order["dc-supply"].state == "complete"
    # twice that, 52.3 W, 2.18 A
    order, _ = listed(TWO, line=with_logic())
    assert order["dc-supply"].part == "XP24-60"
    assert spaced(order["dc-supply"].options[0]) == "2.2 A or more"
    assert order["dc-supply"].pieces == 1
    # 9.8 W and 195.2 W: 205 W, with a fifth in hand 246 W, 10.25 A; never told as 10 A
    order, _ = listed(line=with_logic(watts=195.2))
    assert spaced(order["dc-supply"].options[0]) == "10.3 A or more"


def test_other_voltages_have_supplies_of_their_own():
    _, found = listed(line=with_logic(volts=48.0))
    supplies = [p for p in found.positions if p.kind == "dc-supply"]
    assert [spaced(p.item) for p in supplies] == ["24 V supply", "48 V supply"]
    # 9.8 W and a fifth: 11.76 W; no 48 V supply is listed
    assert [p.part for p in supplies] == ["XP24-30", None]
    assert "voltage 48" in spaced(supplies[1].missing[0])


def test_electronics_fed_from_the_mains_need_no_supply():
    _, found = listed(line=with_logic(watts=0.0), parts=Combination("XM72-0450H", drive="XD-H4"))
    assert not [p for p in found.positions if p.kind == "dc-supply"]


def test_what_the_supply_lacks_is_named():
    _, found = listed()
    text = [m for p in found.positions if p.kind == "dc-supply" for m in p.missing]
    assert text == [
        "voltage and power of the electronics of XD-H4: the product data lack them "
        "(0 W where its mains feed them)"
    ]
    brakes = tuple(replace(b, coil_power=None) for b in demo_line().brakes)
    _, found = listed(line=replace(with_logic(watts=0.0), brakes=brakes))
    text = [m for p in found.positions if p.kind == "dc-supply" for m in p.missing]
    assert text == ["voltage and power of the coil of XB72: the product data lack them"]


def test_cables_that_nobody_described_stay_open():
    order, _ = listed()
    for kind in ("motor-cable", "encoder-cable", "brake-cable"):
        assert order[kind].state == "open"
        assert order[kind].part is None
        assert "length" in order[kind].missing[0]
        assert "moving" in order[kind].missing[1]


@pytest.mark.parametrize(
    ("more", "names"),
    [
        # XD-H4 is rated 3.7 A
        (CABLE, ("XC-M4F-5", "XC-EF-5", "XC-BF-5")),
        (CABLE.replace("true", "false"), ("XC-M4-5", "XC-E-5", "XC-B-5")),
        (CABLE.replace("4 m", "10 m"), ("XC-M4F-10", "XC-EF-10", "XC-BF-10")),
        (CABLE.replace("4 m", "11 m"), ("XC-M20F", None, None)),
    ],
)
def test_cables_of_a_stated_length(more, names):
    order, _ = listed(more)
    kinds = ("motor-cable", "encoder-cable", "brake-cable")
    assert tuple(order[k].part for k in kinds) == names
    assert ("connector-set" in order) == ("XC-M20F" in names)


def test_the_adapter_of_the_gearhead_takes_flange_and_shaft():
    geared = replace(PARTS, gearhead="XG88-6")
    order, _ = listed(parts=geared)
    assert order["input-adapter"].part == "XA88-72-14"  # the motor: 72 mm flange, 14 mm shaft
    bare = replace(demo_line(), accessories=())
    order, _ = listed(parts=geared, line=bare)
    assert "input-adapter" not in order
    said = spaced("; ".join(order["gearhead"].options))
    assert "input flange for 72 mm" in said
    assert "14 mm shaft" in said
    short = tuple(a for a in demo_line().accessories if a.name != "XA88-72-14")
    order, _ = listed(parts=geared, line=replace(demo_line(), accessories=short))
    assert order["input-adapter"].state == "open"
    silent = tuple(replace(m, shaft=None) for m in demo_line().motors)
    order, _ = listed(parts=geared, line=replace(demo_line(), motors=silent))
    assert order["input-adapter"].missing == ("shaft of XM72-0450H (shaft_mm in motors.csv)",)


def test_a_key_is_ordered_where_the_hub_on_the_motor_has_one():
    keyed = LIFT.replace(
        'inertia = "0.3 kg*cm^2"', 'inertia = "0.3 kg*cm^2"\nkey = ["5 mm", "5 mm", "20 mm"]'
    )
    order, _ = listed(text=keyed)
    assert any("with a key 5 x 5 x 20 mm" in option for option in order["motor"].options)
    # behind a gearhead the coupling sits on another shaft
    order, _ = listed(text=keyed, parts=replace(PARTS, gearhead="XG88-6"))
    assert not any("with a key" in option for option in order["motor"].options)


def test_the_filter_carries_what_the_drive_draws():
    order, _ = listed()
    assert order["mains-filter"].part == "XF3-7"  # XD-H4 draws 4.58 A
    order, _ = listed(text=LIFT.replace("phases = 3", "phases = 1"))
    assert order["mains-filter"].part == "XF1-6"


def test_the_protective_device_is_the_builders():
    assert listed()[0]["protective-device"].state == "open"
    order, _ = listed('[cabinet]\nfuse = "10 A"\n')
    assert order["protective-device"].part == "XS3-10"
    order, _ = listed('[cabinet]\nfuse = "13 A"\n')
    assert order["protective-device"].part is None
    assert order["protective-device"].state == "open"


def test_a_shared_bus_has_one_supply_and_no_filters():
    order, _ = listed('[cabinet]\nshared_bus = true\nbus_supply = "5 kW"\n')
    assert "mains-filter" not in order
    assert spaced(order["bus-supply"].options[0]) == "5 000 W peak as stated"


def test_the_diode_is_ordered_where_it_is_judged():
    order, _ = listed('[stop]\ncoil = "diode"\n')
    assert "coil-varistor" not in order
    assert order["coil-diode"].missing == ("diode: the product line lists none",)


def test_cases_give_one_list_with_the_case_that_is_tightest():
    heavy = '[[case]]\nname = "heavy"\nset = { "load.mass" = "60 kg" }\n'
    order, found = listed(heavy)
    assert len(found.positions) == len(listed()[1].positions)
    assert "in case heavy" in order["motor"].why


@pytest.mark.parametrize("word", ["fails", "short", "incomplete"])
def test_what_does_not_meet_is_warned_of(word):
    found = dl.order_list(replace(judged(), verdict=word))
    assert found.warning.endswith("settle that before ordering.")
    assert dl.order_list(replace(judged(), verdict="meets")).warning == ""


def priced(folder, **prices):
    """The line that ships, without accessories, with a price for the parts of some files."""
    content = {name: rows for name, rows in tables().items() if name != "accessories"}
    for name in PARTS_FILES:
        for row in content[name]:
            row["price"] = prices.get(name, "")
    return dl.read_line(write(folder / "priced", content))


def test_no_prices_no_sum(tmp_path):
    _, found = listed()
    assert not found.priced
    assert found.total is None
    assert found.no_total == "No prices: the product line states none."


def test_a_sum_needs_every_price_and_the_currency(tmp_path):
    line = priced(tmp_path, motors="310.5", drives="420", brakes="55", resistors="30")
    _, found = listed(TWO, line=line)
    order = {p.kind: p for p in found.positions}
    assert order["motor"].price == pytest.approx(621.0)
    assert found.total is None
    assert "Motor cable" in found.no_total
    assert "Motor XM72-0450H" not in found.no_total
    only = tuple(p for p in found.positions if p.price is not None)
    assert replace(found, positions=only).total is None
    assert "currency" in replace(found, positions=only).no_total
    whole = replace(found, positions=only, currency="EUR")
    # two of each: 2 (310.5 + 420 + 55 + 30)
    assert whole.total == pytest.approx(1631.0)
    assert whole.no_total == ""
