"""Check of the protection class: what the place needs against what the parts give."""

from __future__ import annotations

import numpy as np

from dutyline.catalogue.protection import covers, digits
from dutyline.checks.records import Outcome
from dutyline.checks.trial import Trial


def protection(trial: Trial) -> Outcome:
    """Protection class needed against that of the motor, and of its shaft exit or the gearhead.

    The exit of the shaft is often worse than the housing. Behind a gearhead the gearhead closes it
    and has to be as tight. A note while the class needed is only the usual one.
    """
    need = digits(trial.site.protection)
    short = np.full(trial.size, np.nan)
    texts = [""] * trial.size
    for k in range(trial.size):
        places = _places(trial, k)
        if need is None:
            continue
        given = [(words, digits(text)) for words, text in places]
        low = [words for words, d in given if d is not None and not covers(d, need)]
        if low or all(d is not None for _, d in given):
            short[k] = len(low)
        said = ", ".join(f"{words} {text}" for words, text in places if text)
        texts[k] = f"{trial.site.protection} needed; {said}" if said else ""
    stated = any("protection" in table for table in trial.axis.stated.get("site", ()))
    return Outcome(
        demand=short,
        limit=np.where(np.isnan(short), np.nan, 0.0),
        needs=("motor.protection", "gearhead.protection", "motor.protection_shaft"),
        missing=("protection class as IP and two digits",),
        severity="caution" if stated else "note",
        text=lambda k: texts[k],
    )


def _places(trial: Trial, k: int) -> list[tuple[str, str]]:
    """Where water and dust may enter, and the class stated there."""
    motor = trial.line.motors[int(trial.choice.motor[k])]
    places = [("motor", motor.protection)]
    gearhead = int(trial.choice.gearhead[k])
    if gearhead >= 0:
        places.append(("gearhead", trial.line.gearheads[gearhead].protection))
    else:
        places.append(("shaft exit", motor.protection_shaft))
    return places
