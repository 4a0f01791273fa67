"""The data of the parts behind each need of a check: which they are, stated or not.

:mod:`dutyline.checks.lacking` says in words what is missing; here stand the fields themselves, for
asking a maker and for telling what rests on something assumed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from dutyline.catalogue.assumptions import Assumption
from dutyline.catalogue.boundaries import (
    Place,
    continuous_boundary_data,
    peak_boundary_data,
)
from dutyline.catalogue.motor_constants import Datum
from dutyline.catalogue.origins import KINDS, column_of
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.conventions import taken
from dutyline.checks.lacking import TOLD, WORDS, part_of
from dutyline.checks.records import Ask
from dutyline.checks.shelves import BoundaryShelf

if TYPE_CHECKING:
    from dutyline.checks.trial import Trial


def asks(trial: Trial, needs: tuple[str, ...], k: int) -> tuple[Ask, ...]:
    """Cells that combination ``k`` lacks for some needs, each once."""
    found = [
        _ask(kind, part_of(trial, kind, k).name, fields[0])
        for kind, fields in _data(trial, needs, k)
        if not _stated(part_of(trial, kind, k), fields)
    ]
    return tuple(dict.fromkeys(found))


def used(trial: Trial, needs: tuple[str, ...], k: int) -> Iterator[tuple[str, str, str]]:
    """Kind, name and field of the data of combination ``k`` that some needs rest on."""
    for kind, fields in _data(trial, needs, k):
        part = part_of(trial, kind, k)
        stated = next((f for f in fields if getattr(part, f) not in _EMPTY), None)
        if stated is not None:
            yield kind, part.name, stated


def _ask(kind: str, part: str, field: str) -> Ask:
    place = f"{kind}s"
    return Ask(kind, part, field, KINDS[place].file, column_of(place, field).name)


def leaning(trial: Trial, needs: tuple[str, ...], k: int) -> tuple[Assumption, ...]:
    """What combination ``k`` takes for data that nobody stated, behind some needs."""
    found = list(taken(trial, needs, k))
    if trial.line.assumed:
        known = _estimates(trial)
        found += [known[key] for key in used(trial, needs, k) if key in known]
    return tuple(dict.fromkeys(found))


def as_judged(trial: Trial, check: str) -> Trial:
    """The trial by whose data a check is made: without estimates that would favour it."""
    favoured = [a for a in trial.line.assumed if check in a.favours]
    if not favoured:
        return trial
    out = frozenset((a.kind, a.field) for a in favoured)
    name = f"without {sorted(out)}"
    if name not in trial.kept:
        line = _without(trial.line, out)
        boundaries = BoundaryShelf(line, trial.site)
        trial.kept[name] = replace(trial, line=line, boundaries=boundaries, kept={})
    found: Trial = trial.kept[name]
    return found


def _without(line: ProductLine, out: frozenset[tuple[str, str]]) -> ProductLine:
    """The line without some of its estimates; made once and kept with it."""
    kept: dict[frozenset[tuple[str, str]], ProductLine] = line.derived.setdefault("without", {})
    if out not in kept:
        parts: dict[str, Any] = {}
        for kind in dict.fromkeys(kind for kind, _ in sorted(out)):
            own: dict[str, dict[str, None]] = {}
            for a in line.assumed:
                if a.kind == kind and (kind, a.field) in out:
                    own.setdefault(a.part, {})[a.field] = None
            parts[f"{kind}s"] = tuple(
                replace(p, **own[p.name]) if p.name in own else p for p in getattr(line, f"{kind}s")
            )
        left = tuple(a for a in line.assumed if (a.kind, a.field) not in out)
        kept[out] = replace(line, **parts, assumed=left)
    return kept[out]


def _estimates(trial: Trial) -> dict[tuple[str, str, str], Assumption]:
    kept = trial.line.derived
    if "estimates" not in kept:
        kept["estimates"] = {(a.kind, a.part, a.field): a for a in trial.line.assumed}
    found: dict[tuple[str, str, str], Assumption] = kept["estimates"]
    return found


_EMPTY = (None, "", ())


def _stated(part: Any, fields: tuple[str, ...]) -> bool:
    return any(getattr(part, name) not in _EMPTY for name in fields)


def _data(trial: Trial, needs: tuple[str, ...], k: int) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Kind of part and the fields of which one will do, behind some needs."""
    for name in needs:
        kind = name.partition(".")[0]
        if part_of(trial, kind, k) is None:
            continue
        if name in _BEHIND:
            yield from _BEHIND[name](trial, k)
        elif name in TOLD:
            field = name.partition(".")[2]
            if TOLD[name](trial, k) or getattr(part_of(trial, kind, k), field) not in _EMPTY:
                yield kind, (field,)
        elif name in WORDS:
            yield kind, WORDS[name][0]


