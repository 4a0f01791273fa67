"""Values printed outside the project, and worked examples computed apart from it.

The data stand in the TOML files of this folder with the source of every value; the functions
that compute them with the product stand in the modules beside. Bands come from the files.
"""

from __future__ import annotations

import math

import pytest
from tests.published import cases
from tests.published.of_trains import two_cages
from tests.published.reading import checks

from dutyline.core.units import read_value

pytestmark = pytest.mark.published


def _names(found: list[cases.Comparison]) -> list[str]:
    return [f"{c.case} {c.key}" for c in found]


PUBLISHED = list(cases.published())
RECOMPUTED = list(cases.recomputed())
EXAMPLES = list(cases.examples())
WRONG = list(cases.mistakes())


@pytest.mark.parametrize("case", PUBLISHED, ids=_names(PUBLISHED))
def test_agrees_with_the_printed_figure(case: cases.Comparison) -> None:
    assert case.agrees, f"{case.source}: printed {case.printed}, found {case.found}"


@pytest.mark.parametrize("case", RECOMPUTED, ids=_names(RECOMPUTED))
def test_agrees_with_the_exact_figure(case: cases.Comparison) -> None:
    assert case.agrees, f"recomputed {case.printed}, found {case.found}"


@pytest.mark.parametrize("case", EXAMPLES, ids=_names(EXAMPLES))
def test_agrees_with_the_worked_example(case: cases.Comparison) -> None:
    assert case.agrees, f"{case.topic}: stated {case.printed}, found {case.found}"


@pytest.mark.parametrize("what, where, wrong, found", WRONG, ids=[w[1] for w in WRONG])
def test_does_not_make_the_known_mistake(what: str, where: str, wrong: float, found: float) -> None:
    assert abs(found / wrong - 1.0) > 0.05, f"{where}: {what}"


def test_every_case_is_computed_or_says_why_not() -> None:
    names, computed = cases.all_names(), cases.computed_names()
    assert names == computed | cases.NOT_COMPUTED.keys()
    assert not computed & cases.NOT_COMPUTED.keys()


def test_exceptions_name_existing_figures() -> None:
    keys = {(c.case, c.key) for c in [*PUBLISHED, *RECOMPUTED, *EXAMPLES]}
    wider = cases.RECOMPUTED_WIDER.keys() | cases.EXAMPLE_WIDER.keys()
    assert wider <= keys
    expected = {(c["id"], key) for c in checks() for key in c["expect"]}
    assert cases.PARTS_NOT_COMPUTED.keys() <= expected - {(c.case, c.key) for c in PUBLISHED}


def test_a_wrong_figure_would_be_noticed() -> None:
    """Every band is narrow enough that a figure one per cent off (twice the band) falls out."""
    for case in [*RECOMPUTED, *EXAMPLES]:
        if isinstance(case.printed, bool | str) or case.printed == 0:
            continue
        assert case.band <= 0.005 * abs(case.printed), f"{case.case} {case.key}"


def _given(name: str) -> dict[str, str]:
    return next(c["given"] for c in checks() if c["id"] == name)


def test_mass_ounces_are_not_force_ounces() -> None:
    """A public conversion page prints 54674.75 oz.in.s2 per kg.m2; that figure is oz.in2."""
    assert read_value("54674.75 oz.in2", "inertia").si == pytest.approx(1.0, rel=1e-6)
    assert read_value("54674.75 ozf.in.s2", "inertia").si == pytest.approx(386.09, rel=1e-4)
    assert read_value("141.612 ozf.in.s2", "inertia").si == pytest.approx(1.0, rel=1e-5)


def test_best_ratio_is_not_the_misprinted_one() -> None:
    """Khurmi and Gupta, example 3.17, print 13.235 from 7.27 where 200/28.5 = 7.018 is right."""
    best = cases.ADAPTERS["DRV-10"](_given("DRV-10"))["G_opt"]
    assert best == pytest.approx(13.0617, rel=1e-5)
    assert abs(best - 13.235) > 0.1
    misread = 7.27 / 2 + math.sqrt((7.27 / 2) ** 2 + 45 / (0.95 * 0.6))  # their coefficient
    assert misread == pytest.approx(13.24, abs=0.02)


def test_rounded_drum_ratio_explains_the_printed_torque() -> None:
    """Khurmi and Gupta, example 3.18, carry 50/900 as 0.056 and print 583.8 N.m."""
    exact = two_cages(_given("DRV-07"))["T_motor_Nm"]
    rounded = two_cages(_given("DRV-07"), drum_ratio=0.056)["T_motor_Nm"]
    assert exact == pytest.approx(580.05, abs=0.01)
    assert rounded == pytest.approx(583.8, abs=0.8)


def test_exact_acme_torque_lies_above_the_printed_one() -> None:
    """Mott, example 17-1, carries rounded cosine and tangent: 1809 printed, 1814.4 exact."""
    found = cases.ADAPTERS["SCR-04"](_given("SCR-04"))["T_raise_lb_in"]
    assert 1809.0 + 5.0 < found < 1815.0


def test_handbook_mean_of_a_ramp_is_an_approximation() -> None:
    """(Fmin + 2 Fmax)/3 is 0.667 for a ramp from zero; the cubic mean is 4**(-1/3)."""
    found = cases.ADAPTERS["BRG-11"](_given("BRG-11"))["ramp_from_zero"]
    assert found == pytest.approx(4 ** (-1 / 3), rel=1e-12)
    assert abs(found - 2 / 3) > 0.03


def test_standard_deviation_divides_by_one_run_less() -> None:
    """ISO 230-2 divides by n - 1; the other way gives 2.530 um instead of 2.828 um."""
    found = cases.ADAPTERS["GEO-04"](_given("GEO-04"))["R_up_um"]
    assert abs(found - 2.530) > 0.2


def test_time_to_a_temperature_is_not_three_time_constants() -> None:
    """Fuchs and Masoum: 95 % of the Celsius figure, reached after 7.77 h, not 9 h."""
    assert cases.ADAPTERS["THM-10"](_given("THM-10"))["t_h"] < 8.0
