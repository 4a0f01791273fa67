"""An overview says what the rows hold, names the rows, and says what limits an output."""

from __future__ import annotations

import csv
import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.support.command import dutyline

import dutyline as dl
from dutyline.app.line import overview_json, overview_report
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import InputError
from dutyline.core.places import DATA
from dutyline.overview import zones
from dutyline.overview.motor_tables import UNKNOWN, motor_sheets
from dutyline.overview.records import Geared, Overview
from dutyline.overview.tables import sheets
from dutyline.report.overview import overview_document
from dutyline.report.tree import Paragraph, Table

LINE = dl.demo_line()
SECOND = Path(__file__).resolve().parents[2] / "data" / "second-line-si"


@pytest.fixture(scope="module")
def found() -> Overview:
    return dl.overview_of(LINE)


def rows(file: str) -> list[dict[str, str]]:
    """Rows of a file as text, read apart from the product."""
    with (DATA / "demo-line" / file).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def without(line: ProductLine, **absent: object) -> ProductLine:
    """The line with a datum of every motor or gearhead changed."""
    return replace(line, **absent)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("key", "file", "name", "column", "factor"),
    [
        ("torque_rated", "motors.csv", "motor", "torque_rated_nm", 1.0),
        ("torque_peak", "motors.csv", "motor", "torque_peak_nm", 1.0),
        ("speed_max", "motors.csv", "motor", "speed_max_rpm", math.pi / 30.0),
        ("inertia", "motors.csv", "motor", "inertia_kgcm2", 1e-4),
        ("brake_torque", "brakes.csv", "brake", "torque_static_nm", 1.0),
        ("drive_current", "drives.csv", "drive", "current_rated_arms", 1.0),
        ("backlash", "gearheads.csv", "gearhead", "backlash_arcmin", math.pi / 10800.0),
    ],
)
def test_extremes_are_those_of_the_file(
    found: Overview, key: str, file: str, name: str, column: str, factor: float
) -> None:
    values = {row[name]: float(row[column]) for row in rows(file)}
    span = next(span for span in found.spans if span.key == key)
    for end, pick in ((span.low, min), (span.high, max)):
        extreme = pick(values.values())
        assert end.value == pytest.approx(extreme * factor, rel=1e-12)
        assert set(end.rows) == {who for who, value in values.items() if value == extreme}
    assert (span.stated, span.rows) == (len(values), len(values))


def one(found: Overview, motor: str, gearhead: str) -> Geared:
    return next(g for g in found.geared if (g.motor, g.gearhead) == (motor, gearhead))


def test_an_output_by_hand(found: Overview) -> None:
    """XM72-0450H on XG72-6: ``(T - T0) i eta_m`` with ``1/eta_m = 1/eta - T0 i/T2N``."""
    motor = next(r for r in rows("motors.csv") if r["motor"] == "XM72-0450H")
    gear = next(r for r in rows("gearheads.csv") if r["gearhead"] == "XG72-6")
    drag, rated = float(gear["no_load_torque_in_nm"]), float(gear["torque_rated_nm"])
    mesh = 1.0 / (1.0 / float(gear["efficiency"]) - drag * 6.0 / rated)
    peak = (float(motor["torque_peak_nm"]) - drag) * 6.0 * mesh
    assert peak < float(gear["torque_accel_nm"])
    output = one(found, "XM72-0450H", "XG72-6")
    assert output.peak is not None
    assert output.peak.by == "motor"
    assert output.peak.value == pytest.approx(peak, rel=1e-9)


def test_the_gearhead_limits_where_its_torque_is_less(found: Overview) -> None:
    output = one(found, "XM72-0450H", "XG72-36")
    gear = next(r for r in rows("gearheads.csv") if r["gearhead"] == "XG72-36")
    assert output.peak is not None
    assert output.rated is not None
    assert (output.rated.by, output.rated.value) == ("gearhead", float(gear["torque_rated_nm"]))
    assert (output.peak.by, output.peak.value) == ("gearhead", float(gear["torque_accel_nm"]))


def test_who_limits_agrees_with_the_stated_pairings(found: Overview) -> None:
    """The pairings state the limit from the plain product of torque, ratio and efficiency."""
    stated = {
        (row["left"], row["right"]): row for row in rows("pairings.csv") if row["limited_peak"]
    }
    assert len(stated) == len(found.geared)
    for output in found.geared:
        row = stated[output.motor, output.gearhead]
        assert output.peak is not None
        assert output.top is not None
        assert output.peak.by == row["limited_peak"]
        assert output.peak.value == pytest.approx(float(row["torque_peak_out_nm"]), rel=0.035)
        top = output.top.value * 30.0 / math.pi
        assert top == pytest.approx(float(row["speed_max_out_rpm"]), rel=2e-3)


