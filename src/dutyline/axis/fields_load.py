"""Fields of ``[axis]`` and ``[load]``, of payloads and of bodies."""

from __future__ import annotations

from math import pi

from dutyline.axis.forms import (
    CRANK_KINDS,
    LINEAR_LOADS,
    ROTARY_LOADS,
    SHAPES,
    Field,
    Section,
)
from dutyline.axis.typical import ranged

# One field in two lines reads better than in ten.
# fmt: off

_ROTARY = ROTARY_LOADS
_LINEAR = LINEAR_LOADS
_GUIDED = ("ball-screw", "lead-screw", "rack", "belt", "toggle", *CRANK_KINDS, "ratio-table",
           "direct")
_WEB = ("winder", "feed-rolls")
_UPRIGHT = pi / 2.0
_ROUND = ("cylinder", "ring", "cone", "sphere")

AXIS = ranged(Section(
    "axis",
    "Axis",
    "Name of the axis and the words that belong to it.",
    (
        Field("title", "text", "Title", "Name of the axis, as it heads every result.",
              required=True, aliases=("name",)),
        Field("enquiry", "text", "Enquiry", "The customer's own words."),
        Field("project", "text", "Project", "Machine or project it belongs to."),
        Field("customer", "text", "Customer", "Who asked."),
        Field("author", "text", "Author", "Who worked on the file."),
        Field("note", "text", "Note", "Anything a later reader should know."),
        Field("units", "name", "Units shown",
              "Units of results; inputs keep their own. Volts, watts, joules, °C stay; JSON is SI.",
              default="si", choices=("si", "inch")),
        Field("decimal", "name", "Decimal mark",
              "Mark in the numbers of results; inputs take both. JSON keeps the point.",
              default="point", choices=("point", "comma")),
        Field("gravity", "acceleration", "Gravity", "Acceleration of free fall at the place.",
              "g", default="9.80665 m/s^2", above=0.0),
    ),
))

PAYLOAD = ranged(Section(
    "payload",
    "Payload",
    "Something carried in some phases only.",
    (
        Field("mass", "mass", "Mass", "Mass of one piece.", "m", required=True, least=0.0),
        Field("inertia", "inertia", "Own inertia", "Inertia of one piece about its own centre.",
              "J", default="0 kg*m^2", kinds=_ROTARY, least=0.0),
        Field("radius", "length", "Radius", "Its centre from the axis of rotation.", "r",
              default="0 mm", kinds=_ROTARY, least=0.0),
        Field("angle", "angle", "Angle",
              "Its centre above the level line at travel 0, growing with + travel.",
              default="0 deg", kinds=_ROTARY),
        Field("count", "whole", "Count", "How many of them.", default="1", least=1.0,
              most=10000.0),
        Field("friction", "1", "Friction",
              "Friction coefficient of this payload where it differs from the load's.", "mu",
              least=0.0, kinds=_LINEAR),
    ),
    nested=True,
))

BODY = ranged(Section(
    "body",
    "Body",
    "A simple solid that adds to mass and inertia.",
    (
        Field("shape", "name", "Shape", "What the body looks like.", choices=SHAPES),
        Field("mass", "mass", "Mass", "Mass of the body.", "m", above=0.0),
        Field("density", "density", "Density", "Density, where the mass is not known.", "rho",
              above=0.0),
        Field("material", "name", "Material", "Material, for its density.",
              choices=("steel", "stainless-steel", "cast-iron", "aluminium", "brass", "bronze",
                       "plastic")),
        Field("diameter", "length", "Diameter", "Outside diameter.", "D", kinds=_ROUND, above=0.0),
        Field("bore", "length", "Bore", "Diameter of the hole.", "d", default="0 mm",
              kinds=("cylinder", "ring"), least=0.0),
        Field("length", "length", "Length", "Length along the body's own axis.", "l",
              kinds=("cylinder", "ring", "cuboid", "rod", "cone"), above=0.0),
        Field("width", "length", "Width", "Width across.", "b", kinds=("cuboid",), above=0.0),
        Field("height", "length", "Height", "Height of the block.", "h", kinds=("cuboid",),
              above=0.0),
        Field("inertia", "inertia", "Inertia", "Inertia about its own centre, beside a mass.",
              "J", least=0.0),
        Field("radius", "length", "Radius", "Its centre from the axis of rotation.", "r",
              default="0 mm", least=0.0),
        Field("angle", "angle", "Angle", "Its centre above the level line at travel 0.",
              default="0 deg"),
        Field("turn", "name", "Turns", "About its own axis or across it.", default="axial",
              choices=("axial", "transverse")),
        Field("count", "whole", "Count", "How many; negative for a hole.", default="1",
              least=-10000.0, most=10000.0),
    ),
    selector="shape",
    nested=True,
))

