"""Laws that hold for every input: on a few random inputs always, on many in the slow tests."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings

FEW, MANY = 5, 120
_QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
_PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
"""An axis has some hundred numbers: making a failing one simpler would take minutes."""


def law(*strategies: Any, few: int = FEW, many: int = MANY) -> Callable[[Callable[..., None]], Any]:
    """Decorates a test of a law; ``law.often`` is the same test on many inputs."""

    def wrap(function: Callable[..., None]) -> Any:
        def on(count: int) -> Any:
            limits = settings(
                max_examples=count, deadline=None, suppress_health_check=_QUIET, phases=_PHASES
            )
            return limits(given(*strategies)(function))

        here = on(few)
        here.often = on(many)
        return here

    return wrap


def often(names: dict[str, Any]) -> list[Any]:
    """Every law of a module, for its slow test."""
    return [found for found in names.values() if hasattr(found, "often")]
