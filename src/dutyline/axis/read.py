"""Reading an axis file: every fault at once, or an axis that can be computed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from dutyline.axis.build_around import (
    choose_of,
    duty_of,
    equipment_of,
    require_of,
    reserve_of,
    site_of,
    stop_of,
)
from dutyline.axis.build_motion import check_reach, cycle_of, forces_of
from dutyline.axis.build_reach import load_range
from dutyline.axis.build_stops import stops_of
from dutyline.axis.build_train import mechanism_of, stages_of, train_of
from dutyline.axis.cases import check_cases, with_cases
from dutyline.axis.gaps import questions_of
from dutyline.axis.inputs import inputs_of
from dutyline.axis.model import Axis, StopRamp
from dutyline.axis.remarks import notes_of
from dutyline.axis.sections import check_schema, read_sections
from dutyline.axis.stated import Tree
from dutyline.axis.tables import FaultList
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.core.reader import Reader
from dutyline.core.toml_blocks import plain_copy
from dutyline.core.toml_text import Document, read_document
from dutyline.motion.pieces import Cycle
from dutyline.train.records import Train

GRAVITY = 9.80665  # m/s^2, standard value (3rd CGPM, 1901)


def read_axis(
    source: str | Path,
    *,
    text: str | None = None,
    name: str | None = None,
    files: Mapping[str, str] | None = None,
) -> Axis:
    """An axis from its file.

    Parameters
    ----------
    source : str or Path
        The TOML file. With ``text`` it only names the place of faults.
    text : str, optional
        The text of the file where it does not stand on disk.
    name : str, optional
        Name used in faults and results; else the last part of ``source``.
    files : mapping of str to str, optional
        Texts of the files that the axis file names, by name, where they do not stand on disk.

    Returns
    -------
    Axis
        Checked and complete, in SI.

    Raises
    ------
    InputError
        An argument of another type; or all faults of the file, each with line, field, what was
        read and what helps.
    """
    expect(source, PATH, "source", 'Name a file: read_axis("lift.toml").')
    for word, value in (("text", text), ("name", name)):
        if value is not None:
            expect(value, str, word, "Give it as a text.")
    if files is not None:
        expect(files, Mapping, "files", 'Give names and texts: {"cam.csv": "..."}.')
    document = read_document(source, text, name, files)
    return axis_of(document)


def axis_of(document: Document) -> Axis:
    """An axis with its cases and variants from a document; see :func:`read_axis`."""
    with _reader(document).served():
        axis, tree = _single(document)
        return with_cases(axis, tree, document, _single)


def _reader(document: Document) -> Reader:
    """For whom faults and notes are written; a word that cannot be is told as a fault later."""
    said = document.data.get("axis")
    said = said if isinstance(said, Mapping) else {}
    return Reader("inch" if said.get("units") == "inch" else "si", said.get("decimal") == "comma")


def _single(document: Document) -> tuple[Axis, Tree]:
    """The file without what its cases and variants make of it."""
    faults = FaultList(document, list(document.faults))
    if not check_schema(faults):
        raise InputError(document.file, faults.faults)
    tree = read_sections(faults)
    check_cases(tree, faults)
    gravity = _gravity(tree)
    forces = forces_of(tree, faults)
    train = train_of(tree, gravity, forces, faults)
    stops = stops_of(tree, faults)
    cycle = cycle_of(tree, None if train is None else train.chain.load, faults)
    if cycle is not None and train is not None:
        travel = load_range(train, cycle, tree, faults)
        if travel is not None and not faults.told("force"):
            check_reach(forces, tree, cycle, travel, faults)
    if faults.faults or train is None or cycle is None:
        raise InputError(document.file, in_order(faults.faults))
    return _axis(tree, document, train, cycle, stops, gravity), tree


def in_order(faults: list[Fault]) -> list[Fault]:
    """Faults by line, those without a line last."""

    def line(fault: Fault) -> tuple[int, int]:
        tail = fault.place.rpartition(":")[2]
        return (0, int(tail)) if tail.isdigit() else (1, 0)

    return sorted(faults, key=line)


def _gravity(tree: Tree) -> float:
    axis = tree.one("axis")
    stated = None if axis is None else axis.number("gravity")
    return GRAVITY if stated is None else stated


def _axis(
    tree: Tree,
    document: Document,
    train: Train,
    cycle: Cycle,
    stops: tuple[StopRamp, ...],
    gravity: float,
) -> Axis:
    words = tree.one("axis")
    inputs = inputs_of(tree, document)
    said: dict[str, Any] = {} if words is None else {
        name: words.word(name) or ""
        for name in ("title", "enquiry", "project", "customer", "author", "note")
    }  # fmt: skip
    return Axis(
        **{"title": "", **said},
        train=train,
        cycle=cycle,
        linear=bool(tree.linear),
        stops=stops,
        duty=duty_of(tree),
        stop=stop_of(tree),
        site=site_of(tree),
        require=require_of(tree),
        choose=choose_of(tree),
        equipment=equipment_of(tree),
        mechanism=mechanism_of(tree),
        stages=stages_of(tree),
        reserve=reserve_of(tree),
        gravity=gravity,
        units=(words.word("units") if words is not None else None) or "si",
        decimal=(words.word("decimal") if words is not None else None) or "point",
        inputs=inputs,
        questions=questions_of(tree, train, cycle),
        notes=(
            *notes_of(tree, train, cycle, document.files),
            *(i.unusual for i in inputs if i.unusual),
        ),
        file=document.file,
        checksum=document.checksum,
        files=dict(document.files),
        stated={name: [plain_copy(t.raw) for t in tables] for name, tables in tree.tables.items()},
    )
