"""The page on settling: its fields are read, and its commands are those of the program."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dutyline.axis.read import read_axis
from support.command import LIFT, dutyline

pytestmark = pytest.mark.docs
PAGE = (Path(__file__).parents[2] / "docs" / "how-to" / "settling.md").read_text("utf-8")


def test_fields_are_read():
    (block,) = re.findall(r"```toml\n(.*?)```", PAGE, re.S)
    text = re.sub(r"\[require\]\n(.+\n)+", "", LIFT.read_text("utf-8"))
    axis = read_axis("page.toml", text=text + block)
    assert (axis.require.position, axis.require.settle) == (0.0005, 0.08)
    control = axis.equipment.control
    assert (control.position_gain, control.feed_forward, control.notch) == (30.0, 0.8, True)


def test_options_exist():
    for verb in ("verify", "report"):
        assert f"dutyline {verb} axis.toml" in PAGE
        assert "--settle" in dutyline(verb, "--help").out
