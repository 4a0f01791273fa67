"""What a reader has to know about a thread or a chain."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from dutyline.axis.records import record_of
from dutyline.axis.stated import Stated, Tree
from dutyline.physics.friction_drives import chain_ripple
from dutyline.train.parameters import LeadScrewParams
from dutyline.train.records import Train
from dutyline.train.screws import thread_angles


def part_remarks(tree: Tree, train: Train) -> Iterator[str]:
    """Sentences on self-locking and on chains."""
    mechanism = tree.one("mechanism")
    angles = None
    if mechanism is not None and mechanism.kind == "lead-screw":
        back = train.chain.stages[0].efficiency_back
        angles = thread_angles(record_of(LeadScrewParams, mechanism), back)
    if angles is not None:
        yield _thread(*angles)
    if train.self_locking:
        yield (
            "The train is self-locking by calculation: holding by the motor is counted without "
            "the help of friction, and self-locking is no safety function."
        )
    for table in (mechanism, *tree.many("stage")):
        yield from _chain(table)


def _thread(lead: float, friction: float) -> str:
    """Both angles, which decide whether a load drives its screw."""
    told = f"The thread has a lead angle of {degrees(lead):.1f}° and a friction angle of "
    told += f"{degrees(friction):.1f}°: "
    if lead > friction:
        return f"{told}a load drives it back, it does not hold by itself."
    return f"{told}it holds by itself while friction stays so high; oil and shaking lower it."


def _chain(table: Stated | None) -> Iterator[str]:
    """How far the speed of a chain swings with every tooth of its smallest wheel."""
    if table is None or table.word("element") != "chain":
        return
    teeth = min(table.numbers("teeth") or (table.number("teeth") or 0.0,))
    if teeth >= 3.0:
        share = 100.0 * float(chain_ripple(teeth))
        yield (
            f"A chain on {teeth:.0f} teeth lies round them as a polygon: its speed swings by "
            f"{share:.2g} % with every tooth, which is not computed."
        )