def test_a_geared_zone_ends_at_the_motor_end_over_the_ratio(found: Overview) -> None:
    zone = next(z for z in found.zones if z.motor == "XM88-0800H")
    output = one(found, "XM88-0800H", "XG88-9")
    assert zone.peak is not None
    assert output.peak_zone is not None
    assert np.allclose(output.peak_zone.speed * 9.0, zone.peak.speed)
    assert np.all(output.peak_zone.torque < zone.peak.torque * 9.0)


def test_the_corner_is_the_last_speed_with_all_of_the_torque(found: Overview) -> None:
    points = [
        (float(r["speed_rpm"]), float(r["torque_nm"]))
        for r in rows("curves.csv")
        if (r["motor"], r["kind"], r["mains_v"], r["phases"]) == ("XM72-0450H", "peak", "230", "3")
    ]
    corner = max(speed for speed, torque in points if torque == points[0][1])
    zone = next(z for z in found.zones if z.motor == "XM72-0450H")
    assert zone.corner is not None
    assert zone.corner * 30.0 / math.pi == pytest.approx(corner)


def test_points_picked_from_a_plot_do_not_hide_the_corner() -> None:
    """Half a per cent of scatter on the flat part, as reading off a plot leaves it."""
    motor = LINE.motors[-1]
    curves = [
        replace(c, speed=(0.0, 100.0, 200.0, 300.0), torque=(8.0, 7.97, 7.95, 7.0))
        for c in LINE.curves
        if (c.motor, c.kind) == (motor.name, "peak")
    ]
    found = dl.overview_of(without(LINE, curves=tuple(curves)))
    assert found.zones[-1].corner == 200.0


def test_the_name_of_a_document_is_judged_before_the_line_is_read() -> None:
    done = dutyline("line", "nowhere", "--to", "line.docx")
    assert done.code == 2
    assert 'read "line.docx"' in done.err
    assert "nowhere" not in done.err


def test_a_motor_has_the_drives_of_its_own_winding() -> None:
    line = dl.read_line(SECOND)
    motor = line.motors[line.motor_index["300L-46"]]
    data = motor_sheets(dl.overview_of(line), motor)[0]
    assert dict(data.rows)["Drives"] == "DV46 b, DV46 c"


def test_inch_figures_have_the_digits_that_were_stated() -> None:
    told = {s.key: s for s in sheets(dl.overview_of(dl.read_line(SECOND)), "inch")}
    spans = {row[0]: row for row in told["spans"].rows}
    assert spans["Flange"][1].endswith("1.75\u00a0in")
    assert spans["Encoder, bits per turn"][1] == "19"


def test_what_is_missing_from_every_motor_is_told_once() -> None:
    bare = tuple(replace(m, supply_class="", mains_min=None, mains_max=None) for m in LINE.motors)
    told = {s.key: s for s in sheets(dl.overview_of(without(LINE, motors=bare, curves=())))}
    first = ", ".join(m.name for m in LINE.motors[:4])
    assert told["zones"].note == f"{first} and 8 more: no mains is stated for it."
    assert told["classes"].note == f"{first} and 8 more: no supply class is stated."


def test_classes_say_what_does_not_exist(found: Overview) -> None:
    low = next(c for c in found.classes if c.name == "L")
    large = {r["size"] for r in rows("motors.csv")} - {
        r["size"] for r in rows("motors.csv") if r["supply_class"] == "L"
    }
    assert set(low.without) == large
    assert low.mains == (100.0, 115.0)
    assert low.phases == (1,)


def test_a_winding_is_not_shown_on_mains_that_it_is_not_made_for() -> None:
    zones = dl.overview_of(LINE, mains=115.0, phases=1).zones
    high = next(z for z in zones if z.motor == "XM88-0800H")
    assert high.peak is None
    assert high.gap == "its winding is for 200 to 230 V"
    assert next(z for z in zones if z.motor == "XM72-0450L").peak is not None


def test_missing_data_are_named_and_never_filled() -> None:
    gears = tuple(replace(g, efficiency=None) for g in LINE.gearheads)
    found = dl.overview_of(without(LINE, gearheads=gears))
    output = found.geared[0]
    assert output.rated is None
    assert output.peak is None
    assert output.top is not None
    assert "lacks efficiency" in output.gap
    assert all(span.key not in ("geared_rated", "geared_peak") for span in found.spans)


