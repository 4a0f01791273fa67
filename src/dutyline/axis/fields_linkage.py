"""Fields of ``[mechanism]`` for cranks, toggles, linkages, cams and tables of a ratio."""

from __future__ import annotations

from dutyline.axis.forms import Field, Section

# One field in two lines reads better than in ten.
# fmt: off

CAM_LAWS = ("cubic", "quintic", "septic", "simple-sine", "cycloid", "modified-trapezoid",
            "modified-sine", "gutman")
_SWITCHED = ("slider-crank", "scotch-yoke", "toggle", "four-bar", "ratio-table")
_CRANKED = ("slider-crank", "scotch-yoke", "four-bar")

CAM_SECTION = Section(
    "section",
    "Section of a cam",
    "One part of the turn of a cam, in order of angle; together they make 360 deg.",
    (
        Field("angle", "angle", "Angle", "How far the cam turns.", "phi", required=True,
              above=0.0),
        Field("lift", "length", "Lift", "Change of the lift, + outward; 0 is a dwell.", "h",
              default="0 mm"),
        Field("law", "name", "Law", "Shape of the change, from dwell to dwell.",
              default="modified-sine", choices=CAM_LAWS),
    ),
    nested=True,
)

LINKAGES = (
    Field("motion", "name", "Motion stated", "What the phases state: the input or the load.",
          default="input", choices=("input", "load"), kinds=_SWITCHED),
    Field("crank", "length", "Crank", "Axis of the crank to the crank pin.", "r",
          kinds=_CRANKED, required=True, above=0.0),
    Field("start_angle", "angle", "Start angle",
          "Crank at the start of the cycle; 0 deg holds the load farthest from the crank.", "q_0",
          default="0 deg", kinds=("slider-crank", "scotch-yoke"), least=-7.0, most=7.0),
    Field("start_angle", "angle", "Start angle", "Crank from the ground line at the start.", "q_0",
          default="0 deg", kinds=("four-bar",), least=-7.0, most=7.0),
    Field("start_angle", "angle", "Start angle", "Link from the straight line at the start.",
          "beta_0", default="0 deg", kinds=("toggle",), least=-1.5533, most=1.5533),
    Field("rod", "length", "Rod", "Crank pin to slider pin.", "l", kinds=("slider-crank",),
          required=True, above=0.0),
    Field("offset", "length", "Offset",
          "Line of the slider from the axis of the crank, where the crank pin is at 270 deg.",
          "e", default="0 mm", kinds=("slider-crank",)),
    Field("rod_mass", "mass", "Rod mass", "Mass of the rod.", "m_r", default="0 kg",
          kinds=("slider-crank",), least=0.0),
    Field("rod_cg", "length", "Rod centre", "Crank pin to the centre of mass of the rod.", "c",
          default="0 mm", kinds=("slider-crank",)),
    Field("rod_inertia", "inertia", "Rod inertia", "Rod about its own centre of mass.", "J_r",
          default="0 kg*m^2", kinds=("slider-crank",), least=0.0),
    Field("link", "length", "Link", "Length of one of the two equal links.", "l",
          kinds=("toggle",), required=True, above=0.0),
    Field("lead", "lead", "Lead", "Travel of the knee for one turn of its screw.", "P_h",
          kinds=("toggle",), required=True, above=0.0),
    Field("diameter", "length", "Knee screw", "Nominal diameter of the screw at the knee.", "d",
          kinds=("toggle",), above=0.0),
    Field("length", "length", "Knee screw length", "Length of that screw.", "l_s",
          kinds=("toggle",), above=0.0),
    Field("coupler", "length", "Coupler", "Crank pin to the pin of the rocker.", "b",
          kinds=("four-bar",), required=True, above=0.0),
    Field("rocker", "length", "Rocker", "Pin of the coupler to the pivot of the rocker.", "c",
          kinds=("four-bar",), required=True, above=0.0),
    Field("ground", "length", "Ground", "Axis of the crank to the pivot of the rocker.", "d",
          kinds=("four-bar",), required=True, above=0.0),
    Field("circuit", "name", "Circuit", "On which side of the line of sight the coupler lies.",
          default="open", choices=("open", "crossed"), kinds=("four-bar",)),
    Field("tilt", "angle", "Tilt", "Plane of motion from the level; 90 deg is upright.", "gamma",
          default="0 deg", kinds=("four-bar",), least=0.0, most=3.1416),
    Field("coupler_mass", "mass", "Coupler mass", "Mass of the coupler.", "m_b", default="0 kg",
          kinds=("four-bar",), least=0.0),
    Field("coupler_cg", "length", "Coupler centre", "Crank pin to the coupler's centre of mass.",
          "c_b", default="0 mm", kinds=("four-bar",)),
    Field("coupler_inertia", "inertia", "Coupler inertia",
          "Coupler about its own centre of mass.", "J_b", default="0 kg*m^2",
          kinds=("four-bar",), least=0.0),
    Field("sections", "tables", "Sections", "Parts of one turn with their lift and law.",
          of="section", kinds=("cam",), required=True, aliases=("section",)),
    Field("base_diameter", "length", "Base circle", "Smallest diameter of the pitch curve.",
          "d_b", kinds=("cam",), above=0.0),
    Field("offset", "length", "Offset", "Line of the follower from the axis of the cam.", "e",
          default="0 mm", kinds=("cam",)),
    Field("spring_force", "force", "Spring force",
          "Force that presses the follower on at the start of the first section.", "F_s",
          default="0 N", kinds=("cam",), least=0.0),
    Field("spring_stiffness", "stiffness", "Spring stiffness", "Gain of that force per lift.",
          "c_s", kinds=("cam",), least=0.0),
    Field("points", "pairs", "Points", "Pairs of input and load travel, input rising.", "x(q)",
          of="angle or length|length or angle", kinds=("ratio-table",)),
    Field("file", "text", "File of points",
          "CSV file beside the axis file with the same two columns, instead of points.",
          kinds=("ratio-table",)),
    Field("input_travel", "name", "Input travel", "Whether the input turns or moves along.",
          choices=("rotary", "linear"), kinds=("ratio-table",)),
    Field("load_travel", "name", "Load travel", "Whether the load moves along or turns.",
          choices=("linear", "rotary"), kinds=("ratio-table",)),
)
