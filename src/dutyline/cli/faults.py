"""What a reader sees when something cannot be done: sentences, never a traceback."""

from __future__ import annotations

import difflib
import platform
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path

import click

from dutyline.cli.marks import FAILS, shape
from dutyline.cli.screen import Screen
from dutyline.core.errors import DutylineError, InputError

FAULT_FILE = "dutyline-fault.txt"


def input_error(screen: Screen, error: DutylineError) -> list[str]:
    """All faults of the input, the head line with its mark."""
    mark = shape(screen, FAILS)
    if not isinstance(error, InputError):
        return screen.wrap(f"{error} Nothing was written.", f"{mark} ")
    count = len(error.faults)
    noun = "fault" if count == 1 else "faults"
    subject = screen.yours(error.subject) if error.subject else "The input"
    head = f"{subject} cannot be used: {count} {noun}. Nothing was computed or written."
    lines = screen.wrap(head, f"{mark} ")
    for fault in error.faults:
        lines.append("")
        first, _, remedy = fault.text().partition("\n")
        lines += screen.wrap(first)
        lines += screen.wrap(remedy.strip(), "  ") if remedy else []
    return lines


def usage_error(screen: Screen, error: click.ClickException) -> list[str]:
    """A wrong option or argument: what was read, the nearest that exists, where help is."""
    context = getattr(error, "ctx", None)
    command = context.command_path if context else "dutyline"
    said, remedy = _usage(error, context)
    lines = screen.wrap(said, f"{shape(screen, FAILS)} ")
    lines += screen.wrap(remedy, "  ") if remedy else []
    return [*lines, f'  "{command} --help" says more.']


def _usage(error: click.ClickException, context: click.Context | None) -> tuple[str, str]:
    if isinstance(error, click.NoSuchOption):
        told = f'There is no option "{error.option_name}".'
        if error.option_name == "--line" and context is not None and _takes_line(context):
            return told, f'The line stands alone: "dutyline {context.info_name} my-line".'
        return told, _nearest(error.option_name, _options(context))
    if isinstance(error, click.MissingParameter) and error.param is not None:
        return f"{_parameter(error.param)} is needed.", ""
    if isinstance(error, click.BadParameter) and error.param is not None:
        return f"{_parameter(error.param)}: {_sentence(error.message)}", ""
    return _sentence(error.format_message()), ""


def _options(context: click.Context | None) -> list[str]:
    if context is None:
        return []
    return [o for p in context.command.params for o in p.opts]


def _takes_line(context: click.Context) -> bool:
    """Whether a verb takes the product line without an option."""
    return any(p.name == "folder" and isinstance(p, click.Argument) for p in context.command.params)


def _nearest(word: str, known: Sequence[str]) -> str:
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return f'The nearest is "{close[0]}".' if close else ""


def _parameter(param: click.Parameter) -> str:
    long = max(param.opts, key=len)
    return f'"{long}"' if long.startswith("-") else long.upper()


def _sentence(text: str) -> str:
    text = text.strip()
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) else text + "."


def program_fault(screen: Screen, error: BaseException, arguments: Sequence[str], version: str,
                  file: str = "") -> list[str]:  # fmt: skip
    """The sentences for a fault of the program; the details go into a file."""
    details = [
        f"dutyline {version}, Python {platform.python_version()}, {platform.platform()}",
        "arguments: " + " ".join(arguments),
        "",
        "".join(traceback.format_exception(error)),
    ]
    path = _write_details("\n".join(details))
    untouched = f" {file} is untouched." if file else ""
    lines = screen.wrap(f"dutyline stopped because of its own fault, not yours.{untouched}")
    if path:
        lines += screen.wrap(f"Details for a report are in {path}.")
    return lines


def named_file(arguments: Sequence[str]) -> str:
    """The axis file among the arguments, or empty."""
    return next((a for a in arguments if a.endswith(".toml")), "")


def _write_details(text: str) -> str:
    for folder in (Path(), Path(tempfile.gettempdir())):
        path = folder / FAULT_FILE
        try:
            path.write_text(text, encoding="utf-8")
        except OSError:
            continue
        return str(path)
    return ""
