"""Demand against a plain dense sampling: equal within its step error, which falls as it should.

The sampling (tests/support/dense.py) knows nothing of the package's integrals. Midpoint sums are
exact to the square of the step where the torque has no jump inside a piece of the motion, so
the difference falls with it, as an error of the demand would not.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import strategies as st

from dutyline.catalogue.boundaries import Boundary
from dutyline.demand.bus import BusSide, bus_use
from dutyline.demand.currents import Windings, rms_current
from dutyline.demand.limits import continuous_limit, worst_point
from dutyline.demand.motor import peak_torque, piece_reach, rms_torque
from dutyline.demand.output import output_demand
from dutyline.demand.overload import overload_use
from support import axes, dense
from support.axes import EXAMPLES
from support.cycles import motor_energies, shaft
from support.laws import law, often

pytestmark = pytest.mark.property

COARSE, FINE = 150, 1200
FLOOR = 1e-9
GEAR = (6.0, 3e-4, 0.94, 0.05)
CURVE = ((1.2, 1.4), (1.5, 0.62), (2.0, 0.23), (3.0, 0.06))
PLACES = np.zeros(1, dtype=np.intp)
JUMPS = ("press", "spindle")
"""Examples with a jump inside a piece of the motion: the error falls with the step only."""


class Case:
    """One axis with one gearhead and motor, both ways; the motor sized to its own demand."""

    def __init__(self, axis, gear=GEAR) -> None:
        self.axis = axis
        self.out = output_demand(axis)
        self.gear = gear
        self.shafts = shaft(*gear)
        self.peak = float(peak_torque(self.out, self.shafts)[0][0])
        self.rms = float(rms_torque(self.out, self.shafts)[0])
        self.top = gear[0] * self.out.peak_speed
        constant = 0.4
        stall = 0.8 * self.rms / constant
        # peak current at which the largest torque is just inside the saturated range
        self.winding = dense.Winding(constant, stall, 1.3 * self.peak / constant / 0.9, 0.9)
        self.windings = Windings(
            *(
                np.array([v])
                for v in (
                    self.winding.constant,
                    self.winding.stall,
                    self.winding.peak,
                    self.winding.bent,
                )
            )
        )
        self.reference = 0.9 * stall
        knots = self.top * np.array([0.0, 0.31, 0.52, 0.83, 1.1])
        self.boundary = Boundary(knots, self.peak * np.array([1.5, 1.45, 1.1, 1.2, 0.3]), "made up")
        power = self.out.energy_motoring / self.out.cycle_time + 1e-9
        self.electric = {
            "resistance": 0.02 * power / (self.rms / constant) ** 2 / 3,
            "iron": 0.03 * power,
            "speed_rated": 0.5 * self.top,
            "exponent": 1.5,
            "fixed": 0.004 * power,
            "per_ampere": 0.004 * power / (self.rms / constant),
        }
        returned = motor_energies(self.out, self.shafts)[1]
        self.capacity = 0.2 * returned
        self.side = BusSide(
            *(
                np.array([v])
                for v in (
                    self.electric["resistance"],
                    self.electric["iron"],
                    self.electric["speed_rated"],
                    1.5,
                    self.electric["fixed"],
                    self.electric["per_ampere"],
                    self.capacity,
                )
            )
        )

    @cache  # noqa: B019
    def sampled(self, steps: int):
        out = dense.output_samples(self.axis, steps)
        return out, dense.motor_samples(out, *self.gear)


CASES = {name: Case(make()) for name, make in EXAMPLES.items()}
examples = pytest.mark.parametrize("name", EXAMPLES)


def number(array) -> float:
    return float(np.asarray(array).ravel()[0])


def use(case):
    return overload_use(
        case.out, case.shafts, case.windings, np.array([case.reference]), CURVE, 2.0
    )


def burden(case):
    return bus_use(case.out, case.shafts, case.windings, case.side)


def bus(case, motor):
    return dense.bus(motor, case.winding, case.capacity, **case.electric)


FIGURES = {
    "rms": (lambda c: c.out.rms_torque, lambda c, o, m: o.rms),
    "mean": (lambda c: c.out.mean(c.out.torque), lambda c, o, m: o.mean(o.torque)),
    "mean speed": (lambda c: c.out.mean_speed, lambda c, o, m: o.mean(np.abs(o.speed))),
    "cubic mean": (lambda c: c.out.equivalent_torque(3.0), lambda c, o, m: o.equivalent(3.0)),
    "equivalent": (lambda c: c.out.equivalent_torque(10 / 3),
                   lambda c, o, m: o.equivalent(10 / 3)),
    "motoring": (lambda c: c.out.energy_motoring, lambda c, o, m: o.motoring),
    "returned": (lambda c: c.out.energy_regenerated, lambda c, o, m: o.regenerated),
    "lost": (lambda c: c.out.lost.sum(), lambda c, o, m: o.total(o.lost.sum(axis=0))),
    "friction": (lambda c: c.out.friction_work, lambda c, o, m: o.total(o.friction)),
    "process": (lambda c: c.out.process_work, lambda c, o, m: o.total(o.process)),
    "lifted": (lambda c: c.out.lifted, lambda c, o, m: o.total(o.lifting)),
    "motor rms": (lambda c: rms_torque(c.out, c.shafts), lambda c, o, m: m.rms),
    "motor motoring": (lambda c: motor_energies(c.out, c.shafts)[0], lambda c, o, m: m.motoring),
    "motor returned": (lambda c: motor_energies(c.out, c.shafts)[1],
                       lambda c, o, m: m.regenerated),
    "rms current": (
        lambda c: rms_current(c.out, c.shafts, c.windings),
        lambda c, o, m: np.sqrt(m.mean(c.winding.current(m.torque) ** 2)),
    ),
    "continuous limit": (
        lambda c: continuous_limit(c.out, c.shafts, [c.boundary], PLACES),
        lambda c, o, m: dense.continuous_limit(m, c.boundary.speed, c.boundary.torque),
    ),
    "damage per cycle": (
        lambda c: use(c).net,
        lambda c, o, m: dense.damage(m, c.winding, c.reference, CURVE, 2.0)[1],
    ),
    "bus surplus": (lambda c: burden(c).surplus, lambda c, o, m: bus(c, m).surplus),
    "resistor energy": (lambda c: burden(c).resistor, lambda c, o, m: bus(c, m).burnt),
    "largest store": (lambda c: burden(c).largest_store, lambda c, o, m: bus(c, m).largest_store),
}  # fmt: skip
ENERGIES = ("motoring", "returned", "lost", "friction", "process", "lifted", "motor motoring",
            "motor returned", "bus surplus", "resistor energy", "largest store")  # fmt: skip


def scale_of(case, figure: str) -> float:
    """What an error of a figure is measured against."""
    if figure in ENERGIES:
        return case.out.energy_motoring + case.out.energy_regenerated
    return {"mean": case.out.rms_torque, "damage per cycle": 1.0}.get(figure, 0.0)


def errors(case, figure: str) -> tuple[float, float]:
    exact, sampled = FIGURES[figure]
    value = number(exact(case))
    scale = max(abs(value), scale_of(case, figure), 1e-300)
    found = [number(sampled(case, *case.sampled(n))) for n in (COARSE, FINE)]
    if np.isinf(value):
        assert found == [value, value]
        return 0.0, 0.0
    return abs(found[0] - value) / scale, abs(found[1] - value) / scale


@examples
@pytest.mark.parametrize("figure", FIGURES)
def test_equals_dense_sampling_within_its_step_error(name, figure):
    """Error of the sampling below the square of its step (its step where the torque jumps)."""
    step = 1 / FINE
    allowed = 0.2 * step if name in JUMPS else 30 * step**2
    assert errors(CASES[name], figure)[1] < allowed


@pytest.mark.parametrize("figure", FIGURES)
def test_sampling_converges_to_the_demand(figure):
    """An eighth of the step leaves less than a sixteenth of the error, over all examples together.

    The order is two, blurred by kinks that lie anywhere between two samples. An error in the
    demand itself would stay whatever the step.
    """
    coarse, fine = np.array([errors(CASES[n], figure) for n in EXAMPLES if n not in JUMPS]).T
    assert np.sqrt((fine**2).sum()) < max(np.sqrt((coarse**2).sum()) / 16, FLOOR)


@pytest.mark.parametrize("name", JUMPS)
@pytest.mark.parametrize("figure", FIGURES)
def test_sampling_converges_where_the_torque_jumps(name, figure):
    """At jumps inside a piece the error falls at least with the step."""
    exact, sampled = FIGURES[figure]
    case = CASES[name]
    value = number(exact(case))
    scale = max(abs(value), scale_of(case, figure), 1e-300)
    worst = [max(abs(number(sampled(case, *case.sampled(n))) - value) / scale
                 for n in (base, base + 7, base + 13)) for base in (60, 600)]  # fmt: skip
    assert worst[1] < max(worst[0] / 4, 1e-6)


@examples
def test_peak_is_that_of_dense_sampling(name):
    """The largest sample is never above the peak and comes within the step error of it."""
    case = CASES[name]
    out, motor = case.sampled(FINE)
    for exact, sampled in ((case.out.peak_torque, out.peak), (case.peak, motor.peak)):
        assert sampled <= exact * (1 + 1e-7)
        assert sampled == pytest.approx(exact, rel=2e-4 if name not in JUMPS else 2e-3)


@examples
def test_peak_share_against_a_boundary_with_kinks(name):
    """Nearest approach to a boundary of five points, one part of it rising.

    At a kink the share has a point, so the sampling comes near with its step, not its square.
    """
    case = CASES[name]
    point = worst_point(case.out, case.shafts, [case.boundary], PLACES)
    exact = number(point.torque) / number(point.limit)
    found = [dense.worst_share(case.sampled(n)[1], case.boundary.speed, case.boundary.torque)
             for n in (COARSE, FINE, 5000)]  # fmt: skip
    assert max(found) <= exact * (1 + 1e-7)
    assert found[2] == pytest.approx(exact, rel=3e-4 if name not in JUMPS else 3e-3)


@examples
def test_largest_damage_is_that_of_a_march_through_time(name):
    """Settled damage with its floor at zero; infinite where a cycle adds more than it loses."""
    case = CASES[name]
    exact = number(use(case).largest)
    found, net = dense.damage(case.sampled(FINE)[1], case.winding, case.reference, CURVE, 2.0)
    assert np.isinf(exact) == np.isinf(found) == (net > 0)
    if np.isfinite(exact):
        assert found == pytest.approx(exact, rel=1e-3, abs=1e-5)


@examples
def test_burst_is_that_of_a_refined_level(name):
    """Longest time at or above a level over the time allowed there, at the worst level.

    As exact as overload has to be, 1e-5, against samples with straight lines between them.
    """
    case = CASES[name]
    exact = number(use(case).single)
    found = dense.fine_burst(case.sampled(2000)[1], case.winding, case.reference, CURVE)
    assert exact == pytest.approx(found, rel=1e-5)


@examples
def test_resistor_pulse(name):
    """Largest energy without a pause."""
    case = CASES[name]
    exact, found = number(burden(case).pulse), bus(case, case.sampled(FINE)[1]).pulse
    assert exact == pytest.approx(found, rel=5e-3, abs=1e-5 * scale_of(case, "returned"))


@examples
def test_resistor_peak_power_is_that_of_the_march(name):
    """Largest power from the instant on at which the capacitor is full."""
    case = CASES[name]
    exact, found = number(burden(case).peak_power), bus(case, case.sampled(FINE)[1]).peak_power
    assert exact == pytest.approx(found, rel=1e-3, abs=1e-9)


# --- random axes ----------------------------------------------------------------------------------

random_gears = st.tuples(
    st.floats(1.0, 30.0), st.floats(1e-6, 1e-3), st.floats(0.5, 1.0), st.floats(0.0, 0.2)
)


@law(axes.axes(), random_gears, many=60)
def test_random_axes(axis, gear):
    """Every figure on any axis and gearhead, jumps inside of pieces included."""
    case = Case(axis, gear)
    out, motor = case.sampled(300)
    assert out.peak == pytest.approx(case.out.peak_torque, rel=0.03)
    assert motor.peak == pytest.approx(case.peak, rel=0.03)
    for figure, (exact, sampled) in FIGURES.items():
        value, found = number(exact(case)), number(sampled(case, out, motor))
        scale = max(abs(value), scale_of(case, figure), 1e-300)
        if np.isfinite(value) and np.isfinite(found):
            assert abs(found - value) <= 6e-3 * scale, figure


@law(axes.axes(jumps=False, forces=False), random_gears, many=60)
def test_random_axes_without_jumps(axis, gear):
    """As above, to the square of the step."""
    case = Case(axis, gear)
    out, motor = case.sampled(300)
    assert out.peak == pytest.approx(case.out.peak_torque, rel=1e-3)
    assert motor.peak == pytest.approx(case.peak, rel=1e-3)
    for figure, (exact, sampled) in FIGURES.items():
        value, found = number(exact(case)), number(sampled(case, out, motor))
        scale = max(abs(value), scale_of(case, figure), 1e-300)
        if np.isfinite(value) and np.isfinite(found):
            assert abs(found - value) <= 5e-4 * scale, figure


@law(
    axes.axes(jumps=False, forces=False),
    random_gears,
    st.lists(st.floats(0.1, 2.0), min_size=2, max_size=5),
)
def test_random_boundaries(axis, gear, heights):
    """Nearest approach to any boundary, rising parts too: within the step error of sampling."""
    case = Case(axis, gear)
    knots = 1.05 * case.top * np.linspace(0.0, 1.0, len(heights))
    boundary = Boundary(knots, case.peak * np.array(heights), "made up")
    point = worst_point(case.out, case.shafts, [boundary], PLACES)
    exact = number(point.torque) / number(point.limit)
    motor = case.sampled(600)[1]
    found = dense.shares(motor, knots, boundary.torque)
    inside = np.diff(motor.time) > 1e-8 * motor.time[-1]
    step = float(np.abs(np.diff(found))[inside].max())
    assert found.max() <= exact * (1 + 1e-6)
    assert found.max() == pytest.approx(exact, abs=step + 1e-6 * exact)


@law(axes.axes(jumps=False, forces=False), random_gears, many=60)
def test_random_bursts(axis, gear):
    """The worst burst at its best level: to the square of the step."""
    case = Case(axis, gear)
    exact = number(use(case).single)
    found = dense.fine_burst(case.sampled(300)[1], case.winding, case.reference, CURVE)
    assert np.isinf(exact) == np.isinf(found)
    if np.isfinite(exact):
        assert found == pytest.approx(exact, rel=5e-4, abs=1e-6)


@law(axes.axes(), random_gears, many=60)
def test_bounds_of_protection_are_bounds(axis, gear):
    """What stands for a use that is known to be small enough is never below the use itself."""
    case = Case(axis, gear)
    reach = piece_reach(case.out, case.shafts)
    reference = np.array([case.reference])
    given = (case.out, case.shafts, case.windings, reference, CURVE, 2.0)
    exact = overload_use(*given)
    for bound in (overload_use(*given, enough=1e9), overload_use(*given, 1e9, reach)):
        assert bound.single[0] >= exact.single[0] * (1 - 1e-9)
        assert bound.largest[0] >= exact.largest[0] * (1 - 1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("known", often(globals()), ids=lambda k: k.__name__[5:])
def test_on_many_inputs(known):
    """Every law of this module on many more inputs."""
    known.often()
