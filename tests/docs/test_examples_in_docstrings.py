"""Every example in a docstring gives what it says, and physics functions name their source."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil

import pytest

import dutyline
from dutyline import physics

pytestmark = pytest.mark.docs

MODULES = [
    m.name
    for m in pkgutil.walk_packages(dutyline.__path__, "dutyline.")
    if not m.name.endswith("__main__")
]


@pytest.mark.parametrize("name", MODULES)
def test_examples_of_a_module(name):
    found = doctest.testmod(importlib.import_module(name), optionflags=doctest.ELLIPSIS)
    assert found.failed == 0, f"{found.failed} of {found.attempted} examples of {name}"


def relations():
    """Public functions of the physics folder."""
    for item in pkgutil.iter_modules(physics.__path__, "dutyline.physics."):
        module = importlib.import_module(item.name)
        if item.name.endswith(".ranges"):
            continue
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == item.name and not name.startswith("_"):
                yield pytest.param(function, id=f"{item.name.rpartition('.')[2]}.{name}")


@pytest.mark.parametrize("function", list(relations()))
def test_a_relation_says_where_it_comes_from_and_shows_a_number(function):
    text = inspect.getdoc(function)
    assert "Source\n------" in text, "where does it come from?"
    assert ">>>" in text, "show one number"
    for name in inspect.signature(function).parameters:
        assert name in text, f"what is {name}?"
