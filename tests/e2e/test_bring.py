"""Foreign tables through the verb: what is told, what is written, every figure with its cell."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from tests.support.command import dutyline

import dutyline as dl
from dutyline.app.audit import audit_json
from dutyline.app.bring import propose, write_proposal
from dutyline.catalogue.content import content_hash
from dutyline.catalogue.origins import origin
from dutyline.core.places import DATA

pytestmark = pytest.mark.e2e
DEMO = DATA / "demo-line"
TABLES = ("motors", "gearheads", "drives", "brakes", "resistors", "curves", "pairings")


def german(folder: Path) -> Path:
    """The demo line with semicolons and decimal commas."""
    folder.mkdir()
    for name in TABLES:
        rows = list(csv.reader(io.StringIO((DEMO / f"{name}.csv").read_text("utf-8"))))
        text = io.StringIO(newline="")
        writer = csv.writer(text, delimiter=";")
        writer.writerow(rows[0])
        writer.writerows([[re.sub(r"(?<=\d)\.(?=\d)", ",", c) for c in row] for row in rows[1:]])
        (folder / f"{name}.csv").write_text(text.getvalue(), "utf-8")
    return folder


def test_our_own_headings_are_understood_and_the_line_is_the_same(tmp_path: Path):
    folder = german(tmp_path / "line")
    proposal = propose(folder)
    assert proposal.open == 0
    write_proposal(proposal, folder / "mapping.toml")
    line = dl.read_line(folder)
    demo = dl.demo_line()
    for name in TABLES:
        assert getattr(line, name) == getattr(demo, name)


def test_a_line_that_is_written_keeps_hash_and_cells(tmp_path: Path):
    folder = german(tmp_path / "line")
    write_proposal(propose(folder), folder / "mapping.toml")
    line = dl.read_line(folder / "mapping.toml")
    again = dl.read_line(dl.write_line(line, tmp_path / "out"))
    assert content_hash(again) == content_hash(line)
    motor = line.motors[0]
    for one in (line, again):
        found = origin(one, "motors", (motor.name,), "torque_peak", motor.torque_peak)
        assert found.source is not None
        assert found.source.text() == 'motors.csv, cell M2: "0,4625" N*m'
    twice = dl.read_line(dl.write_line(again, tmp_path / "twice"))
    assert (tmp_path / "twice" / "origins.csv").read_bytes() == (
        tmp_path / "out" / "origins.csv"
    ).read_bytes()
    assert content_hash(twice) == content_hash(line)


def test_a_cell_changed_by_hand_has_no_trace(tmp_path: Path):
    folder = german(tmp_path / "line")
    write_proposal(propose(folder), folder / "mapping.toml")
    out = dl.write_line(dl.read_line(folder), tmp_path / "out")
    text = (out / "motors.csv").read_text("utf-8").replace("0.4625", "0.4626")
    (out / "motors.csv").write_text(text, "utf-8")
    line = dl.read_line(out)
    motor = line.motors[0]
    found = origin(line, "motors", (motor.name,), "torque_peak", motor.torque_peak)
    assert found.raw == "0.4626"
    assert found.source is None


def test_a_finding_of_the_audit_names_the_foreign_cell(tmp_path: Path):
    folder = german(tmp_path / "line")
    text = (folder / "motors.csv").read_text("utf-8")
    (folder / "motors.csv").write_text(text.replace(";7,409;", ";74,09;"), "utf-8")
    write_proposal(propose(folder), folder / "mapping.toml")
    found = audit_json(dl.audit(dl.read_line(folder)))["findings"]
    source = next(f["source"] for f in found if f["column"] == "resistance_ll_ohm_20c")
    assert source["raw"] == "74,09"
    assert source["file"] == "motors.csv"
    assert source["convention"] == "across line-line; at 20 degC"
    told = dutyline("audit", str(folder))
    assert '"74,09" ohm' in " ".join(told.out.split())


def test_the_verb_tells_and_writes(tmp_path: Path):
    folder = german(tmp_path / "line")
    guess = dutyline("bring", str(folder), "--propose", "--to", str(folder / "mapping.toml"))
    assert guess.code == 0, guess.err
    assert "0 questions open" in guess.out
    done = dutyline("bring", str(folder), "--to", str(tmp_path / "out"), "--json")
    assert done.code == 0, done.err
    told = json.loads(done.out)
    assert told["schema"] == "dutyline.bring/1"
    assert told["counts"]["motors"] == 12
    assert sorted(p.name for p in (tmp_path / "out").iterdir())[-1] == "resistors.csv"
    plain = dutyline("bring", str(folder))
    assert max(map(len, plain.out.splitlines())) <= 80
    again = dutyline("bring", str(folder), "--to", str(tmp_path / "out"))
    assert again.code == 2
    assert "something stands there already" in again.err


@pytest.mark.parametrize("name", ["../secret.csv", "/etc/passwd", "a/../../b.csv", "C:\\x.csv"])
def test_a_mapping_does_not_leave_its_folder(tmp_path: Path, name: str):
    mapping = tmp_path / "mapping.toml"
    escaped = name.replace("\\", "\\\\")
    mapping.write_text(
        f'schema = 1\n[[table]]\ninto = "motors"\nfile = "{escaped}"\n'
        '[table.columns]\n"a" = "name"\n', "utf-8",
    )  # fmt: skip
    with pytest.raises(dl.InputError, match="folder of the mapping"):
        dl.read_line(mapping)


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path):
    (tmp_path / "outside.csv").write_text("a\n1\n")
    folder = tmp_path / "line"
    folder.mkdir()
    (folder / "t.csv").symlink_to(tmp_path / "outside.csv")
    (folder / "mapping.toml").write_text(
        'schema = 1\n[[table]]\ninto = "motors"\nfile = "t.csv"\n[table.columns]\n"a" = "name"\n'
    )
    with pytest.raises(dl.InputError, match="leaves the folder"):
        dl.read_line(folder)


def test_a_mapping_that_exists_is_kept(tmp_path: Path):
    folder = german(tmp_path / "line")
    (folder / "mapping.toml").write_text("mine\n")
    with pytest.raises(dl.InputError, match="it is kept"):
        write_proposal(propose(folder), folder / "mapping.toml")
    assert (folder / "mapping.toml").read_text() == "mine\n"
