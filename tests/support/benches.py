"""The made-up product lines and the dense block that the benchmarks time, loaded from their folder,
and every check on every combination without any screening."""

from __future__ import annotations

import importlib.util
import sys
from dataclasses import fields, replace
from pathlib import Path
from types import ModuleType

import numpy as np

from dutyline.catalogue.parts import ProductLine
from dutyline.checks.ledger import FAILS, MEETS, SHORT, UNCHECKED, judge
from dutyline.checks.listing import CHECKS
from dutyline.checks.sides import Choice
from dutyline.checks.trial import Trial

FOLDER = Path(__file__).resolve().parents[2] / "benchmarks"


def load(name: str) -> ModuleType:
    """A module of the folder benchmarks."""
    known = f"benchmarks_{name}"
    if known not in sys.modules:
        spec = importlib.util.spec_from_file_location(known, FOLDER / f"{name}.py")
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[known] = module
        spec.loader.exec_module(module)
    return sys.modules[known]


def plain_states(trial: Trial) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """Verdict of every combination from all checks on all of them, and the state by check."""
    fails, open_, short = (np.zeros(trial.size, dtype=bool) for _ in range(3))
    by_check = {}
    for check in CHECKS:
        judged = judge(trial, check)
        by_check[f"{check.id} {check.part}"] = np.where(judged.must, judged.state, -1)
        fails |= judged.must & (judged.state == FAILS)
        open_ |= judged.must & (judged.state == UNCHECKED)
        short |= judged.must & (judged.state == SHORT)
    state = np.where(short, SHORT, MEETS)
    state = np.where(open_, UNCHECKED, state)
    return np.where(fails, FAILS, state), by_check


def scattered(line: ProductLine, count: int, seed: int, *, without: bool = True) -> Choice:
    """Combinations at random, fitting or not; some without gearhead, brake or resistor."""
    rng = np.random.default_rng(seed)
    kinds = ("motors", "gearheads", "drives", "brakes", "resistors")
    bare = (False, True, False, True, True)
    columns = []
    for kind, none in zip(kinds, bare, strict=True):
        low = -1 if none and without else 0
        columns.append(rng.integers(low, len(getattr(line, kind)), count).astype(np.intp))
    return Choice(*columns)


def blanked(line: ProductLine, seed: int, share: float = 0.04) -> ProductLine:
    """The line with data missing here and there."""
    rng = np.random.default_rng(seed)
    kinds = {}
    for kind in ("motors", "gearheads", "drives", "brakes", "resistors"):
        kinds[kind] = tuple(
            replace(part, **{
                f.name: "" if f.type == "str" else () if str(f.type).startswith("tuple") else None
                for f in fields(part)
                if f.name not in ("name", "ratio", "ratio_exact") and rng.random() < share
            })
            for part in getattr(line, kind)
        )  # fmt: skip
    return replace(line, **kinds)