def test_partly_stated_figures_are_counted() -> None:
    motors = (replace(LINE.motors[0], inertia=None), *LINE.motors[1:])
    found = dl.overview_of(without(LINE, motors=motors))
    span = next(span for span in found.spans if span.key == "inertia")
    assert (span.stated, span.rows) == (11, 12)
    assert "rotor inertia (11 of 12)" in sheets(found)[0].note


def test_a_motor_with_nothing_but_a_name() -> None:
    bare = replace(LINE, motors=(dl.Motor("M"),), gearheads=(), drives=(), brakes=(),
                   resistors=(), curves=(), pairings=())  # fmt: skip
    found = dl.overview_of(bare)
    table = motor_sheets(found, bare.motors[0])[0]
    assert {text for _, text in table.rows} == {UNKNOWN}
    assert found.spans == ()


@pytest.mark.parametrize("mains, phases", [(-1.0, None), (5000.0, None), (230.0, 2)])
def test_no_supply_that_is_none(mains: float, phases: int | None) -> None:
    with pytest.raises(dl.InputError):
        dl.overview_of(LINE, mains=mains, phases=phases)


def test_inch_tables_hold_the_same_figures(found: Overview) -> None:
    si, inch = sheets(found), sheets(found, "inch")
    assert [t.key for t in si] == [t.key for t in inch]
    metric = float(si[3].rows[0][1].split("\u00a0")[0])
    pounds = float(inch[3].rows[0][1].split("\u00a0")[0])
    assert pounds / metric == pytest.approx(8.8507, rel=1e-3)  # lbf.in per N.m, NIST SP 811


@pytest.mark.parametrize("arguments", [(), ("--motor", "XM54-0120H"), ("--inch",)])
def test_the_terminal_keeps_its_width(arguments: tuple[str, ...]) -> None:
    done = dutyline("line", *arguments)
    assert done.code == 0
    assert max(map(len, done.out.splitlines())) <= 80


def test_json_and_python_have_the_same_digits(found: Overview) -> None:
    done = dutyline("line", "--motor", "xm72-0450h", "--json")
    told = json.loads(done.out)
    assert told == json.loads(json.dumps(overview_json(found, LINE.motors[7])))
    assert told["schema"] == "dutyline.line/1"
    assert {g["motor"] for g in told["geared"]} == {"XM72-0450H"}


def test_an_unknown_motor_is_told_with_the_nearest() -> None:
    done = dutyline("line", "--motor", "XM72-450H")
    assert done.code == 2
    assert 'The nearest is "XM72-0450H".' in done.err


@pytest.mark.parametrize("ending", ["pdf", "html"])
def test_the_document_is_written(tmp_path, ending: str) -> None:  # type: ignore[no-untyped-def]
    target = tmp_path / f"line.{ending}"
    done = dutyline("line", "--to", str(target))
    again = tmp_path / f"again.{ending}"
    dutyline("line", "--to", str(again))
    assert done.code == 0
    assert target.read_bytes() == again.read_bytes()
    assert f"Wrote {target}" in done.err


def test_more_pairs_than_can_be_gone_through_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    line = LINE
    pairs = sum(p.kind == "motor-gearhead" for p in line.pairings)
    monkeypatch.setattr(zones, "MOST_GEARED", pairs)
    assert len(dl.overview_of(line).geared) == pairs
    monkeypatch.setattr(zones, "MOST_GEARED", pairs - 1)
    with pytest.raises(InputError) as caught:
        dl.overview_of(line)
    (fault,) = caught.value.faults
    assert f"leaves {pairs} pairs" in fault.read


@pytest.mark.parametrize("folder", [DATA / "demo-line", SECOND], ids=["demo", "second"])
@pytest.mark.parametrize("system", ["si", "inch"])
def test_tables_stay_on_the_page(folder: Path, system: str) -> None:
    """210 mm of A4 less the margins of the page, 18 mm on each side."""
    document = overview_document(dl.overview_of(dl.read_line(folder)), system=system)
    for section in document.sections:
        for table in (block for block in section.blocks if isinstance(block, Table)):
            gaps = 3.0 * (len(table.columns) - 1)
            assert sum(column.width for column in table.columns) + gaps <= 210 - 2 * 18, section


def test_a_line_with_little_data_has_its_document(tmp_path: Path) -> None:
    bare = tuple(dl.Motor(m.name, flange=m.flange) for m in LINE.motors)
    found = dl.overview_of(without(LINE, motors=bare, curves=(), pairings=(), gearheads=()))
    for motor in (None, bare[0]):
        document = overview_document(found, motor)
        told = [b for s in document.sections for b in s.blocks if isinstance(b, Paragraph)]
        assert "mains is stated for it." in str(told)
    overview_report(found, tmp_path / "line.html")
