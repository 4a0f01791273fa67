"""Sections and fields of a plate file."""

from __future__ import annotations

from dutyline.axis.forms import Field, Section
from dutyline.axis.typical import ranged
from dutyline.physics.plates import CURRENT_FORMS, EMF_FORMS

FEEDBACK = ("resolver", "incremental", "absolute", "absolute multi-turn", "sine-cosine", "none")
INSULATION = ("A", "E", "B", "F", "H")
"""Thermal classes, the coolest first (IEC 60085, from memory)."""
STOPPING = ("drive ramp", "brake", "short circuit", "coasts")


def _text(name: str, label: str, meaning: str) -> Field:
    return Field(name, "text", label, meaning)


def _above(
    name: str, takes: str, label: str, meaning: str, *aliases: str, symbol: str = "",
    zero: bool = False,
) -> Field:  # fmt: skip
    return Field(
        name, takes, label, meaning, symbol, aliases=aliases,
        above=None if zero else 0.0, least=0.0 if zero else None,
    )  # fmt: skip


def _choice(name: str, label: str, meaning: str, choices: tuple[str, ...], *aliases: str) -> Field:
    return Field(name, "name", label, meaning, choices=choices, aliases=aliases)


def _count(name: str, label: str, meaning: str, *aliases: str, most: float = 2.0**31) -> Field:
    return Field(name, "whole", label, meaning, aliases=aliases, least=1.0, most=most)


_MOTOR_FIELDS = (
    _text("name", "Type", "What the plate calls the motor."),
    _above("power", "power", "Rated power", "Shaft power at the rated point.", symbol="P_N"),
    _above("torque", "torque", "Rated torque", "Torque for any length of time at rated speed.",
           "rated_torque", symbol="T_N"),
    _above("stall_torque", "torque", "Stall torque",
           "Torque for any length of time at about no speed.", symbol="T_0"),
    _above("peak_torque", "torque", "Peak torque", "Largest torque for a short time.",
           "max_torque", symbol="T_pk"),
    _above("speed", "angular-speed", "Rated speed", "Speed of the rated point.", "rated_speed",
           symbol="n_N"),
    _above("top_speed", "angular-speed", "Top speed", "Largest speed of the motor.", "max_speed",
           symbol="n_max"),
    _above("current", "current", "Rated current", "Line current at the rated torque.",
           "rated_current", symbol="I_N"),
    _above("stall_current", "current", "Stall current", "Line current at the stall torque.",
           symbol="I_0"),
    _above("peak_current", "current", "Peak current", "Line current at the peak torque.",
           "max_current", symbol="I_pk"),
    _choice("current_form", "Currents are", "Whether the currents are rms or crest values.",
            CURRENT_FORMS),
    _above("torque_constant", "torque-constant", "Torque constant", "Torque per ampere.", "kt",
           symbol="K_t"),
    _choice("torque_constant_form", "Torque constant is",
            "Whether it is per ampere rms or per ampere crest.", CURRENT_FORMS, "kt_form"),
    _above("voltage_constant", "voltage-constant", "Voltage constant", "Voltage per speed.", "ke",
           symbol="K_e"),
    _choice("voltage_constant_form", "Voltage constant is",
            "Between two terminals or of one phase, rms or crest.", EMF_FORMS, "ke_form"),
    _count("poles", "Poles", "Number of poles, twice the pole pairs.", most=400.0),
    _count("pole_pairs", "Pole pairs", "Number of pole pairs.", most=200.0),
    _above("resistance", "resistance", "Winding resistance", "Between two terminals at 20 °C.",
           symbol="R"),
    _above("inductance", "inductance", "Winding inductance", "Between two terminals.",
           symbol="L"),
    _above("inertia", "inertia", "Rotor inertia", "Of the rotor alone; GD2 may be marked so.",
           symbol="J_M"),
    _above("mass", "mass", "Mass", "Of the motor without brake.", symbol="m"),
    _above("length", "length", "Length", "From the flange to the far end."),
    _above("flange", "length", "Flange side", "Side of the square flange."),
    _above("pilot", "length", "Pilot diameter", "Diameter of the centring shoulder."),
    _above("bolt_circle", "length", "Bolt circle", "Diameter of the circle of holes."),
    _above("shaft", "length", "Shaft diameter", "Diameter of the shaft end."),
    _above("shaft_length", "length", "Shaft length", "From the flange face to the shaft end."),
    _choice("shaft_form", "Shaft form", "Smooth, or with a key.", ("smooth", "keyed")),
    _text("protection", "Protection class", "Of the housing: IP65."),
    _choice("insulation", "Insulation class", "Thermal class of the winding.", INSULATION),
    _above("mains", "voltage", "Winding voltage", "Mains voltage for which it is wound."),
    Field("phases", "phases", "Phases", "Of that mains: 1 or 3."),
    _choice("feedback", "Feedback", "Kind of the encoder.", FEEDBACK, "encoder"),
    _count("lines", "Encoder lines", "Lines per turn of an incremental encoder."),
    _count("bits", "Encoder bits", "Bits per turn of an absolute encoder.", most=40.0),
    _count("turn_bits", "Turn bits", "Bits of the turns that a multi-turn encoder counts.",
           most=40.0),
    _text("connector", "Connector", "Kind and size of power and feedback connectors."),
)  # fmt: skip

