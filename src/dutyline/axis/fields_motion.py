"""Fields of ``[[phase]]`` and ``[[force]]``."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from dutyline.axis.forms import DOES, Field, Section
from dutyline.axis.typical import ranged
from dutyline.motion.follow import TOOLS
from dutyline.motion.specs import FITS, LAWS

# One field in two lines reads better than in ten.
# fmt: off

HOLDS = ("ideal", "worst", "credit", "brake", "off")
_IN_CYCLE = tuple(do for do in DOES if do != "stop")
"""Phases of the cycle; a stop takes payloads and forces from where it starts."""
_SHARE = "Ramp length as share of the time of the move."

_PUSH = ("force", "torque")
"""What a constant load of a phase is, by the travel of the load."""

PHASE = ranged(Section(
    "phase",
    "Motion",
    "One phase of the cycle, in order of time.",
    (
        Field("do", "name", "Does", "What the axis does.", required=True,
              choices=DOES, aliases=("kind", "type")),
        Field("name", "text", "Name", "Your own name; it becomes the address of the phase."),
        Field("carry", "names", "Payloads on board", "Payloads carried in this phase.",
              kinds=_IN_CYCLE, aliases=("carries",)),
        Field("force", "effort", "Force",
              "Constant load, + when it has to be overcome in + travel.", "F",
              default="0", kinds=_IN_CYCLE, aliases=("torque",)),
        Field("hold", "name", "Standstill", "What holds the load where the phase stands still.",
              default="ideal", kinds=_IN_CYCLE, choices=HOLDS),
        Field("by", "travel", "Distance", "Signed distance of the phase.", "h",
              kinds=("move", "run", "follow"), aliases=("distance", "stroke")),
        Field("to", "travel", "Place", "Place counted from the start of the cycle.", "x",
              kinds=("move", "run", "follow")),
        Field("time", "time", "Time", "Whole move or dwell; of a run the constant part.", "t",
              above=0.0, aliases=("duration",), kinds=("move", "dwell")),
        Field("time", "time", "Time", "Whole table, where the leader's speed is not stated.", "t",
              above=0.0, aliases=("duration",), kinds=("table",)),
        Field("time", "time", "Time", "Length of the ramp, where decel is not stated.", "t",
              above=0.0, aliases=("duration",), kinds=("stop",)),
        Field("time", "time", "Time", "Constant part of the run.", "t", least=0.0,
              aliases=("duration",), kinds=("run",)),
        Field("speed", "travel speed", "Top speed", "Peak speed of the move.", "v",
              kinds=("move",), above=0.0, aliases=("velocity",)),
        Field("speed", "travel speed", "Speed", "Signed speed of the run.", "v", required=True,
              kinds=("run",), aliases=("velocity",)),
        Field("accel", "travel acceleration", "Acceleration", "Peak acceleration.", "a",
              kinds=("move", "run", "follow"), above=0.0, aliases=("acceleration",)),
        Field("decel", "travel acceleration", "Deceleration",
              "Peak deceleration, as the acceleration where left out.", "d",
              kinds=("move", "follow", "stop"),
              above=0.0, aliases=("deceleration",)),
        Field("jerk", "travel jerk", "Jerk", "Peak jerk.", "j", kinds=("move",), above=0.0),
        Field("law", "name", "Law", "Shape of the move, or of the way back between two cuts.",
              default="trapezoid", kinds=("move", "follow"),
              choices=LAWS),
        Field("accel_time", "time", "Acceleration time", "Length of the first ramp.", "t_a",
              kinds=("move",), least=0.0, aliases=("acceleration_time",)),
        Field("decel_time", "time", "Deceleration time", "Length of the last ramp.", "t_d",
              kinds=("move",), least=0.0, aliases=("deceleration_time",)),
        Field("accel_share", "1", "Acceleration share", _SHARE, "p_a", kinds=("move",),
              least=0.0, most=1.0, aliases=("acceleration_share",)),
        Field("decel_share", "1", "Deceleration share", _SHARE, "p_d", kinds=("move",),
              least=0.0, most=1.0, aliases=("deceleration_share",)),
        Field("jerk_share", "1", "Jerk share", "Jerk time over ramp time of an s-curve.", "p_j",
              kinds=("move",), above=0.0, most=0.5),
        Field("fit", "name", "Fit",
              "How a move fills a time longer than its limits need; lower-speed keeps a cubic move "
              "below its speed by shorter flanks.",
              choices=FITS, kinds=("move",)),
        Field("end_speed", "travel speed", "End speed", "Speed with which the move ends.", "v_1",
              default="0", kinds=("move",)),
        Field("ramp", "time", "Ramp", "From the speed before it to the speed of the run.", "t_r",
              kinds=("run",), least=0.0),
        Field("turns", "1", "Turns", "Constant part of the run in turns.", "n",
              kinds=("run",)),
        Field("tool", "name", "Tool", "What follows the line.", required=True,
              kinds=("follow",), choices=TOOLS),
        Field("line_speed", "speed", "Line speed", "Speed of the line; a range is swept.", "v_L",
              required=True, kinds=("follow",), above=0.0, swept=True),
        Field("length", "length", "Length", "From cut to cut; a range is swept.", "l",
              required=True, kinds=("follow",), above=0.0, swept=True),
        Field("sync", "angle or length", "Synchronous section",
              "In all: angle of a knife, or way along the line.", "s_s", kinds=("follow",),
              least=0.0),
        Field("diameter", "length", "Diameter",
              "Circle of the knife's edge, or of what carries the goods.", "D", kinds=("follow",),
              above=0.0),
        Field("blades", "whole", "Blades", "Blades of a rotary knife; 1 where left out.", "N",
              kinds=("follow",), least=1, most=100),
        Field("correction", "length", "Correction",
              "Largest way to catch up, signed; a range is swept.", "d", kinds=("follow",),
              swept=True),
        Field("window", "time", "Window", "Time of the correction; else the whole phase.", "t_w",
              kinds=("follow",), above=0.0),
        Field("file", "text", "File of samples",
              "CSV beside the axis file: two columns, units in the first row.", kinds=("table",)),
        Field("points", "samples", "Samples",
              "Pairs of time or leader, and place or speed; the first place is the start.",
              kinds=("table",)),
        Field("gives", "name", "Samples give", "What the samples are; else by their units.",
              kinds=("table",), choices=("position", "speed")),
        Field("over", "name", "Samples over", "What they stand over; else by their units.",
              kinds=("table",), choices=("time", "leader")),
        Field("leader_speed", "leader speed", "Leader speed",
              "Constant speed of what the electronic cam follows.", "v_L", kinds=("table",),
              above=0.0),
        Field("smoothing", "time", "Smoothing",
              "Distance of the knots of a spline laid through noisy samples.", "t_s",
              kinds=("table",), above=0.0),
        Field("from", "text", "From", "Phase it starts from; worst looks at every state.",
              default="worst", kinds=("stop",)),
        Field("means", "name", "Means", "What brings the axis to rest.", default="drive",
              kinds=("stop",), choices=("drive", "brake", "short-circuit", "bus")),
        Field("category", "whole", "Category", "Stop category of IEC 60204-1.", kinds=("stop",),
              least=0, most=2),
        Field("reaction", "time", "Reaction", "Time at speed before the ramp begins.", "t_r",
              default="0 s", kinds=("stop",), least=0.0),
    ),
    many=True,
    selector="do",
))

@cache
def phase_section(linear: bool | None, load_linear: bool | None) -> Section:
    """The phases of an axis; where a crank is stated, their force is still that of the load."""
    if linear == load_linear or load_linear is None:
        return PHASE
    push = _PUSH[0 if load_linear else 1]
    fields = tuple(replace(f, takes=push) if f.takes == "effort" else f for f in PHASE.fields)
    return replace(PHASE, fields=fields)


FORCE = Section(
    "force",
    "Forces",
    "A process force that varies, beside those of the phases.",
    (
        Field("name", "text", "Name", "Your own name; it becomes the address of the force."),
        Field("value", "effort", "Value", "Constant force, + when it has to be overcome.", "F"),
        Field("points", "points", "Points", "Pairs of place and value; zero outside.", "F"),
        Field("over", "name", "Over", "What the places are.", choices=("travel", "time")),
        Field("between", "name", "Between", "How values join.", default="linear",
              choices=("linear", "step")),
        Field("phases", "names", "Phases", "Names of the phases it acts in; else the whole cycle."),
        Field("only", "name", "Direction", "Direction of motion it acts in.", default="both",
              choices=("both", "forward", "backward")),
        Field("sense", "name", "Sense", "Fixed in space, or always against motion.",
              default="fixed", choices=("fixed", "opposing")),
    ),
    many=True,
)
