"""Fields of ``[[stage]]`` and ``[[balance]]``."""

from __future__ import annotations

from dutyline.axis.forms import STAGES, Field, Section
from dutyline.axis.typical import ranged

# One field in two lines reads better than in ten.
# fmt: off

_GEARS = ("reduction", "right-angle")
_BY_TEETH = (*_GEARS, "belt-reduction")
_EFFICIENCY = {"reduction": "0.97", "right-angle": "0.95", "belt-reduction": "0.96"}
_SPRINGS = ("spring", "gas-spring", "pneumatic")

STAGE_TITLES: dict[str, str] = {
    "reduction": "Reduction",
    "right-angle": "Right-angle stage",
    "belt-reduction": "Belt reduction",
    "worm": "Worm gear",
    "coupling": "Coupling",
    "shaft": "Shaft",
}


def _efficiency() -> tuple[Field, ...]:
    meaning = "Share of power left from motor to load."
    gears = tuple(
        Field("efficiency", "efficiency", "Efficiency", meaning, "eta", default=value,
              assumed=True, kinds=(kind,), above=0.0, most=1.0)
        for kind, value in _EFFICIENCY.items()
    )
    worm = Field("efficiency", "efficiency", "Efficiency", meaning, "eta", kinds=("worm",),
                 above=0.0, most=1.0)
    rigid = Field("efficiency", "efficiency", "Efficiency", meaning, "eta", default="1",
                  kinds=("coupling", "shaft"), above=0.0, most=1.0)
    return (*gears, worm, rigid)


