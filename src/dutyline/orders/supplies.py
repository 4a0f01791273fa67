"""Positions of what feeds the axis: mains side, and the extra-low voltage of brake and drive."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dutyline.core.numbers import percent, quantity, stated_quantity
from dutyline.orders.choosing import Need, choose
from dutyline.orders.records import Position
from dutyline.orders.work import Work

HEADROOM = 0.2
"""Power of a supply beyond what it feeds (common practice, no source)."""


def supplies(work: Work) -> Iterator[Position]:
    """Extra-low voltage first, then the mains side."""
    yield from _low_voltage(work)
    yield from _suppressor(work)
    cabinet, site = work.axis.equipment.cabinet, work.axis.site
    if cabinet is not None and cabinet.shared_bus:
        yield _bus_supply(work)
    elif site is not None and site.phases != "dc" and work.verdict.combination.drive:
        yield _filter(work)
    yield _protection(work)


def _low_voltage(work: Work) -> Iterator[Position]:
    """One supply for each voltage, sized by the sum of what it feeds."""
    groups: dict[float, list[tuple[str, float]]] = {}
    brake, drive = work.parts.brake, work.parts.drive
    if brake is not None:
        volts, watts = brake.coil_voltage, brake.coil_power
        if volts is None or watts is None:
            wanted = f"voltage and power of the coil of {brake.name}: the product data lack them"
            yield _unknown("Supply of the brake coil", wanted)
        else:
            groups.setdefault(volts, []).append((f"coil of {brake.name}", watts))
    if drive is not None and drive.logic_power != 0.0:
        volts, watts = drive.logic_voltage, drive.logic_power
        if volts is None or watts is None:
            own = f"voltage and power of the electronics of {drive.name}"
            wanted = f"{own}: the product data lack them (0 W where its mains feed them)"
            yield _unknown("Supply of the drive’s electronics", wanted)
        else:
            groups.setdefault(volts, []).append((f"electronics of {drive.name}", watts))
    for volts, fed in groups.items():
        yield _dc_supply(work, volts, fed)


def _unknown(item: str, wanted: str) -> Position:
    return Position(kind="dc-supply", item=item, missing=(wanted,))


def _dc_supply(work: Work, volts: float, fed: list[tuple[str, float]]) -> Position:
    power = work.each * sum(watts for _, watts in fed)
    need = Need(
        "dc-supply",
        "supply",
        exact={"voltage": volts},
        least={"power": (1.0 + HEADROOM) * power},
    )
    found = choose(work.line, need)
    times = f"{work.each} × " if work.each > 1 else ""
    loads = ", ".join(f"{name} {times}{quantity(watts, 'W')}" for name, watts in fed)
    current = math.ceil(10.0 * (1.0 + HEADROOM) * power / volts - 1e-9) / 10.0
    why = f"feeds {loads}; {percent(HEADROOM)} in hand (common practice, no source)"
    return Position(
        kind="dc-supply",
        item=f"{stated_quantity(volts, 'V')} supply",
        part=None if found.part is None else found.part.name,
        pieces=1,
        options=(f"{stated_quantity(current, 'A')} or more",),
        why="; ".join(word for word in (why, found.why) if word),
        missing=found.missing,
        price_each=None if found.part is None else found.part.price,
    )


def _suppressor(work: Work) -> Iterator[Position]:
    """What quenches the coil, as the closing time of the brake was counted."""
    brake, coil = work.parts.brake, work.axis.stop.coil
    if brake is None:
        return
    exact = {} if brake.coil_voltage is None else {"voltage": brake.coil_voltage}
    found = choose(work.line, Need(f"coil-{coil}", coil, exact=exact, parts=work.named()))
    part = found.part
    yield Position(
        kind=f"coil-{coil}",
        item=f"{coil.capitalize()} across the brake coil",
        part=None if part is None else part.name,
        pieces=work.each,
        why=f"the brake is judged closing with a {coil} ([stop] coil)",
        missing=found.missing,
        price_each=None if part is None else part.price,
    )


def _filter(work: Work) -> Position:
    drive, site = work.parts.drive, work.axis.site
    current = None if drive is None else drive.input_current_rated
    rules = "whether one is wanted, and its class, is for the rules at the site"
    if current is None or site is None:
        own = f"rated input current of {work.verdict.combination.drive}"
        wanted = f"{own} (input_current_rated_arms in drives.csv)"
        return Position("mains-filter", "Mains filter", None, work.each, why=rules,
                        missing=(wanted,))  # fmt: skip
    need = Need(
        "mains-filter",
        "mains filter",
        least={"current": current, "voltage": site.mains},
        phases=int(site.phases),
        parts=work.named(),
    )
    found = choose(work.line, need)
    part = found.part
    return Position(
        kind="mains-filter",
        item="Mains filter",
        part=None if part is None else part.name,
        pieces=work.each,
        why="; ".join(word for word in (found.why, "one for each drive", rules) if word),
        missing=found.missing,
        price_each=None if part is None else part.price,
    )


def _bus_supply(work: Work) -> Position:
    cabinet = work.axis.equipment.cabinet
    power = None if cabinet is None else cabinet.bus_supply
    option = () if power is None else (f"{quantity(power, 'W')} peak as stated",)
    return Position(
        kind="bus-supply",
        item="Supply of the shared dc bus",
        pieces=1,
        options=option,
        why="the drives share one dc bus ([cabinet] shared_bus)",
        missing=("type, with its mains filter: the axis file tells its power alone",),
    )


def _protection(work: Work) -> Position:
    """The protective device: its rating is the builder's, what the axis draws stands beside it."""
    cabinet, site = work.axis.equipment.cabinet, work.axis.site
    drawn = work.most("mains", "rms_current")
    told = "rules at the site decide"
    if drawn is not None:
        told = f"each drive draws {quantity(drawn, 'A')} at the lowest mains; {told}"
    item = "Protective device"
    if cabinet is None or cabinet.fuse is None or site is None:
        wanted = "rating and type ([cabinet] fuse), by the rules at the site"
        return Position("protective-device", item, why=told, missing=(wanted,))
    need = Need(
        "protective-device",
        "protective device",
        exact={"current": cabinet.fuse},
        least={"voltage": site.mains},
        phases=None if site.phases == "dc" else int(site.phases),
    )
    found = choose(work.line, need)
    part = found.part
    shared = f", for {cabinet.axes} axes" if cabinet.axes > 1 else ""
    return Position(
        kind="protective-device",
        item=item,
        part=None if part is None else part.name,
        pieces=1,
        options=(f"{stated_quantity(cabinet.fuse, 'A')} as stated{shared}",),
        why=told,
        missing=found.missing,
        price_each=None if part is None else part.price,
    )
