"""Old motor and equivalents verified on the axis that they drive."""

from __future__ import annotations

import glob
from collections.abc import Iterable
from dataclasses import replace

from dutyline.axis.model import Axis, Choose
from dutyline.catalogue.pairing import fits
from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor, Pairing, ProductLine
from dutyline.checks import verdict as checking
from dutyline.checks.records import Combination, State, Verdict
from dutyline.checks.sentence import open_lines
from dutyline.core.errors import InputError
from dutyline.replacement.offers import motor_from
from dutyline.replacement.records import Compared, Equivalent, Plate, Replacement, Supply
from dutyline.replacement.rules import worded
from dutyline.replacement.search import find, rank, state_of, with_offers
from dutyline.selection import search

MOST_JUDGED = 24
"""Choices verified on the axis at most, the nearest by their properties first."""
ALWAYS = 3
"""Choices verified whatever their properties say; offered motors always are."""
ENOUGH = 4
"""Choices that do not fail, after which no further one is verified."""
NOT_VERIFIED = "not verified, nearer ones were"
ANSWERED = ("keep.mains", "keep.load_inertia", "keep.top_speed", "keep.gravity")
"""Questions that an axis answers."""
OLD = "old motor"
_STATES: dict[str, State] = {
    "meets": "meets", "short": "short", "fails": "fails", "incomplete": "not-checked",
}  # fmt: skip


def find_on_axis(plate: Plate, line: ProductLine, axis: Axis) -> Replacement:
    """Equivalents that are judged on the axis as well; its duty decides over the plate.

    Parameters
    ----------
    plate : Plate
    line : ProductLine
    axis : Axis
        What the motor drives; the gearhead of the plate is no part of it.

    Raises
    ------
    InputError
        The axis cannot be judged, for instance without its mains.
    """
    plate, notes = _with_site(plate, axis)
    found = find(plate, line, duty="axis")
    whole, names = _with_old(found.plate, with_offers(line, found.plate))
    before, gap = _old_verdict(axis, whole, names)
    told = "" if before is None else before.verdict
    judged: list[Equivalent] = []
    good = 0
    for place, one in enumerate(found.equivalents):
        promising = one.state != "fails" and place < MOST_JUDGED and good < ENOUGH
        if place < ALWAYS or one.offered or promising:
            one = _judged(one, told, _verdict(axis, whole, one, names))
            good += one.state != "fails"
        else:
            row = worded("axis", told, "", "not-checked", missing=(NOT_VERIFIED,))
            one = _with_row(one, row)
        judged.append(one)
    cautions = (*found.cautions, *_cautions(judged, found.cautions))
    return replace(
        found, equivalents=tuple(sorted(judged, key=rank)), old_verdict=before, old_gap=gap,
        notes=notes, cautions=cautions,
    )  # fmt: skip


def _with_site(plate: Plate, axis: Axis) -> tuple[Plate, tuple[str, ...]]:
    """The supply of the axis where the plate leaves it open; else a note where they differ."""
    site = axis.site
    if site is None:
        return plate, ()
    text = f"{site.mains:g}\u00a0V" + (" bus" if site.phases == "dc" else f", {site.phases}~")
    there = Supply(site.mains, site.phases, site.mains_low, text)
    own = plate.supply
    if own is None:
        asked = tuple(q for q in plate.questions if q.path not in ANSWERED)
        told = f"Supply taken from the axis: {text}."
        return replace(plate, supply=there, questions=asked), (told,)
    if abs(own.mains - there.mains) > 1e-6 or own.phases != there.phases:
        note = f"The plate file keeps {own.text}, the axis states {text}: the properties are "
        return plate, (f"{note}compared at the first, the verdicts hold for the second.",)
    return plate, ()


def _with_old(plate: Plate, line: ProductLine) -> tuple[ProductLine, dict[str, str]]:
    """The line with the old parts in it, and their names."""
    taken = {part.name for kind in ("motors", "gearheads", "drives", "brakes")
             for part in getattr(line, kind)}  # fmt: skip

    def free(name: str) -> str:
        while name in taken:
            name = f"{name} (old)"
        taken.add(name)
        return name

    names = {"motor": free(plate.words.get("motor.name") or OLD)}
    motor = motor_from(plate.facts, plate.words, "motor", names["motor"])
    gears: tuple[Gearhead, ...] = ()
    brakes: tuple[Brake, ...] = ()
    pairs: list[Pairing] = []
    if plate.ratio is not None:
        names["gearhead"] = free(plate.words.get("gearhead.name") or "old gearhead")
        gears = (_gearhead(plate, names["gearhead"]),)
        on_it = (*line.motors, motor) if plate.keeps_gearhead else (motor,)
        pairs += [
            Pairing("motor-gearhead", m.name, names["gearhead"])
            for m in on_it
            if fits(m, gears[0]) is None
        ]
    names["drive"] = free(plate.words.get("drive.name") or "old drive")
    drives = (_drive(plate, names["drive"]),)
    on_it = (*line.motors, motor) if plate.keeps_drive else (*_offered(plate, line), motor)
    pairs += [Pairing("motor-drive", m.name, names["drive"]) for m in on_it]
    if plate.braked:
        names["brake"] = free("old brake")
        brakes = (_brake(plate, names["brake"]),)
        pairs.append(Pairing("motor-brake", motor.name, names["brake"]))
        motor = replace(motor, brake=names["brake"])
    whole = replace(
        line, motors=(*line.motors, motor), gearheads=(*line.gearheads, *gears),
        drives=(*line.drives, *drives), brakes=(*line.brakes, *brakes),
        pairings=(*line.pairings, *pairs),
    )  # fmt: skip
    return whole, names


