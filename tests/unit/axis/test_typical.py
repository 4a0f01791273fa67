"""Usual ranges: one table, its words beside fields, and the caution on what lies outside."""

from __future__ import annotations

from math import sin

import pytest

from dutyline.axis.edit import set_value
from dutyline.axis.fields import NESTED, SECTIONS
from dutyline.axis.forms import Field
from dutyline.axis.read import read_axis
from dutyline.axis.stated import default_of
from dutyline.axis.typical import rows
from dutyline.axis.unusual import outlying
from dutyline.core.reading import read_value
from dutyline.core.values import Value
from dutyline.replacement.fields import GEARHEAD
from support.examples import FOLDER

EVERY = [(s.name, f) for s in (*SECTIONS.values(), *NESTED.values(), GEARHEAD) for f in s.fields]
RANGED = [(f"{section}.{field.name}", field) for section, field in EVERY if field.typical]
LIFT = (FOLDER / "lift" / "axis.toml").read_text(encoding="utf-8")


def kinds_of(field: Field) -> set[tuple[str, bool | None]]:
    """What the field takes, with its travel."""
    if not field.quantity:
        return {("number", None)}
    return {(field.dimension(linear), linear) for linear in (True, False)}


def test_every_row_belongs_to_a_field() -> None:
    """No row of the table speaks of a field or kind that there is not."""
    used = {id(t) for _, field in RANGED for t in field.typical}
    idle = [key for key, own in rows().items() for _, t in own if id(t) not in used]
    assert not idle


def test_every_row_has_a_span_and_a_source() -> None:
    for key, own in rows().items():
        for _, typical in own:
            assert typical.low < typical.high, key
            assert len(typical.source) > 10, key


@pytest.mark.parametrize(("name", "field"), RANGED)
def test_ends_are_values_of_the_field(name: str, field: Field) -> None:
    """Both ends read as what the field takes, and its limits allow them."""
    for kind, linear in kinds_of(field):
        for t in field.ranges(linear):
            unit = "" if t.unit == "1" else f" {t.unit}"
            both = [
                read_value(f"{e:.12g}{unit}", "number" if t.of else kind) for e in (t.low, t.high)
            ]
            for si in (v.si for v in both) if not t.of else ():
                assert field.above is None or si >= field.above, name
                assert field.least is None or si >= field.least, name
                assert field.most is None or si <= field.most * (1 + 1e-9), name


@pytest.mark.parametrize(("name", "field"), RANGED)
def test_no_default_is_unusual(name: str, field: Field) -> None:
    for kind, linear in kinds_of(field):
        ranges = field.ranges(linear)
        if not ranges or ranges[0].of or not (value := default_of(field, bool(linear))):
            continue
        ends = [
            read_value(f"{e:.12g} {'' if t.unit == '1' else t.unit}".strip(), kind).si
            for t in ranges
            for e in (t.low, t.high)
        ]
        neutral = {t.neutral for t in ranges}
        assert value.si in neutral or min(ends) <= value.si <= max(ends), name


PUBLISHED = {
    # nominal values of the standards, from memory
    ("mechanism", "lead"): "1 2 2.5 3 4 5 6 8 10 12 16 20 25 32 40 mm",  # ISO 3408-2
    ("mechanism", "diameter"): "6 8 10 12 16 20 25 32 40 50 63 80 100 125 160 200 mm",  # ISO 3408-2
    ("mechanism", "module"): "1 1.25 1.5 2 2.5 3 4 5 6 8 10 12 mm",  # ISO 54, first series
    ("stage", "pitch"): "2.032 5.08 9.525 12.7 22.225 31.75 mm",  # ISO 5296: MXL to XXH
    ("mechanism", "flank"): "3 14.5 15 30 deg",  # DIN 513, ASME B1.5, ISO 2901, DIN 513
    ("site", "mains"): "100 120 208 230 277 400 480 690 V",  # IEC 60038
    ("accuracy", "lead_error"): "3.5 6 12 23 52 210 um",  # ISO 3408-3 over 300 mm
}


@pytest.mark.parametrize(("key", "listed"), PUBLISHED.items())
def test_ranges_hold_what_standards_list(key: tuple[str, str], listed: str) -> None:
    *numbers, unit = listed.split()
    fields = [f for section, f in EVERY if (section, f.name) == key and f.typical]
    spans = [t for f in fields for t in f.typical if t.unit == unit]
    assert spans
    for number in map(float, numbers):
        assert any(t.low <= number <= t.high for t in spans), (key, number)


