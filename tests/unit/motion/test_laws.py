"""Laws of fixed shape against published ordinates and coefficients."""

from itertools import pairwise
from math import cos, inf, pi, sin

import numpy as np
import pytest

from dutyline.core.errors import RangeError
from dutyline.motion.extremes import extremes
from dutyline.motion.laws import (
    SHAPES,
    coefficients,
    law_pieces,
    quintic_between,
    ramped_coefficients,
)
from dutyline.motion.specs import LAWS

# VDI 2143 Part 1:1980 from memory, every number recomputed from the law; five digits printed,
# so half a unit of the last is at most 5e-5 of the value.
# C_v, C_a, C_j, C_M, C_rms
VDI_2143 = {
    "triangle": (2, 4, inf, 8, 4.0000),
    "trapezoid": (1.5, 4.5, inf, 6.75, 3.6742),
    "cubic": (1.5, 6, inf, 3.4641, 3.4641),
    "simple-sine": (1.5708, 4.9348, inf, 3.8758, 3.4894),
    "quintic": (1.875, 5.7735, 60, 6.6943, 4.1404),
    "septic": (2.1875, 7.5132, 52.5, 10.750, 5.0453),
    "cycloid": (2, 6.2832, 39.478, 8.1621, 4.4429),
    "modified-trapezoid": (2, 4.8881, 61.426, 8.0900, 4.2332),
    "modified-sine": (1.7596, 5.5280, 69.466, 5.4578, 3.9089),
    "gutman": (2, 5.1302, 59.218, 8.1249, 4.2477),
}

# Norton, Cam Design and Manufacturing Handbook, table of double-dwell peak factors; Lynch and
# Park, Modern Robotics, sec. 9.2; Tal, Motion Control by Microprocessors (thirds): from memory.
PRINTED = [
    ("cycloid", {"speed": 2.0, "acceleration": 6.283, "jerk": 39.48, "rms": 4.443}, 0.01),
    ("quintic", {"speed": 1.875, "acceleration": 5.7735, "jerk": 60.0, "rms": 4.14}, 0.001),
    ("septic", {"speed": 2.1875, "acceleration": 7.5132, "jerk": 52.5}, 0.001),
    ("modified-sine", {"speed": 1.76, "acceleration": 5.528, "jerk": 69.47}, 0.02),
    ("cubic", {"speed": 1.5, "acceleration": 6.0, "rms": 3.4641}, 0.001),
    ("triangle", {"speed": 2.0, "acceleration": 4.0, "rms": 4.0}, 0.001),
    ("trapezoid", {"speed": 1.5, "acceleration": 4.5, "rms": 3.674}, 0.003),
]


def _modified_trapezoid(z):
    """VDI 2143 / Norton, from memory."""
    c = 1 / (pi + 2)
    if z > 0.5:
        return 1 - _modified_trapezoid(1 - z)
    if z <= 1 / 8:
        return c * (2 * z - sin(4 * pi * z) / (2 * pi))
    if z <= 3 / 8:
        return c * (1 / 4 - 1 / (2 * pi)) + 2 * c * (z - 1 / 8) + 4 * pi * c * (z - 1 / 8) ** 2
    rest = z - 3 / 8
    head = c * (1 / 4 - 1 / (2 * pi)) + c / 2 + pi * c / 4 + (2 + 2 * pi) * c * rest
    return head + c / (2 * pi) * (1 - cos(4 * pi * rest))


def _modified_sine(z):
    """VDI 2143 / Norton, from memory."""
    k = pi / (pi + 4)
    if z <= 1 / 8:
        return k * z - k / (4 * pi) * sin(4 * pi * z)
    if z <= 7 / 8:
        return 2 / (pi + 4) + k * z - 9 / (4 * (pi + 4)) * sin((4 * pi * z + pi) / 3)
    return 4 / (pi + 4) + k * z - k / (4 * pi) * sin(4 * pi * z)


PRINTED_LAWS = {
    "cubic": lambda z: 3 * z**2 - 2 * z**3,
    "quintic": lambda z: 10 * z**3 - 15 * z**4 + 6 * z**5,
    "septic": lambda z: 35 * z**4 - 84 * z**5 + 70 * z**6 - 20 * z**7,
    "simple-sine": lambda z: (1 - cos(pi * z)) / 2,
    "cycloid": lambda z: z - sin(2 * pi * z) / (2 * pi),
    "gutman": lambda z: z - 15 / (32 * pi) * sin(2 * pi * z) - sin(6 * pi * z) / (96 * pi),
    "modified-trapezoid": _modified_trapezoid,
    "modified-sine": _modified_sine,
}


