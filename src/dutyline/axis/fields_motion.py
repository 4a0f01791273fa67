"""Fields of ``[[phase]]`` and ``[[force]]``."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from dutyline.axis.forms import DOES, LATER_DOES, Field, Section
from dutyline.motion.specs import FITS, LAWS

# One field in two lines reads better than in ten.
# fmt: off

HOLDS = ("ideal", "worst", "credit", "brake", "off")
_SHARE = "Ramp length as share of the time of the move."

_PUSH = ("force", "torque")
"""What a constant load of a phase is, by the travel of the load."""

PHASE = Section(
    "phase",
    "Motion",
    "One phase of the cycle, in order of time.",
    (
        Field("do", "name", "Does", "What the axis does.", required=True,
              choices=(*DOES, *LATER_DOES), aliases=("kind", "type")),
        Field("name", "text", "Name", "Your own name; it becomes the address of the phase."),
        Field("carry", "names", "Payloads on board", "Payloads carried in this phase.",
              aliases=("carries",)),
        Field("force", "effort", "Force",
              "Constant load, + when it has to be overcome in + travel.", "F",
              default="0", aliases=("torque",)),
        Field("hold", "name", "Standstill", "What holds the load where the phase stands still.",
              default="ideal", choices=HOLDS),
        Field("by", "travel", "Distance", "Signed distance of the phase.", "h",
              kinds=("move", "run"), aliases=("distance", "stroke")),
        Field("to", "travel", "Place", "Place counted from the start of the cycle.", "x",
              kinds=("move", "run")),
        Field("time", "time", "Time", "Whole move or dwell; of a run the constant part.", "t",
              above=0.0, aliases=("duration",), kinds=("move", "dwell")),
        Field("time", "time", "Time", "Constant part of the run.", "t", least=0.0,
              aliases=("duration",), kinds=("run",)),
        Field("speed", "travel speed", "Top speed", "Peak speed of the move.", "v",
              kinds=("move",), above=0.0, aliases=("velocity",)),
        Field("speed", "travel speed", "Speed", "Signed speed of the run.", "v", required=True,
              kinds=("run",), aliases=("velocity",)),
        Field("accel", "travel acceleration", "Acceleration", "Peak acceleration.", "a",
              kinds=("move", "run"), above=0.0, aliases=("acceleration",)),
        Field("decel", "travel acceleration", "Deceleration",
              "Peak deceleration, as the acceleration where left out.", "d", kinds=("move",),
              above=0.0, aliases=("deceleration",)),
        Field("jerk", "travel jerk", "Jerk", "Peak jerk.", "j", kinds=("move",), above=0.0),
        Field("law", "name", "Law", "Shape of the move.", default="trapezoid", kinds=("move",),
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
        Field("fit", "name", "Fit", "How a move fills a time longer than its limits need.",
              choices=FITS, kinds=("move",)),
        Field("end_speed", "travel speed", "End speed", "Speed with which the move ends.", "v_1",
              default="0", kinds=("move",)),
        Field("ramp", "time", "Ramp", "From the speed before it to the speed of the run.", "t_r",
              kinds=("run",), least=0.0),
        Field("turns", "1", "Turns", "Constant part of the run in turns.", "n",
              kinds=("run",)),
    ),
    many=True,
    selector="do",
)

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
