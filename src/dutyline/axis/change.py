"""The same axis with some fields changed: for remedies, studies and comparisons."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from dutyline.axis.fields import SECTIONS
from dutyline.axis.model import Axis
from dutyline.axis.paths import PathError, set_path
from dutyline.axis.read import axis_of
from dutyline.core.errors import Fault, InputError
from dutyline.core.toml_lines import LineIndex
from dutyline.core.toml_text import Document


def changed(axis: Axis, changes: Mapping[str, Any]) -> Axis:
    """An axis with the fields at some paths set anew, checked like a file.

    Parameters
    ----------
    axis : Axis
        As read.
    changes : mapping of str to object
        Path (``load.mass``, ``phase.up.time``, ``stage.2.ratio``) to what would stand in the file
        (``"28 kg"``, ``0.92``, ``["carton"]``); None leaves the field out.

    Returns
    -------
    Axis

    Raises
    ------
    InputError
        There is no such path, or the axis cannot be used any more.

    Notes
    -----
    No text is written and read again; the axis has no checksum. A stated number in SI is written
    as ``f"{si!r} {unit}"`` with the unit of :class:`dutyline.core.values.Value`.
    """
    stated = {name: copy.deepcopy(list(tables)) for name, tables in axis.stated.items()}
    for path, item in changes.items():
        try:
            set_path(stated, path, item)
        except PathError as error:
            fault = Fault("", path, "there is no such field to set.", error.remedy)
            raise InputError("the change", [fault]) from None
    return axis_of(_document(axis, stated))


def _document(axis: Axis, stated: dict[str, list[dict[str, Any]]]) -> Document:
    """The fields as a file would hold them; every one of a section stands on its first line."""
    data: dict[str, Any] = {"schema": 1}
    for name, tables in stated.items():
        if tables:
            data[name] = tables if SECTIONS[name].many else tables[0]
    lines = LineIndex({(name,): 1 for name in stated})
    return Document(axis.file or "axis", data, lines, (), "", files=dict(axis.files))