def _ordinate(law, z):
    (piece,) = [p for p in SHAPES[law] if p.start <= z < p.end or (z == 1 and p.end == 1)][:1]
    return float(piece.position(z - piece.start))


@pytest.mark.parametrize("law", SHAPES)
def test_ordinates_follow_the_printed_law(law):
    for z in np.linspace(0, 1, 97):
        assert _ordinate(law, z) == pytest.approx(PRINTED_LAWS[law](z), abs=1e-14)


# Ordinates computed apart from the formulas above by integrating f'' (derived, not published).
@pytest.mark.parametrize(
    ("law", "z", "f"),
    [
        ("modified-sine", 0.05, 0.00141891593),
        ("modified-sine", 0.3, 0.177887763),
        ("modified-trapezoid", 0.05, 0.00125468353),
        ("modified-trapezoid", 0.2, 0.0605903487),
        ("modified-trapezoid", 0.45, 0.401254684),
    ],
)
def test_single_ordinates(law, z, f):
    assert _ordinate(law, z) == pytest.approx(f, rel=1e-8)


@pytest.mark.parametrize("law", VDI_2143)
def test_coefficients_are_the_published_ones(law):
    c = coefficients(law)
    got = (c.speed, c.acceleration, c.jerk, c.power, c.rms)
    assert got == pytest.approx(VDI_2143[law], rel=5e-5)


@pytest.mark.parametrize(("law", "printed", "tolerance"), PRINTED)
def test_coefficients_agree_with_handbooks(law, printed, tolerance):
    for name, value in printed.items():
        assert getattr(coefficients(law), name) == pytest.approx(value, abs=tolerance)


@pytest.mark.parametrize("law", SHAPES)
def test_coefficients_are_the_peaks_of_the_pieces(law):
    """Peaks on a fine grid, mean square by Simpson's rule: a second way to every coefficient."""
    integrate = pytest.importorskip("scipy.integrate")
    speed = acceleration = jerk = power = square = 0.0
    for piece in SHAPES[law]:
        z = np.linspace(0, piece.duration, 40001)
        v, a, j = (piece.derivative(order, z) for order in (1, 2, 3))
        speed = max(speed, np.abs(v).max())
        acceleration = max(acceleration, np.abs(a).max())
        jerk = max(jerk, np.abs(j).max())
        power = max(power, np.abs(v * a).max())
        square += integrate.simpson(a**2, x=z)
    c = coefficients(law)
    assert speed == pytest.approx(c.speed, rel=1e-8)
    assert acceleration == pytest.approx(c.acceleration, rel=1e-7)
    assert power == pytest.approx(c.power, rel=1e-7)
    assert np.sqrt(square) == pytest.approx(c.rms, rel=1e-9)
    if c.jerk == inf:
        assert abs(float(SHAPES[law][0].acceleration(0.0))) > 1  # jumps away from the dwell
    else:
        assert jerk == pytest.approx(c.jerk, rel=1e-7)
        assert float(SHAPES[law][0].acceleration(0.0)) == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("law", SHAPES)
def test_derivatives_agree_with_finite_differences(law):
    step = 1e-5
    for piece in SHAPES[law]:
        z = np.linspace(2 * step, piece.duration - 2 * step, 25)
        for order in (0, 1, 2):
            difference = piece.derivative(order, z + step) - piece.derivative(order, z - step)
            assert difference / (2 * step) == pytest.approx(
                piece.derivative(order + 1, z), abs=2e-6
            )


@pytest.mark.parametrize("law", SHAPES)
def test_joints_are_smooth_up_to_the_acceleration(law):
    pieces = SHAPES[law]
    for one, other in pairwise(pieces):
        assert one.end == pytest.approx(other.start, abs=1e-15)
        for order in (0, 1, 2):
            before = float(one.derivative(order, one.duration))
            assert before == pytest.approx(float(other.derivative(order, 0.0)), abs=1e-13)
    assert float(pieces[-1].position(pieces[-1].duration)) == pytest.approx(1, abs=1e-14)
    assert float(pieces[-1].speed(pieces[-1].duration)) == pytest.approx(0, abs=1e-13)


def test_every_law_of_the_file_has_coefficients():
    assert all(coefficients(law).speed > 1 for law in LAWS)


