"""What can hurt although the new motor turns: told before any table."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor
from dutyline.core.numbers import floored_quantity, percent, quantity, significant, stated_quantity
from dutyline.physics.plates import inertia_ratio, input_limit
from dutyline.physics.torque_speed import current_of_torque
from dutyline.replacement.around_rows import gear_efficiency, gear_limit, peak_at_output
from dutyline.replacement.motor_rows import (
    Beside,
    counts_of,
    feedback_of,
    new_inertia,
    old_inertia,
)
from dutyline.replacement.records import Compared, Hurt, Plate, Setting

_SLACK = 1e-9
SAME_INERTIA = 0.05
"""Share by which a rotor may differ without a word (own choice)."""

GRAVITY = (
    "Gravity moves the load: it drops when the motor or its brake is taken off, and when the brake "
    "is released. Secure it mechanically before loosening anything; the work is for people trained "
    "and licensed for it. No figure here secures work beneath the load."
)
UNKNOWN_GRAVITY = (
    "Whether gravity moves the load is not stated; treat it as if it did, and secure it "
    "mechanically before the motor comes off."
)
ENERGY = (
    "The bus keeps a dangerous voltage after switching off. Wait, measure, and follow the local "
    "rules for electrical work."
)
COMMISSION = (
    "After the exchange: motor data, current and torque limits, commutation offset, direction, "
    "homing, brake delays and the safe stop functions are set and tested again."
)


def cautions(plate: Plate) -> tuple[str, ...]:
    """Whatever the motor, before work begins."""
    gravity = plate.flag("keep.gravity")
    first = UNKNOWN_GRAVITY if gravity is None else GRAVITY if gravity else ""
    stopped = plate.words.get("keep.stopped_by", "")
    how = {
        "brake": "The axis is stopped by its brake: the new brake's work per stop and the torque "
        "it puts on the gearhead are judged with dutyline verify on the axis.",
        "short circuit": "The axis is stopped by shorting the winding: the braking torque of "
        "another winding differs; the stopping distance is measured again.",
        "coasts": "The axis coasts to rest: another rotor inertia changes how far.",
    }.get(stopped, "")
    return tuple(words for words in (first, how, ENERGY, COMMISSION) if words)


def hurts(
    b: Beside,
    gear: Gearhead | None,
    brake: Brake | None,
    drive: Drive | None,
    rows: tuple[Compared, ...],
) -> tuple[Hurt, ...]:
    """Everything that can hurt with one choice of parts, the worst first."""
    found = (
        *_inertia(b),
        *_gear_torque(b),
        *_peak_with_new_gear(b, gear),
        *_ratio(b, gear),
        *_feedback(b),
        *_brake(b, brake),
        *_fit(rows),
        *_supply(rows),
        *_speed(b),
        *_counts(b),
        *_rest(rows),
        *_estimates(b, [part.name for part in (b.motor, gear, brake, drive) if part is not None]),
    )
    return tuple(found)


def _inertia(b: Beside) -> Iterator[Hurt]:
    old, new = old_inertia(b), new_inertia(b)
    if old is None or new is None:
        yield Hurt("inertia", "The rotor inertia of one of the motors is not known: tune the loops "
                   "again and watch for resonance.")  # fmt: skip
        return
    share = new / old.si
    if abs(share - 1.0) <= SAME_INERTIA:
        return
    about = " (estimated)" if old.status == "assumed" else ""
    text = (
        f"Rotor inertia {quantity(old.si, old.unit)}{about} before, {quantity(new, old.unit)} now: "
        f"{significant(share)} times. The loops have to be tuned again."
    )
    load = b.at_shaft("keep.load_inertia", -2)
    if load is not None:
        before, after = (float(inertia_ratio(load.si, j)) for j in (old.si, new))
        text += f" Inertia ratio {significant(before)} before, {significant(after)} after"
        text += (
            ": a lighter rotor leaves the load more to say, the axis gets nervous."
            if share < 1.0
            else "."
        )
    elif share < 1.0:
        text += " The inertia ratio rises by the inverse; the load inertia is not stated."
    yield Hurt("inertia", text)


def torque_limit(b: Beside, at_motor: float, why: str) -> Setting:
    """A torque limit at the motor shaft, and what it is in per cent."""
    motor = b.motor
    also = []
    if motor.torque_rated:
        also.append(f"{_share(at_motor, motor.torque_rated)} of the rated torque")
    if motor.torque_peak:
        also.append(f"{_share(at_motor, motor.torque_peak)} of the peak torque")
    current = _current(motor, at_motor)
    if current is not None:
        told = floored_quantity(current, "A")
        if motor.current_rated:
            told += f", {_share(current, motor.current_rated)} of the rated current"
        also.append(told)
    return Setting(f"Torque limit {why}", at_motor, "N*m", tuple(also), limit=True)


def _share(value: float, whole: float) -> str:
    """A share in whole per cent that is not above it."""
    return percent(math.floor(100.0 * value / whole + _SLACK) / 100.0)


def _current(motor: Motor, torque: float) -> float | None:
    """Current of a torque [A rms]; the plain constant where saturation is not known."""
    kt = motor.torque_constant
    if kt is None:
        return None
    stall, peak, top = motor.current_stall, motor.current_peak, motor.torque_peak
    if stall is None or peak is None or top is None:
        return torque / kt
    share = motor.saturation_peak or min(1.0, top / (kt * peak))
    return float(current_of_torque(torque, kt, stall, peak, share))


def _gear_torque(b: Beside) -> Iterator[Hurt]:
    """A torque limit where the motor alone could overload the gearhead that stays."""
    plate, motor = b.plate, b.motor
    if not plate.keeps_gearhead:
        return
    limit, peak = gear_limit(plate), motor.torque_peak
    if limit is None or peak is None:
        yield Hurt("gear-torque", "The old gearhead stays, and what it takes or what the new motor "
                   "gives at most is not known: limit the torque to the peak of the old motor "
                   "until it is.", _old_peak_limit(b))  # fmt: skip
        return
    out = peak_at_output(plate, peak)
    if out <= limit.si:
        return
    eta = gear_efficiency(plate)
    at_motor = float(input_limit(limit.si, float(plate.ratio or 1), eta))
    known = plate.si("gearhead.efficiency") is not None
    told = f"efficiency {percent(eta)}" if known else "efficiency not known, so taken as 1"
    text = (
        f"The new motor alone puts {quantity(out, 'N*m')} on the old gearhead ({told}), which "
        f"takes {stated_quantity(limit.si, 'N*m')} ({limit.label.lower()}): set a torque limit."
    )
    old = plate.si("motor.peak_torque")
    if old is not None and at_motor < old:
        text += (
            f" It lies below the {quantity(old, 'N*m')} that the old motor gave at most: either "
            "the old drive was limited as well, or the gearhead was overloaded before."
        )
    yield Hurt("gear-torque", text, (torque_limit(b, at_motor, "for the old gearhead"),))


def _old_peak_limit(b: Beside) -> tuple[Setting, ...]:
    old, new = b.plate.si("motor.peak_torque"), b.motor.torque_peak
    if old is None or new is None or new <= old:
        return ()
    return (torque_limit(b, old, "at the peak of the old motor"),)


def _peak_with_new_gear(b: Beside, gear: Gearhead | None) -> Iterator[Hurt]:
    """More peak torque than before on the mechanics behind."""
    old = b.at_shaft("motor.peak_torque", -1)
    new = b.motor.torque_peak
    if b.plate.keeps_gearhead or old is None or new is None or new <= old.si * 1.05:
        return
    text = (
        f"Peak torque {quantity(old.si, 'N*m')} before, {stated_quantity(new, 'N*m')} now: "
        "coupling, belt, screw and end stops were made for the old one."
    )
    if gear is not None and gear.torque_acceleration is not None:
        eta = gear.efficiency or 1.0
        at_motor = float(input_limit(gear.torque_acceleration, gear.ratio, eta))
        if at_motor < new:
            text += f" {gear.name} takes {stated_quantity(gear.torque_acceleration, 'N*m')}."
            yield Hurt("peak-torque", text,
                       (torque_limit(b, at_motor, f"for {gear.name}"),))  # fmt: skip
            return
    yield Hurt("peak-torque", text, (torque_limit(b, old.si, "at the old peak"),))


def _ratio(b: Beside, gear: Gearhead | None) -> Iterator[Hurt]:
    plate = b.plate
    if plate.ratio is None or plate.keeps_gearhead or gear is None:
        return
    if b.scale == 1:
        return
    yield Hurt(
        "ratio",
        f"Ratio {plate.ratio_text} before, {gear.ratio_exact} now. Positions, speeds and "
        f"feed constants scale by exactly {b.scale}; a rounded factor drifts.",
        (Setting("Scale of motor positions, new over old", float(b.scale), "1",
                 (f"exactly {b.scale}",)),),
    )  # fmt: skip


def _feedback(b: Beside) -> Iterator[Hurt]:
    old, new = b.plate.words.get("motor.feedback", ""), feedback_of(b.motor)
    if not new or not old:
        which = "new" if old else "old"
        yield Hurt("feedback", f"The feedback of the {which} motor is not known: cable, drive and "
                   "homing depend on it.")  # fmt: skip
        return
    if old == new:
        return
    reads = b.plate.keeps_drive and new in b.plate.feedbacks
    drive = "another cable; the drive that stays reads it" if reads else (
        "another cable and a drive that reads it"
    )  # fmt: skip
    text = f"Feedback {old} before, {new} now: {drive}."
    turns = "absolute" in new and "absolute" not in old
    if turns:
        text += " It knows its place after switching on; the homing of the control changes."
    elif "absolute" in old and "absolute" not in new:
        text += " Its place is lost when switched off: the axis needs a homing run."
    elif old == "absolute multi-turn" and new == "absolute":
        text += " It no longer counts turns: the axis needs a homing run where it makes several."
    yield Hurt("feedback", text)


def _brake(b: Beside, brake: Brake | None) -> Iterator[Hurt]:
    if not b.plate.braked or brake is None:
        return
    parts = []
    old_voltage = b.plate.si("brake.voltage")
    new_voltage = brake.coil_voltage
    if old_voltage is not None and new_voltage is not None and abs(old_voltage - new_voltage) > 0.5:
        parts.append(
            f"coil {stated_quantity(old_voltage, 'V')} before, "
            f"{stated_quantity(new_voltage, 'V')} now"
        )
    old_torque = b.at_shaft("brake.torque", -1)
    if old_torque is not None and brake.torque_static is not None:
        share = brake.torque_static / old_torque.si
        if share < 1.0:
            parts.append(f"it holds {percent(share)} of the old torque")
        elif share > 1.25:
            parts.append(f"it holds {significant(share)} times the old torque, which an emergency "
                         "stop puts on gearhead and load")  # fmt: skip
    for path, value, word in (
        ("brake.release_time", brake.release_time, "release"),
        ("brake.engage_time", brake.engage_time, "engage"),
    ):
        before = b.plate.si(path)
        if before is not None and value is not None and abs(value - before) > 1e-4:
            parts.append(f"{word} time {quantity(before, 's')} before, {quantity(value, 's')} now")
    if not parts:
        return
    delays = [
        Setting(f"Brake {word} delay", value, "s")
        for word, value in (("release", brake.release_time), ("engage", brake.engage_time))
        if value is not None
    ]
    yield Hurt("brake", f"Brake: {'; '.join(parts)}.", tuple(delays))


_FIT = ("flange", "pilot", "bolt-circle", "shaft", "gear-input")


def _fit(rows: tuple[Compared, ...]) -> Iterator[Hurt]:
    apart = [row for row in rows if row.key in _FIT and row.state == "fails"]
    if apart:
        told = "; ".join(f"{row.label.lower()} {row.old} before, {row.new} now" for row in apart)
        yield Hurt("fit", f"It does not go on as it is: {told}. An adapter or another hub is "
                   "needed.")  # fmt: skip


def _supply(rows: tuple[Compared, ...]) -> Iterator[Hurt]:
    for row in rows:
        if row.key == "mains" and row.state == "fails":
            yield Hurt("mains", f"The winding is made for {row.new}; {row.old} stays. Another "
                       "winding is needed.")  # fmt: skip
        if row.key == "voltage-at-speed" and row.state in ("fails", "short"):
            over = "is above" if row.state == "fails" else "leaves little of"
            yield Hurt(
                "voltage", f"At the rated speed of the old motor the back-EMF is {row.new}, which "
                f"{over} the {row.old} that the inverter forms at the lowest mains: the speed is "
                "not reached under load. Another winding is needed.",
            )  # fmt: skip


def _speed(b: Beside) -> Iterator[Hurt]:
    old = b.at_shaft("motor.top_speed", 1)
    new = b.motor.speed_max
    if old is None or new is None:
        return
    if new > old.si * 1.01:
        yield Hurt(
            "speed", f"Top speed {quantity(old.si, 'rad/s')} before, "
            f"{stated_quantity(new, 'rad/s')} now: set a speed limit for what is behind it.",
            (Setting("Speed limit at the old top speed", old.si, "rad/s", limit=True),),
        )  # fmt: skip
    elif new < old.si * 0.999:
        yield Hurt("speed", f"Top speed {quantity(old.si, 'rad/s')} before, "
                   f"{stated_quantity(new, 'rad/s')} now.")  # fmt: skip


def _counts(b: Beside) -> Iterator[Hurt]:
    old, new = b.plate.si("motor.counts"), counts_of(b.motor)
    if old is None or new is None or old == new:
        return
    share = Fraction(round(new), round(old))
    finer = "finer" if new > old else "coarser"
    yield Hurt(
        "counts", f"{round(old)} counts per turn before, {round(new)} now ({finer}): counts per "
        f"unit scale by exactly {share}.",
        (Setting("Scale of counts per turn, new over old", float(share), "1",
                 (f"exactly {share}",)),),
    )  # fmt: skip


def _estimates(b: Beside, names: list[str]) -> Iterator[Hurt]:
    """Figures of the new parts that nobody stated."""
    made = [a for a in b.line.assumed if a.estimate and a.part in names]
    if made:
        told = ", ".join(f"{a.field.replace('_', ' ')} of {a.part}" for a in made)
        yield Hurt("estimates", f"Estimated, stated by nobody: {told}. Ask the maker before it is "
                   "ordered.")  # fmt: skip


def _rest(rows: tuple[Compared, ...]) -> Iterator[Hurt]:
    by_key = {row.key: row for row in rows}
    mass = by_key.get("mass")
    if mass is not None and mass.state in ("short", "fails"):
        yield Hurt("mass", f"Mass {mass.old} before, {mass.new} now: mounting, and the axis that "
                   "carries it.")  # fmt: skip
    shield = by_key.get("protection")
    if shield is not None and shield.state == "fails":
        yield Hurt("protection", f"Protection {shield.old} before, {shield.new} now.")
    unseen = [row.label.lower() for row in rows
              if row.key in ("shaft-length", "shaft-form", "length", "connector")
              and row.state == "not-checked"]  # fmt: skip
    if unseen:
        yield Hurt("not-in-data", f"Not in the data of the line, to be seen on the drawing: "
                   f"{', '.join(unseen)}.")  # fmt: skip
