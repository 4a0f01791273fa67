"""Options that several verbs share, and the streams they decide about."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import click

from dutyline.cli.screen import Screen, screen_for

F = TypeVar("F", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class Face:
    """How an answer is to look."""

    json: bool = False
    ascii: bool = False
    color: str | None = None
    quiet: bool = False
    verbose: bool = False
    words: bool = False

    def screen(self) -> Screen:
        """Standard output."""
        return screen_for(sys.stdout, ascii=self.ascii, colour=self.color, words=self.words)

    def notes(self) -> Screen:
        """Standard error, judged for itself."""
        return screen_for(sys.stderr, ascii=self.ascii, colour=self.color, words=self.words)


def how_far(function: F) -> F:
    """``--how-far``"""
    told = "Also how far each input may go, smaller parts, gear ratios, open questions."
    return click.option("--how-far", is_flag=True, help=told)(function)


def settle(function: F) -> F:
    """``--settle``"""
    told = "Simulate how the load settles after its motions; the simulation decides."
    return click.option("--settle", is_flag=True, help=told)(function)


def estimate(function: F) -> F:
    """``--estimate``"""
    told = "Estimate what the line does not state; every check says what it rests on."
    return click.option("--estimate", is_flag=True, help=told)(function)


def face(function: F) -> F:
    """``--json --ascii --color -q -v --words``, as one :class:`Face`."""

    def called(
        *args: Any, json: bool, ascii: bool, color: str | None, quiet: bool, verbose: bool,
        words: bool, **rest: Any,
    ) -> Any:  # fmt: skip
        chosen = Face(json, ascii, color, quiet, verbose, words)
        return function(*args, face=chosen, **rest)

    called.__name__ = function.__name__
    called.__doc__ = function.__doc__
    called.__click_params__ = getattr(function, "__click_params__", [])  # type: ignore[attr-defined]
    decorators = [
        click.option("--json", is_flag=True, help="The answer for programs, in SI units."),
        click.option("--ascii", is_flag=True, help="Letters and signs of ASCII alone."),
        click.option(
            "--color",
            type=click.Choice(["always", "never"]),
            help="Colour decided; without it a terminal gets it unless NO_COLOR is set.",
        ),
        click.option("-q", "quiet", is_flag=True, help="The first sentence alone."),
        click.option("-v", "verbose", is_flag=True, help="Formula, inputs and source as well."),
        click.option("--words", is_flag=True, help="Leave the duty line out (screen readers)."),
    ]
    for decorate in reversed(decorators):
        called = decorate(called)
    return called  # type: ignore[return-value]


def face_of(arguments: Sequence[str]) -> Face:
    """The face that the arguments ask for, also where they cannot be used otherwise."""
    color = None
    for k, argument in enumerate(arguments):
        if argument == "--color" and k + 1 < len(arguments):
            color = arguments[k + 1]
        elif argument.startswith("--color="):
            color = argument.partition("=")[2]
    return Face(ascii="--ascii" in arguments, color=color)


def axis_source(function: F) -> F:
    """``FILE`` or ``--example NAME``, and ``--variant NAME`` of it."""
    function = click.option("--variant", metavar="NAME", help="A variant that the file states.")(
        function
    )
    function = click.option("--example", metavar="NAME", help="An axis that ships: lift, ...")(
        function
    )
    return click.argument("file", required=False, metavar="[FILE]")(function)


def line_folder(function: F) -> F:
    """``--line PATH``"""
    return click.option(
        "--line",
        "folder",
        metavar="PATH",
        help="A product line, or a mapping file; else the invented one.",
    )(function)


def parts(required: bool) -> Callable[[F], F]:
    """``--motor --gearhead --drive --brake --resistor``"""

    def decorate(function: F) -> F:
        for part in ("resistor", "brake", "drive", "gearhead", "motor"):
            needed = required and part == "motor"
            text = "Left out: taken from the pairings." if part == "drive" else ""
            text = text or ("" if needed else "Left out: there is none.")
            function = click.option(f"--{part}", metavar="NAME", required=needed, help=text)(
                function
            )
        return function

    return decorate
