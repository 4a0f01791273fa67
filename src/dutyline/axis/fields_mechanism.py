"""Fields of ``[mechanism]``: what every kind has, and what each kind adds."""

from __future__ import annotations

from dutyline.axis.fields_linkage import LINKAGES
from dutyline.axis.fields_process import PROCESSES
from dutyline.axis.forms import CRANK_KINDS, KINDS, Field, Section
from dutyline.axis.typical import ranged

# One field in two lines reads better than in ten.
# fmt: off

_SCREWS = ("ball-screw", "lead-screw")
_TABLES = ("rotary-table", "swing-arm")
_BELTS = ("belt", "conveyor")
_EFFICIENCY = {"ball-screw": "0.90", "belt": "0.96", "rack": "0.97"}
_OTHERS = tuple(kind for kind in KINDS if kind not in (*_EFFICIENCY, "lead-screw"))
_ELSE = tuple(kind for kind in KINDS if kind not in CRANK_KINDS)

ROLLER = Section(
    "roller",
    "Roller",
    "Idlers that turn with the belt.",
    (
        Field("count", "whole", "Count", "How many alike.", default="1", least=1.0, most=10000.0),
        Field("inertia", "inertia", "Inertia", "Inertia of one roller.", "J", required=True,
              least=0.0),
        Field("diameter", "length", "Diameter", "Diameter on which the belt runs.", "d",
              required=True, above=0.0),
    ),
    nested=True,
)

TRACTION = ranged(Section(
    "traction",
    "Traction",
    "What a driven wheel or drum can transmit by friction.",
    (
        Field("normal_force", "force", "Normal force", "Force that presses the surfaces together.",
              "N", above=0.0),
        Field("friction", "1", "Friction", "Friction coefficient of the contact.", "mu", above=0.0),
    ),
    nested=True,
))


def _efficiency() -> tuple[Field, ...]:
    meaning = "Share of power left from motor to load, for losses that grow with the load."
    stated = tuple(
        Field("efficiency", "efficiency", "Efficiency", meaning, "eta", default=value,
              assumed=True, kinds=(kind,), above=0.0, most=1.0)
        for kind, value in _EFFICIENCY.items()
    )
    screw = Field("efficiency", "efficiency", "Efficiency", meaning, "eta", kinds=("lead-screw",),
                  above=0.0, most=1.0)
    plain = Field("efficiency", "efficiency", "Efficiency", meaning, "eta", default="1",
                  kinds=_OTHERS, above=0.0, most=1.0)
    return (*stated, screw, plain)


_EVERY = (
    Field("kind", "name", "Mechanism", "What turns rotation into the travel of the load.",
          required=True, choices=KINDS, aliases=("type",)),
    *_efficiency(),
    Field("efficiency_back", "1", "Efficiency backwards",
          "Share of power left from load to motor; zero or less is self-locking.", "eta_b",
          most=1.0, aliases=("back_efficiency", "backdriving_efficiency")),
    Field("inertia", "inertia", "Own inertia",
          "Inertia on its shaft besides what the geometry gives.", "J", least=0.0),
    Field("body", "tables", "Bodies", "Simple solids on its shaft.", of="body",
          aliases=("bodies",)),
    Field("material", "name", "Material", "Material of what the geometry gives.", default="steel",
          choices=("steel", "stainless-steel", "cast-iron", "aluminium", "brass", "bronze",
                   "plastic")),
    Field("drag", "torque", "Drag torque", "No-load torque on its shaft: bearings, seals, preload.",
          "T_d", default="0 N*m", least=0.0),
    Field("viscous", "angular viscous", "Viscous drag", "Drag torque per speed on its shaft.", "b",
          default="0", least=0.0),
    Field("stiffness", "travel stiffness", "Stiffness", "The whole mechanism seen at the load.",
          "k", above=0.0, kinds=_ELSE),
    Field("stiffness", "stiffness", "Stiffness", "The whole mechanism seen at the load.",
          "k", above=0.0, kinds=CRANK_KINDS),
    Field("backlash", "travel", "Backlash", "Full width of the play at the load.", "b",
          default="0", least=0.0, kinds=_ELSE),
    Field("backlash", "length", "Backlash", "Full width of the play at the load.", "b",
          default="0", least=0.0, kinds=CRANK_KINDS),
    Field("travel", "travel", "Available travel", "Travel that the machine offers.", "s",
          above=0.0, aliases=("stroke",)),
    Field("reverse", "flag", "Reversed", "Whether + at the motor is - at the load.",
          default="no"),
    Field("motor_rides", "flag", "Motor rides", "Whether motor, gearhead and brake move along.",
          default="no"),
    Field("overhang", "length", "Overhang",
          "Belt, teeth, rope or centre of mass to the shoulder of the shaft that carries it.", "x",
          least=0.0),
    Field("radial_force", "force", "Further radial force",
          "Largest on that shaft besides what belt, teeth, rope or load bring: weight of a drum, a "
          "tool. Of a roll or crank the whole force.", "F_r", least=0.0),
    Field("axial_force", "force", "Further axial force",
          "Largest along that shaft besides what teeth or load bring.", "F_a", least=0.0),
    Field("axial_arm", "length", "Arm of the axial force",
          "Further axial force from the axis of that shaft.", "y", default="0 mm", least=0.0),
    Field("endless", "flag", "Endless", "Whether end and start of the cycle may differ."),
)