PLATE = Section(
    "plate", "Plate", "What the file is about and for whom.",
    (
        Field("title", "text", "Title", "One line: the machine and the motor.", required=True),
        _text("project", "Project", "Project or machine."),
        _text("customer", "Customer", "Who asked."),
        _text("author", "Author", "Who answers."),
        _text("enquiry", "Enquiry", "The words of the customer."),
        _text("note", "Note", "Anything else."),
        Field("units", "name", "Units", "Units of results.", default="si",
              choices=("si", "inch")),
        Field("decimal", "name", "Decimal mark", "Of results.", default="point",
              choices=("point", "comma")),
    ),
)  # fmt: skip

MOTOR = Section("motor", "Old motor", "What its plate and papers say.", _MOTOR_FIELDS)

OFFER = Section(
    "offer", "Offered motor", "A motor that somebody offers, judged beside those of the line.",
    _MOTOR_FIELDS, many=True,
)  # fmt: skip

BRAKE = Section(
    "brake", "Old brake", "The holding brake in the old motor.",
    (
        Field("fitted", "flag", "Fitted", "Whether there is one.", default="yes"),
        _above("torque", "torque", "Holding torque", "Static torque of the brake."),
        _above("voltage", "voltage", "Coil voltage", "Of the coil."),
        _above("release_time", "time", "Release time", "Coil on to free.", zero=True),
        _above("engage_time", "time", "Engage time", "Coil off to torque.", zero=True),
        _above("inertia", "inertia", "Brake inertia", "What it adds to the rotor.", zero=True),
    ),
)  # fmt: skip

GEARHEAD = ranged(Section(
    "gearhead", "Old gearhead", "The gearhead on the old motor.",
    (
        _text("name", "Type", "What its plate calls it."),
        Field("ratio", "fraction", "Ratio", "Motor turns per output turn, exact: \"91/9\".", "i",
              above=0.0, required=True),
        _above("torque", "torque", "Rated torque", "At the output, for its life.",
               "rated_torque"),
        _above("acceleration_torque", "torque", "Acceleration torque",
               "At the output, allowed in every cycle."),
        _above("emergency_torque", "torque", "Emergency torque", "At the output, seldom allowed."),
        Field("efficiency", "number", "Efficiency", "At full load.", above=0.0, most=1.0),
        _above("speed", "angular-speed", "Input speed", "Largest speed of its input.",
               "max_speed"),
        _above("flange", "length", "Input flange", "Side of the motor flange that it takes."),
        _above("pilot", "length", "Input pilot", "Pilot diameter that it takes."),
        _above("bolt_circle", "length", "Input bolt circle", "Bolt circle that it takes."),
        _above("shaft", "length", "Input bore", "Largest motor shaft that it takes."),
        _above("backlash", "angle", "Backlash", "At the output.", zero=True),
        _above("inertia", "inertia", "Inertia", "At its input.", zero=True),
        _above("no_load_torque", "torque", "No-load torque", "At its input, warm.", zero=True),
        _above("stiffness", "torsional-stiffness", "Stiffness", "At its output."),
        _above("mean_speed", "angular-speed", "Mean input speed", "Permitted mean of its input."),
        _above("output_speed", "angular-speed", "Rated output speed", "Of its rated life."),
        _above("life", "time", "Rated life", "At rated torque and rated output speed."),
        _count("emergency_count", "Emergency stops", "How often the emergency torque may act."),
        _text("protection", "Protection class", "Of its housing: IP65."),
    ),
))  # fmt: skip

