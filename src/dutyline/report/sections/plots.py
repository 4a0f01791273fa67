"""Plots: torque over speed, overload, gear use, winding; and how to read them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dutyline.checks.fitted import Chosen
from dutyline.checks.records import Line, Verdict
from dutyline.core.numbers import group, quantity, significant, stated_quantity
from dutyline.demand.trace import MotorTrace
from dutyline.physics.overload import DEFAULT_CURVE
from dutyline.physics.overload import allowed_time as allowed
from dutyline.physics.torque_speed import current_of_torque
from dutyline.report.figures.data import (
    Boundary,
    GearData,
    OverloadData,
    PlaneData,
    Post,
)
from dutyline.report.figures.gear import gear as draw_gear
from dutyline.report.figures.overload import overload as draw_overload
from dutyline.report.figures.plane import plane as draw_plane
from dutyline.report.figures.ratio import ratio as draw_ratio
from dutyline.report.parts import milliseconds
from dutyline.report.sections.courses import bus_figure, warm_answer, warm_figure
from dutyline.report.sections.demand import RPM, torque_scale
from dutyline.report.sections.reach import ratio_data, ratio_words
from dutyline.report.sections.settling import settling_figure
from dutyline.report.tree import Block, Figure, Paragraph, Section, Side, strong, words
from dutyline.report.words import instant, share

Array = NDArray[np.float64]
_WIDE = 84.0
_TOP_RESERVE = "overload-single"


def _line(verdict: Verdict, check: str, part: str | None = None) -> Line | None:
    return next(
        (ln for ln in verdict.ledger if ln.check == check and part in (None, ln.part)), None
    )


def _boundary(curves: Mapping[str, Any], name: str) -> Boundary | None:
    if name not in curves:
        return None
    speed, torque = (np.asarray(v, dtype=float) for v in curves[name])
    return Boundary(speed / RPM, torque / torque_scale().size)


def plane_data(verdict: Verdict, trace: MotorTrace) -> PlaneData:
    """The trace folded onto positive speeds, with the limits at these mains."""
    curves = verdict.extra.get("boundaries", {})
    site, brake = verdict.axis.site, verdict.combination.brake
    turning = np.where(trace.speed < 0, -1.0, 1.0)
    mains = "" if site is None else f", {stated_quantity(site.mains, 'V')}"
    low = "" if site is None else stated_quantity(site.mains * (1 + site.mains_low), "V")
    effective = None
    if np.isfinite(trace.effective_speed):
        effective = (trace.effective_speed / RPM, trace.rms_torque / torque_scale().size)
    forward, backward = _directions(verdict, trace)
    return PlaneData(
        np.abs(trace.speed) / RPM,
        trace.torque * turning / torque_scale().size,
        trace.speed >= 0,
        _boundary(curves, "peak"),
        _boundary(curves, "continuous"),
        _boundary(curves, "low"),
        f"intermittent{mains}",
        "continuous, brake fitted" if brake else "continuous",
        f"at {low}",
        effective,
        _worst(trace),
        f"peak, {instant(trace.peak_time)}",
        forward,
        backward,
        torque_title=f"Motor torque, {torque_scale().text}",
    )


def _worst(trace: MotorTrace) -> tuple[float, float]:
    sense = -1.0 if trace.peak_speed < 0 else 1.0
    return abs(trace.peak_speed) / RPM, trace.peak_torque * sense / torque_scale().size


def _directions(verdict: Verdict, trace: MotorTrace) -> tuple[str, str]:
    """Words for both senses of motion; empty where there is none."""
    hangs = _line(verdict, "gravity-safety-caution") is not None and (
        verdict.axis.linear and verdict.axis.train.chain.load.linear
    )
    up = float(np.median(trace.causes["gravity"])) >= 0
    plus, minus = ("up", "down") if up else ("down", "up")
    forth, back = (plus, minus) if hangs else ("forth", "back")
    return (
        forth if bool((trace.speed > 0).any()) else "",
        back if bool((trace.speed < 0).any()) else "",
    )


def plane_figure(verdict: Verdict, trace: MotorTrace) -> Figure:
    """Torque over speed."""
    data = plane_data(verdict, trace)
    caption = "Torque over speed. The trace of the cycle must stay inside the solid line"
    if data.continuous is not None:
        caption += ", the effective point below the dashed one"
    caption += "."
    if data.low is not None:
        caption += " The dotted line is the boundary on low mains."
    if float(data.torque.min()) < 0:
        caption += " Below zero the motor brakes."
    return Figure(draw_plane(data), plane_alt(verdict, data), words(caption), _WIDE)


def plane_alt(verdict: Verdict, data: PlaneData) -> str:
    """Torque over speed in words."""
    unit = torque_scale().text
    alt = [
        "Motor torque over speed. The trace reaches "
        f"{significant(float(np.abs(data.torque).max()))} {unit} and "
        f"{group(float(data.speed.max()))} r/min."
    ]
    peak = _line(verdict, "peak-torque")
    if peak is not None and peak.used is not None:
        alt.append(f"At its worst it takes {share(peak.used)} of the intermittent boundary.")
    if data.effective is not None:
        alt.append(
            f"The effective point lies at {group(data.effective[0])} r/min and "
            f"{significant(data.effective[1])} {unit}."
        )
    return " ".join(alt)


def _time_at_or_above(time: Array, load: Array, levels: Array) -> Array:
    """Longest time in one go at or above each level; the cycle is closed [s]."""
    span = float(time[-1] - time[0])
    t = np.concatenate([time, time[1:] + span])
    y = np.concatenate([load, load[1:]])
    step, low, high = np.diff(t), y[:-1], y[1:]
    out = np.zeros(levels.size)
    for n, level in enumerate(levels):
        on_a, on_b = low >= level - 1e-9, high >= level - 1e-9
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.clip((level - low) / (high - low), 0.0, 1.0)
        run = best = 0.0
        for k in range(step.size):
            if on_a[k] and on_b[k]:
                run += float(step[k])
            elif on_a[k]:
                run += float(step[k] * share[k])
                best, run = max(best, run), 0.0
            elif on_b[k]:
                run = float(step[k] * (1 - share[k]))
            else:
                run = 0.0
            best = max(best, run)
        out[n] = min(best, span)
    return out


def overload_data(verdict: Verdict, trace: MotorTrace, parts: Chosen) -> OverloadData | None:
    """What the drive allows and what the cycle asks for; None without the data of both."""
    motor, drive = parts.motor, parts.drive
    if motor is None or drive is None or motor.torque_constant is None:
        return None
    if None in (motor.current_stall, motor.current_peak, drive.current_rated):
        return None
    stall, rated = motor.current_stall or 0.0, drive.current_rated or 0.0
    reference = min(stall, rated)
    load = (
        current_of_torque(
            np.abs(trace.torque),
            motor.torque_constant,
            stall,
            motor.current_peak or stall,
            motor.saturation_peak or 1.0,
        )
        / reference
    )
    curve = drive.overload_curve or DEFAULT_CURVE
    reach = max(curve[-1][0], float(load.max()), 1.3)
    factor = np.concatenate([np.linspace(1.02, 1.2, 20), np.linspace(1.2, reach, 80)[1:]])
    top = float(load.max())
    levels = np.linspace(1.0, top, 60) if top > 1 else np.array([1.0])
    asked = _time_at_or_above(trace.time, load, levels)
    whose = "motor stall" if stall <= rated else "drive rated"
    reserve = _line(verdict, _TOP_RESERVE, "drive")
    corner = (
        f"{significant(top)}-fold" if top > 1 else f"this cycle: {significant(top)}-fold at most"
    )
    if top > 1 and asked[-1] >= 1e-3:
        corner += f", {milliseconds(float(asked[-1]))}"
    return OverloadData(
        factor,
        np.asarray(allowed(factor, curve), dtype=float),
        levels,
        asked if top > 1 else np.zeros(1),
        0.0 if reserve is None else reserve.required,
        f"Current over {quantity(reference, 'A')} ({whose} current)",
        corner,
    )


def overload_figure(verdict: Verdict, data: OverloadData) -> Figure:
    """Allowed and asked overload time."""
    used = _line(verdict, "overload-single", "drive")
    taken = "" if used is None or used.used is None else f" It uses {share(used.used)} of it."
    asks = data.corner_label
    alt = (
        "Allowed overload time over the load factor, and the longest time of this cycle at or "
        f"above each load: {asks}.{taken}"
    )
    caption = (
        "Overload. For each current, the longest time this cycle stays at or above it, and the "
        "time the drive allows"
    )
    kept = "; below the dotted line a reserve is kept." if data.reserve > 0 else "."
    return Figure(draw_overload(data), alt, words(caption + kept), _WIDE)


def gear_data(verdict: Verdict, trace: MotorTrace, parts: Chosen) -> GearData | None:
    """Time shares of the output torque beside the limits of the gearhead."""
    gear = parts.gearhead
    if gear is None:
        return None
    unit = torque_scale()
    torque = np.abs(trace.output_torque)
    loaded = torque > 0.005 * float(torque.max())
    weight = np.gradient(trace.time)[loaded]
    if not loaded.any() or float(weight.sum()) <= 0:
        return None
    most = _line(verdict, "gear-peak")
    allowed = gear.torque_acceleration if most is None or most.limit is None else most.limit
    posts = [
        Post(value / unit.size, f"{label} {quantity(value, 'N*m')}")
        for label, value in (("rated", gear.torque_rated), ("acceleration", allowed))
        if value is not None
    ]
    emergency = gear.torque_emergency
    peak = float(torque.max())
    if emergency is not None and peak > 0.5 * emergency:
        said = f"emergency {stated_quantity(emergency, 'N*m')}"
        posts.append(Post(emergency / unit.size, said, strong=False))
    marks = [Post(peak / unit.size, f"peak {quantity(peak, 'N*m')}")]
    used = _line(verdict, "gear-equivalent")
    if used is not None and used.demand is not None:
        marks.append(Post(used.demand / unit.size, f"equivalent {quantity(used.demand, 'N*m')}"))
    events = "" if most is None else most.text
    return GearData(
        torque[loaded] / unit.size,
        weight,
        tuple(posts),
        tuple(marks),
        events,
        across_title=f"Gearhead output torque, {unit.text}",
    )


def gear_figure(data: GearData) -> Figure:
    """How long the gearhead carries how much."""
    said = [*(p.label for p in data.marks), *(f"{p.label} allowed" for p in data.posts)]
    alt = f"Share of the loaded time over the gearhead output torque: {', '.join(said)}."
    caption = (
        "Gearhead. How long the output carries how much torque, with the limits of the gearhead "
        "as solid lines."
    )
    if data.events and not data.events.startswith("0 "):
        caption += f" At {data.events}."
    return Figure(draw_gear(data), alt, words(caption), _WIDE)


def _further(verdict: Verdict) -> list[Figure]:
    """Plots whose data only some studies bring."""
    out = [f for f in (warm_figure(verdict), bus_figure(verdict)) if f is not None]
    settling = settling_figure(verdict, _WIDE)
    if settling is not None:
        out.append(settling)
    band = ratio_data(verdict)
    if band is not None:
        alt = "Used shares over the gearhead ratio"
        if band.band is not None:
            low, high = (significant(b) for b in band.band)
            alt += f"; from {low} to {high} all are met with reserve"
        caption = words(
            f"Used share over the gearhead ratio, all else equal. {ratio_words(verdict)}"
        )
        out.append(Figure(draw_ratio(band), f"{alt}.", caption, _WIDE))
    return out


def _answers(verdict: Verdict, trace: MotorTrace, data: OverloadData | None) -> list[Paragraph]:
    """What the plots say, as questions a reader would ask."""
    said: list[tuple[str, str]] = []
    peak, low = _line(verdict, "peak-torque"), _line(verdict, "speed-on-low-mains")
    if peak is not None and peak.used is not None:
        inside = peak.used <= 1
        text = "Yes" if inside else "No"
        if inside and low is not None and low.used is not None:
            text += ", on low mains as well" if low.used <= 1 else ", but not on low mains"
        at = "" if peak.at is None else f" at {instant(peak.at)}"
        text += f". The nearest approach is{at} with {share(peak.used)} of the torque available"
        said.append(("Is the loop inside?", f"{text} at that speed."))
    use = _line(verdict, "continuous-use")
    if use is not None and use.used is not None:
        hot = _line(verdict, "winding-temperature")
        too_hot = hot is not None and hot.severity == "must" and hot.state == "fails"
        text = "No" if use.used > 1 or too_hot else "Yes"
        more = " The winding gets too hot meanwhile." if too_hot else ""
        used = share(use.used)
        all_day = f"{text}. The cycle uses {used} of the continuous torque.{more}"
        said.append(("Will it run all day?", all_day))
    burst, grown = (
        _line(verdict, "overload-single", "drive"),
        _line(verdict, "overload-accumulated", "drive"),
    )
    if grown is not None and grown.used is not None and burst is not None and data is not None:
        text = "No" if grown.used <= 1 and (burst.used or 0) <= 1 else "It would"
        longest = float(data.cycle_time[0])
        over = f" The longest burst above the reference current lasts {milliseconds(longest)}."
        end = over if longest > 0 else " The current never exceeds the reference."
        said.append(("Will the drive trip after hours?", f"{text}.{end}"))
    warm = warm_answer(verdict)
    if warm:
        said.append(("How warm does it get?", warm))
    if trace.regenerated > 1e-3 * max(trace.motoring, 1e-12):
        said.append(("Where does the energy go?", _energy(verdict, trace)))
    return [Paragraph(words(strong(f"{lead} "), text), "table") for lead, text in said]


def _energy(verdict: Verdict, trace: MotorTrace) -> str:
    bus = verdict.demand.get("bus", {})
    burnt = bus.get("resistor_energy")
    text = f"Of {quantity(trace.regenerated, 'J')} returned per cycle"
    if not burnt:
        text = f"{text} nothing reaches a resistor: losses and the capacitor take it."
    else:
        text = (
            f"{text} the resistor takes {quantity(burnt, 'J')}; copper, iron and drive use the "
            "rest, or the capacitor holds it."
        )
    return f"{text} {_balance(verdict)}".rstrip()


def _balance(verdict: Verdict) -> str:
    """Where the energy put into the axis stays; that the balance closes is asserted."""
    out = verdict.extra.get("output")
    if out is None:
        return ""
    kept = f"friction {quantity(out.friction_work, 'J')}, losses {quantity(out.lost.sum(), 'J')}"
    return f"Behind the output shaft {kept} per cycle stay; the energy balance closes."


def plots(verdict: Verdict, parts: Chosen) -> Section | None:
    """All plots in two columns, with a few words on reading them."""
    trace = verdict.trace
    if not isinstance(trace, MotorTrace):
        return None
    figures: list[Block] = [plane_figure(verdict, trace)]
    overload = overload_data(verdict, trace, parts)
    if overload is not None:
        figures.append(overload_figure(verdict, overload))
    gear = gear_data(verdict, trace, parts)
    if gear is not None:
        figures.append(gear_figure(gear))
    figures += _further(verdict)
    answers = _answers(verdict, trace, overload)
    reading = (Paragraph(words("Reading the plots"), "lead"), *answers)
    cells: list[tuple[Block, ...]] = [(figure,) for figure in figures]
    if answers:
        cells.append(reading)
    if len(cells) % 2:
        cells.append(())
    pairs = zip(cells[::2], cells[1::2], strict=True)
    return Section("plots", "Plots", tuple(Side(a, b, _WIDE) for a, b in pairs), room=100.0)