_SCREW = (
    Field("lead", "lead", "Lead", "Travel for one turn of the screw.", "P_h", kinds=_SCREWS,
          above=0.0),
    Field("pitch", "length", "Pitch", "Distance between neighbouring threads.", "P",
          kinds=_SCREWS, above=0.0),
    Field("starts", "whole", "Starts", "Number of threads; lead is pitch times starts.",
          default="1", kinds=_SCREWS, least=1.0, most=100.0),
    Field("diameter", "length", "Screw diameter", "Nominal diameter of the screw.", "d",
          kinds=_SCREWS, above=0.0),
    Field("length", "length", "Screw length", "Length of the whole screw.", "l", kinds=_SCREWS,
          above=0.0),
    Field("rotating", "name", "Rotating", "Which part turns.", default="screw",
          choices=("screw", "nut"), kinds=_SCREWS),
    Field("preload", "force", "Preload", "Preload between the halves of the nut.", "F_pr",
          kinds=_SCREWS, least=0.0),
    Field("root_diameter", "length", "Root diameter", "Diameter at the root of the thread.", "d_r",
          kinds=_SCREWS, above=0.0),
    Field("ends", "name", "Bearings", "How the two ends are held.", default="fixed-supported",
          assumed=True, kinds=_SCREWS,
          choices=("fixed-free", "supported-supported", "fixed-supported", "fixed-fixed")),
    Field("unsupported", "length", "Unsupported length", "Longest free length, for whirling.",
          "l_w", kinds=_SCREWS, above=0.0),
    Field("buckling_length", "length", "Buckling length", "Longest length under compression.",
          "l_b", kinds=_SCREWS, above=0.0),
    Field("speed_value", "diameter-speed", "Speed value",
          "Diameter times speed that the nut bears.", "d n", kinds=_SCREWS, above=0.0),
    Field("nut_stiffness", "stiffness", "Nut stiffness", "Axial stiffness of the nut.", "k_n",
          kinds=_SCREWS, above=0.0),
    Field("bearing_stiffness", "stiffness", "Bearing stiffness",
          "Axial stiffness of the support bearings.", "k_b", kinds=_SCREWS, above=0.0),
    Field("dynamic_rating", "force", "Dynamic rating", "Dynamic load rating of the nut.", "C_a",
          kinds=("ball-screw",), above=0.0),
    Field("static_rating", "force", "Static rating", "Static load rating of the nut.", "C_0a",
          kinds=("ball-screw",), above=0.0),
    Field("mean_diameter", "length", "Mean diameter", "Mean diameter of the thread flanks.", "d_2",
          kinds=("lead-screw",), above=0.0),
    Field("flank", "angle", "Flank angle", "Angle of the flank from the normal plane.", "alpha",
          default="15 deg", kinds=("lead-screw",), least=0.0, most=1.5),
    Field("friction", "1", "Thread friction", "Friction coefficient in the thread.", "mu",
          kinds=("lead-screw",), least=0.0),
    Field("collar_friction", "1", "Collar friction", "Friction coefficient of the thrust collar.",
          "mu_c", default="0", kinds=("lead-screw",), least=0.0),
    Field("collar_diameter", "length", "Collar diameter", "Mean diameter of the thrust collar.",
          "d_c", kinds=("lead-screw",), above=0.0),
    Field("nut_area", "area", "Nut area", "Projected area of the nut's thread.", "A",
          kinds=("lead-screw",), above=0.0),
    Field("pressure_speed_limit", "pressure-speed", "Pressure times speed",
          "Limit of pressure times sliding speed of the nut.", "pv", kinds=("lead-screw",),
          above=0.0),
)

