"""Stops followed once are kept: what is asked for again, with others or alone, is bit for bit what
following anew gives."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from dutyline.axis.read import read_axis
from dutyline.demand import following
from dutyline.demand.following import Followed, follow
from dutyline.demand.output import output_demand

ARM = """
schema = 1
[axis]
title = "Arm"
[load]
inertia = "1.2 kg*m^2"
mass = "8 kg"
arm = "0.35 m"
angle = "-40 deg"
[mechanism]
kind = "swing-arm"
efficiency = 1
[[phase]]
do = "move"
by = "130 deg"
time = "0.7 s"
[[phase]]
do = "dwell"
time = "0.2 s"
[[phase]]
do = "move"
by = "-130 deg"
time = "0.9 s"
"""
RATIO, OWN = np.array([20.0, 30.0, 20.0]), np.array([4e-4, 3e-4, 4e-4])
TORQUE, DELAY = np.array([[2.5], [np.nan], [4.0]]), np.array([0.02, 0.05, 0.03])


@pytest.fixture(scope="module")
def states():
    found = output_demand(read_axis("axis.toml", text=ARM)).stops
    assert found.ways is not None
    return found


def forgetful(states):
    """The same states, from which nothing was followed yet."""
    return states.take(np.arange(states.size))


def same(one: Followed, other: Followed) -> bool:
    pairs = ((getattr(one, f.name), getattr(other, f.name)) for f in fields(Followed))
    return all(np.array_equal(a, b, equal_nan=True) for a, b in pairs)


def some(found: Followed, rows) -> Followed:
    return Followed(*(getattr(found, f.name)[rows] for f in fields(Followed)))


@pytest.mark.parametrize("room", [following.REMEMBERED, 0])
@pytest.mark.parametrize("driven", [False, True])
def test_kept_is_followed(states, monkeypatch, driven, room):
    monkeypatch.setattr(following, "REMEMBERED", room)
    kept = forgetful(states)
    whole = follow(kept, RATIO, OWN, TORQUE, DELAY, driven=driven)
    assert len(kept.followed) == (3 if room else 0)
    order = np.array([2, 0, 2, 1])
    again = follow(kept, *(v[order] for v in (RATIO, OWN, TORQUE, DELAY)), driven=driven)
    assert same(again, some(whole, order))
    for k in range(RATIO.size):
        one = [k]
        alone = follow(forgetful(states), RATIO[one], OWN[one], TORQUE[one], DELAY[one],
                       driven=driven)  # fmt: skip
        assert same(alone, some(whole, one))


@pytest.mark.parametrize("column", range(4))
def test_whatever_differs_is_followed_anew(states, column):
    kept = forgetful(states)
    given = [RATIO[:1], OWN[:1], TORQUE[:1], DELAY[:1]]
    first = follow(kept, *given)
    given[column] = given[column] * 1.01
    second = follow(kept, *given)
    assert not same(first, second)
    assert same(second, follow(forgetful(states), *given))


def test_a_driven_axis_is_no_free_one(states):
    kept = forgetful(states)
    given = (RATIO[:1], OWN[:1], TORQUE[:1], DELAY[:1])
    assert not same(follow(kept, *given), follow(kept, *given, driven=True))
