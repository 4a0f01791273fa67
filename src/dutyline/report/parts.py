"""How the chosen parts of a verdict are described."""

from __future__ import annotations

from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor, Resistor
from dutyline.checks.fitted import Chosen
from dutyline.checks.records import Verdict
from dutyline.core.numbers import group, significant, stated_quantity


def _said(pairs: list[tuple[str, float | None, str, str]]) -> list[str]:
    """``before value after`` for every value that is known."""
    return [
        " ".join(word for word in (before, stated_quantity(value, unit), after) if word)
        for before, value, unit, after in pairs
        if value is not None
    ]


def motor_words(motor: Motor) -> str:
    """A motor in one line."""
    said = []
    if motor.torque_rated is not None and motor.speed_rated is not None:
        rated = stated_quantity(motor.torque_rated, "N*m")
        said.append(f"{rated} at {stated_quantity(motor.speed_rated, 'rad/s')}")
    said += _said([("peak", motor.torque_peak, "N*m", "")])
    if motor.mains_max is not None:
        said.append(f"{stated_quantity(motor.mains_max, 'V')} winding")
    if motor.flange is not None:
        said.append(f"flange {stated_quantity(motor.flange, 'm', system='si')}")
    if motor.encoder_bits is not None:
        said.append(f"{motor.encoder_bits} bit")
    return ", ".join(said)


def gearhead_words(gear: Gearhead) -> str:
    """A gearhead in one line."""
    exact = gear.ratio_exact
    if exact.denominator == 1:
        said = [f"ratio {exact.numerator} exactly"]
    else:
        said = [
            f"ratio {significant(gear.ratio, 5)}, exactly {exact.numerator}/{exact.denominator}"
        ]
    if gear.stages is not None:
        said.append(
            {1: "one stage", 2: "two stages", 3: "three stages"}.get(
                gear.stages, f"{gear.stages} stages"
            )
        )
    said += _said(
        [
            ("", gear.torque_rated, "N*m", "rated"),
            ("", gear.torque_acceleration, "N*m", "accelerating"),
            ("", gear.backlash, "rad", ""),
        ]
    )
    return ", ".join(said)


def brake_words(brake: Brake) -> str:
    """A brake in one line."""
    said = ["closes without power"]
    said += _said([("", brake.torque_static, "N*m", "")])
    for word, time in (("opens", brake.release_time), ("closes", brake.engage_time)):
        if time is not None:
            said.append(f"{word} in {milliseconds(time)}")
    said += _said([("", brake.coil_voltage, "V", ""), ("", brake.coil_power, "W", "")])
    return ", ".join(said)


def drive_words(drive: Drive) -> str:
    """A drive in one line."""
    said = []
    if drive.current_rated is not None:
        said.append(f"{stated_quantity(drive.current_rated, 'A')} rms")
    if drive.current_peak is not None:
        said.append(f"peak {stated_quantity(drive.current_peak, 'A')} rms")
    if drive.mains_min is not None and drive.mains_max is not None:
        span = f"{group(drive.mains_min)} to {stated_quantity(drive.mains_max, 'V')}"
        runs = " or ".join(phase_word(p) for p in drive.phases)
        said.append(f"{span}, {runs}")
    said += _said([("resistor switched at", drive.chopper_on, "V", "")])
    return ", ".join(said)


def resistor_words(resistor: Resistor) -> str:
    """A braking resistor in one line."""
    return ", ".join(
        _said(
            [
                ("", resistor.resistance, "ohm", ""),
                ("", resistor.power_mean, "W", "mean"),
                ("", resistor.pulse_energy, "J", "in one pulse"),
            ]
        )
    )


def torque_limit(verdict: Verdict, parts: Chosen) -> tuple[float, str] | None:
    """Torque limit to set in the drive [N*m] and what it keeps; None without a motor's peak."""
    if parts.motor is None or parts.motor.torque_peak is None:
        return None
    peak = next((ln for ln in verdict.ledger if ln.check == "peak-torque"), None)
    limit = parts.motor.torque_peak * (1.0 - (0.0 if peak is None else peak.required))
    allowed = verdict.demand.get("motor", {}).get("torque_limit")
    if allowed is not None and allowed < limit:
        return allowed, "keeps the gearhead inside its acceleration torque"
    return limit, "keeps the motor’s reserve"


def phase_word(phases: int | str) -> str:
    """``single-phase``, ``three-phase`` or ``direct current``."""
    words: dict[int | str, str] = {1: "single-phase", 3: "three-phase", "dc": "direct current"}
    return words.get(phases, str(phases))


def milliseconds(time: float) -> str:
    """A short time: ``24 ms``."""
    return f"{significant(1e3 * time, 2)}\u00a0ms"
