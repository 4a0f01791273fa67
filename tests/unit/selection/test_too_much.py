"""A search that is too large is refused with what would help."""

from __future__ import annotations

from pathlib import Path

import pytest

from dutyline.axis.read import read_axis
from dutyline.catalogue import pairing
from dutyline.catalogue.library import demo_line
from dutyline.core.errors import InputError
from dutyline.selection import search

LIFT = Path(__file__).parents[3] / "examples" / "lift" / "axis.toml"


@pytest.mark.parametrize(
    ("module", "name", "most", "words"),
    [
        (pairing, "MOST_COMBINATIONS", 170, "leaves 171 combinations"),
        (search, "MOST_CANDIDATES", 4, "leaves 5 combinations that work"),
    ],
)
def test_too_much_to_try_or_to_judge(
    monkeypatch: pytest.MonkeyPatch, module: object, name: str, most: int, words: str
) -> None:
    axis, line = read_axis(LIFT), demo_line()
    monkeypatch.setattr(module, name, most + 1)
    assert search.select(axis, line).candidates
    monkeypatch.setattr(module, name, most)
    with pytest.raises(InputError) as caught:
        search.select(axis, line)
    (fault,) = caught.value.faults
    assert fault.field == "choose"
    assert words in fault.read
    assert "[choose]" in fault.remedy
