"""Numbers behind the plots: they carry the figures of the verdict, and spreadsheets are safe."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import numpy as np
import pytest
from tests.support.sample_verdict import sample_verdict

import dutyline as dl
from dutyline.core.errors import InputError
from dutyline.report.plot_tables import PlotTable, plot_tables


@pytest.fixture(scope="module")
def verdict():
    return sample_verdict()


@pytest.fixture(scope="module")
def tables(verdict):
    return {table.name: read(table) for table in plot_tables(verdict)}


def read(table: PlotTable) -> dict[str, np.ndarray]:
    """Columns of the text that was written."""
    rows = list(csv.reader(io.StringIO(table.text())))
    columns = dict(zip(rows[0], zip(*rows[1:], strict=True), strict=True))

    def numbers(values):
        try:
            return np.array([float(v) for v in values])
        except ValueError:
            return np.array(values)

    return {head: numbers(values) for head, values in columns.items()}


def test_every_plot_has_its_table(tables):
    assert set(tables) == {
        "cycle", "torque-over-speed", "overload", "gearhead-torque", "temperature-from-cold",
        "temperature-settled", "bus",
    }  # fmt: skip


def test_the_cycle_table_gives_the_peak_the_rms_and_the_energy(verdict, tables):
    cycle, motor = tables["cycle"], verdict.demand["motor"]
    torque, time = cycle["motor torque N*m"], cycle["time s"]
    assert np.abs(torque).max() == pytest.approx(motor["peak_torque"], rel=1e-6)
    rms = np.sqrt(np.trapezoid(torque**2, time) / time[-1])
    assert rms == pytest.approx(motor["rms_torque"], rel=2e-3)
    work = np.trapezoid(np.maximum(cycle["shaft power W"], 0), time)
    assert work == pytest.approx(motor["energy_motoring"], rel=2e-3)
    speed, inner = cycle["output speed rad/s"], np.diff(time) > 1e-9
    gained = np.diff(speed)[inner] / np.diff(time)[inner]
    rate = cycle["output acceleration rad/s^2"]
    between = (rate[1:] + rate[:-1])[inner] / 2
    assert gained == pytest.approx(between, abs=2e-2 * np.abs(rate).max())
    causes = [cycle[f"{c} N*m"] for c in ("inertia", "gravity", "friction", "process", "loss")]
    assert sum(causes) == pytest.approx(torque, abs=1e-7)


def test_the_bus_table_gives_the_energies_of_the_ledger(verdict, tables):
    bus, told = tables["bus"], verdict.demand["bus"]
    burnt = np.trapezoid(bus["power in the resistor W"], bus["time s"])
    assert burnt == pytest.approx(told["resistor_energy"], rel=2e-3)
    back = np.trapezoid(np.maximum(-bus["power drawn W"], 0), bus["time s"])
    assert back == pytest.approx(told["surplus_energy"], rel=2e-3)
    peak = next(ln for ln in verdict.ledger if ln.check == "resistor-peak")
    assert bus["power in the resistor W"].max() == pytest.approx(peak.demand, rel=1e-6)


def test_the_bus_stays_between_idle_and_the_switching_voltage(verdict, tables):
    """Half C (V^2 - V_idle^2) of 0.8 C is what the table says is stored."""
    line, volts = verdict.line, tables["bus"]["voltage V"]
    drive = line.drives[line.drive_index[verdict.combination.drive]]
    idle = np.sqrt(2) * verdict.axis.site.mains * (1 + verdict.axis.site.mains_high)
    assert volts.min() == pytest.approx(idle, rel=1e-9)
    assert volts.max() == pytest.approx(drive.chopper_on, rel=1e-6)
    stored = 0.5 * 0.8 * drive.bus_capacitance * (volts.max() ** 2 - idle**2)
    assert stored == pytest.approx(verdict.demand["bus"]["capacitor_energy"], rel=1e-5)


def test_temperatures_end_where_the_verdict_says(verdict, tables):
    told, settled = verdict.demand["winding"], tables["temperature-settled"]
    assert settled["winding degC"].max() == pytest.approx(told["max"], abs=0.01)
    assert settled["winding degC"][0] == pytest.approx(settled["winding degC"][-1], abs=1e-6)
    cold = tables["temperature-from-cold"]
    assert cold["winding highest degC"][0] == pytest.approx(40.0, abs=1e-9)
    assert told["max"] - 1.0 <= cold["winding highest degC"][-1] <= told["max"]
    assert (np.diff(cold["winding highest degC"]) >= -1e-9).all()


def test_a_gearhead_table_holds_the_time_under_load(verdict, tables):
    gear = tables["gearhead-torque"]
    assert gear["output torque N*m"].max() == pytest.approx(
        verdict.demand["output"]["peak_torque"], rel=1e-6
    )
    assert gear["time s"].sum() <= tables["cycle"]["time s"][-1] * (1 + 1e-3)


def test_names_are_no_formulas_for_a_spreadsheet():
    text = PlotTable("t", {"phase": ["=1+1", "up, slowly"], "time s": np.array([0.0, 1.5])}).text()
    assert text == 'phase,time s\n\'=1+1,0\n"up, slowly",1.5\n'


def test_without_a_trace_there_are_no_tables(verdict):
    assert plot_tables(replace(verdict, trace=None)) == ()


def test_a_folder_is_made_and_filled_the_same_way_twice(verdict, tmp_path):
    folder = tmp_path / "deep" / "numbers"
    dl.report(verdict, tmp_path / "lift.html", data=folder)
    first = {p.name: p.read_bytes() for p in folder.iterdir()}
    dl.report(verdict, tmp_path / "lift.html", data=folder)
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == first
    assert "bus.csv" in first


@pytest.mark.parametrize("name", ["taken", "", " ", "with\0nul", "a\nb", "lift.html"])
def test_a_folder_that_cannot_be_made_is_an_input_error(verdict, tmp_path, monkeypatch, name):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(InputError, match="--data"):
        dl.report(verdict, tmp_path / "lift.html", data=name)
    assert [p.name for p in tmp_path.iterdir()] == ["taken"]


def _linked(folder):
    (folder.parent / "mine.txt").write_text("mine")
    (folder / "bus.csv").symlink_to("../mine.txt")


def _other(folder):
    (folder / "bus.csv").write_text("time,volts\n1,2\n")


def _nested(folder):
    (folder / "bus.csv").mkdir()


@pytest.mark.parametrize("spoil", [_linked, _other, _nested])
def test_what_is_not_ours_stays_and_nothing_is_written(verdict, tmp_path, spoil):
    folder = tmp_path / "numbers"
    folder.mkdir()
    spoil(folder)
    before = {p: p.read_bytes() if p.is_file() else b"" for p in tmp_path.rglob("*")}
    with pytest.raises(InputError, match=r"bus\.csv: --data: this"):
        dl.report(verdict, tmp_path / "lift.html", data=folder)
    assert {p: p.read_bytes() if p.is_file() else b"" for p in tmp_path.rglob("*")} == before
