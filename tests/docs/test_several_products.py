"""The file on the page about several products can be read, and is what the page says."""

from __future__ import annotations

from pathlib import Path

import pytest

import dutyline as dl
from dutyline.axis.read import read_axis

pytestmark = pytest.mark.docs
PAGE = Path(__file__).resolve().parents[2] / "docs" / "how-to" / "several-products.md"


def test_the_file_on_the_page():
    text = PAGE.read_text(encoding="utf-8").split("```toml\n")[1].split("```")[0]
    axis = read_axis("cutter.toml", text=text)
    assert len(axis.cases) == 1 + 2 * 6
    assert [variant.variant for variant in axis.variants] == ["light knife"]
    assert [stop.name for stop in axis.stops] == ["emergency"]
    assert dl.demand(axis).cycle_time == pytest.approx(0.575)


def test_the_samples_on_the_page():
    page = PAGE.read_text(encoding="utf-8")
    rows = page.split("```text\n")[1].split("```")[0] + "15;10\n20;0\n"
    text = page.split("```toml\n")[1].split("[[phase]]")[0].replace("0.02 kg", "0.01 kg")
    text += '[[phase]]\ndo = "table"\nfile = "cam.csv"\nleader_speed = "120 r/min"\n'
    text = text.replace('inertia = "0.01 kg*m^2"\ndrag = "1.2 N*m"', 'mass = "4 kg"')
    text = text.replace('kind = "direct"', 'kind = "belt"\ndiameter = "40 mm"')
    axis = read_axis("cam.toml", text=text, files={"cam.csv": rows})
    assert axis.cycle.duration == pytest.approx(20 / 720)
