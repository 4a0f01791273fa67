"""Kept files and folders are taken for what they are, whatever somebody put into them."""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.core.errors import InputError
from dutyline.kept import gather as module
from dutyline.kept.gather import gather
from dutyline.kept.read import kept_axis, kept_verdicts
from support.command import LIFT

VERDICT: dict[str, Any] = {
    "schema": "dutyline.verdict/1",
    "version": "0.1",
    "axis": {"title": "Lift", "file": "lift.toml", "checksum": "ab", "files": {}, "variant": None},
    "line": {"edition": "3", "content_hash": "cd"},
    "combination": {"motor": "M", "gearhead": None, "drive": "D", "brake": None},
    "verdict": "meets",
    "binding": "peak-torque",
    "ledger": [{"check": "peak-torque", "part": "motor", "state": "meets", "margin": 0.2}],
}


def put(folder: Path, name: str, content: Any) -> Path:
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content if isinstance(content, bytes) else json.dumps(content).encode())
    return path


def test_a_verdict(tmp_path: Path) -> None:
    (kept,) = gather([put(tmp_path, "a.json", VERDICT)]).kept
    assert (kept.axis_file, kept.checksum, kept.verdict) == ("lift.toml", "ab", "meets")
    assert kept.combination.motor == "M"
    assert kept.combination.gearhead is None
    assert (kept.edition, kept.content_hash, kept.binding) == ("3", "cd", "peak-torque")
    assert [(r.check, r.state, r.margin) for r in kept.ledger] == [("peak-torque", "meets", 0.2)]


def test_a_verdict_of_an_older_form_lacks_edition_and_ledger(tmp_path: Path) -> None:
    old = {k: v for k, v in VERDICT.items() if k not in ("line", "ledger", "version")}
    (kept,) = gather([put(tmp_path, "a.json", old)]).kept
    assert (kept.content_hash, kept.edition, kept.ledger, kept.fault) == ("", "", (), "")


def test_every_candidate_of_a_shortlist(tmp_path: Path) -> None:
    data = {"schema": "dutyline.shortlist/1", "candidates": [VERDICT, VERDICT]}
    kept = gather([put(tmp_path, "a.json", data)]).kept
    assert [k.source.rpartition(", ")[2] for k in kept] == ["candidate 1", "candidate 2"]


def test_the_result_of_a_variant_and_a_report(tmp_path: Path) -> None:
    result = {**VERDICT, "axis": {**VERDICT["axis"], "variant": "light"}}
    put(tmp_path, "v.json", {"schema": "dutyline.variant/1", "result": result})
    report = {k: v for k, v in VERDICT.items() if k != "ledger"}
    put(tmp_path, "w.json", {**report, "schema": "dutyline.report/1"})
    first, second = gather([tmp_path]).kept
    assert first.variant == "light"
    assert second.verdict == "meets"


def test_other_files_are_passed_over_and_counted(tmp_path: Path) -> None:
    put(tmp_path, "a.json", {"schema": "dutyline.line/1"})
    put(tmp_path, "b.json", [1, 2])
    put(tmp_path, "c.txt", b"no")
    put(tmp_path, "line.toml", b"[line]\n")
    found = gather([tmp_path])
    assert found.kept == ()
    assert found.passed == 2


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        (b"{", "is not JSON"),
        (b"[" * 100_000, "is not JSON"),
        (b"\xff\xfe\x00\xd8", "is not JSON"),
        (b'{"schema": "dutyline.verdict/1"}', "axis is missing"),
        ({**VERDICT, "axis": 3}, "axis is missing"),
        ({**VERDICT, "verdict": "good"}, "verdict is missing"),
        ({**VERDICT, "combination": {}}, "combination.motor is missing"),
        ({**VERDICT, "combination": {"motor": 3}}, "motor is no text"),
        ({**VERDICT, "combination": {"motor": "M" * 400}}, "motor is no text"),
        ({**VERDICT, "ledger": [3]}, "ledger is missing"),
        ({"schema": "dutyline.shortlist/1"}, "is no verdict"),
        ({"schema": "dutyline.variant/1", "result": []}, "is no verdict"),
    ],
)
def test_what_cannot_be_used_is_told(tmp_path: Path, content: Any, fault: str) -> None:
    (kept,) = gather([put(tmp_path, "a.json", content)]).kept
    assert fault in kept.fault


@pytest.mark.parametrize("margin", ["1e999", "-1e999", "NaN", "true", '"3"', "9" * 400])
def test_margins_that_are_no_numbers(tmp_path: Path, margin: str) -> None:
    text = json.dumps(VERDICT).replace("0.2", margin)
    (kept,) = gather([put(tmp_path, "a.json", text.encode())]).kept
    assert kept.ledger[0].margin is None


def test_an_axis_that_names_its_parts(tmp_path: Path) -> None:
    text = b'[choose]\nmotors = ["M"]\ngearheads = "G"\nbrakes = ["none"]\n'
    kept = kept_axis(tmp_path / "a.toml", text)
    assert kept is not None
    assert kept.combination.motor == "M"
    assert kept.combination.gearhead == "G"
    assert kept.combination.brake is None
    assert kept.checksum == hashlib.sha256(text).hexdigest()
    assert kept.verdict == ""


