"""Where an axis comes from: a file, standard input, or an example that ships."""

from __future__ import annotations

import difflib
import sys
from pathlib import Path

from dutyline.app.variants import variant_of
from dutyline.axis.model import Axis
from dutyline.axis.read import read_axis
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import Fault, InputError
from dutyline.core.places import PACKAGE

AXIS_FILE = "axis.toml"
STANDARD_INPUT = "standard input"


def examples_folder() -> Path:
    """The examples: inside the installed package, or beside the sources in a checkout."""
    inside = PACKAGE / "examples"
    return inside if inside.is_dir() else PACKAGE.parents[1] / "examples"


def example_names() -> tuple[str, ...]:
    """Names of the examples that ship, in alphabetical order."""
    return tuple(sorted(p.parent.name for p in examples_folder().glob(f"*/{AXIS_FILE}")))


def example_file(name: str) -> Path:
    """The axis file of an example.

    Raises
    ------
    InputError
        There is no such example; the names are listed.
    """
    names = example_names()
    if name in names:
        return examples_folder() / name / AXIS_FILE
    close = difflib.get_close_matches(name, names, n=1, cutoff=0.5)
    near = f'The nearest is "{close[0]}". ' if close else ""
    fault = Fault("", "--example", f'there is no example "{name}".', f"{near}{listed(names)}")
    raise InputError(f"example {name}", [fault])


def example_text(name: str) -> str:
    """The axis file of an example as text.

    Raises
    ------
    InputError
        There is no such example; the names are listed.
    """
    return example_file(name).read_text(encoding="utf-8")


def axis_of_text(text: str, file: str = AXIS_FILE, variant: str | None = None) -> Axis:
    """The axis of a text, or a variant of it; files that it names beside are not read.

    Raises
    ------
    InputError
        The axis cannot be used; there is no such variant.
    """
    return variant_of(read_axis(file, text=text), variant)


def listed(names: tuple[str, ...]) -> str:
    """The examples that there are, as a sentence."""
    return f"There are {', '.join(names)}." if names else "No example is installed."


def axis_from(file: str | None, example: str | None = None, variant: str | None = None) -> Axis:
    """The axis of a file, of standard input (``-``), or of an example; or a variant of it.

    Raises
    ------
    InputError
        Nothing, or two things, were named; the axis cannot be used; there is no such variant.
    """
    return variant_of(_axis_from(file, example), variant)


def _axis_from(file: str | None, example: str | None) -> Axis:
    if (file is None) == (example is None):
        read = "no axis file is named." if file is None else "a file and an example are named."
        remedy = "Name one file, - for standard input, or --example lift."
        raise InputError("the command", [Fault("", "", read, remedy)])
    if example is not None:
        return read_axis(example_file(example))
    if file == "-" and sys.stdin is None:
        fault = Fault("", "", "standard input is closed.", "Name a file, or send the text to it.")
        raise InputError(STANDARD_INPUT, [fault])
    if file == "-":
        text = sys.stdin.buffer.read().decode("utf-8", "surrogateescape")
        return read_axis(STANDARD_INPUT, text=text)
    return read_axis(Path(str(file)))


def line_from(folder: str | None, estimate: bool = False) -> ProductLine:
    """The line of a folder or mapping, or the one that ships; with what it lacks estimated."""
    line = demo_line() if folder is None else _line_of(folder)
    if estimate:
        from dutyline.estimates.fill import estimated

        return estimated(line)
    return line


def _line_of(folder: str) -> ProductLine:
    from dutyline.app.bring import read_line

    return read_line(folder)
