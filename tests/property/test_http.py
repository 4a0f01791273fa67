"""Requests made from the interface's own description: never a fault of the program."""

from __future__ import annotations

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.specs.openapi.checks import positive_data_acceptance

from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from dutyline.web.server import application

pytestmark = [pytest.mark.property, pytest.mark.slow]

_desk = Desk(MemoryStore(), demo_line())
schema = schemathesis.openapi.from_asgi("/openapi.json", application(_desk, "0" * 16))


@schema.parametrize()
@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
def test_every_request_is_answered_as_described(case: schemathesis.Case) -> None:
    """One check is left out: an axis is a text, and not every text is an axis, so what fits the
    description may be refused; that it is refused in the described form is still checked."""
    case.call_and_validate(excluded_checks=[positive_data_acceptance])
