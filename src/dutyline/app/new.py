"""Five answers to an axis file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from dutyline.app.targets import check_name
from dutyline.axis import new as asking
from dutyline.core.errors import Fault, InputError
from dutyline.core.new_files import write_new


def require_free(target: str) -> None:
    """The file to be left must not be there yet, and its folder must.

    Raises
    ------
    InputError
        It is, or its folder is not.
    """
    path = Path(target)
    fault = check_name(path)
    if fault is None and not path.name:
        fault = Fault("", "--to", "a file is needed.", "Write --to axis.toml.")
    if fault is None and (path.exists() or path.is_symlink()):
        fault = Fault("", "", f"{target} exists; name another with --to, or edit it.")
    if fault:
        raise InputError(target, [fault])


def new(answers: Iterator[str], write: Callable[[str], None], target: str) -> None:
    """Ask five things and leave an axis file; one that exists is never touched.

    Parameters
    ----------
    answers : iterator of str
        One line each; an empty one leaves a question open.
    write : callable
        Takes the questions and what was understood.
    target : str
        The file to write.

    Raises
    ------
    InputError
        The file exists or cannot be written.
    """
    require_free(target)
    path = Path(target)
    title = path.stem.replace("-", " ").replace("_", " ").strip().capitalize() or "New axis"
    text = asking.ask(answers, write, title)
    try:
        write_new(path, text)
    except FileExistsError:
        require_free(target)
    except OSError as error:
        reason = error.strerror or str(error)
        fault = Fault("", "--to", f"this cannot be written: {reason}.", "Name another with --to.")
        raise InputError(target, [fault]) from None
