"""Bodies against sums over thin slices, each slice a disc or a plate."""

from __future__ import annotations

import numpy as np
import pytest

from dutyline.core.errors import RangeError
from dutyline.physics import bodies
from dutyline.train.bodies import build_body
from dutyline.train.parameters import BodyParams

SLICES = 100_000
STEP = (np.arange(SLICES) + 0.5) / SLICES


def across(radius: np.ndarray, place: np.ndarray, thickness: float) -> tuple[float, float]:
    """Mass (density 1) of round slices and their inertia across the axis, about the centre."""
    mass = np.pi * radius**2 * thickness
    centre = np.sum(mass * place) / np.sum(mass)
    return float(np.sum(mass)), float(np.sum(mass * (radius**2 / 4 + (place - centre) ** 2)))


def test_cone() -> None:
    radius, height = 0.3, 0.8
    mass, sideways = across(radius * (1 - STEP), height * STEP, height / SLICES)
    found = bodies.cone_inertia_across(mass, 2 * radius, height)
    assert float(found) == pytest.approx(sideways, rel=1e-6)
    own = np.sum(np.pi * (radius * STEP) ** 4 / 2) * height / SLICES
    assert float(bodies.cone_inertia(mass, 2 * radius)) == pytest.approx(own, rel=1e-6)
    stated = build_body(BodyParams(shape="cone", density=1.0, diameter=0.6, length=0.8))
    assert stated.mass == pytest.approx(mass, rel=1e-6)


def test_hollow_cylinder() -> None:
    outer, outer_across = across(np.full(SLICES, 0.2), 0.5 * STEP, 0.5 / SLICES)
    inner, inner_across = across(np.full(SLICES, 0.1), 0.5 * STEP, 0.5 / SLICES)
    mass = outer - inner
    found = bodies.cylinder_inertia_across(mass, 0.4, 0.5, 0.2)
    assert float(found) == pytest.approx(outer_across - inner_across, rel=1e-6)
    own = bodies.cylinder_inertia(outer, 0.4) - bodies.cylinder_inertia(inner, 0.2)
    assert float(bodies.cylinder_inertia(mass, 0.4, 0.2)) == pytest.approx(float(own))


def test_sphere() -> None:
    place = 2 * STEP - 1
    radius = np.sqrt(1 - place**2)
    mass, sideways = across(radius, place, 2 / SLICES)
    assert float(bodies.sphere_inertia(mass, 2.0)) == pytest.approx(sideways, rel=1e-6)
    stated = build_body(BodyParams(shape="sphere", density=1.0, diameter=2.0))
    assert stated.mass == pytest.approx(mass, rel=1e-6)


def test_cuboid_axis_follows_its_turn() -> None:
    """Length along the axis when axial; height along it when transverse."""
    block = {"shape": "cuboid", "mass": 12.0, "length": 0.3, "width": 0.4, "height": 0.1}
    assert build_body(BodyParams(**block)).inertia == pytest.approx(0.4**2 + 0.1**2)
    flat = build_body(BodyParams(**block, turn="transverse"))
    assert flat.inertia == pytest.approx(0.25)


def test_rod_with_a_sphere_at_its_end() -> None:
    """OpenStax, University Physics Vol. 1, example 10.12: 0.673 kg*m^2 (from memory)."""
    rod = build_body(BodyParams(shape="rod", mass=2.0, length=0.5, radius=0.25))
    ball = build_body(BodyParams(shape="sphere", mass=1.0, diameter=0.4, radius=0.7))
    assert rod.inertia + ball.inertia == pytest.approx(0.673, abs=5e-4)


def test_thin_and_thick_ring() -> None:
    thin = build_body(BodyParams(shape="ring", mass=2.0, diameter=1.0))
    assert thin.inertia == pytest.approx(0.5)
    assert build_body(
        BodyParams(shape="ring", mass=2.0, diameter=1.0, turn="transverse")
    ).inertia == pytest.approx(0.25)
    thick = build_body(BodyParams(shape="ring", mass=2.0, diameter=1.0, bore=0.9))
    assert thick.inertia == pytest.approx(2 * (1 + 0.81) / 8)


def test_material_gives_the_mass() -> None:
    steel = build_body(
        BodyParams(shape="cuboid", material="steel", length=1, width=0.1, height=0.1)
    )
    assert steel.mass == pytest.approx(78.5)


def test_bore_as_wide_as_the_body() -> None:
    with pytest.raises(RangeError, match="bore"):
        bodies.cylinder_inertia(1.0, 0.1, 0.1)