STAGE = ranged(Section(
    "stage",
    "Stage",
    "Parts between mechanism and gearhead, from the mechanism towards the motor.",
    (
        Field("kind", "name", "Kind", "What the part is.", required=True, choices=STAGES,
              aliases=("type",)),
        Field("name", "text", "Name", "Your own name; it becomes the address of the stage."),
        Field("ratio", "fraction", "Ratio", "Speed in over speed out; negative reverses.", "i",
              kinds=("reduction", "right-angle", "belt-reduction", "worm"),
              aliases=("gear_ratio",)),
        Field("ratio", "fraction", "Ratio", "Speed in over speed out; negative reverses.", "i",
              default="1", kinds=("coupling", "shaft"), aliases=("gear_ratio",)),
        *_efficiency(),
        Field("efficiency_back", "1", "Efficiency backwards",
              "Share of power left from load to motor; zero or less is self-locking.", "eta_b",
              most=1.0, aliases=("back_efficiency", "backdriving_efficiency")),
        Field("inertia", "inertia", "Inertia", "Inertia on its motor side.", "J",
              default="0 kg*m^2", least=0.0, kinds=("reduction", "right-angle", "belt-reduction",
                                                     "worm", "coupling")),
        Field("inertia", "inertia", "Inertia", "Inertia on its motor side, besides its geometry.",
              "J", least=0.0, kinds=("shaft",)),
        Field("inertia_out", "inertia", "Inertia out", "Inertia on its load side.", "J_out",
              default="0 kg*m^2", least=0.0),
        Field("body", "tables", "Bodies", "Simple solids on its motor side.", of="body",
              aliases=("bodies",)),
        Field("material", "name", "Material", "Material of what the geometry gives.",
              default="steel", kinds=("shaft",),
              choices=("steel", "stainless-steel", "cast-iron", "aluminium", "brass", "bronze",
                       "plastic")),
        Field("drag", "torque", "Drag torque", "No-load torque on its motor side.", "T_d",
              default="0 N*m", least=0.0),
        Field("drag_out", "torque", "Drag torque out", "No-load torque on its load side.", "T_d2",
              default="0 N*m", least=0.0),
        Field("viscous", "angular viscous", "Viscous drag", "Drag per speed on its motor side.",
              "b", default="0", least=0.0),
        Field("viscous_out", "angular viscous", "Viscous drag out",
              "Drag per speed on its load side.", "b_2", default="0", least=0.0),
        Field("stiffness", "angular stiffness", "Stiffness", "Torsional stiffness at its output.",
              "k", above=0.0),
        Field("backlash", "angle", "Backlash", "Full width of the play at its output.", "b",
              default="0 deg", least=0.0),
        Field("torque_limit", "torque", "Torque limit", "Lasting torque at its output.", "T_max",
              above=0.0),
        Field("peak_torque_limit", "torque", "Peak torque limit", "Peak torque at its output.",
              "T_pk", above=0.0),
        Field("speed_limit", "angular speed", "Speed limit", "Speed at its input.", "n_max",
              above=0.0),
        Field("teeth", "1", "Teeth", "Teeth of the wheels, in and out.", "z_1, z_2",
              kinds=_BY_TEETH, count=(2, 2), least=1.0),
        Field("diameters", "length", "Diameters", "Diameters of the wheels, in and out.",
              "d_1, d_2", kinds=_BY_TEETH, count=(2, 2), above=0.0),
        Field("traction", "table", "Traction", "For a friction wheel.", of="traction",
              kinds=("reduction",)),
        Field("pitch", "length", "Pitch", "Pitch of belt or chain.", "p",
              kinds=("belt-reduction",), above=0.0),
        Field("element", "name", "Element", "Toothed belt or chain.", default="belt",
              choices=("belt", "chain"), kinds=("belt-reduction",)),
        Field("belt_mass", "mass per length", "Belt mass", "Mass of the belt for its length.",
              "m'", kinds=("belt-reduction",), least=0.0),
        Field("centre_distance", "length", "Centre distance", "Between the two shafts.", "a",
              kinds=("belt-reduction",), above=0.0, aliases=("center_distance",)),
        Field("pretension", "force", "Pretension", "Force in one branch at rest.", "F_p",
              kinds=("belt-reduction",), least=0.0),
        Field("belt_stiffness", "force", "Belt stiffness",
              "Force that would stretch the belt to twice its length.", "EA",
              kinds=("belt-reduction",), above=0.0),
        Field("force_limit", "force", "Force limit", "Force that the belt bears.", "F_max",
              kinds=("belt-reduction",), above=0.0),
        Field("tooth_limit", "force", "Tooth limit", "Force that one tooth in mesh bears.", "F_z",
              kinds=("belt-reduction",), above=0.0),
        Field("lead_angle", "angle", "Lead angle", "Lead angle of the worm.", "gamma",
              kinds=("worm",), above=0.0, most=1.5),
        Field("friction", "1", "Friction", "Friction coefficient of the flanks.", "mu",
              kinds=("worm",), least=0.0),
        Field("hub_force", "force", "Hub force", "Normal force of the clamped hub.", "F_N",
              kinds=("coupling",), above=0.0),
        Field("hub_friction", "1", "Hub friction", "Friction coefficient of hub on shaft.", "mu",
              kinds=("coupling",), above=0.0),
        Field("bore", "length", "Bore", "Diameter of the hub's bore.", "d", kinds=("coupling",),
              above=0.0),
        Field("key", "length", "Key", "Width, height and length of the key; round ends are taken "
              "off its length.", "b, h, l", kinds=("coupling",), count=(3, 3), above=0.0),
        Field("key_limit", "pressure", "Key pressure", "Pressure that the weakest of key, shaft "
              "and hub bears.", "p", kinds=("coupling",), above=0.0),
        Field("diameter", "length", "Diameter", "Outside diameter of the shaft.", "d",
              kinds=("shaft",), above=0.0),
        Field("bore", "length", "Bore", "Bore of a hollow shaft.", "d_i", default="0 mm",
              kinds=("shaft",), least=0.0),
        Field("length", "length", "Length", "Length of the shaft.", "l", kinds=("shaft",),
              above=0.0),
        Field("overhang", "length", "Overhang", "Force to the front bearing.", "x",
              kinds=("shaft",), least=0.0),
        Field("overhang", "length", "Overhang",
              "Belt or teeth to the shoulder of the shaft on its motor side.", "x",
              kinds=("belt-reduction", "reduction"), least=0.0),
        Field("bearing_span", "length", "Bearing span", "Between the two bearings.", "s",
              kinds=("shaft",), above=0.0),
        Field("bearing_ratings", "force", "Bearing ratings",
              "Dynamic ratings of the front and of the rear bearing.", "C_1, C_2",
              kinds=("shaft",), count=(2, 2), above=0.0),
        Field("bearing_kind", "name", "Bearings", "Balls or rollers.", default="ball",
              choices=("ball", "roller"), kinds=("shaft",)),
    ),
    many=True,
    selector="kind",
))

