"""How far a combination carries: inputs, smaller parts, ratios, open questions."""

from __future__ import annotations

from typing import Any

from dutyline.app.records_json import Json, number
from dutyline.checks.records import Verdict
from dutyline.core.arguments import expect
from dutyline.remedies.reach import reach_of
from dutyline.remedies.records import Effect, RatioBand, Reach
from dutyline.remedies.words import band_words, doubt_words, how_far

__all__ = ["RatioBand", "Reach", "band_words", "doubt_words", "how_far", "reach", "reach_json"]


def reach(verdict: Verdict) -> Reach:
    """How far the combination of a verdict carries; some hundred re-runs, a few seconds.

    Parameters
    ----------
    verdict : Verdict
        As verify or select returns it.

    Returns
    -------
    Reach
        For a combination that meets: how far each input may go, with one-sided sensitivities, and
        whether smaller parts would do. For any: shortest times and largest payload with what
        binds there, use of the checks over the gear ratio, and open questions by their weight.

    Raises
    ------
    InputError
        The argument is no verdict, or was judged without a product line.
    """
    expect(verdict, Verdict, "verdict", "Take one from verify or select.")
    with verdict.axis.reader.served():
        return reach_of(verdict)


def reach_json(found: Reach) -> Json:
    """``dutyline.reach/1``; shares and slopes are bare numbers."""
    return {
        "schema": "dutyline.reach/1",
        "inputs": [_effect(one) for one in found.effects],
        "largest": [
            {
                "field": a.field,
                "from": a.before,
                "to": a.after,
                "value": {"value": number(a.value), "unit": a.unit},
                "binds": a.binds,
                "text": a.text,
            }
            for a in found.answers
        ],
        "smaller": [
            {"field": s.field, "from": s.before, "to": s.after, "meets": s.meets, "text": s.text}
            for s in found.smaller
        ],
        "ratio": None if found.band is None else _band(found.band),
        "questions": [
            {
                "field": d.field or None,
                "text": d.text,
                "used": d.used or None,
                "effect": d.effect,
                "influence": number(d.influence),
            }
            for d in found.doubts
        ],
    }


def _effect(one: Effect) -> Json:
    sides: dict[str, Any] = {
        "less": {"slope": number(one.slope.less), "check": one.slope.less_check or None},
        "more": {"slope": number(one.slope.more), "check": one.slope.more_check or None},
    }
    return {
        "field": one.field,
        "from": one.before,
        "sensitivity": sides,
        "limits": [
            {
                "way": "more" if r.way > 0 else "less",
                "to": r.after or None,
                "value": {"value": number(r.value), "unit": r.unit},
                "looked_to": r.end,
                "binds": r.binds or None,
            }
            for r in one.ranges
        ],
    }


def _band(band: RatioBand) -> Json:
    return {
        "ideal": band.ideal,
        "chosen": band.chosen,
        "workable": [list(pair) for pair in band.bands],
        "inertia_optimum": number(band.inertia_optimum),
        "rms_optimum": number(band.rms_optimum),
        "ratio": list(band.ratio),
        "used": {key: [number(share) for share in row] for key, row in band.used.items()},
        "listed": [
            {
                "gearhead": row.gearhead,
                "ratio": row.ratio,
                "verdict": row.verdict,
                "tightest": row.tightest or None,
                "used": number(row.used),
            }
            for row in band.listed
        ],
    }
