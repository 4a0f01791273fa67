"""The explicit list of checks, and the ledger they make.

A check is written once and runs on any number of combinations. Margins, states and the verdict
are formed here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dutyline.axis.model import Axis
from dutyline.checks import brake, braking_energy, drive, gearhead, motor, supply, winding
from dutyline.checks.records import Check, Line, Outcome, Severity, State, VerdictWord
from dutyline.checks.trial import Trial

Array = NDArray[np.float64]

MOTION = ("axis.gravity", "load", "mechanism", "stage", "balance", "phase", "force", "duty.cycle", "duty.rate")
MAINS = ("site.mains", "site.phases")
HEAT = ("site.ambient", "site.altitude", "site.plate", "site.enclosed")
USE = ("duty.hours", "duty.days", "duty.years", "require.life")

CP = "common practice, no single source"
LOSSES = "two-node loss balance (derived); iron-loss exponent 1.5 common practice"

CHECKS: tuple[Check, ...] = (
    Check("supply-match", "supply", "Supply class and phases", "Braking energy and mains", "1",
          "must", 0.0, "class of motor = drive = resistor; mains and phases inside the drive's range",
          "ratings of the product line", MAINS, supply.match, "the supply"),
    Check("fit", "gearhead", "Flange and shaft", "Place and data", "1", "must", 0.0,
          "motor flange among the input flanges, motor shaft not above the largest input shaft",
          "dimensions of the product line", (), supply.fit, "the fit"),
    Check("top-speed", "motor", "Top speed", "Motor", "rad/s", "must", 0.05,
          "i n_max <= end of the motor's curve at these mains",
          "curve of the product line or voltage limit of the winding; reserve " + CP,
          (*MOTION, *MAINS), motor.top_speed, "the top speed"),
    Check("gear-max-speed", "gearhead", "Top input speed", "Gearhead", "rad/s", "must", 0.0,
          "i n_max <= n1B", "rating of the gearhead", MOTION, gearhead.max_speed,
          "the top input speed"),
    Check("gear-mean-speed", "gearhead", "Mean input speed", "Gearhead", "rad/s", "must", 0.05,
          "i mean|n| <= n1N; the mean over motion where the axis moves more than 60 % of the time",
          "rating of the gearhead; treatment of pauses " + CP, MOTION, gearhead.mean_speed,
          "the mean input speed"),
    Check("gear-peak", "gearhead", "Acceleration torque", "Gearhead", "N*m", "must", 0.05,
          "max|T2| <= f_c T2B, f_c from the peaks per hour above T2B/2",
          "rating of the gearhead; cycle factor " + CP, MOTION, gearhead.peak,
          "the acceleration torque"),
    Check("gear-equivalent", "gearhead", "Equivalent torque", "Gearhead", "N*m", "must", 0.0,
          "(int |n||T2|^(10/3) dt / int |n| dt)^(3/10) <= T2N",
          "linear damage, ISO 281 (from memory)", MOTION, gearhead.equivalent,
          "the equivalent torque"),
    Check("gear-life", "gearhead", "Bearing life", "Gearhead", "s", "must", 0.0,
          "wanted life <= L_N (T2N/T_eq)^(10/3) n_N2/mean|n2|",
          "linear damage, ISO 281 (from memory)", (*MOTION, *USE), gearhead.rated_life,
          "the life"),
    Check("brake-hold", "brake", "Hold ratio", "Brake and stopping", "1", "must", 0.0,
          "wanted ratio <= 0.8 T_B/T_weight; friction and efficiency do not help",
          CP, (*MOTION, "site.people_near"), brake.hold, "the hold ratio"),
    Check("gravity-without-brake", "brake", "Brake fitted on gravity axis", "Brake and stopping",
          "1", "must", 0.0, "an axis that falls without torque has a brake", CP,
          ("load.incline", "require.brake"), brake.fitted, "the brake"),
    Check("standstill-torque", "motor", "Holding at standstill", "Motor", "N*m", "must", 0.10,
          "|T| at rest <= T_c(0)/sqrt 2: one phase may carry the crest of the current",
          "derived from the phase currents; reserve " + CP, (*MOTION, *HEAT),
          motor.standstill_torque, "holding at standstill"),
    Check("peak-torque", "motor", "Peak torque", "Motor", "N*m", "must", 0.10,
          "|T(t)| <= T_peak(n(t)) at every instant, capped by the drive's peak current",
          "curve of the product line or voltage limit of the winding; reserve " + CP,
          (*MOTION, *MAINS), motor.peak_torque, "the peak torque"),
    Check("drive-peak-current", "drive", "Peak current", "Drive", "A", "must", 0.05,
          "max I <= I_pk; longest time above 0.9 I_pk <= t_pk", "rating of the drive; reserve " + CP,
          MOTION, drive.peak_current, "the peak current"),
    Check("drive-continuous-current", "drive", "Continuous current", "Drive", "A", "must", 0.05,
          "rms I <= I_N after derating for ambient and altitude",
          "rating of the drive; reserve " + CP, (*MOTION, *HEAT), drive.continuous_current,
          "the rms current"),
    Check("continuous-use", "motor", "Continuous use", "Motor", "N*m", "must", 0.10,
          "rms(Kt I) <= sqrt(mean T_c(n(t))^2)", LOSSES, (*MOTION, *HEAT), motor.continuous_use,
          "continuous use"),
    Check("thermal-runaway", "motor", "Copper heat feedback", "Motor", "1", "must", 0.30,
          "0.00393 mean(P_20)(R_wh + R_ha) <= 1", "steady state of the two-node network (derived)",
          (*MOTION, *HEAT), winding.runaway, "the copper's own warming"),
    Check("winding-temperature", "motor", "Winding temperature rise", "Motor", "K", "must", 0.05,
          "largest winding rise of the settled cycle <= winding limit - ambient",
          "two-node network, periodic state (derived); class limits IEC 60085",
          (*MOTION, *HEAT), winding.temperature, "the winding"),
    Check("overload-accumulated", "motor", "Overload, accumulated", "Motor", "1", "must", 0.15,
          "largest D of the settled cycle <= 1; D' = 1/t(x) above 1, -(1 - x^2)/t_rec below",
          "linear damage (Palmgren, Miner); recovery own choice", MOTION,
          motor.overload_accumulated, "overload"),
    Check("overload-single", "motor", "Overload, single burst", "Motor", "1", "must", 0.10,
          "longest time at or above x <= t(x) for every x", "curve of the motor", MOTION,
          motor.overload_single, "the longest burst"),
    Check("overload-accumulated", "drive", "Overload, accumulated", "Drive", "1", "must", 0.15,
          "largest D of the settled cycle <= 1; D' = 1/t(x) above 1, -(1 - x^2)/t_rec below",
          "linear damage (Palmgren, Miner); recovery own choice", (*MOTION, *HEAT),
          drive.overload_accumulated, "overload of the drive"),
    Check("overload-single", "drive", "Overload, single burst", "Drive", "1", "must", 0.10,
          "longest time at or above x <= t(x) for every x", "curve of the drive", (*MOTION, *HEAT),
          drive.overload_single, "the longest burst"),
    Check("regen-capacitor", "drive", "Surplus in the capacitor", "Braking energy and mains", "J",
          "must", 0.10, "largest store <= C (V_on^2 - V_idle^2)/2 with 0.8 C and the highest mains",
          "energy balance; capacitance reserve " + CP, (*MOTION, *MAINS, "site.mains_high"),
          braking_energy.capacitor, "the surplus energy"),
    Check("resistor-minimum", "resistor", "Lowest resistance", "Braking energy and mains", "ohm",
          "must", 0.0, "R_min of the drive <= R", "rating of the drive", (),
          braking_energy.lowest_resistance, "the lowest resistance"),
    Check("resistor-mean", "resistor", "Resistor, mean power", "Braking energy and mains", "W",
          "must", 0.20, "E_R/t_cycle <= P_R", "energy balance; reserve " + CP,
          (*MOTION, *MAINS, "site.mains_high"), braking_energy.mean_power, "the mean braking power"),
    Check("resistor-peak", "resistor", "Resistor, peak power", "Braking energy and mains", "W",
          "must", 0.05, "largest power to the resistor <= V_on^2/R", "Ohm's law; reserve " + CP,
          (*MOTION, *MAINS, "site.mains_high"), braking_energy.peak_power, "the peak braking power"),
    Check("resistor-pulse", "resistor", "Resistor, one pulse", "Braking energy and mains", "J",
          "must", 0.10, "largest energy without a pause <= pulse energy",
          "rating of the resistor; reserve " + CP, (*MOTION, *MAINS, "site.mains_high"),
          braking_energy.pulse, "the braking pulse"),
    Check("encoder-resolution", "axis", "Encoder step at load", "Control and accuracy", "m", "must",
          0.0, "travel per count <= tolerance/4", CP, ("mechanism", "stage", "require.position"),
          supply.encoder_step, "the encoder step"),
    Check("ambient-altitude", "axis", "Ambient and altitude", "Place and data", "1", "must", 0.0,
          "ambient <= 60 degC, altitude <= 4000 m; derating is in the limits",
          "IEC 60034-1 (from memory)", HEAT, supply.surroundings, "the surroundings"),
    Check("brake-drop", "brake", "Drop before the brake closes", "Brake and stopping", "m",
          "caution", 0.0, "T_weight t_gap^2/(2 J) and brake play, at the load <= allowed drop",
          "free fall of the drive train (derived)", (*MOTION, "stop"), brake.drop, "the drop"),
    Check("gear-torque-limit-set", "gearhead", "Motor peak at gearhead", "Gearhead", "N*m",
          "caution", 0.0, "(T_pk - T_nl) i eta <= T2B, else set a torque limit", "rating of the gearhead",
          (), gearhead.torque_limit_set, "the motor's peak torque"),
    Check("speed-on-low-mains", "motor", "Torque on low mains", "Motor", "N*m", "caution", 0.0,
          "|T(t)| <= T_peak(n(t)) at the lowest mains", "voltage limit of the winding",
          (*MOTION, *MAINS, "site.mains_low"), motor.speed_on_low_mains, "torque on low mains"),
    Check("inertia-ratio", "axis", "Inertia ratio", "Control and accuracy", "1", "caution", 0.0,
          "J_load/i^2 over rotor, brake and gearhead input <= 10 (5 for settling under 50 ms)",
          CP, MOTION, motor.inertia_ratio, "the inertia ratio"),
    Check("gravity-safety-caution", "axis", "Work beneath a hanging load", "Brake and stopping", "1",
          "caution", 0.0, "a risk assessment, not arithmetic", "IEC 60204-1, ISO 13849-1 (from memory)",
          ("load.incline",), brake.gravity_caution, "work beneath the load"),
    Check("continuous-use-plain", "motor", "Rms torque at mean speed", "Motor", "N*m", "note", 0.0,
          "rms T <= T_c(mean|n|); optimistic when the speed varies", CP, (*MOTION, *HEAT),
          motor.continuous_use_plain, "the plain rms torque"),
)
"""In the order in which a search tries them: cheap and decisive first."""

ASSUMED = Check(
    "assumed-inputs", "axis", "Assumed facts behind the binding check", "Place and data", "1",
    "caution", 0.0, "no assumed input behind the binding check", CP, (),
    lambda trial: Outcome(np.zeros(trial.size), np.zeros(trial.size)), "assumed inputs",
)
"""Judged last, from the ledger itself."""

CHECK_IDS: tuple[str, ...] = tuple(dict.fromkeys([c.id for c in CHECKS] + [ASSUMED.id]))

TOLERANCE = 1e-12
"""Margins are equal to what is required within this."""
FAILS, SHORT, UNCHECKED, MEETS, ABSENT = range(5)
STATES: tuple[State, ...] = ("fails", "short", "not-checked", "meets")
SEVERITIES: tuple[Severity, ...] = ("must", "caution", "note")


@dataclass(frozen=True, slots=True)
class Judged:
    """One check over all combinations of a trial."""

    check: Check
    outcome: Outcome
    margin: Array
    required: float
    state: NDArray[np.int8]
    """Index into :data:`STATES`, or 4 where the check does not apply."""
    must: NDArray[np.bool_]


def margin_of(demand: Array, limit: Array) -> Array:
    """``(limit - demand)/limit``; limit 0 gives 0 where nothing is demanded, else minus infinity."""
    demand = np.asarray(demand, dtype=float)
    limit = np.asarray(limit, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        margin = 1.0 - demand / limit
    none = limit == 0
    margin = np.where(none, np.where(demand > 0, -np.inf, 0.0), margin)
    endless = np.isinf(limit) & np.isfinite(demand)
    margin = np.where(endless, 1.0, np.where(np.isinf(demand), -np.inf, margin))
    return np.where(np.isnan(demand) | np.isnan(limit), np.nan, margin)


def required_reserve(check: Check, axis: Axis) -> float:
    """The reserve stated in the axis file, else the check's own."""
    return float(axis.reserve.get(check.id, check.reserve))


