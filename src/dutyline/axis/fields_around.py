"""Fields of everything around the axis: duty, stop, site, wishes, reserves and the search."""

from __future__ import annotations

from dutyline.axis.forms import Field, Section
from dutyline.axis.typical import ranged

# One field in two lines reads better than in ten.
# fmt: off

DUTY = ranged(Section(
    "duty",
    "Duty",
    "How often and how long the axis works.",
    (
        Field("cycle", "time", "Cycle time", "Time of one whole cycle.", "T_c", above=0.0,
              aliases=("cycle_time",)),
        Field("rate", "rate", "Rate", "Whole cycles per time.", "f", above=0.0),
        Field("hours", "time", "Hours a day", "Working time of a day.", default="16 h",
              assumed=True, above=0.0, most=86400.0),
        Field("days", "1", "Days a year", "Working days of a year.", default="250",
              assumed=True, above=0.0, most=366.0),
        Field("years", "1", "Years", "Years of service.", default="8", assumed=True, above=0.0),
        Field("stops", "1", "Emergency stops a year", "Emergency stops of a year.",
              default="100", assumed=True, least=0.0),
    ),
))

STOP = ranged(Section(
    "stop",
    "Brake and stopping",
    "Facts about the brake and about stopping.",
    (
        Field("free_distance", "travel", "Free distance",
              "Behind the end of travel; one for both ends, or [at -, at +].", "s_f",
              count=(1, 2), least=0.0),
        Field("reaction", "time", "Reaction", "Added to the closing time of the brake.", "t_r",
              default="0 s", least=0.0),
        Field("gap", "time", "Gap", "At rest without torque and without brake.", "t_g",
              least=0.0),
        Field("drop", "travel", "Drop allowed", "How far the load may sink meanwhile.", "s_d",
              above=0.0),
        Field("coil", "name", "Brake coil", "What quenches the coil when switched off.",
              default="varistor", choices=("varistor", "diode")),
    ),
))

SITE = ranged(Section(
    "site",
    "Site and wishes",
    "Mains, surroundings, people.",
    (
        Field("mains", "voltage", "Mains", "Voltage between the phases, or of the dc supply.",
              "U", required=True, above=0.0, aliases=("voltage", "supply")),
        Field("phases", "phases", "Phases", "1, 3 or dc.", required=True),
        Field("mains_low", "1", "Mains, lowest", "Deviation downwards.", default="-10 %",
              assumed=True, least=-0.5, most=0.0),
        Field("mains_high", "1", "Mains, highest", "Deviation upwards.", default="10 %",
              assumed=True, least=0.0, most=0.5),
        Field("weak_mains", "flag", "Weak mains", "Whether the mains are known to sag.",
              default="no"),
        Field("frequency", "frequency", "Mains frequency", "Frequency of the mains.", "f",
              default="50 Hz", assumed=True, above=0.0, used=False),
        Field("ambient", "temperature", "Ambient", "Temperature of the air at the motor.",
              "theta_a", default="40 degC", assumed=True, least=-60.0, most=200.0),
        Field("altitude", "length", "Altitude", "Height above the sea.", "h", default="1000 m",
              assumed=True, least=-500.0, most=9000.0),
        Field("plate", "area", "Mounting plate",
              "Area of the plate that carries the motor; else that of the motor's test.",
              above=0.0),
        Field("enclosed", "flag", "Enclosed", "Whether the motor sits in an enclosure.",
              default="no", assumed=True),
        Field("protection", "text", "Protection", "Protection class needed.", default="IP54",
              assumed=True),
        Field("people_near", "flag", "People near", "Whether people may be near or beneath.",
              default="yes", assumed=True),
    ),
))

REQUIRE = ranged(Section(
    "require",
    "Site and wishes",
    "What must come out.",
    (
        Field("position", "travel", "Position tolerance", "Half width of the window allowed.",
              "delta", above=0.0),
        Field("approach", "name", "Approach", "Approached from both sides or one.",
              default="both", assumed=True, choices=("both", "one")),
        Field("settle", "time", "Settling time", "Time to settle allowed after a move.", "t_s",
              above=0.0, aliases=("settling",)),
        Field("bandwidth", "bandwidth", "Bandwidth", "Bandwidth wanted.", "f_b", above=0.0),
        Field("brake", "flag", "Brake", "Whether a holding brake is needed."),
        Field("life", "time", "Life", "Working hours wanted.", "L_h", above=0.0),
        Field("backlash", "angle", "Gearhead backlash", "Backlash of the gearhead allowed.",
              default="8 arcmin", assumed=True, above=0.0),
        Field("gearhead", "name", "Gearhead", "Whether a gearhead may be used.",
              default="allowed", assumed=True, choices=("allowed", "none", "needed")),
        Field("mass", "mass", "Motor mass", "Mass of the motor allowed.", "m", above=0.0),
        Field("envelope", "length", "Envelope", "Room for the motor.", count=(3, 3), above=0.0),
        Field("absolute", "flag", "Absolute encoder", "Whether the position survives power loss."),
        Field("encoder_bits", "whole", "Encoder bits", "Bits of the encoder per turn, at least.",
              least=1.0, most=64.0),
        Field("command", "name", "Command", "How the drive is told.", default="bus",
              assumed=True, choices=("bus", "pulse", "analogue"), aliases=("command_by",)),
        Field("unit", "travel", "Unit", "Smallest step of the command.", above=0.0),
    ),
))

