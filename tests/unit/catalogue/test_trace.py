"""Runs of foreign cells: written, read again, and asked for one cell."""

from __future__ import annotations

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from dutyline.catalogue.trace import HEADING, Run, Trace, Traced, read_runs, runs_bytes


def run(first: str, last: str, raws: list[str], texts: list[str], row: int = 2) -> Run:
    source = ("m.xlsx", "Data")
    return Run("motors.csv", "mass_kg", row, source, first, last, "lb", "", raws, texts)


def test_cells_between_the_ends_lie_below_or_beside_each_other():
    down = run("AZ9", "AZ11", ["1", "2", "3"], ["1", "2", "3"])
    across = run("Y4", "AA4", ["1", "2", "3"], ["1", "2", "3"])
    same = run("line 12", "line 12", ["1", "1"], ["1", "1"])
    assert [down.cell(k) for k in range(3)] == ["AZ9", "AZ10", "AZ11"]
    assert [across.cell(k) for k in range(3)] == ["Y4", "Z4", "AA4"]
    assert [same.cell(k) for k in range(2)] == ["line 12", "line 12"]


def test_a_cell_changed_since_has_no_trace():
    traced = Traced([run("C7", "C8", ["2", "4"], ["0.9", "1.8"])])
    assert traced.find("motors.csv", "mass_kg", 3, "1.8") == Trace(
        "m.xlsx", "Data", "C8", "4", "lb"
    )
    assert traced.find("motors.csv", "mass_kg", 3, "1.9") is None
    assert traced.find("motors.csv", "mass_kg", 1, "0.9") is None
    assert traced.find("motors.csv", "mass_kg", 4, "1.8") is None
    assert traced.find("motors.csv", "price", 3, "1.8") is None


cells = st.text(st.characters(exclude_characters="\r\n\0", exclude_categories=("Cs",)), max_size=8)


@given(st.lists(st.tuples(cells, cells), min_size=1, max_size=6), st.sampled_from([1, 700]))
def test_what_is_written_is_read_again(pairs, times):
    """Long runs are cut; every cell stays, whatever stands in it."""
    raws, texts = ([pair[k] for pair in pairs] * times for k in (0, 1))
    whole = run("C7", f"C{6 + len(raws)}", raws, texts)
    traced = Traced(read_runs(runs_bytes([whole])))
    for place, text in enumerate(texts):
        if text:
            expected = Trace("m.xlsx", "Data", f"C{7 + place}", raws[place], "lb")
            assert traced.find("motors.csv", "mass_kg", 2 + place, text) == expected


def test_files_of_another_form_give_none():
    good = runs_bytes([run("C7", "C7", ["2"], ["0.9"])]).decode()
    rows = list(csv.reader(io.StringIO(good)))
    assert tuple(rows[0]) == HEADING
    for data in (b"", b"x", b"\xff\xfe", good.replace("mass_kg,2", "mass_kg,two").encode()):
        assert read_runs(data) == []
