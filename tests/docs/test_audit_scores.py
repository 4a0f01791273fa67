"""The scores of the audit that the docs state are those of the benchmark."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.docs


def load(path: str):
    spec = importlib.util.spec_from_file_location(Path(path).stem, ROOT / path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
def test_scores_are_current():
    tool = load("tools/audit_scores.py")
    assert tool.TRIALS >= 200
    assert tool.page() == tool.PAGE.read_text(encoding="utf-8"), "./do docs"


def test_same_seed_same_trials():
    import sys

    bench = load("tools/audit_scores.py").bench
    first, second = (list(bench.trials(6, 3)) for _ in range(2))
    assert first == second
    assert {t.kind for t in first} == set(bench.KINDS)
    assert all(t.before != t.after for t in first)
    sys.modules.pop("audit", None)
