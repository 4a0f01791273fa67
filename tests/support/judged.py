"""A lift and parts of the line that ships, judged; and lines with one datum of one part changed."""

from __future__ import annotations

from dataclasses import replace

from dutyline.axis.model import Axis, Require, Site, Stop, StopRamp
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.checks.verdict import verify
from dutyline.train.records import Load
from support import axes

PARTS = Combination("XM72-0450H", "XG72-6", "XD-H4", "XB72", "XR-H80-90")
CURVE = ((1.2, 14.0), (1.6, 5.0), (2.2, 1.8), (3.0, 0.5))
"""Overload curve for a motor; the line that ships states none."""


def lift(**changes) -> Axis:
    """Twelve kilograms and a tray, up with the tray and down without, held by the motor."""
    load = Load(True, axes.weight(12.0, friction=35.0), {"tray": axes.weight(7.0)})
    belt = axes.stage(0.0305, 0.97, inertia_in=5.8e-4, linear_out=True, kind="belt")
    curve = {"law": "s-curve", "jerk_share": 0.25}
    fields = {
        "stop": Stop(reaction=0.012, drop=0.005, free_distance=(0.9, 1.2)),
        "stops": (StopRamp("gentle", "worst", "drive", 1, decel=4.0, reaction=0.02),),
        "site": Site(230.0, 3, altitude=300.0, people_near=False),
        "require": Require(position=0.0005),
        **changes,
    }
    return axes.make(load, [belt], [
        axes.move(0.7, 0.5, carry=("tray",), **curve), axes.dwell(0.4, carry=("tray",)),
        axes.move(-0.7, 0.45, **curve), axes.dwell(0.34),
    ], **fields)  # fmt: skip


def sprung(axis: Axis) -> Axis:
    """The lift with a belt whose stiffness is known [N/m]."""
    chain = axis.train.chain
    stages = tuple(replace(stage, stiffness=2e6) for stage in chain.stages)
    return replace(axis, train=replace(axis.train, chain=replace(chain, stages=stages)))


def changed(line: ProductLine, kind: str, name: str, **data) -> ProductLine:
    """The line with some data of one part changed. ``kind`` as in ``motor``."""
    parts = tuple(replace(p, **data) if p.name == name else p for p in getattr(line, f"{kind}s"))
    return replace(line, **{f"{kind}s": parts})


def stocked() -> ProductLine:
    """The line that ships, with an overload curve for the motor of the lift, and for its brake a
    friction work that a stop of the lift does not exceed."""
    line = changed(demo_line(), "motor", PARTS.motor, overload_curve=CURVE)
    return changed(line, "brake", PARTS.brake, work_per_stop=120.0)


def judged(axis: Axis, line: ProductLine, parts: Combination = PARTS) -> Verdict:
    """Every check on one combination."""
    return verify(axis, line, parts)


def line_of(verdict: Verdict, check: str, part: str | None = None) -> Line | None:
    """The ledger line of a check, None where there is none."""
    found = [ln for ln in verdict.ledger if ln.check == check and part in (None, ln.part)]
    return found[0] if found else None


def lines_of(verdict: Verdict) -> dict[tuple[str, str], Line]:
    """All ledger lines by check and part."""
    return {(ln.check, ln.part): ln for ln in verdict.ledger}
