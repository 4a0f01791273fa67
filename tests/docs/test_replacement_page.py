"""The page on old motors: its plate is read, its answer is the program's, its options exist."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dutyline.replacement.read import read_plate
from support.command import dutyline

pytestmark = pytest.mark.docs
PAGE = (Path(__file__).parents[2] / "docs" / "how-to" / "replace-an-old-motor.md").read_text(
    "utf-8"
)
PLATE, TRACE = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)


def test_the_plate_gives_the_answer_that_is_printed():
    done = dutyline("replace", "-", stdin=PLATE)
    assert done.code == 0, done.err
    (answer,) = re.findall(r"```text\n(First what can hurt.*?)```", PAGE, re.DOTALL)
    assert answer in done.out


def test_the_mapping_is_read():
    plate = read_plate("page.toml", text=PLATE + TRACE)
    assert plate.words["trace.torque"] == "M actual"
    assert plate.si("trace.torque_full") == 1.3


def test_options_exist():
    told = dutyline("replace", "--help").out
    for option in re.findall(r"--[a-z]+", PAGE.split("```")[1]):
        assert option in told, option
