"""Steps of no length stand in where a piece needs fewer cuts; they must change nothing."""

from __future__ import annotations

import numpy as np
import pytest

from dutyline.physics.bus import settled_cycle


def test_steps_of_no_length_change_nothing():
    """One surplus told as one step and told in parts with empty steps between: one pulse."""
    plain = settled_cycle([-50.0, 40.0, -5.0], [1.0, 0.5, 1.0], 10.0)
    gain = [-50.0, 0.0, 10.0, 0.0, 0.0, 30.0, 0.0, -5.0]
    length = [1.0, 0.0, 0.125, 0.0, 0.0, 0.375, 0.0, 1.0]
    cut = settled_cycle(gain, length, 10.0)
    assert cut.pulse == pytest.approx(plain.pulse) == 30.0
    assert cut.overflow_total == pytest.approx(plain.overflow_total)
    assert np.isfinite(cut.overflow_peak)


def test_a_pause_parts_two_pulses():
    found = settled_cycle([20.0, -1.0, 20.0, -60.0], [1.0, 1.0, 1.0, 1.0], 0.0)
    assert found.pulse == pytest.approx(20.0)
