"""Cases and variants of an axis by name, and what a variant changes."""

from __future__ import annotations

from dataclasses import dataclass, replace

from dutyline.axis.model import MAIN, Axis, Input
from dutyline.checks.records import Line, Verdict
from dutyline.core.errors import Fault, InputError
from dutyline.core.numbers import quantity
from dutyline.core.spelling import nearest
from dutyline.core.values import Value

SAME = 1e-9
"""Relative difference up to which two figures are equal."""


@dataclass(frozen=True, slots=True)
class Changed:
    """An input that the variant states otherwise; None where one of the two has none."""

    path: str
    label: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the verdict that differs, SI; None where it is not known."""

    place: str
    """``motor``, ``output``, ``bus`` ..."""
    name: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Pair:
    """A line of the ledger that differs; None where one of the two has none."""

    before: Line | None
    after: Line | None


@dataclass(frozen=True, slots=True)
class Difference:
    """One combination on the file and on one of its variants."""

    before: Verdict
    after: Verdict
    inputs: tuple[Changed, ...]
    figures: tuple[Figure, ...]
    lines: tuple[Pair, ...]
    same: int
    """Lines of the ledger that are alike."""


def variant_of(axis: Axis, name: str | None) -> Axis:
    """The variant of that name; without a name the axis itself.

    Raises
    ------
    InputError
        There is no such variant.
    """
    if name is None:
        return axis
    return _named(axis, name, {v.variant: v for v in axis.variants}, "variant")


def case_of(axis: Axis, name: str | None) -> Axis:
    """The case of that name, without the others; without a name the axis itself.

    Raises
    ------
    InputError
        There is no such case.
    """
    if name is None:
        return axis
    found = _named(axis, name, {c.case: c for c in axis.every_case}, "case")
    return replace(found, cases=(), title=f"{axis.title}, {name}")


def _named(axis: Axis, name: str, known: dict[str, Axis], kind: str) -> Axis:
    if name in known:
        return known[name]
    others = [n for n in known if n != MAIN]
    near = nearest(name, others)
    listed = f"There are {', '.join(others)}." if others else f"The file has no [[{kind}]]."
    remedy = f'The nearest is "{near}".' if near else listed
    fault = Fault("", f"--{kind}", f'there is no {kind} "{name}".', remedy)
    raise InputError(axis.file or axis.title, [fault])


def difference(before: Verdict, after: Verdict) -> Difference:
    """What differs between two verdicts on one combination.

    Parameters
    ----------
    before, after : Verdict
        On the file and on a variant of it.
    """
    with after.axis.reader.served():
        return _difference(before, after)


def _difference(before: Verdict, after: Verdict) -> Difference:
    pairs = _pairs(before, after)
    lines = tuple(p for p in pairs if not _alike(p))
    return Difference(
        before=before,
        after=after,
        inputs=_inputs(before.axis, after.axis),
        figures=_figures(before, after),
        lines=lines,
        same=len(pairs) - len(lines),
    )


def _inputs(before: Axis, after: Axis) -> tuple[Changed, ...]:
    old, new = (
        {i.path: i for i in axis.inputs if not i.path.startswith(("case.", "variant."))}
        for axis in (before, after)
    )
    found = []
    for path in dict.fromkeys([*old, *new]):
        first, last = old.get(path), new.get(path)
        if first is not None and last is not None and _said(first) == _said(last):
            continue
        label = (last or first or old[path]).label
        found.append(Changed(path, label, _said(first), _said(last)))
    return tuple(found)


def _said(item: Input | None) -> str | None:
    if item is None:
        return None
    value = item.value
    if isinstance(value, Value):
        return value.typed or quantity(value.si, value.unit)
    return str(value)


def _figures(before: Verdict, after: Verdict) -> tuple[Figure, ...]:
    return tuple(
        Figure(place, name, value, after.demand.get(place, {}).get(name))
        for place, row in before.demand.items()
        for name, value in row.items()
        if not _equal(value, after.demand.get(place, {}).get(name))
    )


def _pairs(before: Verdict, after: Verdict) -> list[Pair]:
    old, new = ({(ln.check, ln.part): ln for ln in v.ledger} for v in (before, after))
    return [Pair(old.get(key), new.get(key)) for key in dict.fromkeys([*old, *new])]


def _alike(pair: Pair) -> bool:
    one, other = pair.before, pair.after
    if one is None or other is None:
        return False
    return (
        one.state == other.state
        and one.text == other.text
        and _equal(one.demand, other.demand)
        and _equal(one.limit, other.limit)
    )


def _equal(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return one == other or abs(one - other) <= SAME * max(abs(one), abs(other))
