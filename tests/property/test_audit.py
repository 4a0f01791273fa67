"""Whatever stands in a cell: the line is refused, or audited; never a traceback, never a change."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from dutyline.app.audit import audit_json
from dutyline.app.records_json import dumps
from dutyline.audit.blame import Broken
from dutyline.audit.findings import value_of, wanted_of
from dutyline.audit.look import Look
from dutyline.audit.mend import mended
from dutyline.audit.registry import RULES
from dutyline.audit.run import _judged, audit
from dutyline.catalogue.columns import FORMS
from dutyline.catalogue.library import demo_line, line_of
from dutyline.catalogue.origins import KINDS
from dutyline.cli.screen import Screen
from dutyline.cli.show_audit import show_audit
from dutyline.core.errors import InputError
from support import lines

pytestmark = pytest.mark.property


@cache
def content() -> dict[str, list[list[str]]]:
    """Cells of every file, the heading first."""
    return {
        f"{name}.csv": [list(rows[0]), *([*row.values()] for row in rows)]
        for name, rows in lines.tables().items()
    }


@cache
def shipped_bytes() -> dict[str, bytes]:
    return {form.file: (lines.SHIPPED / form.file).read_bytes() for form in FORMS}


def with_cell(file: str, row: int, column: int, text: str) -> dict[str, bytes]:
    table = content()[file]
    cells = [list(r) for r in table]
    cells[row][column] = text
    data = "".join(",".join(r) + "\n" for r in cells).encode()
    return {**shipped_bytes(), file: data}


@st.composite
def cells(draw):
    file = draw(st.sampled_from([form.file for form in FORMS]))
    table = content()[file]
    row = draw(st.integers(1, len(table) - 1))
    column = draw(st.integers(0, len(table[0]) - 1))
    return file, row, column


numbers = st.one_of(
    st.floats(1e-11, 1e11).map(lambda x: f"{x:.6g}"),
    st.floats(1e-11, 1e11).map(lambda x: f"{x:.6f}"),
    st.integers(0, 10**9).map(str),
    st.sampled_from(["0", "0.0", "1e-11", "999999999999", "1", "-1", "", "1/3", "nan"]),
)


@example(("brakes.csv", 5, 12), "1")
@settings(max_examples=120, deadline=None)
@given(cells(), numbers)
def test_any_cell_is_refused_or_audited(place, text):
    try:
        line = line_of("made", "", with_cell(*place, text), [])
        result = audit(line)
    except InputError:
        return
    shown = show_audit(Screen(), result, verbose=True, every=True)
    assert all(len(row) <= 80 or " " not in row.strip() for row in shown)
    dumps(audit_json(result))
    for finding in result.findings:
        assert finding.file in {form.file for form in FORMS}
        assert finding.row is not None
        assert finding.raw == content_cell(place, text, finding)
        assert finding.ratio is None or (math.isfinite(finding.ratio) and finding.ratio > 0)


def content_cell(place, text, finding) -> str:
    """The cell that the finding points to, read from the file as it was given."""
    file, row, column = place
    table = content()[finding.file]
    at = table[0].index(finding.column)
    if (finding.file, finding.row - 1, at) == (file, row, column):
        return text
    return table[finding.row - 1][at]


FIELDS = [
    (kind, c.field) for kind, form in KINDS.items()
    if kind not in ("curves", "pairings", "accessories")
    for c in form.columns if not c.required
]  # fmt: skip


@example({("gearheads", "style"), ("motors", "size")})
@settings(max_examples=60, deadline=None)
@given(st.sets(st.sampled_from(FIELDS), max_size=40))
def test_missing_columns_only_silence_rules(blank):
    """Columns left out of a clean line: no finding, and what is not asked says why."""
    line = demo_line()
    changes = {}
    for kind in {kind for kind, _ in blank}:
        fields = {f for k, f in blank if k == kind}
        empty = type(getattr(line, kind)[0])("x")
        changes[kind] = tuple(
            replace(p, **{f: getattr(empty, f) for f in fields}) for p in getattr(line, kind)
        )
    result = audit(replace(line, **changes))
    assert result.findings == ()
    assert all(a.silent for a in result.asked if a.count == 0)


def scaled(kind: str, row: int, field: str, factor: float):
    line = demo_line()
    if kind == "curves":
        return None
    parts = list(getattr(line, kind))
    value = getattr(parts[row], field)
    if not isinstance(value, float):
        return None
    parts[row] = replace(parts[row], **{field: value * factor})
    return replace(line, **{kind: tuple(parts)})


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.id)
def test_powers_are_those_of_the_measure(rule):
    """A value one per cent larger changes the measure by as much as its side says."""
    factor = 1.01
    for number, tested in enumerate(rule.run(Look(demo_line()))):
        at = next((k for k in range(tested.measure.size) if np.isfinite(tested.measure[k])), None)
        if at is None or tested.measure[at] == 0:
            continue
        for side in tested.sides:
            same = [s for s in tested.sides if (s.kind, s.field) == (side.kind, side.field)]
            row = int(side.rows[at])
            if side.power == 0 or (len(same) > 1 and same[0].rows[at] == same[1].rows[at]):
                continue
            line = scaled(side.kind, row, side.field, factor)
            if line is None:
                continue
            other = list(rule.run(Look(line)))[number]
            found = other.measure[at] / tested.measure[at]
            assert found == pytest.approx(factor**side.power, rel=1e-6), (side.field, rule.id)


@pytest.mark.parametrize(
    ("field", "factor"), [("torque_constant", 1.5), ("inertia", 9.0), ("torque_rated", 0.02)]
)
def test_expected_values_put_the_measure_right(field, factor):
    """With a figure replaced by what a comparison expects, that comparison holds."""
    line = scaled("motors", 7, field, factor)
    look = Look(line)
    for rule in RULES:
        for number, tested in enumerate(rule.run(look)):
            outside, _ = _judged(rule, tested)
            for k in np.nonzero(outside)[0][:3]:
                one = Broken(rule, tested, int(k))
                for cell in one.cells():
                    wanted = wanted_of(one, cell, value_of(look, cell))
                    if wanted is None or rule.id.startswith("geared"):
                        continue  # a geared figure has two branches, and may change to the other
                    again = list(rule.run(Look(mended(look, {cell: wanted}))))[number]
                    assert not _judged(rule, again)[0][k], (rule.id, cell)
