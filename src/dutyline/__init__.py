"""dutyline: find, prove and document servo axes.

>>> import dutyline as dl
>>> sorted(dl.__all__)[:3]
['Accessory', 'Audit', 'Axis']

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
    from dutyline.app.bring import bring, read_line
    from dutyline.app.compare import compare
    from dutyline.app.estimate import estimated
    from dutyline.app.line import overview_of
    from dutyline.app.order import order_list
    from dutyline.app.reach import reach
    from dutyline.app.replace import equivalents
    from dutyline.app.schema import schema
    from dutyline.app.select import select
    from dutyline.app.settle import settle, settled
    from dutyline.app.shared_bus import shared_bus
    from dutyline.app.verify import verify
    from dutyline.audit.records import Audit, Finding
    from dutyline.axis.model import Axis, Choose, Duty, Input, Question, Require, Site, Stop
    from dutyline.axis.read import read_axis
    from dutyline.catalogue.content import content_hash
    from dutyline.catalogue.export import write_line
    from dutyline.catalogue.library import demo_line
    from dutyline.catalogue.parts import (
        Accessory,
        Brake,
        Drive,
        Gearhead,
        Motor,
        ProductLine,
        Resistor,
    )
    from dutyline.checks.records import Check, Combination, Line, Remedy, Verdict
    from dutyline.core.errors import DutylineError, Fault, InputError, RangeError, ShapeError
    from dutyline.core.values import Value
    from dutyline.demand.output import OutputDemand
    from dutyline.demand.shared_bus import SharedBus
    from dutyline.intake.bring import Brought
    from dutyline.kept.records import Comparison
    from dutyline.motion.pieces import Cycle, Phase
    from dutyline.orders.records import OrderList, Position
    from dutyline.overview.records import Overview
    from dutyline.remedies.records import Reach
    from dutyline.replacement.read import read_plate
    from dutyline.replacement.records import Equivalent, Plate, Replacement
    from dutyline.selection.records import Shortlist
    from dutyline.studies.records import Settling

__version__ = VERSION

_HOME = {
    "app.advise": ("advise",),
    "app.bring": ("bring", "read_line"),
    "app.compare": ("compare",),
    "app.estimate": ("estimated",),
    "app.line": ("overview_of",),
    "app.order": ("order_list",),
    "app.reach": ("reach",),
    "app.replace": ("equivalents",),
    "app.schema": ("schema",),
    "app.select": ("select",),
    "app.settle": ("settle", "settled"),
    "app.shared_bus": ("shared_bus",),
    "app.verify": ("verify",),
    "audit.records": ("Audit", "Finding"),
    "axis.model": ("Axis", "Choose", "Duty", "Input", "Question", "Require", "Site", "Stop"),
    "axis.read": ("read_axis",),
    "catalogue.content": ("content_hash",),
    "catalogue.export": ("write_line",),
    "catalogue.library": ("demo_line",),
    "catalogue.parts": (
        "Accessory",
        "Brake",
        "Drive",
        "Gearhead",
        "Motor",
        "ProductLine",
        "Resistor",
    ),
    "checks.records": ("Check", "Combination", "Line", "Remedy", "Verdict"),
    "core.errors": ("DutylineError", "Fault", "InputError", "RangeError", "ShapeError"),
    "core.values": ("Value",),
    "demand.output": ("OutputDemand",),
    "demand.shared_bus": ("SharedBus",),
    "intake.bring": ("Brought",),
    "kept.records": ("Comparison",),
    "motion.pieces": ("Cycle", "Phase"),
    "orders.records": ("OrderList", "Position"),
    "overview.records": ("Overview",),
    "remedies.records": ("Reach",),
    "replacement.read": ("read_plate",),
    "replacement.records": ("Equivalent", "Plate", "Replacement"),
    "selection.records": ("Shortlist",),
    "studies.records": ("Settling",),
}
_MODULE = {name: module for module, names in _HOME.items() for name in names}

__all__ = [
    "Accessory",
    "Audit",
    "Axis",
    "Brake",
    "Brought",
    "Check",
    "Choose",
    "Combination",
    "Comparison",
    "Cycle",
    "Drive",
    "Duty",
    "DutylineError",
    "Equivalent",
    "Fault",
    "Finding",
    "Gearhead",
    "Input",
    "InputError",
    "Line",
    "Motor",
    "OrderList",
    "OutputDemand",
    "Overview",
    "Phase",
    "Plate",
    "Position",
    "ProductLine",
    "Question",
    "RangeError",
    "Reach",
    "Remedy",
    "Replacement",
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
    "bring",
    "compare",
    "content_hash",
    "demand",
    "demo_line",
    "equivalents",
    "estimated",
    "order_list",
    "overview_of",
    "reach",
    "read_axis",
    "read_line",
    "read_plate",
    "report",
    "schema",
    "select",
    "settle",
    "settled",
    "shared_bus",
    "verify",
    "write_line",
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
    """Write the report of a verdict, PDF, HTML or a workbook (XLSX) by the ending of its name.

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
