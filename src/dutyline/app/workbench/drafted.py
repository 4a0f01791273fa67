"""A new axis while its five questions are answered: what is understood, and what can be drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from dutyline.app.workbench.judged import Sheet, judge
from dutyline.app.workbench.mechanisms import drawing_of
from dutyline.app.workbench.parts import drawing
from dutyline.app.workbench.picture import picture
from dutyline.app.workbench.records import Picture, ShortlistView
from dutyline.app.workbench.shortlist import shortlist
from dutyline.axis.answered import Heard, hear
from dutyline.axis.fields_mechanism import TITLES
from dutyline.axis.new import Answers, file_text
from dutyline.axis.read import read_axis
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import Fault, InputError
from dutyline.core.reading import read_value
from dutyline.motion.pieces import Cycle
from dutyline.report.figures.canvas import Canvas
from dutyline.report.figures.frame import Frame, inside, span
from dutyline.report.words import listed

NAMES = ("kind", "load", "way", "rate", "mains")
"""What the five questions ask for."""
_OPEN = ("a mechanism", "what is moved", "how far, in what time", "how often", "the mains")
_NEEDS = {"train": (0, 1), "cycle": (0, 2), "result": (0, 1, 2, 3, 4)}
"""Questions on which a region waits, by their place."""
_PRODUCTS = ("gearhead", "motor", "brake", "drive", "resistor")


@dataclass(frozen=True, slots=True)
class DraftPart:
    """A part of the train as far as it is known."""

    name: str
    said: str
    drawing: str
    """SVG."""
    known: bool


@dataclass(frozen=True, slots=True)
class DraftQuestion:
    """A question that is answered by typing."""

    name: str
    text: str
    sample: str
    heard: Heard


@dataclass(frozen=True, slots=True)
class DraftView:
    """A new axis as far as it is answered."""

    heard: tuple[Heard, ...]
    questions: tuple[DraftQuestion, ...]
    parts: tuple[DraftPart, ...]
    motion: str
    """Speed over time as SVG; empty where the way is not known."""
    waits: dict[str, str]
    """On which answers ``train``, ``cycle`` and ``result`` wait; empty where on none."""
    picture: Picture | None = None
    """None before everything is answered, and where it cannot be judged."""
    short: ShortlistView | None = None
    fault: str = ""
    """Why it cannot be judged although everything is answered."""


def axis_text(answers: Sequence[str]) -> str:
    """The text of an axis file from five answers.

    Raises
    ------
    InputError
        An answer cannot be understood; the fault names it.
    """
    found, heard = hear(answers)
    named = zip(NAMES, heard, strict=True)
    faults = [Fault("", name, told.said) for name, told in named if told.refused]
    if faults:
        raise InputError("the five answers", faults)
    return file_text(found, _unheard)


def draft(answers: Sequence[str], line: ProductLine) -> DraftView:
    """A new axis from the answers that there are; nothing is kept.

    Parameters
    ----------
    answers : sequence of five str
        Mechanism, load, way, rate and mains.
    line : ProductLine
    """
    found, heard = hear(answers)
    asked, short, motion, fault = None, None, "", ""
    try:
        text = file_text(found, _unheard)
        if all(told.given for told in heard):
            judged = judge(Sheet(text, "axis.toml"), line, search=True)
            asked = picture(judged)
            if judged.shortlist is not None:
                short = shortlist(judged.shortlist, judged.verdict.combination)
        elif all(heard[k].given for k in _NEEDS["cycle"]):
            axis = read_axis("axis.toml", text=text)
            motion = _motion(axis.cycle, "m/s" if found.linear else "rad/s")
    except InputError as error:
        first = error.faults[0]
        fault = " ".join(t for t in (first.field, first.read, first.remedy) if t)
    return DraftView(
        heard=heard,
        questions=_questions(found, heard),
        parts=_parts(found, heard, asked),
        motion=motion,
        waits={name: _waits(heard, needs) for name, needs in _NEEDS.items()},
        picture=asked,
        short=short,
        fault=fault,
    )


def _unheard(_: str) -> None:
    """What a terminal would print is not said here."""


def _waits(heard: tuple[Heard, ...], needs: Sequence[int]) -> str:
    return listed([_OPEN[k] for k in needs if not heard[k].given])


def _questions(found: Answers, heard: tuple[Heard, ...]) -> tuple[DraftQuestion, ...]:
    field = found.asks[0]
    load = ("What inertia turns", "0.2 kg*m^2")
    if field == "mass":
        load = ("What mass moves, and how steeply", "12 kg upright")
    elif field.startswith("tension"):
        load = ("What tension has the web", "250 N")
    texts = (
        load,
        ("How far, in what time", "300 mm in 0.6 s" if found.linear else "90 deg in 0.25 s"),
        ("How often", "30 /min"),
        ("Which mains", "400 V three-phase"),
    )
    rows = zip(NAMES[1:], texts, heard[1:], strict=True)
    return tuple(DraftQuestion(name, *text, told) for name, text, told in rows)


def _parts(
    found: Answers, heard: tuple[Heard, ...], asked: Picture | None
) -> tuple[DraftPart, ...]:
    if asked is not None:
        return tuple(DraftPart(p.name, p.said, p.drawing, True) for p in asked.parts)
    picked, loaded = heard[0].given, heard[1].given
    mechanism = drawing_of(found.kind) if picked else ""
    said = found.load + (f", {found.slope}" if found.slope else "")
    cells = [
        DraftPart("Load", said if loaded else "question 2", drawing(_load(found)), loaded),
        DraftPart(
            TITLES[found.kind] if picked else "Mechanism",
            "" if picked else "pick one below",
            mechanism,
            picked,
        ),
    ]
    for kind in _PRODUCTS:
        cells.append(DraftPart(kind.capitalize(), "from the product line", drawing(kind), False))
    return tuple(cells)


def _load(found: Answers) -> str:
    """Name of the drawing of the load."""
    if found.asks[0] == "inertia":
        return "load-rotary"
    steep = abs(read_value(found.slope, "angle").si) if found.slope else 0.0
    return "load-upright" if steep > math.pi / 4 or found.kind == "hoist" else "load"


def _motion(cycle: Cycle, unit: str) -> str:
    """Speed over one cycle."""
    times, speeds = [], []
    for piece in cycle.pieces:
        local = np.linspace(0.0, piece.duration, 24)
        times.append(piece.start + local)
        speeds.append(piece.speed(local))
    time, speed = np.concatenate(times), np.concatenate(speeds)
    canvas = Canvas(344.0, 128.0, "motion")
    frame = Frame(canvas, 36.0, 14.0, 334.0, 108.0, (0.0, cycle.duration), span(speed, 0.08, 0.08))
    frame.ground()
    frame.y_grid(inside(*frame.y_range, 3))
    marks = inside(0.0, cycle.duration, 8)
    frame.x_grid(marks)
    canvas.text((36.0, 10.0), f"Speed, {unit}", weight=600)
    frame.curve(time, speed)
    return canvas.svg()
