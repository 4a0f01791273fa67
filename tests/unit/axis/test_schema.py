"""The JSON Schema of the axis file, judged by a general validator (jsonschema)."""

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest
from tests.support.axis_files import LIFT, TABLE, edited

from dutyline.axis.fields import NESTED, SECTIONS
from dutyline.axis.forms import DOES, KINDS, STAGES
from dutyline.axis.read import read_axis
from dutyline.axis.schema import schema
from dutyline.core.errors import InputError

DRAFT = jsonschema.Draft202012Validator
EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*/axis.toml"))
WHOLE = DRAFT(schema())

FULL = """\
schema = 1

[axis]
title = "Carton lift"
enquiry = "40 kg up 300 mm in 0.6 s, every 2 s, 230 V three-phase, must hold without power"

[load]
mass = { value = "40 kg", status = "measured", note = "weighed", range = ["36 kg", "46 kg"] }
payloads = { carton = "12 kg" }
incline = "90 deg"
friction = 0.01
drag = { value = "15 N", status = "assumed" }

[mechanism]
kind = "ball-screw"
lead = "10 mm"
diameter = "20 mm"
length = "600 mm"
efficiency = 0.92
stiffness = "60 N/um"

[[stage]]
kind = "coupling"
inertia = "0.3 kg*cm^2"
stiffness = "6000 N*m/rad"

[[phase]]
do = "move"
by = "300 mm"
time = "0.6 s"
law = "s-curve"
carry = ["carton"]

[[phase]]
do = "dwell"
time = "0.4 s"

[[phase]]
do = "move"
by = "-300 mm"
time = "0.6 s"
law = "trapezoid"

[[phase]]
do = "dwell"
time = "0.4 s"

[site]
mains = "230 V"
phases = 3
ambient = "35 degC"
altitude = "400 m"
people_near = true

[require]
position = "0.05 mm"
settle = "50 ms"
brake = true
life = "20000 h"

[reserve]
peak-torque = 0.10

[choose]
motors = ["XM*H"]
gearheads = ["none", "XG72-*"]
objective = "mass"
"""


SEEN: set[str] = set()
"""Parts of schemas checked already; most kinds share most of them."""


def of_its_draft(body) -> None:
    """Checks every part, then what is left with parts that are always valid in their place."""
    text = json.dumps(body, sort_keys=True)
    if text in SEEN:
        return
    frame = dict(body)
    for word in {"properties", "$defs"} & body.keys():
        for part in body[word].values():
            of_its_draft(part)
        frame[word] = dict.fromkeys(body[word], True)
    for word in {"oneOf", "anyOf", "allOf"} & body.keys():
        for part in body[word]:
            of_its_draft(part)
        frame[word] = [True] * len(body[word])
    if isinstance(body.get("items"), dict):
        of_its_draft(body["items"])
        frame["items"] = True
    DRAFT.check_schema(frame)
    SEEN.add(text)


@pytest.mark.parametrize("kind", [None, *KINDS, *STAGES, *DOES])
def test_it_is_a_schema_of_its_draft(kind):
    of_its_draft(schema(kind))


@pytest.mark.parametrize("place", ["properties", "$defs"])
def test_a_wrong_part_is_seen(place):
    """A type that is no word is refused wherever it stands, as by the whole check at once."""
    for wrong in ({place: {"a": {"type": 3}}}, {place: {"a": {"anyOf": [{"minimum": "1"}]}}},
                  {place: {"a": {"items": {"required": "a"}}}}):  # fmt: skip
        for check in (of_its_draft, DRAFT.check_schema):
            with pytest.raises(jsonschema.SchemaError):
                check(wrong)


@pytest.mark.parametrize("text", [LIFT, TABLE, FULL], ids=["lift", "table", "full"])
def test_files_that_read_are_valid(text):
    axis = read_axis("a.toml", text=text)
    data = tomllib.loads(text)
    DRAFT(schema(axis.train.kind)).validate(data)
    WHOLE.validate(data)


@pytest.mark.parametrize("file", EXAMPLES, ids=[file.parent.name for file in EXAMPLES])
def test_examples_that_ship_are_valid(file):
    axis = read_axis(file)
    DRAFT(schema(axis.train.kind)).validate(tomllib.loads(file.read_text("utf-8")))


@pytest.mark.parametrize(
    "change",
    [
        ('"40 kg"', "40"),
        ("friction = 0.01", "friction = -1"),
        ("friction", "fricton"),
        ('"ball-screw"', '"winder"'),
        ("[site]", "[sight]"),
        ("schema = 1", "schema = 2"),
        ("phases = 3", "phases = 2"),
        ('do = "dwell"', 'do = "dwell"\nby = "3 mm"'),
        ('title = "Lift"\n', ""),
        ('drag = "15 N"', 'inertia = "1 kg*m^2"'),
        ("efficiency = 0.92", "efficiency = 92"),
    ],
)
def test_what_the_reader_refuses_by_form_the_schema_refuses_too(change):
    text = edited(LIFT, change)
    with pytest.raises(InputError):
        read_axis("a.toml", text=text)
    assert not DRAFT(schema("ball-screw")).is_valid(tomllib.loads(text))


def test_every_field_of_a_kind_has_title_and_sentence():
    body = schema("belt")["properties"]["mechanism"]
    names = [field.name for field in SECTIONS["mechanism"].fields_of("belt")]
    assert list(body["properties"]) == names
    for name, said in body["properties"].items():
        assert said.get("title"), name
        assert name == "kind" or said["description"].endswith("."), name


def test_rotary_kinds_ask_for_angles():
    text = schema("rotary-table")["properties"]["mechanism"]["properties"]["backlash"]
    assert "an angle" in text["description"]


def test_an_unknown_kind_names_the_nearest():
    with pytest.raises(InputError, match='nearest is "ball-screw"'):
        schema("ball-scew")


def test_every_kind_and_section_is_answered():
    """Kinds of stages, phases and balances too; "stop" is a section and a phase."""
    for name, section in {**SECTIONS, **NESTED}.items():
        found = schema(name)
        of_its_draft(found)
        assert section.title in str(found), name
    for name in ("counterweight", "gas-spring", "worm", "run"):
        assert schema(name)["properties"]
    assert len(schema("stop")["anyOf"]) == 2
    with pytest.raises(InputError, match='nearest is "cabinet"'):
        schema("cabinett")


def test_a_kind_says_what_it_is_and_shows_a_file():
    body = schema("winder")
    assert body["description"].startswith("A roll")
    assert "R^2" in body["$comment"]
    DRAFT(body).validate(body["examples"][0])
    assert schema("worm")["description"].startswith("A worm")