_RACK = (
    Field("diameter", "length", "Pinion pitch diameter", "Pitch diameter of the pinion.", "d",
          kinds=("rack",), above=0.0, aliases=("pitch_diameter",)),
    Field("teeth", "whole", "Pinion teeth", "Number of teeth of the pinion.", "z",
          kinds=("rack",), least=1.0, most=10000.0),
    Field("module", "length", "Module", "Module in the normal section.", "m_n", kinds=("rack",),
          above=0.0),
    Field("helix", "angle", "Helix angle", "Helix angle of the teeth.", "beta", default="0 deg",
          kinds=("rack",), least=-1.5, most=1.5),
    Field("pressure_angle", "angle", "Pressure angle", "Pressure angle in the normal section.",
          "alpha_n", default="20 deg", kinds=("rack",), least=0.0, most=1.5),
    Field("traction", "table", "Traction", "For a driven wheel instead of a rack.",
          of="traction", kinds=("rack", "conveyor")),
)

_BELT = (
    Field("diameter", "length", "Pulley pitch diameter", "Pitch diameter of the driving pulley.",
          "d", kinds=("belt",), above=0.0, aliases=("pitch_diameter",)),
    Field("teeth", "whole", "Pulley teeth", "Number of teeth of the driving pulley.", "z",
          kinds=("belt",), least=1.0, most=10000.0),
    Field("pitch", "length", "Pitch", "Pitch of belt or chain.", "p", kinds=("belt",), above=0.0),
    Field("element", "name", "Element", "Toothed belt or chain; tell a chain by teeth and pitch.",
          default="belt", choices=("belt", "chain"), kinds=("belt",)),
    Field("layout", "name", "Layout", "How the belt runs.", default="loop",
          choices=("loop", "omega", "reeved"), kinds=("belt",)),
    Field("belt_mass", "mass per length", "Belt mass", "Mass of the belt for its length.", "m'",
          kinds=("belt",), least=0.0),
    Field("belt_length", "length", "Belt length", "Length of the whole belt.", "l",
          kinds=("belt",), above=0.0),
    Field("rollers", "tables", "Rollers", "Idlers that turn with the belt.", of="roller",
          kinds=_BELTS),
    Field("belt_stiffness", "force", "Belt stiffness",
          "Force that would stretch the belt to twice its length.", "EA", kinds=("belt",),
          above=0.0),
    Field("branches", "length", "Free branches", "Pulley to carriage on either side.", "l_1, l_2",
          kinds=("belt",), count=(2, 2), above=0.0),
    Field("pretension", "force", "Pretension", "Force in one branch at rest.", "F_p",
          kinds=_BELTS, least=0.0),
    Field("tooth_limit", "force", "Tooth limit", "Force that one tooth in mesh bears.", "F_z",
          kinds=("belt",), above=0.0),
    Field("force_limit", "force", "Force limit", "Force that the part bears.", "F_max",
          kinds=("belt", "rack"), above=0.0),
)

