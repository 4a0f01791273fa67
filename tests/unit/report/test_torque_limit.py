"""One torque limit in a report: ledger, start-up values and conditions say the same number."""

import math
import re

import pytest
from tests.support.examples import axis_file

import dutyline as dl
from dutyline.checks.fitted import chosen
from dutyline.report.sections.closing import _limits
from dutyline.report.sections.conditions import _torque_limit
from dutyline.report.sections.options import _known

PLACE = re.compile("(\\d\\.\\d+)\u00a0N·m")


@pytest.fixture(scope="module")
def limited():
    """The first candidate of the lift whose motor could break its gearhead."""
    found = dl.select(dl.read_axis(axis_file("lift"))).candidates
    return next(v for v in found if _torque_limit(v, chosen(v)))


def test_one_number_in_ledger_start_up_values_and_conditions(limited):
    line = next(ln for ln in limited.ledger if ln.check == "gear-torque-limit-set")
    label, typed, _ = _limits(limited, chosen(limited))[0]
    texts = (line.text, typed, *_torque_limit(limited, chosen(limited)))
    said = [PLACE.search(text).group(1) for text in texts]
    assert label == "Torque limit"
    assert len(set(said)) == 1


def test_the_limit_puts_the_acceleration_torque_through_the_gearhead(limited):
    gear = chosen(limited).gearhead
    limit = limited.demand["motor"]["torque_limit"]
    # drag of the gearhead at its input goes first; what is left is multiplied and loses the mesh
    assert limit >= gear.torque_acceleration / gear.ratio
    assert limit < 1.5 * gear.torque_acceleration / gear.ratio


def test_a_rejected_pair_has_its_ratio_and_mass():
    found = dl.select(dl.read_axis(axis_file("lift")))
    rejected = next(r for r in found.rejected if r.combination.gearhead)
    parts = {p.name: p for p in (*found.line.gearheads, *found.line.motors)}
    ratio, mass = _known(rejected, found.line)
    assert float(ratio) == pytest.approx(parts[rejected.combination.gearhead].ratio, rel=1e-3)
    assert mass.endswith("kg")


def test_what_a_jam_would_feel_of_that_limit():
    verdict = dl.verify(
        dl.read_axis(axis_file("lift")), dl.Combination("XM72-0450H", "XG72-9", brake="XB72")
    )
    rows = {label: typed for label, typed, _ in _limits(verdict, chosen(verdict))}
    pushed = next(typed for label, typed in rows.items() if label.startswith("Push at the load"))
    number = re.sub("\u202f", "", pushed).split("\u00a0")[0]
    limit = float(PLACE.search(rows["Torque limit"]).group(1))
    # a turn of the pulley of the lift is 24 teeth of 8 mm: 2 pi i T / 0.192 m, losses left out
    assert float(number) == pytest.approx(2 * math.pi * 9 * limit / 0.192, rel=5e-3)
