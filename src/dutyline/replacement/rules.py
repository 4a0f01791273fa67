"""One property of old and new parts, judged by the row of the data file that speaks of it."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache

from dutyline.checks.records import Severity, State
from dutyline.core.numbers import SPACE, percent, quantity, stated_quantity
from dutyline.core.places import DATA
from dutyline.replacement.records import Compared, Fact

_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Property:
    """One row of ``data/equivalence.toml``."""

    key: str
    group: str
    label: str
    unit: str
    rule: str
    """``at-least``, ``at-most``, ``same``, ``band``, ``word`` or ``limit``"""
    meets: float
    short: float
    severity: Severity
    source: str

    @property
    def tolerance(self) -> str:
        """As shown beside old and new."""
        if self.rule == "at-least":
            return f"at least {percent(self.meets)}"
        if self.rule in ("at-most", "limit"):
            return f"at most {percent(self.meets)}"
        if self.rule == "band":
            return f"within {self.meets:g} times"
        if self.rule == "same":
            width = f"{1e3 * self.meets:g}{SPACE}mm" if self.unit == "m" else ""
            return f"± {width or stated_quantity(self.meets, self.unit)}"
        return "the same or better" if self.key in ("protection", "insulation") else "must suit"


@cache
def properties() -> dict[str, Property]:
    """Every property by its key, in the order of showing."""
    rows = tomllib.loads((DATA / "equivalence.toml").read_text(encoding="utf-8"))["property"]
    return {row["key"]: Property(**row) for row in rows}


def judged(rule: Property, old: float, new: float) -> State:
    """State of a new figure beside an old one; of a demand ``new`` beside a limit ``old``.

    >>> p = properties()
    >>> [judged(p["peak-torque"], 10.0, new) for new in (10.0, 9.5, 8.0)]
    ['meets', 'short', 'fails']
    >>> judged(p["inertia"], 1.0, 0.3)
    'fails'
    """
    if rule.rule == "same":
        away = abs(new - old)
        ends = rule.meets, rule.short
    elif rule.rule == "band":
        away = max(new / old, old / new)
        ends = rule.meets, rule.short
    elif rule.rule == "at-least":
        away = old / new if new > 0.0 else float("inf")
        ends = 1.0 / rule.meets, 1.0 / rule.short
    elif old > 0.0:
        away = new / old
        ends = rule.meets, rule.short
    else:
        away, ends = (0.0 if new <= old else float("inf")), (0.0, 0.0)
    if away <= ends[0] * (1.0 + _SLACK):
        return "meets"
    return "short" if away <= ends[1] * (1.0 + _SLACK) else "fails"


def compared(
    key: str,
    old: Fact | None,
    new: float | None,
    who: str,
    *,
    severity: Severity | None = None,
    missing: tuple[str, ...] = (),
    stated: bool = True,
) -> Compared:
    """One figure of both.

    Parameters
    ----------
    key : str
        Of the property.
    old : Fact or None
        A range counts with its end that asks most; None is never met.
    new : float or None [SI]
    who : str
        The new part, for what is missing.
    severity : str, optional
        Where it departs from that of the property.
    missing : tuple of str
        Said instead of the plain words where something is missing.
    stated : bool
        False where the new figure was computed.
    """
    rule = properties()[key]
    lacking = _lacking(rule, old, new, who) or ()
    state: State = "not-checked"
    if old is not None and new is not None and not missing:
        asked = old.least if rule.rule in ("at-most", "limit") else old.most
        state = judged(rule, asked, new)
        if rule.rule == "band" and old.low is not None:
            state = _worst(state, judged(rule, old.least, new))
    elif not missing:
        missing = lacking
    return Compared(
        key=key,
        group=rule.group,
        label=rule.label,
        old="" if old is None else _figure(old),
        new="" if new is None else (stated_quantity if stated else quantity)(new, rule.unit),
        tolerance=rule.tolerance,
        state=state,
        severity=severity or rule.severity,
        old_si=None if old is None else old.si,
        new_si=new,
        unit=rule.unit,
        assumed=old is not None and old.status in ("assumed", "default"),
        missing=missing,
        source=rule.source,
    )


def worded(
    key: str,
    old: str,
    new: str,
    state: State,
    *,
    severity: Severity | None = None,
    missing: tuple[str, ...] = (),
    tolerance: str | None = None,
) -> Compared:
    """One property in words."""
    rule = properties()[key]
    return Compared(
        key=key, group=rule.group, label=rule.label, old=old, new=new,
        tolerance=rule.tolerance if tolerance is None else tolerance,
        state=state, severity=severity or rule.severity, missing=missing, source=rule.source,
    )  # fmt: skip


def _worst(a: State, b: State) -> State:
    order: tuple[State, ...] = ("meets", "short", "fails")
    return max(a, b, key=order.index)


def _figure(old: Fact) -> str:
    told = (quantity if old.method else stated_quantity)(old.si, old.unit)
    if old.low is not None and old.high is not None and old.high > old.low:
        low, high = (quantity(end, old.unit) for end in (old.low, old.high))
        return f"{told} ({low} to {high})"
    return told


def _lacking(rule: Property, old: Fact | None, new: float | None, who: str) -> tuple[str, ...]:
    what = rule.label[:1].lower() + rule.label[1:]
    found = () if old is not None else (f"{what} of the old part",)
    return found if new is not None else (*found, f"{what} of {who}")
