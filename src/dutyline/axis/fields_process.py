"""Fields of ``[mechanism]`` for webs and for loads that follow the speed."""

from __future__ import annotations

from dutyline.axis.forms import Field

# One field in two lines reads better than in ten.
# fmt: off

_WINDER, _ROLLS, _DRIVEN = ("winder",), ("feed-rolls",), ("rotary-load",)

PROCESSES = (
    Field("core", "length", "Core", "Diameter of the core.", "d_c", kinds=_WINDER, required=True,
          above=0.0),
    Field("full", "length", "Full roll", "Diameter of the full roll.", "d_f", kinds=_WINDER,
          required=True, above=0.0),
    Field("start", "length", "Roll at the start",
          "Diameter at the start of every cycle; the roll then follows the web.", "d_0",
          kinds=_WINDER, above=0.0),
    Field("roll", "length", "Roll",
          "Diameter through the whole cycle; without it and start full, core and the worst roll "
          "between are judged.", "d", kinds=_WINDER, above=0.0),
    Field("width", "length", "Web width", "Width of the web.", "w", kinds=_WINDER, required=True,
          above=0.0),
    Field("thickness", "length", "Web thickness", "Thickness of the web.", "h", kinds=_WINDER,
          required=True, above=0.0),
    Field("density", "density", "Roll density", "Density of the wound web, air included.", "rho",
          kinds=_WINDER, required=True, above=0.0),
    Field("tension", "force", "Web tension", "Tension of the web at the core.", "F_0",
          kinds=_WINDER, required=True, above=0.0),
    Field("taper", "1", "Taper", "How far the tension falls with the roll.", "tau", default="0",
          kinds=_WINDER, least=0.0, most=1.0),
    Field("taper_law", "name", "Taper law", "How the tension falls.", default="hyperbolic",
          choices=("hyperbolic", "linear"), kinds=_WINDER),
    Field("mode", "name", "Mode", "Whether the web runs on or off the roll.", default="wind",
          choices=("wind", "unwind"), kinds=_WINDER),
    Field("drive", "name", "Drive", "What is driven: the roll's own shaft or a drum at its "
          "surface.", default="centre", choices=("centre", "surface"), kinds=_WINDER),
    Field("drum_diameter", "length", "Drum diameter", "Drum that drives the surface of the roll.",
          "d_d", kinds=_WINDER, above=0.0),
    Field("nip_force", "force", "Nip force",
          "Between roll and drum; left out: the weight of the wound web.", "N", kinds=_WINDER,
          least=0.0),
    Field("diameter", "length", "Roll diameter", "Diameter of the driven rolls.", "d",
          kinds=_ROLLS, required=True, above=0.0),
    Field("count", "whole", "Count",
          "How many driven rolls alike; inertia, drag and nip force are those of one.",
          default="1", kinds=_ROLLS, least=1.0, most=1000.0),
    Field("tension_in", "force", "Tension before", "Tension of the web that arrives.", "F_1",
          default="0 N", kinds=_ROLLS, least=0.0),
    Field("tension_out", "force", "Tension behind", "Tension of the web that leaves.", "F_2",
          default="0 N", kinds=_ROLLS, least=0.0),
    Field("nip_force", "force", "Nip force", "That presses one driven roll to its counter roll.",
          "N", default="0 N", kinds=_ROLLS, least=0.0),
    Field("roll_resistance", "length", "Rolling resistance", "Lever arm of rolling resistance.",
          "f", default="0 mm", kinds=(*_WINDER, *_ROLLS), least=0.0),
    Field("traction_friction", "1", "Traction", "Friction coefficient of web on roll.", "mu",
          kinds=_ROLLS, above=0.0),
    Field("torque", "torque", "Torque", "Constant process torque, against motion.", "T_0",
          default="0 N*m", kinds=_DRIVEN, least=0.0),
    Field("torque_per_speed", "angular viscous", "Torque per speed",
          "Process torque that grows with the speed: mixers.", "c_1", default="0", kinds=_DRIVEN,
          least=0.0),
    Field("torque_per_speed2", "torque-per-speed2", "Torque per squared speed",
          "Process torque that grows with the square of the speed: fans, pumps.", "c_2",
          default="0", kinds=_DRIVEN, least=0.0),
    Field("power", "power", "Power", "Constant power above the base speed: spindles.", "P",
          kinds=_DRIVEN, above=0.0),
    Field("base_speed", "angular speed", "Base speed", "Speed up to which the torque is constant.",
          "n_b", kinds=_DRIVEN, above=0.0),
    Field("points", "pairs", "Points", "Pairs of speed and torque, joined by lines.", "T(n)",
          of="angular speed|torque", kinds=_DRIVEN),
)
