"""Verdicts that do not pass, and the doing of what their remedies say."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from dutyline.axis.change import changed
from dutyline.axis.model import Axis
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.checks.records import Combination, Line, Remedy, Verdict
from dutyline.checks.verdict import verify
from dutyline.remedies.advice import advised
from dutyline.remedies.reach import reach_of
from dutyline.remedies.records import Reach
from support.examples import axis_file

LINE = demo_line()

CASES: dict[str, tuple[str, Combination]] = {
    "a ratio too small": (
        "lift", Combination("XM72-0450H", "XG72-9", "XD-H4", "XB72", "XR-H80-90")),
    "short of a reserve": (
        "lift", Combination("XM72-0450H", "XG72-16", "XD-H4", "XB72", "XR-H80-90")),
    "no resistor": (
        "lift", Combination("XM72-0450H", "XG72-24", "XD-H4", "XB72")),
    "no brake": (
        "lift", Combination("XM72-0450H", "XG72-24", "XD-H4", None, "XR-H80-90")),
    "a motor too small": (
        "lift", Combination("XM54-0240H", "XG72-24", "XD-H2", "XB54", "XR-H80-90")),
    "nearly everything": (
        "lift", Combination("XM54-0240H", "XG72-6", "XD-H2", "XB54")),
    "inch input": (
        "sorter", Combination("XM72-0450H", "XG72-9", "XD-H4", None, "XR-H80-90")),
    "top speed": (
        "panel-saw", Combination("XM116-1300H", "XG116-6", "XD-H9", None, "XR-H28-600")),
    "a table": (
        "dial", Combination("XM54-0240H", "XG88-24", "XD-H4", None, "XR-H80-90")),
}  # fmt: skip
"""Example and combination by what is wrong."""


WHOLE = Combination("XM72-0450H", "XG72-24", "XD-H4", "XB72", "XR-H80-90")
"""Parts that meet everything on the example lift."""


@cache
def met() -> Verdict:
    """The lift with parts that meet everything."""
    return verify(read_axis(axis_file("lift")), LINE, WHOLE)


@cache
def reached() -> Reach:
    """How far it carries: ten seconds that several modules share."""
    return reach_of(met())


@cache
def remedied(name: str) -> Verdict:
    """The verdict of a case with its remedies."""
    example, parts = CASES[name]
    return advised(verify(read_axis(axis_file(example)), LINE, parts))


def line_like(verdict: Verdict, line: Line) -> Line | None:
    """The line of the same check and part."""
    return next(
        (ln for ln in verdict.ledger if (ln.check, ln.part) == (line.check, line.part)), None
    )


def settles_all(remedy: Remedy) -> bool:
    """Whether it says that everything meets then."""
    return remedy.text.endswith("would do.")


def numeric(remedy: Remedy) -> bool:
    """Whether it changes numbers of the axis file."""
    return "." in remedy.field and remedy.after[:1].isdigit() and "mains" not in remedy.field


def done(axis: Axis, parts: Combination, remedy: Remedy, after: str | None = None) -> Verdict:
    """The verdict once a remedy is carried out, or with other values in its place."""
    values = (remedy.after if after is None else after).split(", ")
    if "." not in remedy.field:
        return verify(axis, LINE, exchanged(parts, remedy))
    fields = remedy.field.split(", ")
    items = {f: int(v) if f == "site.phases" else v for f, v in zip(fields, values, strict=True)}
    return verify(changed(axis, items), LINE, parts)


def exchanged(parts: Combination, remedy: Remedy) -> Combination:
    """Another part in, with those that its sentence names beside it."""
    name = None if remedy.after == "none" else remedy.after
    other = replace(parts, **{remedy.field: name})
    for field in ("drive", "brake"):
        index = getattr(LINE, f"{field}_index")
        beside = [n for n in index if f"{n}," in remedy.text or f"{n} and" in remedy.text]
        if remedy.field == "motor" and beside:
            other = replace(other, **{field: beside[0]})
    return other


def less_of(remedy: Remedy) -> str:
    """The change taken back by one step of its rounding, as far as the stated value at most."""
    found = []
    for before, after in zip(remedy.before.split(", "), remedy.after.split(", "), strict=True):
        (old, _, _), (new, _, unit) = before.partition(" "), after.partition(" ")
        a, b = float(old), float(new)
        step = 1.0 if unit == "°C" or "teeth" in remedy.field else 0.021 * abs(b)
        back = b - step if b > a else b + step
        back = max(a, back) if b > a else min(a, back)
        found.append(f"{back:.10g} {unit}".strip())
    return ", ".join(found)