_CONVEYOR = (
    Field("diameter", "length", "Drum diameter", "Diameter of the driving drum.", "D",
          kinds=("conveyor",), required=True, above=0.0),
    Field("thickness", "length", "Belt thickness", "Thickness of the belt.", "t", default="0 mm",
          kinds=("conveyor",), least=0.0),
    Field("bed", "name", "Bed", "What carries the belt.", default="slider",
          choices=("slider", "roller"), kinds=("conveyor",)),
    Field("friction", "1", "Bed friction", "Friction coefficient of belt on bed.", "mu",
          kinds=("conveyor",), required=True, least=0.0),
    Field("return_friction", "1", "Return friction", "Friction coefficient of the return side.",
          "mu_r", kinds=("conveyor",), least=0.0),
    Field("belt_mass", "mass", "Belt mass", "Mass of the belt on the carrying side.", "m_b",
          default="0 kg", kinds=("conveyor",), least=0.0),
    Field("return_mass", "mass", "Return mass", "Mass of the belt on the return side.", "m_r",
          default="0 kg", kinds=("conveyor",), least=0.0),
    Field("held", "mass", "Held goods", "Part of the goods held back by a stop.", "m_h",
          default="0 kg", kinds=("conveyor",), least=0.0),
    Field("goods_friction", "1", "Goods friction", "Friction coefficient of goods on the belt.",
          "mu_g", kinds=("conveyor",), least=0.0),
    Field("feed", "mass flow", "Feed", "Goods that arrive per time.", "m'", kinds=("conveyor",),
          least=0.0),
    Field("feed_speed", "speed", "Feed speed", "Speed along the belt with which they arrive.",
          "v_0", default="0 m/s", kinds=("conveyor",)),
)

_TABLE = (
    Field("tilt", "angle", "Tilt", "Axis of rotation from the vertical.", "gamma",
          default="0 deg", kinds=("rotary-table",), least=0.0, most=3.1416),
    Field("tilt", "angle", "Tilt", "Axis of rotation from the vertical.", "gamma",
          default="90 deg", kinds=("swing-arm",), least=0.0, most=3.1416),
    Field("friction", "1", "Bearing friction", "Friction coefficient of the bearing.", "mu",
          kinds=_TABLES, least=0.0),
    Field("bearing_diameter", "length", "Bearing diameter", "Mean diameter of the bearing.", "d_m",
          kinds=_TABLES, above=0.0),
    Field("tilting_moment", "torque", "Tilting moment", "Moment that tilts the bearing.", "M",
          default="0 N*m", kinds=_TABLES, least=0.0),
)

_HOIST = (
    Field("diameter", "length", "Drum diameter", "Drum to the centre of the rope, all layers.",
          "D", kinds=("hoist",), required=True, above=0.0),
    Field("parts", "whole", "Rope parts", "Ropes that carry the load.", "n", default="1",
          kinds=("hoist",), least=1.0, most=100.0),
    Field("sheave_efficiency", "1", "Sheave efficiency", "Efficiency of one sheave.", "E",
          kinds=("hoist",), least=0.5, most=1.0),
    Field("rope_mass", "mass per length", "Rope mass", "Mass of the rope for its length.", "m'",
          kinds=("hoist",), least=0.0),
    Field("rope_length", "length", "Rope length", "Rope hanging at travel 0, all parts together.",
          "l", kinds=("hoist",), least=0.0),
)

_DIRECT = (
    Field("magnet_force", "force", "Magnet force", "Attraction that adds to the normal force.",
          "F_m", default="0 N", kinds=("direct",), least=0.0),
)

MECHANISM = ranged(Section(
    "mechanism",
    "Mechanism",
    "What turns rotation into travel.",
    (*_EVERY, *_SCREW, *_RACK, *_BELT, *_CONVEYOR, *_TABLE, *_HOIST, *LINKAGES, *PROCESSES,
     *_DIRECT),
    selector="kind",
))

TITLES: dict[str, str] = {
    "ball-screw": "Ball screw",
    "lead-screw": "Lead screw",
    "rack": "Rack and pinion",
    "belt": "Belt drive",
    "conveyor": "Conveyor",
    "hoist": "Hoist",
    "rotary-table": "Rotary table",
    "swing-arm": "Swing arm",
    "winder": "Winder",
    "feed-rolls": "Feed rolls",
    "slider-crank": "Slider-crank",
    "scotch-yoke": "Scotch yoke",
    "toggle": "Toggle",
    "four-bar": "Four-bar linkage",
    "cam": "Cam",
    "ratio-table": "Ratio table",
    "rotary-load": "Driven load",
    "direct": "Direct drive",
}
"""Headings for people."""