def judge(trial: Trial, check: Check) -> Judged:
    """Run one check and give every combination its margin and state."""
    outcome = check.run(trial)
    margin = margin_of(outcome.demand, outcome.limit)
    required = required_reserve(check, trial.axis)
    state = np.full(trial.size, MEETS, dtype=np.int8)
    state[margin < required - TOLERANCE] = SHORT
    state[margin < -TOLERANCE] = FAILS
    state[np.isnan(margin)] = UNCHECKED
    applies = np.broadcast_to(np.asarray(outcome.applies), (trial.size,))
    state[~applies] = ABSENT
    severity = check.severity if outcome.severity is None else outcome.severity
    must = np.broadcast_to(np.asarray(severity) == "must", (trial.size,))
    return Judged(check, outcome, margin, required, state, must)


def line_of(trial: Trial, judged: Judged, k: int) -> Line | None:
    """The ledger line of combination ``k``, or None where the check does not apply."""
    if judged.state[k] == ABSENT:
        return None
    check, outcome = judged.check, judged.outcome
    state = STATES[int(judged.state[k])]
    open_ = state == "not-checked"
    severity = check.severity if outcome.severity is None else outcome.severity
    at = None if outcome.at is None else _number(np.broadcast_to(outcome.at, (trial.size,))[k])
    speed = None if outcome.at_speed is None else _number(np.broadcast_to(outcome.at_speed, (trial.size,))[k])
    return Line(
        check=check.id,
        part=check.part,
        title=check.title,
        group=check.group,
        unit=check.unit if outcome.unit is None else str(outcome.unit[k]),
        demand=_number(outcome.demand[k]),
        limit=_number(outcome.limit[k]),
        margin=None if open_ else float(judged.margin[k]),
        required=judged.required,
        severity=_severity(severity, k),
        state=state,
        at=None if open_ else at,
        at_speed=None if open_ else speed,
        phase=None if at is None or open_ else trial.out.phase_at(at),
        assumed=trial.axis.assumed(check.uses),
        missing=outcome.missing if open_ else (),
        formula=check.formula,
        source=check.source,
        text="" if outcome.text is None else outcome.text(k),
    )


