"""What a reader has to know about a winder: both ends of the roll, and the web without power."""

from __future__ import annotations

from collections.abc import Iterator

from dutyline.axis.records import record_of
from dutyline.axis.rolls import one_of
from dutyline.axis.stated import Tree
from dutyline.core.numbers import quantity
from dutyline.motion.pieces import Cycle
from dutyline.physics.rolls import corner
from dutyline.train.bent_parameters import WinderParams


def web_remarks(tree: Tree, cycle: Cycle) -> Iterator[str]:
    """Sentences on a winder; none for other mechanisms."""
    mechanism = tree.one("mechanism")
    if mechanism is None or mechanism.kind != "winder":
        return
    roll = record_of(WinderParams, mechanism)
    assert roll.core is not None
    assert roll.full is not None
    top = max(phase.top_speed for phase in cycle.phases)
    if roll.drive == "centre" and top > 0.0 and not mechanism.has("roll"):
        yield from _corner(roll, one_of(roll, tree).tension or 0.0, top)
    if roll.mode == "unwind":
        yield (
            "Without power the web pulls the roll on and nothing but friction brakes it: a brake "
            'at the roll, or a stop on the energy of the bus (means = "bus"), has to hold it.'
        )


def _corner(roll: WinderParams, pull: float, top: float) -> Iterator[str]:
    """That the power of the web is not the size of the motor; ``pull`` is one motor's share [N]."""
    torque, turning = corner(
        pull,
        (roll.core or 0.0) / 2,
        (roll.full or 0.0) / 2,
        top,
        roll.taper,
        linear=roll.taper_law == "linear",
    )
    web = (roll.tension or 0.0) * top
    yield (
        f"The web takes {quantity(web, 'W')} at most; from core to full roll the shaft has to give "
        f"up to {quantity(float(torque), 'N*m', n=4)} and to turn up to "
        f"{quantity(float(turning), 'rad/s', n=4)}, for the steady web alone. A motor that covers "
        "both without a change of gear has a corner power of "
        f"{quantity(float(torque * turning), 'W')}. No roll asks both at once, and each is judged "
        "on the curve of the motor."
    )
