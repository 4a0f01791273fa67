"""What the list of changes says of phases that were moved, added, named and taken out."""

from __future__ import annotations

import pytest

from dutyline.app.workbench.changes import applied
from dutyline.axis.edit_phases import stated
from dutyline.core.errors import InputError
from dutyline.store.records import Content

FILED = Content("a.toml", """schema = 1

[[phase]]
name = "up"
do = "move"
by = "300 mm"
time = "0.6 s"

[[phase]]
do = "dwell"
time = "0.3 s"

[[phase]]
name = "down"
do = "move"
by = "-300 mm"
time = "0.6 s"
""", {})  # fmt: skip
UP, REST, DOWN = "up", None, "down"


@pytest.mark.parametrize(
    ("change", "told", "names"),
    [
        ({"do": "move-phase", "number": 3, "to": 1}, "down before up", [DOWN, UP, REST]),
        ({"do": "move-phase", "number": 1, "to": 2}, "up behind phase 2", [REST, UP, DOWN]),
        ({"do": "add-phase", "after": 0, "kind": "run"}, "a run at the start",
         [None, UP, REST, DOWN]),
        ({"do": "add-phase", "after": 3}, "a dwell behind down", [UP, REST, DOWN, None]),
        ({"do": "remove-phase", "number": 2}, "phase 2 taken out", [UP, DOWN]),
        ({"do": "copy-phase", "number": 1}, "up a second time", [UP, "up 2", REST, DOWN]),
        ({"do": "rename-phase", "number": 2, "name": "top"}, "phase 2 is now top",
         [UP, "top", DOWN]),
        ({"do": "rename-phase", "number": 1, "name": ""}, "up is now without a name",
         [None, REST, DOWN]),
        ({"do": "phase-kind", "number": 3, "kind": "dwell"}, "down: dwell", [UP, REST, DOWN]),
    ],
)  # fmt: skip
def test_it_is_done_and_told(change: dict, told: str, names: list[str | None]) -> None:
    after, said = applied(FILED, change)
    assert said == told
    assert [row.get("name") for row in stated(after.text, "")] == names


def test_to_its_own_place_nothing_moves() -> None:
    assert applied(FILED, {"do": "move-phase", "number": 2, "to": 2}) == (FILED, "")


@pytest.mark.parametrize("number", [0, 4])
@pytest.mark.parametrize("do", ["remove-phase", "copy-phase", "move-phase"])
def test_there_is_no_such_phase(do: str, number: int) -> None:
    with pytest.raises(InputError, match=f"there is no phase {number}"):
        applied(FILED, {"do": do, "number": number, "to": 1})
