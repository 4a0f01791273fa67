"""What a reader has to know about a chain: how unevenly few teeth let it run."""

from __future__ import annotations

from collections.abc import Iterator

from dutyline.axis.records import record_of
from dutyline.axis.stated import Stated, Tree
from dutyline.core.numbers import with_unit
from dutyline.physics.friction_drives import chain_ripple
from dutyline.train.parameters import BeltParams, BeltReductionParams

FEW_TEETH = 17
"""Below them the ripple of a chain counts; common practice."""


def chain_remarks(tree: Tree) -> Iterator[str]:
    """A sentence for every wheel of a chain with few teeth."""
    for table, teeth in _wheels(tree):
        if 3 <= teeth < FEW_TEETH:
            fall = with_unit(f"{100 * float(chain_ripple(teeth)):.1f}", "%")
            yield (
                f"{table.path}: a chain on {teeth:g} teeth runs uneven, its speed falls by {fall} "
                f"in every link; {FEW_TEETH} or more are usual."
            )


def _wheels(tree: Tree) -> Iterator[tuple[Stated, float]]:
    mechanism = tree.one("mechanism")
    if mechanism is not None and mechanism.kind == "belt":
        belt = record_of(BeltParams, mechanism)
        if belt.element == "chain" and belt.teeth is not None:
            yield mechanism, belt.teeth
    for table in tree.many("stage"):
        if table.kind == "belt-reduction":
            stage = record_of(BeltReductionParams, table)
            if stage.element == "chain" and stage.teeth is not None:
                yield table, min(stage.teeth)
