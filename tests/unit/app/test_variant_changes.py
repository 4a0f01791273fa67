"""What a change leaves of the parts with which each variant is shown; no axis is judged here."""

from __future__ import annotations

import pytest

from dutyline.app.workbench.changes import applied
from dutyline.app.workbench.variant_changes import parts_of
from dutyline.axis.edit_variants import named_parts
from dutyline.core.errors import InputError
from dutyline.store.records import Content

TEXT = """schema = 1
[load]
mass = "28 kg"

[[variant]]
name = "slow"

[[variant]]
name = "quick"

[[variant]]
name = "braked"
set = { "choose.brakes" = ["XB72"] }
"""
PARTS = {"motor": "XM72-0450H", "gearhead": "XG72-24", "drive": None, "brake": "XB72",
         "resistor": None}  # fmt: skip
FILED = Content("a.toml", TEXT, PARTS)


def after(content: Content, *changes: dict) -> Content:
    for change in changes:
        content, _ = applied(content, change)
    return content


def show(name: str) -> dict:
    return {"do": "variant", "name": name}


def part(kind: str, name: str) -> dict:
    return {"do": "part", "kind": kind, "name": name}


def test_what_is_shown_is_not_kept_beside_itself() -> None:
    """Else a variant that was never looked at would be shown with the parts of before."""
    back = after(FILED, show("slow"), show(""), part("gearhead", "XG72-16"))
    assert set(back.elsewhere) == {"slow"}
    assert parts_of(back, "slow")["gearhead"] == "XG72-24"
    assert parts_of(back, "quick") == back.parts == {**PARTS, "gearhead": "XG72-16"}


def test_a_variant_that_names_a_part_names_the_one_looked_at() -> None:
    here = after(FILED, show("braked"), part("motor", "XM88-0800H"))
    without = after(here, part("brake", ""))
    assert named_parts(without.text, "braked") == {"brake": None}
    other = after(without, part("brake", "XB88"))
    assert named_parts(other.text, "braked") == {"brake": "XB88"}
    assert 'choose.brakes" = ["XB88"]' in other.text


def test_taking_out_the_one_shown_shows_the_file_with_its_parts() -> None:
    there = after(FILED, show("slow"), part("gearhead", "XG72-16"))
    left = after(there, {"do": "remove-variant", "name": "slow"})
    assert (left.variant, left.parts, left.elsewhere) == ("", PARTS, {})
    other = after(there, {"do": "remove-variant", "name": "quick"})
    assert (other.variant, other.parts) == ("slow", {**PARTS, "gearhead": "XG72-16"})


def test_a_new_name_keeps_the_parts() -> None:
    there = after(FILED, show("slow"), part("gearhead", "XG72-16"), show(""))
    new = after(there, {"do": "rename-variant", "name": "slow", "to": "slower"})
    assert parts_of(new, "slower")["gearhead"] == "XG72-16"
    assert new.variant == ""
    here = after(new, show("slower"), {"do": "rename-variant", "name": "slower", "to": "slow"})
    assert (here.variant, here.parts["gearhead"]) == ("slow", "XG72-16")


@pytest.mark.parametrize("name", ["", "none"])
def test_a_motor_there_must_be(name: str) -> None:
    with pytest.raises(InputError, match="a motor there must be"):
        after(FILED, part("motor", name))
