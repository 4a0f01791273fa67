"""The reference runs of a settling simulation, stated in drives-examples.toml with their band."""

from __future__ import annotations

import math

import pytest
from tests.published.of_settling import SETTLING, simulated

pytestmark = pytest.mark.published


@pytest.mark.parametrize("run", SETTLING["run"], ids=lambda run: run["id"])
def test_agrees_with_the_reference_run(run: dict[str, float]) -> None:
    found = simulated(run, SETTLING["substeps"])
    if math.isinf(run["settle_s"]):
        assert math.isinf(found)
    else:
        assert found == pytest.approx(run["settle_s"], rel=SETTLING["rel_tol"])


def test_every_run_stands_there() -> None:
    names = ["slow", "middle", "fast", "slow-with-backlash", "slow-torque-limited", "never"]
    assert [run["id"] for run in SETTLING["run"]] == names