def _offered(plate: Plate, line: ProductLine) -> tuple[Motor, ...]:
    """The offered motors, which stand behind those of the line."""
    return line.motors[len(line.motors) - len(plate.offers) :]


def _gearhead(plate: Plate, name: str) -> Gearhead:
    assert plate.ratio is not None

    def si(field: str) -> float | None:
        return plate.si(f"gearhead.{field}")

    flange = si("flange")
    return Gearhead(
        name, ratio=float(plate.ratio), ratio_exact=plate.ratio,
        torque_rated=si("torque"), torque_acceleration=si("acceleration_torque"),
        torque_emergency=si("emergency_torque"), efficiency=si("efficiency"),
        backlash=si("backlash"), inertia_in=si("inertia"), speed_in_max=si("speed"),
        speed_in_mean=si("mean_speed"), speed_rated_out=si("output_speed"), life=si("life"),
        emergency_count=si("emergency_count"),
        protection=plate.words.get("gearhead.protection", ""),
        no_load_torque=si("no_load_torque"), stiffness=si("stiffness"),
        shaft_in_max=si("shaft"), input_flanges=() if flange is None else (flange,),
    )  # fmt: skip


def _drive(plate: Plate, name: str) -> Drive:
    return Drive(name, current_rated=plate.si("drive.current"),
                 current_peak=plate.si("drive.peak_current"))  # fmt: skip


def _brake(plate: Plate, name: str) -> Brake:
    def si(field: str) -> float | None:
        return plate.si(f"brake.{field}")

    return Brake(name, torque_static=si("torque"), inertia=si("inertia"),
                 release_time=si("release_time"), engage_time=si("engage_time"),
                 coil_voltage=si("voltage"))  # fmt: skip


def _old_verdict(
    axis: Axis, line: ProductLine, names: dict[str, str]
) -> tuple[Verdict | None, str]:
    combination = Combination(
        motor=names["motor"], gearhead=names.get("gearhead"), drive=names.get("drive"),
        brake=names.get("brake"),
    )  # fmt: skip
    try:
        return checking.verify(axis, line, combination), ""
    except InputError as error:
        return None, " ".join(fault.read for fault in error.faults)


def _verdict(axis: Axis, line: ProductLine, one: Equivalent, names: dict[str, str]) -> Verdict:
    """The best that selection finds with these parts, else these parts as they are."""
    own = one.combination
    kept = names.get("gearhead") if "gearhead" in names and own.gearhead is None else None
    wanted = replace(own, gearhead=own.gearhead or kept, drive=own.drive or names.get("drive"))
    limits = Choose(
        motors=_only(wanted.motor), gearheads=_only(wanted.gearhead), drives=_only(wanted.drive),
        brakes=_only(wanted.brake), objective=axis.choose.objective,
    )  # fmt: skip
    try:
        shortlist = search.select(replace(axis, choose=limits), line)
    except InputError:
        return checking.verify(axis, line, wanted)
    if shortlist.candidates:
        return checking.verify(axis, line, shortlist.candidates[0].combination)
    return checking.verify(axis, line, wanted)


def _only(name: str | None) -> tuple[str, ...]:
    """A pattern that is this name alone, or no part."""
    return (glob.escape(name),) if name else ("none",)


def _judged(one: Equivalent, told: str, verdict: Verdict) -> Equivalent:
    state = _STATES[verdict.verdict]
    missing: tuple[str, ...] = ()
    if state == "not-checked":
        open_ = [line for line in open_lines(verdict.ledger) if line.severity == "must"]
        missing = tuple(dict.fromkeys(m for line in open_ for m in line.missing))[:6]
    row = worded("axis", told, verdict.verdict, state, missing=missing)
    combination = replace(one.combination, resistor=verdict.combination.resistor)
    return replace(_with_row(one, row), verdict=verdict, combination=combination)


def _with_row(one: Equivalent, row: Compared) -> Equivalent:
    rows = (row, *one.rows)
    return replace(one, rows=rows, state=state_of(rows))


def _cautions(found: Iterable[Equivalent], told: tuple[str, ...]) -> tuple[str, ...]:
    """What the verdict of the nearest says, once."""
    for one in found:
        if one.verdict is not None:
            return tuple(text for text in one.verdict.cautions if text not in told)
    return ()