@pytest.mark.parametrize(
    "text",
    [
        b'[choose]\nmotors = ["M*"]\n',
        b'[choose]\nmotors = ["M", "N"]\n',
        b'[choose]\ngearheads = ["G"]\n',
        b"[choose]\nmotors = [3]\n",
        b'[choose]\nmotors = ["M"]\ndrives = ["D?"]\n',
        b"[[choose]]\nmotors = 1\n",
        b"# [choose]\nchoose = 3\n",
        b"[load]\n",
    ],
)
def test_an_axis_that_does_not(tmp_path: Path, text: bytes) -> None:
    assert kept_axis(tmp_path / "a.toml", text) is None


def test_an_axis_is_not_taken_twice(tmp_path: Path) -> None:
    text = b'[choose]\nmotors = ["M"]\n'
    put(tmp_path, "a.toml", text)
    axis = {**VERDICT["axis"], "file": "a.toml", "checksum": hashlib.sha256(text).hexdigest()}
    put(tmp_path, "a.json", {**VERDICT, "axis": axis})
    (kept,) = gather([tmp_path]).kept
    assert kept.verdict == "meets"


def test_axis_files_are_found_by_checksum_then_by_name(tmp_path: Path) -> None:
    text = LIFT.read_bytes()
    put(tmp_path, "x/renamed.toml", text)
    put(tmp_path, "y/lift.toml", text + b"# changed\n")
    axis = {**VERDICT["axis"], "checksum": hashlib.sha256(text).hexdigest()}
    put(tmp_path, "y/a.json", {**VERDICT, "axis": axis})
    found = gather([tmp_path])
    path, very = found.axes.of(found.kept[0])
    assert very
    assert path == tmp_path / "x" / "renamed.toml"
    (tmp_path / "x" / "renamed.toml").unlink()
    found = gather([tmp_path / "y" / "a.json"])
    assert found.axes.of(found.kept[0]) == (tmp_path / "y" / "lift.toml", False)
    put(tmp_path, "y/b/lift.toml", text + b"# other\n")
    put(tmp_path, "z/a.json", {**VERDICT, "axis": axis})
    found = gather([tmp_path])
    apart = next(k for k in found.kept if k.folder.endswith("z"))
    assert found.axes.of(apart) == (None, False), "two files of this name: none is guessed"


def test_names_that_leave_the_folder_are_not_followed(tmp_path: Path) -> None:
    put(tmp_path, "secret.toml", LIFT.read_bytes())
    for name in ("../secret.toml", str(tmp_path / "secret.toml")):
        axis = {**VERDICT["axis"], "file": name, "checksum": ""}
        path = put(tmp_path, "in/a.json", {**VERDICT, "axis": axis})
        assert not gather([path]).axes.by_name


def test_links_in_folders_are_not_followed(tmp_path: Path) -> None:
    put(tmp_path, "out/a.json", VERDICT)
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "folder").symlink_to(tmp_path / "out")
    (tmp_path / "in" / "file.json").symlink_to(tmp_path / "out" / "a.json")
    (tmp_path / "in" / "round").symlink_to(tmp_path / "in")
    assert gather([tmp_path / "in"]).kept == ()


def test_pipes_devices_and_missing_files(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.json")
    assert gather([tmp_path]).kept == ()
    for path in (tmp_path / "pipe.json", "/dev/zero", tmp_path / "none.json", "a\0b"):
        with pytest.raises(InputError):
            gather([path])
    put(tmp_path, "a.txt", b"x")
    with pytest.raises(InputError, match="ends in"):
        gather([tmp_path / "a.txt"])


def test_limits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_BYTES", 100)
    (kept,) = gather([put(tmp_path, "a.json", VERDICT)]).kept
    assert "larger" in kept.fault
    monkeypatch.setattr(module, "MOST_FILES", 3)
    for k in range(5):
        put(tmp_path, f"{k}.json", {})
    with pytest.raises(InputError, match="more than 3 files"):
        gather([tmp_path])
    deep = tmp_path / "deep"
    put(deep, "/".join(["d"] * (module.DEEPEST + 1)) + "/a.json", VERDICT)
    assert gather([deep]).kept == ()


SIMPLE = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5)
ANY = st.recursive(
    SIMPLE,
    lambda some: st.lists(some, max_size=3) | st.dictionaries(st.text(max_size=5), some),
    max_leaves=8,
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(st.data())
def test_any_value_in_any_place_is_a_verdict_or_a_fault(data: st.DataObject) -> None:
    """Fields taken away or filled with anything: a record comes back, never another error."""
    schemas = st.sampled_from(
        [f"dutyline.{n}/1" for n in ("verdict", "shortlist", "variant", "report")]
    )
    broken = dict(VERDICT)
    for key in data.draw(st.lists(st.sampled_from([*VERDICT, "candidates", "result", "settling"]))):
        broken[key] = data.draw(ANY | st.just(VERDICT) | st.just([VERDICT]))
    broken["schema"] = data.draw(schemas)
    for kept in kept_verdicts(Path("a.json"), json.dumps(broken).encode()):
        assert kept.fault or kept.verdict


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=60) | st.binary(max_size=40).map(lambda b: b"[choose]\n" + b))
def test_any_bytes(content: bytes) -> None:
    kept_verdicts(Path("a.json"), content)
    kept_axis(Path("a.toml"), content)
