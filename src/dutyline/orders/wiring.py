"""Positions of cables and their plugs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from dutyline.axis.equipment import Cable
from dutyline.catalogue.parts import Accessory
from dutyline.core.numbers import stated_quantity
from dutyline.orders.choosing import Choice, Need, choose, fitting
from dutyline.orders.records import Position
from dutyline.orders.work import Work


def wiring(work: Work) -> Iterator[Position]:
    """A motor cable and an encoder cable for every motor, a brake cable where it has one."""
    cut = []
    for kind, item, least, wanted in (
        ("motor-cable", "Motor cable", _motor_current(work), True),
        ("encoder-cable", "Encoder cable", {}, True),
        ("brake-cable", "Brake cable", {}, bool(work.verdict.combination.brake)),
    ):
        if not wanted:
            continue
        position, part = _cable(work, kind, item, least)
        yield position
        if part is not None and part.length is None:
            cut.append(item.lower())
    if cut:
        yield _plugs(work, cut)


def _motor_current(work: Work) -> dict[str, float | None]:
    """What the motor cable has to carry: the rated current of the drive, as the check has it."""
    motor, drive, site = work.parts.motor, work.parts.drive, work.axis.site
    current = None
    if drive is not None:
        current = drive.current_rated
    elif motor is not None:
        current = motor.current_stall
    return {"current": current, "voltage": None if site is None else site.mains}


def _stated(work: Work) -> tuple[Cable, frozenset[str]]:
    """The cable of the axis file and which of its fields the file states."""
    fields = frozenset(name for table in work.axis.stated.get("cable", ()) for name in table)
    return work.axis.equipment.cable or Cable(), fields


def _cable(
    work: Work, kind: str, item: str, least: Mapping[str, float | None]
) -> tuple[Position, Accessory | None]:
    cable, stated = _stated(work)
    noun = item.lower()
    length = {"length": cable.length} if "length" in stated else {}
    known = {name: value for name, value in least.items() if value is not None}
    need = Need(kind, noun, least={**length, **known}, moving=cable.moving, parts=work.named())
    rows = fitting(work.line, need)
    missing = _open(stated, rows, kind, work)
    missing += [f"{name} that it has to carry" for name, v in least.items() if v is None]
    found = Choice(missing=tuple(missing)) if missing else choose(work.line, need)
    position = Position(
        kind=kind,
        item=item,
        part=None if found.part is None else found.part.name,
        pieces=work.each,
        options=_options(cable, stated, found.part, kind),
        why=found.why,
        missing=found.missing,
        price_each=None if found.part is None else found.part.price,
    )
    if found.part is not None and found.part.length is None:
        position = replace(position, price_each=_by_length(found.part, cable.length))
    return position, found.part


def _by_length(part: Accessory, length: float) -> float | None:
    """Price of a cable that is cut: stated for a metre."""
    return None if part.price is None else part.price * length


def _open(stated: frozenset[str], rows: list[Accessory], kind: str, work: Work) -> list[str]:
    """What the axis file would have to say of its cables."""
    missing = []
    if "length" not in stated:
        lengths = sorted({a.length for a in rows if a.length is not None})
        there = ", ".join(stated_quantity(x, "m", system="si") for x in lengths)
        offered = f"; there are {there}" if there else ""
        missing.append(f"length ([cable] length{offered})")
    if "moving" not in stated and {a.moving for a in rows} != {"yes"}:
        missing.append("fixed or moving ([cable] moving)")
    line = work.line
    if line is None or not any(a.kind == kind for a in line.accessories):
        missing.append("type and plugs: the product line lists none")
    return missing


def _options(
    cable: Cable, stated: frozenset[str], part: Accessory | None, kind: str
) -> tuple[str, ...]:
    said = []
    if "length" in stated:
        said.append(stated_quantity(cable.length, "m", system="si"))
    if "moving" in stated:
        said.append("made to move" if cable.moving else "laid fixed")
    if cable.moving and cable.bend_radius is not None:
        said.append(f"bend radius {stated_quantity(cable.bend_radius, 'm', system='si')}")
    if kind == "motor-cable" and cable.section is not None:
        said.append(f"section {stated_quantity(cable.section, 'm^2', system='si')} as judged")
    if part is not None and part.note:
        said.append(part.note)
    return tuple(said)


def _plugs(work: Work, cut: list[str]) -> Position:
    need = Need("connector-set", "connector set", parts=work.named())
    found = choose(work.line, need)
    part = found.part
    return Position(
        kind="connector-set",
        item="Connector set",
        part=None if part is None else part.name,
        pieces=work.each,
        options=(part.note,) if part is not None and part.note else (),
        why=f"for what is cut to length: {', '.join(cut)}" if part is not None else "",
        missing=found.missing,
        price_each=None if part is None else part.price,
    )