LOAD = ranged(Section(
    "load",
    "Load",
    "What is moved and what resists it.",
    (
        Field("mass", "mass", "Moving mass",
              "Moving mass without payloads and without a motor that rides along.", "m",
              least=0.0, aliases=("weight",)),
        Field("inertia", "inertia", "Load inertia",
              "Inertia about the axis of rotation, the whole load without payloads.", "J",
              least=0.0, kinds=_ROTARY, aliases=("moment_of_inertia",)),
        Field("payloads", "named", "Payloads", "Names and masses of what is carried at times.",
              of="payload", aliases=("payload",)),
        Field("body", "tables", "Bodies", "Simple solids that add to mass and inertia.",
              of="body", aliases=("bodies",)),
        Field("incline", "angle", "Slope", "Direction of + travel above the horizontal.", "alpha",
              default="90 deg", kinds=("hoist",), aliases=("inclination", "slope"),
              least=-_UPRIGHT, most=_UPRIGHT),
        Field("incline", "angle", "Slope", "Direction of + travel above the horizontal.", "alpha",
              default="0 deg", assumed=True,
              kinds=(*_GUIDED, "conveyor"), aliases=("inclination", "slope"),
              least=-_UPRIGHT, most=_UPRIGHT),
        Field("arm", "length", "Arm", "Centre of mass from the axis of rotation.", "l",
              default="0 mm", kinds=_ROTARY, least=0.0),
        Field("angle", "angle", "Angle of the mass",
              "Centre of mass above the level line at travel 0; 90 deg is the top.",
              default="0 deg", kinds=_ROTARY),
        Field("friction", "1", "Guide friction", "Friction force over normal force.", "mu",
              default="0.01", assumed=True, least=0.0, aliases=("friction_coefficient",),
              kinds=_GUIDED),
        Field("friction", "1", "Guide friction", "Friction force over normal force.", "mu",
              default="0", least=0.0, kinds=("conveyor", "hoist", *_WEB),
              aliases=("friction_coefficient",)),
        Field("normal_force", "force", "Extra normal force",
              "Added to the weight on the guide: clamping, magnets.", "F_n", default="0 N",
              kinds=_LINEAR, least=0.0),
        Field("drag", "effort", "Constant drag",
              "Resistance that does not depend on weight: seals, cable chain.", "F_d",
              default="0 N", assumed=True, least=0.0, kinds=_LINEAR),
        Field("drag", "effort", "Constant drag", "Resistance torque: seals, rotary union.", "T_d",
              default="0 N*m", assumed=True, least=0.0, kinds=_ROTARY),
        Field("viscous", "travel viscous", "Viscous drag", "Resistance per speed.", "b",
              default="0", least=0.0),
        Field("breakaway", "1", "Breakaway", "Static over running friction, for starts.",
              default="1", least=1.0, aliases=("break_away",)),
        Field("stribeck_speed", "travel speed", "Stribeck speed",
              "Speed at which static friction has faded.", "v_s", above=0.0),
        Field("stribeck_exponent", "1", "Stribeck exponent",
              "Shape of that fading; 2 where left out.", "delta", above=0.0),
    ),
    selector="kind",
))
