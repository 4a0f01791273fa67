"""dutyline: find, prove and document servo axes.

>>> import dutyline as dl
>>> sorted(dl.__all__)[:3]
['Audit', 'Axis', 'Brake']

The usual way through: :func:`read_axis`, :func:`demand`, :func:`select` or :func:`verify`,
:func:`report`. Everything is loaded when it is first used.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

# These packages share their names with functions below; loaded first, they give the names up.
import dutyline.audit
import dutyline.demand
import dutyline.report  # noqa: F401
from dutyline.core.version import VERSION

if TYPE_CHECKING:
    from os import PathLike

    from dutyline.app.advise import advise
    from dutyline.app.estimate import estimated
    from dutyline.app.line import overview_of
    from dutyline.app.reach import reach
    from dutyline.app.schema import schema
    from dutyline.app.select import select
    from dutyline.app.settle import settle, settled
    from dutyline.app.shared_bus import shared_bus
    from dutyline.app.verify import verify
    from dutyline.audit.records import Audit, Finding
    from dutyline.axis.model import Axis, Choose, Duty, Input, Question, Require, Site, Stop
    from dutyline.axis.read import read_axis
    from dutyline.catalogue.library import demo_line, read_line
    from dutyline.catalogue.parts import Brake, Drive, Gearhead, Motor, ProductLine, Resistor
    from dutyline.checks.records import Check, Combination, Line, Remedy, Verdict
    from dutyline.core.errors import DutylineError, Fault, InputError, RangeError, ShapeError
    from dutyline.core.values import Value
    from dutyline.demand.output import OutputDemand
    from dutyline.demand.shared_bus import SharedBus
    from dutyline.motion.pieces import Cycle, Phase
    from dutyline.overview.records import Overview
    from dutyline.remedies.records import Reach
    from dutyline.selection.records import Shortlist
    from dutyline.studies.records import Settling

__version__ = VERSION

_HOME = {
    "app.advise": ("advise",),
    "app.estimate": ("estimated",),
    "app.line": ("overview_of",),
    "app.reach": ("reach",),
    "app.schema": ("schema",),
    "app.select": ("select",),
    "app.settle": ("settle", "settled"),
    "app.shared_bus": ("shared_bus",),
    "app.verify": ("verify",),
    "audit.records": ("Audit", "Finding"),
    "axis.model": ("Axis", "Choose", "Duty", "Input", "Question", "Require", "Site", "Stop"),
    "axis.read": ("read_axis",),
    "catalogue.library": ("demo_line", "read_line"),
    "catalogue.parts": ("Brake", "Drive", "Gearhead", "Motor", "ProductLine", "Resistor"),
    "checks.records": ("Check", "Combination", "Line", "Remedy", "Verdict"),
    "core.errors": ("DutylineError", "Fault", "InputError", "RangeError", "ShapeError"),
    "core.values": ("Value",),
    "demand.output": ("OutputDemand",),
    "demand.shared_bus": ("SharedBus",),
    "motion.pieces": ("Cycle", "Phase"),
    "overview.records": ("Overview",),
    "remedies.records": ("Reach",),
    "selection.records": ("Shortlist",),
    "studies.records": ("Settling",),
}
_MODULE = {name: module for module, names in _HOME.items() for name in names}

__all__ = [
    "Audit",
    "Axis",
    "Brake",
    "Check",
    "Choose",
    "Combination",
    "Cycle",
    "Drive",
    "Duty",
    "DutylineError",
    "Fault",
    "Finding",
    "Gearhead",
    "Input",
    "InputError",
    "Line",
    "Motor",
    "OutputDemand",
    "Overview",
    "Phase",
    "ProductLine",
    "Question",
    "RangeError",
    "Reach",
    "Remedy",
    "Require",
    "Resistor",
    "Settling",
    "ShapeError",
    "SharedBus",
    "Shortlist",
    "Site",
    "Stop",
    "Value",
    "Verdict",
    "__version__",
    "advise",
    "audit",
    "demand",
    "demo_line",
    "estimated",
    "overview_of",
    "reach",
    "read_axis",
    "read_line",
    "report",
    "schema",
    "select",
    "settle",
    "settled",
    "shared_bus",
    "verify",
]


def audit(line: ProductLine | None = None) -> Audit:
    """Hold the figures of a product line against each other and against their families.

    Parameters
    ----------
    line : ProductLine, optional
        As :func:`read_line` returns it; the invented line that ships when left out. Nothing of it
        is changed.

    Returns
    -------
    Audit
        Findings with the place of the figure, what it should be, the ratio and the likely slip.
    """
    from dutyline.app import audit as verb

    return verb.audit(line)


def demand(axis: Axis) -> OutputDemand:
    """Demand of an axis at its output shaft; no rotor, brake or gearhead is in it.

    Parameters
    ----------
    axis : Axis
        As :func:`read_axis` returns it.

    Returns
    -------
    OutputDemand
        Peak, rms and mean figures in SI, and the pieces they come from.
    """
    from dutyline.app import demand as verb

    return verb.demand(axis)


def report(
    verdict: Verdict,
    path: str | PathLike[str],
    shortlist: Shortlist | None = None,
    *,
    how_far: bool = False,
    data: str | PathLike[str] | None = None,
) -> None:
    """Write the report of a verdict, PDF or HTML by the ending of its name.

    Parameters
    ----------
    verdict : Verdict
        As :func:`verify` or :func:`select` returns it. The same verdict gives the same bytes.
    path : str or PathLike
        The file to write; replaced when it exists.
    shortlist : Shortlist, optional
        The search that it came from, for the options considered.
    how_far : bool
        Also how far the combination carries, as :func:`reach` finds it; some seconds.
    data : str or PathLike, optional
        A folder for the numbers behind the plots, one CSV file each.
    """
    from dutyline.app import report as verb

    verb.report(verdict, path, shortlist, how_far=how_far, data=data)


def __getattr__(name: str) -> Any:
    if name not in _MODULE:
        raise AttributeError(f"module 'dutyline' has no attribute {name!r}")
    value = getattr(importlib.import_module(f"dutyline.{_MODULE[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
