"""From a verdict to its order list."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from dutyline.catalogue.content import content_hash
from dutyline.catalogue.edition import titled
from dutyline.checks.fitted import chosen
from dutyline.checks.records import Verdict
from dutyline.checks.sentence import VERDICT_WORDS, verdict_sentence
from dutyline.core.version import VERSION
from dutyline.orders.choosing import Need, fitting
from dutyline.orders.machine import machine
from dutyline.orders.records import OrderList, Position
from dutyline.orders.supplies import supplies
from dutyline.orders.wiring import wiring
from dutyline.orders.work import Work


def order_list(verdict: Verdict) -> OrderList:
    """Everything that has to be bought for a verdict, in the units of the reader.

    Parameters
    ----------
    verdict : Verdict
        Whatever it says: the list carries its sentence.

    Returns
    -------
    OrderList
        Motor, brake, gearhead and its adapter, drive, resistor, cables, supplies, mains side,
        spares; what cannot be chosen stays open and says what is missing.
    """
    work = Work(verdict, chosen(verdict))
    positions = [*machine(work), *wiring(work), *supplies(work), *_at_load(work), *_spares(work)]
    return OrderList(
        title=work.axis.title,
        combination=verdict.combination,
        verdict=verdict.verdict,
        sentence=f"{verdict_sentence(verdict)} {VERDICT_WORDS[verdict.verdict]}.",
        positions=tuple(replace(p, number=k) for k, p in enumerate(positions, start=1)),
        currency="" if work.line is None else work.line.currency,
        basis=tuple(_basis(work)),
    )


def _basis(work: Work) -> Iterator[tuple[str, str]]:
    """Axis, parts and product data by which the list can be made again."""
    axis, line = work.axis, work.line
    stated = (
        ("Axis", axis.title),
        ("Project", axis.project),
        ("Customer", axis.customer),
        ("Axis file", axis.file),
        ("SHA-256 of the axis file", axis.checksum),
        ("Combination", work.verdict.combination.text()),
    )
    yield from ((name, value) for name, value in stated if value)
    if line is not None:
        filled = " with estimates" if line.assumed else ""
        yield "Product line", f"{titled(line)}{filled}"
        yield "Content hash of the product line", content_hash(line)
    yield "Made with", f"dutyline {VERSION}"
    yield "To be read with it", "dutyline computes; it certifies nothing."


def _at_load(work: Work) -> Iterator[Position]:
    """The encoder at the load, where the accuracy is counted with one."""
    accuracy = work.axis.equipment.accuracy
    if accuracy is not None and accuracy.encoder_at == "load":
        yield Position(
            kind="load-encoder",
            item="Encoder at the load",
            pieces=1,
            why="the accuracy is judged with it ([accuracy] encoder_at)",
            missing=("type, length or diameter, interface to the drive, cable",),
        )


def _spares(work: Work) -> Iterator[Position]:
    """What the line lists as worth keeping for one of the parts."""
    for part in fitting(work.line, Need("spare", "spare", parts=work.named())):
        yield Position(
            kind="spare",
            item="Spare",
            part=part.name,
            pieces=1,
            options=(part.note,) if part.note else (),
            why="to keep in stock; the axis runs without it",
            price_each=part.price,
        )
