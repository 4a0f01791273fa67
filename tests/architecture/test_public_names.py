"""What ``import dutyline`` offers is a deliberate list."""

from __future__ import annotations

import inspect

import pytest

import dutyline

pytestmark = pytest.mark.architecture

FUNCTIONS = {
    "advise",
    "audit",
    "bring",
    "compare",
    "content_hash",
    "demand",
    "demo_line",
    "order_list",
    "equivalents",
    "overview_of",
    "reach",
    "estimated",
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
}
RECORDS = {
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
    "Equivalent",
    "Fault",
    "Finding",
    "Gearhead",
    "Input",
    "Line",
    "Motor",
    "OrderList",
    "OutputDemand",
    "Overview",
    "Phase",
    "Position",
    "Plate",
    "ProductLine",
    "Question",
    "Reach",
    "Remedy",
    "Replacement",
    "Require",
    "Resistor",
    "Settling",
    "SharedBus",
    "Shortlist",
    "Site",
    "Stop",
    "Value",
    "Verdict",
}
ERRORS = {"DutylineError", "InputError", "RangeError", "ShapeError"}


def test_the_list_is_the_list():
    assert set(dutyline.__all__) == FUNCTIONS | RECORDS | ERRORS | {"__version__"}


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_functions_are_functions_with_a_docstring(name):
    thing = getattr(dutyline, name)
    assert callable(thing)
    assert not inspect.ismodule(thing)
    assert not inspect.isclass(thing)
    assert (thing.__doc__ or "").strip()


@pytest.mark.parametrize("name", sorted(RECORDS | ERRORS))
def test_records_and_errors_are_classes_with_a_docstring(name):
    thing = getattr(dutyline, name)
    assert inspect.isclass(thing)
    assert (thing.__doc__ or "").strip()


def test_functions_stay_callable_after_their_packages_are_loaded():
    """The packages ``demand`` and ``report`` share their names with functions."""
    import dutyline.demand.output
    import dutyline.report.build

    assert inspect.isfunction(dutyline.demand)
    assert inspect.isfunction(dutyline.report)


def test_unknown_names_are_refused():
    with pytest.raises(AttributeError, match="no_such_thing"):
        dutyline.no_such_thing  # noqa: B018


def test_dir_lists_the_names():
    assert set(dutyline.__all__) <= set(dir(dutyline))
