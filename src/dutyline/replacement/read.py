"""Reading a plate file: every fault at once, or a plate that can be compared."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from dutyline.axis.sections import check_schema, sorted_out
from dutyline.axis.stated import Stated
from dutyline.axis.tables import FaultList, Table, read_table
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import InputError
from dutyline.core.numbers import stated_quantity
from dutyline.core.reader import Reader
from dutyline.core.toml_text import Document, read_document
from dutyline.core.values import Value
from dutyline.replacement.fields import SECTIONS
from dutyline.replacement.filled import filled
from dutyline.replacement.offers import offered
from dutyline.replacement.records import Fact, Plate, Supply

_DROPPED = frozenset({"plate", "offer"})


def read_plate(source: str | Path, *, text: str | None = None) -> Plate:
    """A plate file, with what can be worked out of it.

    Parameters
    ----------
    source : str or Path
        The TOML file. With ``text`` it only names the place of faults.
    text : str, optional
        The text of the file where it does not stand on disk.

    Returns
    -------
    Plate
        In SI; figures that were not stated carry the method by which they were worked out.

    Raises
    ------
    InputError
        All faults of the file, each with line, field, what was read and what helps.
    """
    expect(source, PATH, "source", 'Name a file: read_plate("plate.toml").')
    document = read_document(source, text)
    with _reader(document).served():
        return _plate(document)


def _reader(document: Document) -> Reader:
    said = document.data.get("plate")
    said = said if isinstance(said, Mapping) else {}
    return Reader("inch" if said.get("units") == "inch" else "si", said.get("decimal") == "comma")


def _plate(document: Document) -> Plate:
    faults = FaultList(document, list(document.faults))
    if not check_schema(faults):
        raise InputError(document.file, faults.faults)
    tables = _tables(document, faults)
    for name in ("plate", "motor"):
        if name not in tables:
            faults.add((), name, "this is missing.", f"Add [{name}].")
    _check_poles(tables, faults)
    if faults.faults:
        raise InputError(document.file, faults.faults)
    title = tables["plate"][0].word("title") or ""
    gearhead = next(iter(tables.get("gearhead", ())), None)
    ratio, ratio_text = _ratio(gearhead)
    drive = next(iter(tables.get("drive", ())), None)
    found = Plate(
        title=title,
        facts=_facts(tables),
        words=_words(tables),
        flags=_flags(tables),
        ratio=ratio,
        ratio_text=ratio_text,
        feedbacks=() if drive is None else drive.names("feedback"),
        file=document.file,
        checksum=document.checksum,
        reader=_reader(document),
    )
    found = replace(found, supply=_supply(found))
    offers = [offered(one, n) for n, one in enumerate(tables.get("offer", ()), 1)]
    asked = tuple(question for _, own in offers for question in own)
    return filled(replace(found, offers=tuple(motor for motor, _ in offers), questions=asked))


def _tables(document: Document, faults: FaultList) -> dict[str, tuple[Stated, ...]]:
    found = {}
    for name, rows in sorted_out(document.data, faults, SECTIONS).items():
        section = SECTIONS[name]
        tables = []
        for number, (row, keys) in enumerate(rows, 1):
            path = f"{name}.{number}" if section.many else name
            table = Table(row, keys, path)
            tables.append(read_table(table, section, None, None, faults, SECTIONS))
        found[name] = tuple(tables)
    return found


def _check_poles(tables: Mapping[str, tuple[Stated, ...]], faults: FaultList) -> None:
    """Poles come in pairs."""
    for name in ("motor", "offer"):
        for table in tables.get(name, ()):
            poles = table.number("poles") if table.has("poles") else None
            if poles is not None and poles % 2:
                read = f"read {poles:g}; poles come in pairs, so an even number is needed."
                keys = (*table.keys, table.spelled["poles"])
                remedy = "Write pole_pairs where pairs are meant."
                faults.add(keys, f"{table.path}.poles", read, remedy)


def _facts(tables: Mapping[str, tuple[Stated, ...]]) -> dict[str, Fact]:
    found: dict[str, Fact] = {}
    for name, several in tables.items():
        if name in _DROPPED:
            continue
        for field in several[0].section.fields:
            value = several[0].value(field.name)
            if value is None:
                continue
            path = f"{name}.{field.name}"
            found[path] = fact_of(path, field.label, value)
    if "keep.mains_low" not in found:
        low = next(f for f in SECTIONS["keep"].fields if f.name == "mains_low")
        found["keep.mains_low"] = Fact("keep.mains_low", low.label, "1", -0.10, "default")
    return found


def fact_of(path: str, label: str, value: Value) -> Fact:
    """A stated value as a figure."""
    return Fact(path, label, value.unit, value.si, value.status, value.low, value.high, value.typed)


def _words(tables: Mapping[str, tuple[Stated, ...]]) -> dict[str, str]:
    return {
        f"{name}.{field.name}": word
        for name, several in tables.items()
        if name != "offer"
        for field in several[0].section.fields
        if field.takes in ("text", "name", "phases")
        and (word := several[0].word(field.name)) is not None
    }


def _flags(tables: Mapping[str, tuple[Stated, ...]]) -> dict[str, bool]:
    return {
        f"{name}.{field.name}": flag
        for name, several in tables.items()
        for field in several[0].section.fields
        if field.takes == "flag" and (flag := several[0].flag(field.name)) is not None
    }


def _ratio(gearhead: Stated | None) -> tuple[Fraction | None, str]:
    """The ratio as an exact fraction, from the very text."""
    value = None if gearhead is None else gearhead.value("ratio")
    if value is None:
        return None, ""
    text = value.typed.replace(" ", "").replace(",", ".").replace(":", "/")
    top, _, bottom = text.partition("/")
    try:
        exact = Fraction(top) / Fraction(bottom or "1")
    except (ValueError, ZeroDivisionError):
        exact = Fraction(value.si).limit_denominator(10_000)
    return exact, str(exact)


def _supply(plate: Plate) -> Supply | None:
    """What stays of the supply, else what the motor is wound for."""
    low = plate.si("keep.mains_low")
    low = -0.10 if low is None else low
    bus = plate.si("keep.bus")
    if bus is not None:
        return Supply(bus, "dc", low, f"{stated_quantity(bus, 'V')} bus")
    for section in ("keep", "motor"):
        mains, said = plate.si(f"{section}.mains"), plate.words.get(f"{section}.phases")
        said = said or plate.words.get("motor.phases") or plate.words.get("keep.phases")
        if mains is not None and said is not None:
            phases: int | str = said if said == "dc" else int(said)
            text = stated_quantity(mains, "V")
            return Supply(mains, phases, low, text + (" bus" if said == "dc" else f", {said}~"))
    return None
