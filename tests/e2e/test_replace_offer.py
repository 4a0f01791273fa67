"""A motor that somebody offers: what its plate leaves open is asked, and the answer is short."""

from __future__ import annotations

import pytest
from tests.support.command import dutyline, spaced

PLATE = """
schema = 1
[plate]
title = "Folding unit"
[motor]
stall_torque = "2.9 Nm"
stall_current = "4.2 A"
speed = "3000 1/min"
voltage_constant = "42 V/krpm"
inertia = "2.8 kgcm2"
feedback = "resolver"
[gearhead]
ratio = "7:1"
emergency_torque = "70 Nm"
efficiency = 0.95
[keep]
bus = "325 V"
load_inertia = "14 kgcm2"
[[offer]]
name = "Elder"
torque = "3.2 Nm"
peak_torque = "11.4 Nm"
speed = "3000 1/min"
inertia = "0.9 kgcm2"
voltage_constant = "70 V/krpm"
"""
ASKED = "Elder: is the voltage constant between two terminals or of one phase, rms or crest?"


@pytest.fixture
def plate(tmp_path):
    return tmp_path / "plate.toml"


def test_the_form_of_an_offered_figure_is_asked(plate):
    plate.write_text(PLATE, encoding="utf-8")
    done = dutyline("replace", str(plate))
    flat = " ".join(spaced(done.out).split())
    assert ASKED in flat
    sentence = flat.partition(" Cautions ")[0]
    assert "continuous torque at rated speed: not checked)" in sentence
    assert len(sentence) < 300


def test_once_it_is_stated_it_is_used(plate):
    """70 V per 1000 r/min are 210 V at 3000 r/min, by multiplication; a bus of 325 V at 90 % forms
    325 * 0.9 / sqrt 2 = 206.8 V between two terminals (space vector modulation)."""
    plate.write_text(PLATE + 'voltage_constant_form = "line rms"\n', encoding="utf-8")
    flat = " ".join(spaced(dutyline("replace", str(plate)).out).split())
    assert ASKED not in flat
    assert "Elder is no equivalent as it is" in flat
    assert "back-EMF" in flat
    assert "210 V, limit 207 V" in flat
    assert (
        "Old assumed: compared with a figure that stands under “Worked out of the plate”." in flat
    )