DRIVE = Section(
    "drive", "Old drive", "The drive of the old motor.",
    (
        _text("name", "Type", "What its plate calls it."),
        _above("current", "current", "Rated current", "Output, rms."),
        _above("peak_current", "current", "Peak current", "Output, rms."),
        Field("feedback", "names", "Feedback", "Kinds of feedback that it reads."),
        _above("brake_voltage", "voltage", "Brake supply", "Voltage for the brake coil."),
    ),
)  # fmt: skip

KEEP = Section(
    "keep", "What stays", "What must stay as it is, and what the motor is used for.",
    (
        _above("mains", "voltage", "Mains", "Voltage that stays, line to line for three phases."),
        Field("phases", "phases", "Phases", "1, 3 or dc."),
        _above("bus", "voltage", "Bus voltage", "Where the bus stays rather than a mains."),
        Field("mains_low", "number", "Lowest mains", "Deviation of the lowest mains.",
              default="-10 %", least=-0.5, most=0.0),
        Field("gearhead", "flag", "Gearhead stays", "Whether the old gearhead is kept.",
              default="yes"),
        Field("drive", "flag", "Drive stays", "Whether the old drive is kept.", default="no"),
        Field("adapter", "flag", "Adapter", "Whether an adapter between flanges is allowed.",
              default="no"),
        _above("load_inertia", "inertia", "Load inertia",
               "At the motor shaft, gearhead and load, without the rotor.", symbol="J_L"),
        _above("top_speed", "angular-speed", "Speed in use",
               "Largest motor speed that the machine uses."),
        Field("gravity", "flag", "Gravity", "Whether gravity moves the load when it is free."),
        _choice("stopped_by", "Stopped by", "How the axis is stopped in an emergency.", STOPPING),
    ),
)  # fmt: skip

TRACE = Section(
    "trace", "Measured trace", "Columns of the measured file and what they mean.",
    (
        Field("time", "text", "Time column", "Its head, or its number.", required=True),
        Field("time_unit", "text", "Unit of time", "s or ms.", default="s"),
        Field("speed", "text", "Speed column", "Its head, or its number.", required=True),
        Field("speed_unit", "text", "Unit of speed", "r/min or rad/s; % with speed_full.",
              default="r/min"),
        _above("speed_full", "angular-speed", "Speed at 100 %", "What 100 % of speed means."),
        _text("torque", "Torque column", "Its head, or its number."),
        Field("torque_unit", "text", "Unit of torque", "N*m; % with torque_full.",
              default="N*m"),
        _above("torque_full", "torque", "Torque at 100 %", "What 100 % of torque means."),
        _text("current", "Current column", "Its head, or its number."),
        Field("current_unit", "text", "Unit of current", "A; % with current_full.", default="A"),
        _above("current_full", "current", "Current at 100 %", "What 100 % of current means."),
        _choice("current_form", "Current is", "Torque-forming current, rms or crest.",
                CURRENT_FORMS),
        _choice("decimal", "Decimal mark", "Of the file, where its cells leave it open.",
                ("point", "comma")),
        _above("filter", "frequency", "Filter",
               "Low pass before the speed is differentiated; else a fifth of the sampling rate "
               "at most."),
    ),
)  # fmt: skip

SECTIONS: dict[str, Section] = {
    s.name: s for s in (PLATE, MOTOR, BRAKE, GEARHEAD, DRIVE, KEEP, OFFER, TRACE)
}
"""Sections by name, in the order of writing."""
