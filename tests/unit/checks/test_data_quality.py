"""Findings of the audit come into the verdict of every combination that uses the figure."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dutyline.catalogue.column_words import spoken_heading
from dutyline.checks.verdict import verify
from dutyline.selection.search import select
from support.judged import PARTS, changed, lift, line_of
from support.lines import Edit, edited

TORQUE = Edit("motors", "torque_rated_nm", "190.2", {"motor": PARTS.motor})
OTHER_MOTOR = Edit("motors", "torque_rated_nm", "190.2", {"motor": "XM88-0800H"})
PAIR = Edit(
    "pairings", "torque_rated_out_nm", "9.0",
    {"left": PARTS.motor, "right": PARTS.gearhead},
)  # fmt: skip


def quality(line, parts=PARTS):
    return line_of(verify(lift(), line, parts), "data-quality")


def test_a_clean_line_meets(tmp_path):
    found = quality(edited(tmp_path / "line"))
    assert (found.demand, found.limit, found.state) == (0.0, 0.0, "meets")
    assert found.severity == "caution"
    assert found.text == "no finding"


@pytest.mark.parametrize("edit", [TORQUE, PAIR], ids=["motor", "pairing"])
def test_a_doubtful_figure_cautions(edit, tmp_path):
    line = edited(tmp_path / "line", edit)
    clean = edited(tmp_path / "clean")
    verdict = verify(lift(), line, PARTS)
    found = line_of(verdict, "data-quality")
    assert (found.demand, found.state) == (1.0, "fails")
    words, _ = spoken_heading(f"{edit.file}.csv", edit.column)
    assert words in found.text
    assert any(found.text in caution for caution in verdict.cautions)
    assert verdict.verdict == verify(lift(), clean, PARTS).verdict


def test_figures_of_other_parts_do_not(tmp_path):
    line = edited(tmp_path / "line", OTHER_MOTOR)
    assert quality(line).state == "meets"


def test_a_pairing_concerns_only_the_pair(tmp_path):
    line = edited(tmp_path / "line", PAIR)
    assert quality(line, replace(PARTS, gearhead="XG72-9")).state == "meets"


def test_findings_are_counted(tmp_path):
    brake = Edit("brakes", "coil_ohm", "587.8", {"brake": PARTS.brake})
    found = quality(edited(tmp_path / "line", TORQUE, brake))
    assert found.demand == 2.0
    assert found.text.endswith("; 1 more")


def test_a_confirmed_figure_does_not_caution(tmp_path):
    folder = tmp_path / "line"
    edited(folder, TORQUE)
    (folder / "audit.toml").write_text(
        "schema = 1\n[[confirmed]]\nfile = 'motors.csv'\n"
        f"part = '{PARTS.motor}'\ncolumn = 'torque_rated_nm'\nvalue = '190.2'\n"
    )
    from dutyline.catalogue.library import read_line

    assert quality(read_line(folder)).state == "meets"


def test_select_tells_it_of_every_candidate(tmp_path):
    line = edited(tmp_path / "line", OTHER_MOTOR)
    found = select(lift(), line).candidates
    told = {v.combination.motor: line_of(v, "data-quality").state for v in found}
    assert told.pop("XM88-0800H") == "fails"
    assert set(told.values()) == {"meets"}


def test_a_changed_line_is_audited_anew():
    """Lines made in Python come from no file and are audited by what they hold."""
    from dutyline.catalogue.library import demo_line

    line = changed(demo_line(), "motor", PARTS.motor, torque_constant=0.3275)
    assert quality(line).demand == 1.0
