"""Arguments of another type are told in words."""

from __future__ import annotations

import pytest

import dutyline as dl
from support.plates import PRINT_16


@pytest.mark.parametrize("wrong", [5, 1.5, object(), "no/such", {"a": 1}])
def test_what_is_no_line_no_axis_and_no_list_of_files(tmp_path, wrong):
    plate = tmp_path / "plate.toml"
    plate.write_text(PRINT_16, "utf-8")
    line = dl.demo_line()
    for called in (
        lambda: dl.content_hash(wrong),
        lambda: dl.equivalents(plate, axis=wrong),
        lambda: dl.compare(line, line, kept=wrong),
    ):
        with pytest.raises(dl.InputError):
            called()