CHOOSE = Section(
    "choose",
    "Search",
    "Limits of the search; names, or patterns with *.",
    (
        Field("motors", "names", "Motors", "Motors to try.", aliases=("motor",)),
        Field("gearheads", "names", "Gearheads", "Gearheads to try; none for without.",
              aliases=("gearhead",)),
        Field("drives", "names", "Drives", "Drives to try.", aliases=("drive",)),
        Field("brakes", "names", "Brakes", "Brakes to try; none for without.",
              aliases=("brake",)),
        Field("resistors", "names", "Resistors", "Braking resistors to try; none for without.",
              aliases=("resistor",)),
        Field("objective", "name", "Objective", "What makes one candidate better.",
              default="mass",
              choices=("mass", "size", "energy", "reserve", "cost", "assumptions")),
    ),
)

CONTROL = ranged(Section(
    "control",
    "Control",
    "Settings of the loops.",
    (
        Field("position_gain", "gain", "Position gain", "Gain of the position loop.", "K_v",
              above=0.0),
        Field("velocity_gain", "gain", "Velocity gain", "Bandwidth of the velocity loop.",
              above=0.0),
        Field("feed_forward", "1", "Feed forward", "Share of the speed fed forward.",
              default="0", assumed=True, least=0.0, most=1.0),
        Field("notch", "flag", "Notch", "Whether a notch filter is set.", default="no",
              assumed=True),
        Field("damping", "1", "Damping", "Damping ratio of the first resonance.",
              default="0.03", assumed=True, above=0.0, most=1.0),
    ),
))

GUIDE = ranged(Section(
    "guide",
    "Guide",
    "Data of the linear guide.",
    (
        Field("kind", "name", "Kind", "What runs in the guide.",
              choices=("ball", "roller", "slide"), aliases=("type",)),
        Field("carriages", "whole", "Carriages", "Number of carriages.", default="4", least=1.0),
        Field("spacing", "length", "Spacing", "Along and across the travel.", count=(2, 2),
              above=0.0),
        Field("dynamic_rating", "force", "Dynamic rating", "Dynamic load rating.", "C",
              above=0.0),
        Field("static_rating", "force", "Static rating", "Static load rating.", "C_0", above=0.0),
        Field("rating_travel", "length", "Rating travel", "Travel of the dynamic rating.",
              choices=("50 km", "100 km")),
        Field("seal", "force", "Seal force", "Drag of one carriage.", default="0 N", least=0.0,
              used=False),
        Field("mass_at", "length", "Mass at", "Centre of mass from the middle of the carriages.",
              count=(3, 3)),
        Field("drive_at", "length", "Drive at", "Line of the drive from that middle.",
              count=(2, 2)),
    ),
))

ACCURACY = ranged(Section(
    "accuracy",
    "Accuracy",
    "Data of the accuracy budget.",
    (
        Field("encoder_at", "name", "Encoder at", "Where the position is measured.",
              default="motor", assumed=True, choices=("motor", "load")),
        Field("encoder_error", "angle or length", "Encoder error",
              "Error of the encoder, half width.", least=0.0),
        Field("lead_error", "length", "Lead error", "Width over the travel.", least=0.0),
        Field("temperature_change", "temperature difference", "Temperature change",
              "Change of temperature of the machine."),
        Field("expansion", "expansion", "Expansion", "Coefficient of thermal expansion.",
              default="11.5e-6 /K"),
        Field("length", "length", "Length", "Length that grows.", above=0.0),
        Field("abbe_angle", "angle", "Tilt of the guide", "Angle error of the guide."),
        Field("abbe_offset", "length", "Offset", "Tool from the line of the encoder."),
        Field("hysteresis", "travel", "Hysteresis", "Hysteresis at the load.", least=0.0),
        Field("scatter", "travel", "Scatter", "Standard deviations of random parts.",
              count=(1, 50), least=0.0),
    ),
))

