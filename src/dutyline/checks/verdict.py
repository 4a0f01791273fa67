"""The verdict on chosen combinations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import MAIN, Axis, Site
from dutyline.axis.remarks import UNJUDGED
from dutyline.axis.unusual import outlying
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.cases import together
from dutyline.checks.figures import Figures
from dutyline.checks.ledger import binding_line, ledgers, verdict_word
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.checks.riding import loaded, rides, riding_mass
from dutyline.checks.sentence import STATE_WORDS
from dutyline.checks.shelves import BoundaryShelf
from dutyline.checks.sides import Choice
from dutyline.checks.stopping import told as stop_told
from dutyline.checks.trial import Trial
from dutyline.checks.winding import ambient_of
from dutyline.core.errors import Fault, InputError
from dutyline.core.numbers import quantity
from dutyline.core.spelling import nearest
from dutyline.demand.output import OutputDemand, output_demand
from dutyline.demand.stop_ramps import stop_axes
from dutyline.physics.brakes import holding_test_torque

Array = NDArray[np.float64]
Index = NDArray[np.intp]

GRAVITY_WORDS = (
    "Gravity axis: these numbers do not secure work beneath the load; a competent person must. "
    "A motor holding brake keeps a resting axis still, it does not protect people by itself."
)
PEOPLE_WORDS = (
    "People may be near: the builder of the machine assesses the risk and chooses the stop "
    "category (IEC 60204-1) and how reliable the stop function must be (ISO 13849-1)."
)
BRAKE_WORDS = (
    "Brake wear: every emergency stop wears a holding brake; test its hold regularly{torque}."
)
BALANCE_WORDS = (
    "The brake is judged with the balance in place; it must stay attached. "
    "lost = true in [[balance]] judges the brake without it."
)
SURFACE_WORDS = (
    "Hot surface: in air of {air} the housing of the motor reaches {housing} once the cycle is "
    "settled; guard it or warn of it."
)
IMAGE_WORDS = (
    "Thermal image: a minute after switching off the winding is still at {restart}; a drive that "
    "forgets its load meanwhile takes the motor for cold and may let it overheat."
)
TOUCH = 70.0
"""[degC] of a housing from which people are warned (common practice)."""
WARM = 0.5
"""Share of the permitted rise of a winding above which a forgotten load matters (own choice)."""
ENERGY_WORDS = (
    "The drive keeps a dangerous voltage after switching off; resistor and motor get hot; a "
    "powered axis may start unexpectedly. Local codes and licensed practice come first."
)


def trial_of(
    axis: Axis, line: ProductLine, choice: Choice, out: OutputDemand | None = None
) -> Trial:
    """A trial of some combinations; the axis must state its mains.

    Raises
    ------
    InputError
        The axis has no ``[site]``, or asks for a linear motor.
    """
    if axis.train.linear_motor:
        fault = Fault(
            axis.file or axis.title,
            "mechanism.kind",
            "direct, with a load that moves along, asks for a linear motor; product lines of "
            "this version hold turning ones.",
            "Take the demand from dutyline demand, or state the mechanism between motor and load.",
        )
        raise InputError(axis.file or axis.title, [fault])
    if axis.site is None:
        fault = Fault(
            axis.file or axis.title,
            "site.mains",
            "not stated, and a motor can only be judged at a mains voltage.",
            'Add a section [site] with mains = "230 V" and phases = 3.',
        )
        raise InputError(axis.file or axis.title, [fault])
    demand = output_demand(axis) if out is None else out
    return Trial(axis, demand, line, choice, BoundaryShelf(line, axis.site))


def verify(axis: Axis, line: ProductLine, combination: Combination) -> Verdict:
    """Every check for one combination.

    Parameters
    ----------
    axis : Axis
    line : ProductLine
    combination : Combination
        Part names. A part left out is not there; only the drive is then taken from the pairings.

    Returns
    -------
    Verdict
        Ledger, binding check, figures, cautions and the duty trace.

    Raises
    ------
    InputError
        A name that the line does not have, or an axis without mains.
    """
    trials = trials_for(axis, line, combination)
    stops = [ledgers(trial)[0] for trial in stop_trials(trials)]
    return together([verdicts(trial)[0] for trial in trials], stops)


def trials_for(axis: Axis, line: ProductLine, combination: Combination) -> list[Trial]:
    """The trials of one combination by its names on every case of an axis.

    A motor that rides along is loaded onto the axis.
    """
    choice = chosen(axis, line, combination)
    if rides(axis):
        mass = float(riding_mass(line, choice)[0])
        if np.isnan(mass):
            raise InputError(axis.file or axis.title, [_massless(combination)])
        axis = loaded(axis, mass)
    return trials_of(axis, line, choice)


def trials_of(
    axis: Axis, line: ProductLine, choice: Choice, outs: Sequence[OutputDemand] | None = None
) -> list[Trial]:
    """A trial of the same combinations on every case of an axis, the file itself first."""
    cases = axis.every_case
    demands = [output_demand(case) for case in cases] if outs is None else outs
    trials: list[Trial] = []
    for case, out in zip(cases, demands, strict=True):
        trial = trial_of(case, line, choice, out)
        alike = next((t.boundaries for t in trials if t.axis.site == case.site), trial.boundaries)
        trials.append(replace(trial, boundaries=alike))
    return trials


def stop_trials(trials: Sequence[Trial]) -> list[Trial]:
    """A trial of the same combinations on every emergency ramp of every case."""
    return [
        replace(trial, axis=axis, out=output_demand(axis), kept={})
        for trial in trials
        for axis in stop_axes(trial.axis, trial.out)
    ]


def _massless(combination: Combination) -> Fault:
    return Fault(
        combination.text(),
        "mechanism.motor_rides",
        "the motor rides on the moving part, and the mass of a chosen part is not given.",
        "Give the masses in the product line, or add the mass to load.mass and leave it out here.",
    )


def chosen(axis: Axis, line: ProductLine, combination: Combination) -> Choice:
    """Indices of the named parts, the drive filled in from the pairings where left out."""
    faults: list[Fault] = []

    def find(kind: str, name: str | None, index: Mapping[str, int]) -> int:
        if name is None:
            return -1
        if name in index:
            return index[name]
        close = nearest(name, list(index))
        faults.append(
            Fault(
                line.name,
                kind,
                f'there is no {kind} "{name}" in this product line.',
                f'The nearest is "{close}".' if close else "dutyline select lists what there is.",
            )
        )
        return -1

    motor = find("motor", combination.motor, line.motor_index)
    gearhead = find("gearhead", combination.gearhead, line.gearhead_index)
    drive = find("drive", combination.drive, line.drive_index)
    brake = find("brake", combination.brake, line.brake_index)
    resistor = find("resistor", combination.resistor, line.resistor_index)
    if faults:
        raise InputError("The combination", faults)
    if drive < 0:
        drive = _paired_drive(line, combination.motor, axis.site)
    single = (np.array([k], dtype=np.intp) for k in (motor, gearhead, drive, brake, resistor))
    return Choice(*single)


def _paired_drive(line: ProductLine, motor: str, site: Site | None) -> int:
    """The drive paired with a motor, at these phases where the pairing says so; -1 without one."""
    rows = [p for p in line.pairings if p.kind == "motor-drive" and p.left == motor]
    phases = None if site is None else site.phases
    rows.sort(key=lambda p: p.phases is not None and p.phases != phases)
    return line.drive_index.get(rows[0].right, -1) if rows else -1


def verdicts(trial: Trial, *, traced: bool = True) -> list[Verdict]:
    """Full verdicts of every combination of a trial, in its order.

    Without ``traced`` the duty trace and the boundaries for plots are left out.
    """
    figures = Figures(trial)
    result = []
    for k, lines in enumerate(ledgers(trial)):
        binding = binding_line(lines)
        trace = figures.trace(k)
        told = figures.of(k, trace)
        result.append(
            Verdict(
                axis=trial.axis,
                line=trial.line,
                combination=named(trial, k),
                verdict=verdict_word(lines),
                binding=binding.check if binding else None,
                demand=told,
                ledger=lines,
                cautions=_cautions(trial, lines, told["winding"], k),
                trace=trace if traced else None,
                extra=figures.extra(k) if traced else {},
            )
        )
    return result


def named(trial: Trial, k: int) -> Combination:
    """Part names of combination ``k``."""
    line, choice = trial.line, trial.choice

    def name(parts: tuple[Any, ...], index: int) -> str | None:
        return None if index < 0 else str(parts[index].name)

    return Combination(
        motor=line.motors[choice.motor[k]].name,
        gearhead=name(line.gearheads, choice.gearhead[k]),
        drive=name(line.drives, choice.drive[k]),
        brake=name(line.brakes, choice.brake[k]),
        resistor=name(line.resistors, choice.resistor[k]),
    )


def _brake_words(trial: Trial, k: int) -> str:
    """What a brake needs, with the torque that proves its hold where it holds something."""
    ratio = float(trial.at_motor(trial.motor_side.shafts.ratio)[k])
    proof = float(holding_test_torque(trial.out.held_torque / ratio))
    shown = quantity(proof, "N*m")
    at_rest = trial.out.gravity_acts or trial.out.brake_holds
    at = f" with {shown} of the motor against the closed brake" if at_rest else ""
    return BRAKE_WORDS.format(torque=at)


def _heat_words(trial: Trial, winding: Mapping[str, float | None], k: int) -> list[str]:
    """What a warm motor does to hands, and to a drive that has forgotten its load."""
    said = []
    housing, restart = winding["housing_max"], winding["restart"]
    base, limit = ambient_of(trial), float(trial.motor("winding_limit")[k])
    if housing is not None and housing > TOUCH:
        air, hot = f"{base:.0f}\u00a0°C", quantity(housing, "degC")
        said.append(SURFACE_WORDS.format(air=air, housing=hot))
    if restart is not None and restart - base > WARM * (limit - base):
        said.append(IMAGE_WORDS.format(restart=quantity(restart, "degC")))
    return said


def _cautions(
    trial: Trial, lines: tuple[Line, ...], winding: Mapping[str, float | None], k: int
) -> tuple[str, ...]:
    words = [note for note in trial.axis.notes if note.startswith(UNJUDGED)]
    if trial.out.gravity_acts:
        words.append(GRAVITY_WORDS)
    if trial.site.people_near:
        words.append(PEOPLE_WORDS)
    if trial.choice.brake[k] >= 0:
        words.append(_brake_words(trial, k))
        if trial.axis.case == MAIN and (said := stop_told(trial, k)):
            words.append(said)
    balanced = any(i.path.startswith("balance.") for i in trial.axis.inputs)
    if balanced and trial.axis.train.unbalanced is None:
        words.append(BALANCE_WORDS)
    words += _heat_words(trial, winding, k)
    words.append(ENERGY_WORDS)
    words += outlying(trial.axis.notes) if trial.axis.case == MAIN else ()
    for line in lines:
        if line.severity == "caution" and line.state in ("fails", "short"):
            words.append(f"{line.title}: {line.text or STATE_WORDS[line.state]}.")
    return tuple(words)
