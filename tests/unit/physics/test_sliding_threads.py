"""The two efficiencies of one thread, found from the friction and from each other."""

import numpy as np
import pytest

from dutyline.physics.screws import sliding_back_efficiency, sliding_efficiencies


@pytest.mark.parametrize("lead", [2.0, 8.0, 16.0, 35.0])
@pytest.mark.parametrize("friction", [0.0, 3.0, 8.0, 13.0])
def test_back_follows_from_forward(lead, friction):
    forward, back = sliding_efficiencies(np.radians(lead), np.radians(friction))
    assert float(sliding_back_efficiency(np.radians(lead), forward)) == pytest.approx(float(back))


def test_a_thread_locks_where_its_friction_angle_is_its_lead_angle():
    lead = np.radians(12.0)
    edge = np.tan(lead) / np.tan(2 * lead)
    assert float(sliding_back_efficiency(lead, edge)) == pytest.approx(0.0, abs=1e-12)
    assert edge < 0.5  # the usual rule of one half is on the wrong side of it