CABLE = ranged(Section(
    "cable",
    "Cable",
    "Cable between drive and motor.",
    (
        Field("length", "length", "Length", "Length of the cable.", default="5 m", assumed=True,
              least=0.0, used=False),
        Field("section", "area", "Section", "Cross section of one conductor.", above=0.0),
        Field("moving", "flag", "Moving", "Whether the cable moves.", default="no", used=False),
        Field("bend_radius", "length", "Bend radius", "Radius of the cable chain.", above=0.0,
              used=False),
    ),
))

CABINET = ranged(Section(
    "cabinet",
    "Cabinet",
    "Electrical surroundings.",
    (
        Field("axes", "whole", "Axes", "Axes in the cabinet.", default="1", least=1.0),
        Field("surface", "area", "Surface", "Surface that gives off heat.", above=0.0),
        Field("fan", "conductance", "Fan", "Heat carried away per kelvin.",
              default="0 W/K", least=0.0),
        Field("other_loss", "power", "Other losses", "Heat of everything else.",
              default="0 W", least=0.0),
        Field("power_factor", "1", "Power factor", "Power factor of the supply.", above=0.0,
              most=1.0),
        Field("fuse", "current", "Fuse", "Rating of the protective device.", above=0.0),
        Field("let_through", "let-through", "Let-through",
              "Energy (I2t) up to which the protective device does not switch off.", above=0.0),
        Field("conductor", "area", "Conductor", "Cross section of the feeding conductor.",
              above=0.0),
        Field("method", "name", "Method", "How the feeding cable is laid.",
              choices=("B1", "B2", "C", "E")),
        Field("feed_length", "length", "Feed length", "Length of the feeding cable.", least=0.0),
        Field("shared_bus", "flag", "Shared bus", "Whether the drives share one dc bus.",
              default="no"),
        Field("bus_supply", "power", "Bus supply",
              "Peak power of the supply that feeds the shared bus.", above=0.0),
        Field("other_power", "power", "Other power",
              "Peak power of the other axes on the shared bus, at the same instant.",
              default="0 W", least=0.0),
    ),
))

RESERVES: tuple[str, ...] = (
    "peak-torque", "continuous-use", "continuous-use-plain", "winding-temperature",
    "standstill-torque", "thermal-runaway", "top-speed", "speed-on-low-mains",
    "overload-accumulated", "overload-single", "drive-continuous-current", "drive-peak-current",
    "drive-low-frequency", "inertia-ratio", "first-resonance", "settling", "friction-windup",
    "encoder-resolution", "backlash-lost-motion", "command-frequency", "gear-ratio-registers",
    "absolute-range", "gear-peak", "gear-equivalent", "gear-life", "gear-mean-speed",
    "gear-max-speed", "gear-emergency", "gear-radial", "gear-axial", "gear-tilting",
    "gear-thermal", "gear-torque-limit-set", "motor-shaft-load", "brake-hold",
    "brake-stop-distance", "brake-stop-energy", "brake-life", "brake-drop", "brake-gear-load",
    "brake-speed", "bus-stop", "short-circuit-stop", "gravity-without-brake",
    "gravity-safety-caution", "regen-capacitor", "resistor-mean", "resistor-peak",
    "resistor-pulse", "resistor-minimum", "bus-supply-peak", "supply-match", "mains-current",
    "protective-device", "conductor", "voltage-drop", "cabinet-heat", "ambient-altitude",
    "protection-class", "fit", "mass-limit", "data-quality", "assumed-inputs", "yearly-energy",
    "inrush", "stop-distance", "accuracy", "screw-critical-speed", "screw-speed-value",
    "nut-pressure-speed", "screw-buckling", "screw-static", "screw-life", "guide-static",
    "guide-life", "belt-force", "belt-teeth", "belt-slack", "pinion-force", "coupling-torque",
    "hub-slip", "key-pressure", "bearing-life", "traction", "follower-contact", "shaft-stop-load",
    "cam-pressure-angle",
)
"""Ids of all checks, each of which may be given a required reserve."""

RESERVE = Section(
    "reserve",
    "Reserves",
    "The one place for margin: required reserve of a check by its id.",
    tuple(
        Field(check, "1", check.replace("-", " ").capitalize(),
              f"Required reserve of the check {check}.", least=0.0, most=0.999)
        for check in RESERVES
    ),
)