def test_thirds_are_the_best_trapezoid():
    """Least root mean square acceleration at a third; 12.5 % more copper loss than the cubic.

    Tal, Motion Control by Microprocessors, from memory.
    """
    shares = np.linspace(0.2, 0.5, 3001)
    rms = [ramped_coefficients(p, p).rms for p in shares]
    assert shares[int(np.argmin(rms))] == pytest.approx(1 / 3, abs=1e-4)
    loss = (coefficients("trapezoid").rms / coefficients("cubic").rms) ** 2
    assert loss == pytest.approx(1.125, abs=1e-12)


@pytest.mark.parametrize("jerk_share", [0.0, 0.1, 0.3, 0.5])
@pytest.mark.parametrize(("rise", "fall"), [(1 / 3, 1 / 3), (0.2, 0.5), (0.5, 0.1)])
def test_ramped_coefficients_are_the_peaks_of_the_profile(rise, fall, jerk_share):
    from dutyline.motion.ramps import Profile, Ramp

    c = ramped_coefficients(rise, fall, jerk_share)
    profile = Profile(
        Ramp(0, c.speed, rise, jerk_share), 1 - rise - fall, Ramp(c.speed, 0, fall, jerk_share)
    )
    assert profile.distance == pytest.approx(1, rel=1e-12)
    power = square = jerk = acceleration = 0.0
    for piece in profile.pieces():
        z = np.linspace(0, piece.duration, 20001)
        a, v = piece.acceleration(z), piece.speed(z)
        power = max(power, np.abs(a * v).max())
        acceleration = max(acceleration, np.abs(a).max())
        jerk = max(jerk, np.abs(piece.derivative(3, z)).max())
        square += np.mean((a[1:] ** 2 + a[1:] * a[:-1] + a[:-1] ** 2) / 3) * piece.duration
    assert acceleration == pytest.approx(c.acceleration, rel=1e-9)
    assert power == pytest.approx(c.power, rel=1e-7)
    assert np.sqrt(square) == pytest.approx(c.rms, rel=1e-9)
    assert c.jerk == inf if jerk_share == 0 else jerk == pytest.approx(c.jerk, rel=1e-9)


def test_scaled_law_keeps_its_proportions():
    """Peaks C_v h/T and C_a h/T^2 of the 3-4-5 polynomial over 90 deg in 0.8 s: 14.17 rad/s^2.

    The peak acceleration 5.7735 * (pi/2)/0.64 follows from the published coefficient.
    """
    (piece,) = law_pieces("quintic", pi / 2, 0.8)
    assert extremes(piece, 2)[1] == pytest.approx(5.7735 * (pi / 2) / 0.64, rel=1e-5)
    assert extremes(piece, 1)[1] == pytest.approx(1.875 * (pi / 2) / 0.8, rel=1e-12)


def test_quintic_meets_six_end_conditions():
    """Biagiotti and Melchiorri, Trajectory Planning (quintic), from memory: state to state."""
    piece = quintic_between((0, 0.5, 1), (0.4, 0.2, -1), 0.6)
    for order, (first, last) in enumerate([(0, 0.4), (0.5, 0.2), (1, -1)]):
        assert float(piece.derivative(order, 0.0)) == pytest.approx(first, abs=1e-12)
        assert float(piece.derivative(order, 0.6)) == pytest.approx(last, abs=1e-12)
    assert float(piece.position(0.3)) == pytest.approx(0.228125, rel=1e-9)
    # largest speed: the root of the cubic acceleration, found apart with a polynomial solver
    assert extremes(piece, 1)[1] == pytest.approx(0.919355472, rel=1e-8)


def test_general_quintic_from_rest_is_the_345_law():
    piece = quintic_between((0, 0, 0), (0.3, 0, 0), 0.6)
    assert piece.poly == pytest.approx(law_pieces("quintic", 0.3, 0.6)[0].poly, rel=1e-12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: coefficients("bang"),
        lambda: ramped_coefficients(0.0, 0.3),
        lambda: ramped_coefficients(0.6, 0.6),
        lambda: ramped_coefficients(0.3, 0.3, 0.6),
        lambda: law_pieces("trapezoid", 1, 1),
        lambda: law_pieces("cubic", 1, 0),
        lambda: law_pieces("cubic", float("nan"), 1),
        lambda: quintic_between((0, 0, 0), (1, 0, 0), 0),
    ],
)
def test_numbers_out_of_range_are_refused(call):
    with pytest.raises(RangeError):
        call()
