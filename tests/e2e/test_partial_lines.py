"""Product lines that leave whole groups of data out: everything still runs and says what it lacks.

The line that ships is written to a folder without some columns or rows, headings included, as one
who has no more would have it.
"""

from __future__ import annotations

import json
import warnings
from functools import cache

import pytest

import dutyline as dl
from dutyline.app.inputs import example_file
from dutyline.catalogue.columns import FORMS
from support.command import dutyline, spaced
from support.lines import tables, write

pytestmark = pytest.mark.e2e

HEAT = ("iron_loss_rated_w", "iron_exponent", "rth_winding_housing_k_per_w",
        "rth_housing_ambient_k_per_w", "cth_winding_j_per_k", "cth_housing_j_per_k",
        "tau_winding_s", "tau_housing_min", "winding_limit_c", "insulation_class",
        "test_plate_side_mm", "test_plate_thick_mm", "brake_continuous_factor",
        "ambient_max_c", "altitude_max_m")  # fmt: skip
BUS = ("bus_capacitance_uf", "chopper_on_v", "overvoltage_trip_v", "undervoltage_trip_v",
       "resistor_min_ohm", "internal_resistor_w", "internal_resistor_pulse_j", "loss_fixed_w",
       "loss_per_amp_w", "idle_w")  # fmt: skip
PLATE = ("motor", "torque_rated_nm", "speed_rated_rpm", "brake")
"""All that the plate of an old motor says, and its brake."""
EVERY = {"motors": tuple(tables()["motors"][0])}
GROUPS: dict[str, dict[str, tuple[str, ...]]] = {
    # columns left out by file; a file alone is left without rows
    "heat": {"motors": HEAT},
    "curves": {"curves": ()},
    "heat and curves": {"motors": HEAT, "curves": ()},
    "overload": {"drives": ("overload_curve", "peak_time_s")},
    "pairings": {"pairings": ()},
    "brake work": {"brakes": ("work_per_stop_j", "work_total_j")},
    "gear life": {"gearheads": ("life_h", "speed_rated_out_rpm")},
    "bus": {"drives": BUS},
    "plate": {"motors": tuple(c for c in EVERY["motors"] if c not in PLATE), "curves": ()},
}
EXAMPLES = ("lift", "sorter", "bearing-press")


def without(folder, group):
    """A folder of the line without a group."""
    content = tables()
    for file, columns in group.items():
        if not columns:
            content[file] = [dict.fromkeys(content[file][0], "")]
        for row in content[file]:
            for column in columns:
                del row[column]
    return write(folder, content)


@pytest.fixture(scope="module")
def folders(tmp_path_factory):
    root = tmp_path_factory.mktemp("partial")
    return {name: without(root / name.replace(" ", "-"), group) for name, group in GROUPS.items()}


@cache
def on_all_data(example):
    """Axis and best verdict on the whole line."""
    axis = dl.read_axis(example_file(example))
    best = dl.select(axis).candidates[0]
    return axis, dl.verify(axis, best.combination)


def lines_of(verdict):
    return {(ln.check, ln.part): ln for ln in verdict.ledger}


def fields_of(group):
    """Fields of the records whose columns a group leaves out."""
    return {
        column.field
        for form in FORMS
        for column in form.columns
        if column.name in group.get(form.file.removesuffix(".csv"), ())
    }


@pytest.mark.parametrize("example", EXAMPLES)
@pytest.mark.parametrize("group", GROUPS)
def test_everything_runs_and_nothing_is_met_by_silence(folders, group, example):
    """A must line that is judged otherwise than on all data names what it took instead, or is
    computed from the constants of the motor where the curves are gone, or is worse."""
    axis, whole = on_all_data(example)
    line = dl.read_line(folders[group])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        verdict = dl.verify(axis, whole.combination, line)
        found = dl.select(axis, line)
    assert found.tried > 0
    before = lines_of(whole)
    silent = []
    for key, now in lines_of(verdict).items():
        if now.state == "not-checked":
            if not now.missing or (not now.asks and now.severity == "must"):
                silent.append((key, "nothing is named"))
            continue
        old = before.get(key)
        same = old is not None and (now.demand, now.limit) == (old.demand, old.limit)
        computed = "curves" in GROUPS[group] and now.group == "Motor"
        worse = old is not None and old.margin is not None and now.margin <= old.margin
        if now.severity == "must" and not (same or now.leans or computed or worse):
            silent.append((key, now.demand, now.limit))
    assert silent == []


@pytest.mark.parametrize("group", [g for g in GROUPS if g not in ("curves", "pairings")])
def test_cells_asked_for_are_those_left_out(folders, group):
    """By part, file and column, and nothing that the line states."""
    axis, whole = on_all_data("lift")
    verdict = dl.verify(axis, whole.combination, dl.read_line(folders[group]))
    asked = {(a.file.removesuffix(".csv"), a.column) for ln in verdict.ledger for a in ln.asks}
    left_out = {(file, c) for file, columns in GROUPS[group].items() for c in columns}
    assert asked <= left_out
    if group not in ("overload",):
        assert asked


@pytest.mark.usefixtures("remedies_once")
@pytest.mark.parametrize("group", GROUPS)
def test_the_other_verbs_run(folders, group, tmp_path):
    """Overview, audit, select, verify with advice, report: no fault of the program."""
    folder = str(folders[group])
    parts = ("--motor", "XM72-0450H", "--gearhead", "XG72-6", "--brake", "XB72")
    runs = [
        dutyline("line", folder),
        dutyline("audit", folder),
        dutyline("select", "--example", "lift", "--line", folder),
        dutyline("verify", "--example", "lift", "--line", folder, *parts, "--json"),
        dutyline("report", "--example", "lift", "--line", folder, *parts, "--to",
                 str(tmp_path / "r.html")),
    ]  # fmt: skip
    assert [r.code for r in runs if r.code not in (0, 1)] == []
    assert not any("Traceback" in r.err for r in runs)
    data = json.loads(runs[3].out)
    assert data["verdict"] != "meets" or group in ("curves", "overload", "pairings")


@pytest.mark.usefixtures("remedies_once")
def test_what_to_ask_for_comes_first(folders):
    """The cell that most checks wait for stands in the sentence and leads the list."""
    parts = ("--motor", "XM72-0450H", "--gearhead", "XG72-24", "--brake", "XB72")
    done = dutyline("verify", "--example", "lift", "--line", str(folders["bus"]), *parts)
    text = spaced(done.out)
    first = json.loads(
        dutyline("verify", "--example", "lift", "--line", str(folders["bus"]), *parts, "--json").out
    )["data_to_ask"]
    counts = [len(d["must"]) for d in first]
    assert counts == sorted(counts, reverse=True)
    assert first[0]["file"] == "drives.csv"
    joined = " ".join(text.split())
    assert f"of {first[0]['part']}" in joined.partition("first of all ")[2].partition(".")[0]
    sentence = joined.partition("Needs you")[0]
    assert "Incomplete." in sentence
    assert first[0]["column"] not in sentence
    assert "Data to ask for" in text


def test_a_line_as_read_holds_no_estimate(folders):
    assert all(dl.read_line(folder).assumed == () for folder in folders.values())


def test_an_axis_with_a_brake_and_a_line_that_names_none(tmp_path):
    folder = without(tmp_path / "x", {"motors": ("brake",), "pairings": ()})
    done = dutyline("select", "--example", "lift", "--line", str(folder))
    assert done.code == 2
    assert "column brake of motors.csv" in " ".join(spaced(done.err).split())