Data = Iterator[Datum]


def _rotor(trial: Trial, k: int) -> Data:
    motor, brake = part_of(trial, "motor", k), part_of(trial, "brake", k)
    if brake is None:
        yield "motor", ("inertia",)
    elif motor.inertia_with_brake is not None or motor.inertia is None:
        yield "motor", ("inertia_with_brake",)
    else:
        yield "motor", ("inertia",)
        yield "brake", ("inertia",)


def _stated_of(trial: Trial, k: int, kind: str, *names: str) -> Data:
    """Those that are stated: for the others something else stands in."""
    part = part_of(trial, kind, k)
    return ((kind, (n,)) for n in names if getattr(part, n) not in _EMPTY)


def _winding_time(trial: Trial, k: int) -> Data:
    told = part_of(trial, "motor", k).tau_winding is not None
    names = ("tau_winding",) if told else ("cth_winding", "rth_winding_housing")
    return _stated_of(trial, k, "motor", *names)


def _mesh(trial: Trial, k: int) -> Data:
    if part_of(trial, "gearhead", k).no_load_torque != 0:
        yield "gearhead", ("torque_rated",)


def _iron(trial: Trial, k: int) -> Data:
    yield "motor", ("iron_loss_rated",)
    yield from _stated_of(trial, k, "motor", "iron_exponent")


def _offset(trial: Trial, k: int) -> Data:
    yield "gearhead", ("bearing_offset",)
    yield from _stated_of(trial, k, "gearhead", "shaft_out_length")


def _stall(trial: Trial, k: int) -> Data:
    motor = part_of(trial, "motor", k)
    if motor.current_stall is None and motor.torque_stall is not None:
        yield from (("motor", ("torque_stall",)), ("motor", ("torque_constant",)))
    else:
        yield "motor", ("current_stall",)


def _peak(trial: Trial, k: int) -> Data:
    motor = part_of(trial, "motor", k)
    if motor.current_peak is None and motor.torque_peak is not None:
        yield from (("motor", ("torque_peak",)), ("motor", ("torque_constant",)))
    else:
        yield "motor", ("current_peak",)


def _saturation(trial: Trial, k: int) -> Data:
    motor = part_of(trial, "motor", k)
    if motor.saturation_peak is not None or None in (motor.torque_peak, motor.current_peak):
        yield "motor", ("saturation_peak",)
    else:
        yield from (("motor", (name,)) for name in ("torque_peak", "current_peak"))


def _shaft_exit(trial: Trial, k: int) -> Data:
    if part_of(trial, "gearhead", k) is None:
        yield "motor", ("protection_shaft",)


def _peak_boundary(trial: Trial, k: int) -> Data:
    site, motor = trial.site, int(trial.choice.motor[k])
    return iter(peak_boundary_data(trial.line, motor, site.mains, site.phases))


def _low_boundary(trial: Trial, k: int) -> Data:
    site, motor = trial.site, int(trial.choice.motor[k])
    low = site.mains * (1.0 + site.mains_low)
    return iter(peak_boundary_data(trial.line, motor, low, site.phases))


def place_of(trial: Trial, k: int) -> Place:
    """Surroundings of the motor of combination ``k``."""
    site, braked = trial.site, bool(trial.choice.brake[k] >= 0)
    return Place(site.ambient, site.altitude, site.plate, site.enclosed, braked)


def _continuous_boundary(trial: Trial, k: int) -> Data:
    site, motor = trial.site, int(trial.choice.motor[k])
    place = place_of(trial, k)
    return iter(continuous_boundary_data(trial.line, motor, site.mains, site.phases, place))


_BEHIND: dict[str, Callable[[Trial, int], Data]] = {
    "motor.inertia": _rotor,
    "gearhead.mesh": _mesh,
    "motor.iron": lambda t, k: _stated_of(t, k, "motor", "iron_loss_rated", "iron_exponent"),
    "motor.iron_loss_rated": _iron,
    "motor.winding_time": _winding_time,
    "drive.overload_curve": lambda t, k: _stated_of(t, k, "drive", "overload_curve"),
    "drive.internal_resistor": lambda t, k: _stated_of(t, k, "drive", "internal_resistor"),
    "gearhead.bearing_offset": _offset,
    "motor.stall": _stall,
    "motor.peak": _peak,
    "motor.saturation": _saturation,
    "motor.protection_shaft": _shaft_exit,
    "motor.peak_boundary": _peak_boundary,
    "motor.low_boundary": _low_boundary,
    "motor.continuous_boundary": _continuous_boundary,
}
"""Needs behind which stands more than one field."""