BRANCH = Section(
    "branch",
    "Branch",
    "Another load on the same output shaft, with its own way of losing power. It moves with the "
    "shaft; payloads and forces of the phases are those of the main load.",
    (
        Field("name", "text", "Name", "Your own name; it becomes the address of the branch.",
              required=True),
        Field("load", "table", "Load", "What the branch moves, as [load].", of="load"),
        Field("mechanism", "table", "Mechanism", "What moves it, as [mechanism].",
              of="mechanism"),
        Field("stage", "tables", "Stages", "From its mechanism to the shaft, as [[stage]].",
              of="stage", aliases=("stages",)),
        Field("balance", "tables", "Balances", "What helps to carry its load, as [[balance]].",
              of="balance", aliases=("balances",)),
    ),
    many=True,
)
"""Its tables are read as the sections of the same name."""

TANDEM = ranged(Section(
    "tandem",
    "Tandem",
    "Several equal motors on one load; the most loaded one is judged. Mechanism and stages are "
    "those of one motor.",
    (
        Field("motors", "whole", "Motors", "How many motors move the load together.",
              required=True, least=2.0, most=100.0),
        Field("share", "1", "Share of the most loaded motor",
              "Part of the load that the most loaded motor carries.", "s",
              above=0.0, most=1.0),
        Field("preload", "torque", "Preload", "Torque with which the motors work against each "
              "other, at the output shaft; judged with both signs.", "T_p", default="0 N*m"),
    ),
))

BALANCE = ranged(Section(
    "balance",
    "Balance",
    "What helps to carry the load.",
    (
        Field("kind", "name", "Kind", "What it is.", required=True,
              choices=("counterweight", *_SPRINGS), aliases=("type",)),
        Field("name", "text", "Name", "Your own name; it becomes the address of the balance."),
        Field("mass", "mass", "Mass", "Mass of the counterweight.", "m_c", required=True,
              kinds=("counterweight",), above=0.0),
        Field("mass", "mass", "Mass", "Mass that moves along.", "m", default="0 kg",
              kinds=_SPRINGS, least=0.0),
        Field("ratio", "fraction", "Ratio", "Its travel per travel of the load, opposite.", "i",
              default="1", kinds=("counterweight",), above=0.0),
        Field("efficiency", "1", "Efficiency", "Share of power left from shaft to counterweight.",
              "eta", default="1", kinds=("counterweight",), above=0.0, most=1.0),
        Field("efficiency_back", "1", "Efficiency backwards",
              "Share of power left from counterweight to shaft.", "eta_b",
              kinds=("counterweight",), most=1.0),
        Field("force", "effort", "Relief", "Relief at travel 0.", "F_0", required=True,
              kinds=_SPRINGS),
        Field("force_end", "effort", "Relief at the end", "Relief at the end of the travel.",
              "F_1", kinds=_SPRINGS),
        Field("hysteresis", "1", "Hysteresis", "Half width of the loop over the force.", "h",
              default="0.05", assumed=True, kinds=("gas-spring", "pneumatic"), least=0.0,
              most=1.0),
        Field("hysteresis", "1", "Hysteresis", "Half width of the loop over the force.", "h",
              default="0", kinds=("spring",), least=0.0, most=1.0),
        Field("lost", "flag", "May be lost", "Whether to judge the brake with the balance gone.",
              default="no"),
    ),
    many=True,
    selector="kind",
))