def _severity(severity: object, k: int) -> Severity:
    word = severity if isinstance(severity, str) else str(severity[k])  # type: ignore[index]
    return SEVERITIES[SEVERITIES.index(word)]  # type: ignore[arg-type]


def _number(value: object) -> float | None:
    number = float(value)  # type: ignore[arg-type]
    return None if np.isnan(number) else number


def ledgers(trial: Trial) -> list[tuple[Line, ...]]:
    """The whole ledger of every combination of a trial."""
    judged = [judge(trial, check) for check in CHECKS]
    result = []
    for k in range(trial.size):
        lines = [line for j in judged if (line := line_of(trial, j, k)) is not None]
        lines.append(_assumed_line(trial.axis, lines))
        result.append(tuple(lines))
    return result


def binding_line(lines: Sequence[Line]) -> Line | None:
    """The must line with the least slack: margin minus what is required.

    A yes-no line binds only where it says no: being met it has no share to be compared.
    """
    decided = [
        line
        for line in lines
        if line.severity == "must"
        and line.margin is not None
        and not (line.yes_no and line.state == "meets")
    ]
    if not decided:
        return None
    return min(decided, key=lambda line: (line.margin or 0.0) - line.required)


def _assumed_line(axis: Axis, lines: Sequence[Line]) -> Line:
    """How many assumed inputs the binding check used."""
    binding = binding_line(lines)
    stated = {i.path for i in axis.inputs if getattr(i.value, "status", "") == "assumed"}
    used = [path for path in (binding.assumed if binding else ()) if path in stated]
    count = float(len(used))
    return Line(
        check=ASSUMED.id,
        part=ASSUMED.part,
        title=ASSUMED.title,
        group=ASSUMED.group,
        unit=ASSUMED.unit,
        demand=count,
        limit=0.0,
        margin=float(margin_of(np.array(count), np.array(0.0))),
        required=required_reserve(ASSUMED, axis),
        severity="caution",
        state="meets" if count == 0 else "fails",
        assumed=tuple(used),
        formula=ASSUMED.formula,
        source=ASSUMED.source,
        text=", ".join(used),
    )


def verdict_word(lines: Sequence[Line]) -> VerdictWord:
    """The verdict over the must lines: the first of fails, incomplete, short that applies."""
    states = {line.state for line in lines if line.severity == "must"}
    if "fails" in states:
        return "fails"
    if "not-checked" in states:
        return "incomplete"
    return "short" if "short" in states else "meets"