def test_gravity_holds_the_earth() -> None:
    """Normal gravity on the ellipsoid of WGS 84 (closed formula of Somigliana)."""
    (field,) = (f for s, f in EVERY if (s, f.name) == ("axis", "gravity"))
    for latitude in (0.0, 0.8, 1.5707963):
        s2 = sin(latitude) ** 2
        g = 9.7803253359 * (1 + 0.00193185265241 * s2) / (1 - 0.00669437999014 * s2) ** 0.5
        assert field.typical[0].low <= g - 0.012  # up to 4 km
        assert g <= field.typical[0].high


def told(*changes: tuple[str, str]) -> list[str]:
    text = LIFT
    for path, typed in changes:
        text = set_value(text, path, typed)
    return list(outlying(read_axis("lift.toml", text=text).notes))


def test_a_usual_value_says_nothing() -> None:
    assert told() == []
    assert told(("load.friction", "0.03")) == []  # between rolling and sliding


def test_an_unusual_value_is_kept_and_told() -> None:
    assert told(("load.friction", "0.5")) == [
        "Unusual guide friction: 0.5; usual is 0.002 to 0.02 rolling, 0.05 to 0.15 sliding. "
        "Computed as stated."
    ]
    axis = read_axis("lift.toml", text=set_value(LIFT, "load.friction", "0.5"))
    (value,) = (i.value for i in axis.inputs if i.path == "load.friction")
    assert isinstance(value, Value)
    assert (value.typed, value.si) == ("0.5", 0.5)


@pytest.mark.parametrize(
    ("path", "typed", "odd"),
    [
        ("load.mass", "28000 kg", True),
        ("load.mass", "9..11 t", True),  # one end lies outside
        ("load.mass", "28 kg", False),
        ("mechanism.backlash", "0 mm", False),  # there is none
        ("mechanism.backlash", "0.0001 mm", True),
        ("load.breakaway", "1", False),
        ("load.breakaway", "1.1", True),
        ("site.ambient", "70 degC", True),
        ("site.ambient", "131 degF", False),  # 55 degC
        ("site.mains_low", "-15 %", False),
        ("site.mains_low", "-20 %", True),
        ("phase.up.accel_share", "0.04", True),
    ],
)
def test_outside_is_told_inside_is_not(path: str, typed: str, odd: bool) -> None:
    assert bool(told((path, typed))) is odd


def test_travel_decides_the_range() -> None:
    """8 mm of play are much, 8 arcmin are usual; a turning axis is not told of millimetres."""
    field = next(f for s, f in EVERY if (s, f.name) == ("mechanism", "backlash"))
    assert (field.usual(True), field.usual(False)) == ("0.001 to 2 mm", "0.1 to 60 arcmin")


def test_a_share_is_of_another_field() -> None:
    """A rod as long as the crank is short: usual is 2.5 to 15 cranks."""
    text = (FOLDER / "eyelet-press" / "axis.toml").read_text(encoding="utf-8")
    assert not outlying(read_axis("press.toml", text=text).notes)
    odd = set_value(text, "mechanism.rod", "300 mm")  # 25 cranks of 12 mm
    (said,) = outlying(read_axis("press.toml", text=odd).notes)
    assert said.startswith("Unusual rod: 300 mm; usual is 2.5 to 15 cranks.")


def test_a_reader_of_commas_gets_commas() -> None:
    (said,) = told(("axis.decimal", "comma"), ("load.friction", "0.5"))
    assert "0,002 to 0,02 rolling" in said


def test_a_case_is_named() -> None:
    text = LIFT + '\n[[case]]\nname = "slick"\nset = { "load.friction" = "0.4" }\n'
    (said,) = outlying(read_axis("lift.toml", text=text).notes)
    assert said.startswith("Case slick: Unusual guide friction: 0.4;")


def test_a_caution_names_the_part_that_it_is_of() -> None:
    (said,) = told(("phase.up.accel_share", "0.04"))
    assert said.startswith("Unusual acceleration share of the phase up: 0.04;")
    branch = (
        '\n[[branch]]\nname = "left"\nload = { mass = "28 kg" }\n'
        'mechanism = { kind = "belt", diameter = "60 mm" }\n'
        'stage = [{ kind = "reduction", ratio = 300 }]\n'
    )
    (said,) = outlying(read_axis("lift.toml", text=LIFT + branch).notes)
    assert said.startswith("Unusual ratio of the stage 1 of the branch left: 300; usual is 1 to ")
