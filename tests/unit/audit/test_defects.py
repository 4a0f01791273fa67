"""The line that ships is clean; every planted defect breaks its rule and is named by its cell."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dutyline.audit.run import audit
from dutyline.catalogue.library import demo_line
from support.lines import defects, edited

ALL = {defect.name: defect for defect in defects()}

SLIPS = {
    "wrong-unit-rated-torque": "ounce-force inches",
    "torque-constant-per-peak-amp": "peak and rms",
    "back-emf-phase-peak": "phase peak and line rms",
    "rotor-inertia-mass-unit": "pound-force inch seconds squared",
    "peak-torque-is-stall-torque": "another column repeated",
    "brake-inertia-not-added": "another column repeated",
    "gear-efficiency-forgotten": "efficiency",
    "resistor-too-low": "decimal point",
    "tilting-moment-in-kgf": "kilogram-force centimetres",
}
"""What was done to the cell, as the list of defects tells it; the others have no name there."""


def test_the_clean_line_has_no_finding():
    result = audit(demo_line())
    assert result.findings == ()
    assert result.fired == ()
    assert all(a.count > 0 for a in result.asked)


def test_a_dozen_defects_are_planted():
    assert len(ALL) == 12


@pytest.mark.parametrize("name", ALL)
def test_defect_breaks_its_rule(name, tmp_path):
    defect = ALL[name]
    result = audit(edited(tmp_path / "line", defect.edit))
    broken = {rule for rule, _ in result.fired}
    assert defect.rule in broken
    assert broken >= set(defect.others)


@pytest.mark.parametrize("name", ALL)
def test_one_finding_names_the_very_cell(name, tmp_path):
    defect = ALL[name]
    found = audit(edited(tmp_path / "line", defect.edit)).findings
    assert len(found) == 1
    finding = found[0]
    assert finding.file == f"{defect.edit.file}.csv"
    assert finding.column == defect.edit.column
    assert finding.raw == defect.edit.text
    assert finding.slip == SLIPS.get(name, finding.slip)
    assert {finding.rule, *finding.also} >= {defect.rule}


CLOSE = sorted(set(ALL) - {"brake-digits-swapped", "chopper-below-mains-crest"})
"""Of these two only a limit is known, not the figure itself."""


@pytest.mark.parametrize("name", CLOSE)
def test_the_proposal_is_the_figure_as_it_was(name, tmp_path):
    defect = ALL[name]
    finding = audit(edited(tmp_path / "line", defect.edit)).findings[0]
    assert float(finding.proposal) == pytest.approx(float(defect.correct), rel=2e-3)
    assert finding.ratio == pytest.approx(float(defect.edit.text) / float(defect.correct), rel=2e-3)


def test_all_defects_at_once_are_told_one_by_one(tmp_path):
    found = audit(edited(tmp_path / "line", *(d.edit for d in ALL.values()))).findings
    told = {(f.file, f.column, f.raw) for f in found}
    planted = {(f"{d.edit.file}.csv", d.edit.column, d.edit.text) for d in ALL.values()}
    assert planted <= told
    assert len(told - planted) <= 1


def test_the_audit_changes_nothing(tmp_path):
    line = edited(tmp_path / "line", ALL["resistor-too-low"].edit)
    before = (line.motors, line.resistors, line.pairings, dict(line.files))
    audit(line)
    assert (line.motors, line.resistors, line.pairings, dict(line.files)) == before


def test_a_changed_line_shows_no_cell_of_the_old_files(tmp_path):
    """The same defect made in memory: the figure of the part, not what its file once said."""
    defect = ALL["wrong-unit-rated-torque"]
    line = edited(tmp_path / "line", defect.edit)
    (old,) = (f for f in audit(line).findings if f.raw == defect.edit.text)
    motors = tuple(
        replace(m, torque_rated=m.torque_rated * 1.5) if m.name == old.part else m
        for m in line.motors
    )
    changed = replace(line, motors=motors)
    assert (line.files != {}, changed.files) == (True, {})
    again = [f for f in audit(changed).findings if (f.part, f.column) == (old.part, old.column)]
    assert again
    assert all(f.raw != old.raw for f in again)
