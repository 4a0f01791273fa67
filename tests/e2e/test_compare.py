"""``dutyline compare`` as a user runs it: differences, kept verdicts, streams, exit codes."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

import dutyline as dl
from dutyline.app.records_json import number
from support.command import LIFT, dutyline, spaced
from support.lines import Edit, edited_folder, tables, write

pytestmark = pytest.mark.e2e

PARTS = ("--motor", "XM72-0450H", "--gearhead", "XG72-24", "--brake", "XB72",
         "--resistor", "XR-H80-90")  # fmt: skip
WEAK = Edit("gearheads", "torque_accel_nm", "12", {"gearhead": "XG72-24"})
FAR = Edit("gearheads", "torque_accel_nm", "20", {"gearhead": "XG54-4"})


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two editions, and a folder with a verdict and the axis it was made on."""
    root = tmp_path_factory.mktemp("compare")
    edited_folder(root / "old")
    edited_folder(root / "weak", WEAK)
    edited_folder(root / "far", FAR)
    for name, edition in (("old", "1"), ("weak", "2"), ("far", "2")):
        (root / name / "line.toml").write_text(f'[line]\nname = "X"\nedition = "{edition}"\n')
    kept = root / "kept"
    kept.mkdir()
    text = LIFT.read_text(encoding="utf-8")
    (kept / "lift.toml").write_text(f"# of a customer\n{text}", encoding="utf-8")
    done = dutyline("verify", "lift.toml", *PARTS, "--line", "../old", "--json", cwd=kept)
    assert done.code == 0
    (kept / "lift.json").write_text(done.out, encoding="utf-8")
    return root


def run(place: Path, *arguments: str, **around: str):
    return dutyline("compare", *arguments, cwd=place, **around)


def flat(text: str) -> str:
    return " ".join(spaced(text).split())


def test_a_kept_verdict_holds_all_that_is_needed(place: Path) -> None:
    told = json.loads((place / "kept" / "lift.json").read_text(encoding="utf-8"))
    assert told["axis"]["file"] == "lift.toml"
    assert len(told["axis"]["checksum"]) == 64
    assert told["line"]["edition"] == "1"
    assert told["line"]["content_hash"] == dl.content_hash(dl.read_line(place / "old"))
    assert told["combination"]["drive"] == "XD-H4"
    assert told["version"] == dl.__version__


def test_the_same_content(place: Path) -> None:
    done = run(place, "old", "old")
    assert (done.code, done.err) == (0, "")
    assert "hold the same content" in flat(done.out)


def test_what_no_longer_holds(place: Path) -> None:
    done = run(place, "old", "weak", "--kept", "kept")
    text = flat(done.out)
    assert done.code == 1
    assert "X, edition 1 and X, edition 2: 1 value of 1 row changed." in text
    assert "1 kept verdict: 1 no longer holds." in text
    assert "Acceleration torque of XG72-24: 63.3 becomes 12" in text
    assert "⊠ Carton lift, XM72-0450H with XG72-24: meets becomes fails." in text
    assert "Acceleration torque:" in text
    assert max(map(len, done.out.splitlines())) <= 80


def test_it_says_what_verify_says(place: Path) -> None:
    """The ledger before and after is the one of two calls of verify."""
    told = json.loads(run(place, "old", "weak", "--kept", "kept", "--json").out)
    (one,) = told["verdicts"]
    axis = dl.read_axis(place / "kept" / "lift.toml")
    parts = dl.Combination("XM72-0450H", "XG72-24", None, "XB72", "XR-H80-90")
    old, new = (dl.verify(axis, parts, dl.read_line(place / n)) for n in ("old", "weak"))
    assert (one["before"], one["after"]) == (old.verdict, new.verdict) == ("meets", "fails")
    assert one["binding"]["after"] == new.binding
    margins = {
        (ln["from"]["check"], ln["from"]["part"]): (ln["from"]["margin"], ln["to"]["margin"])
        for ln in one["moved"]
    }
    both = zip(old.ledger, new.ledger, strict=True)
    expected = {
        (a.check, a.part): (number(a.margin), number(b.margin))
        for a, b in both
        if a.state != b.state or a.margin != b.margin
    }
    assert margins == expected
    first = one["moved"][0]
    assert (first["from"]["state"], first["to"]["state"]) == ("meets", "fails")
    assert first["to"]["part"] == "gearhead"
    assert told["holds"] is False
    assert told["changes"][0]["row_before"] == told["changes"][0]["row_after"] == 12


def test_untouched(place: Path) -> None:
    done = run(place, "old", "far", "--kept", "kept")
    assert done.code == 0
    assert "1 kept verdict: 1 holds, 1 of them untouched." in flat(done.out)
    told = json.loads(run(place, "old", "far", "--kept", "kept", "--json").out)
    assert told["verdicts"][0]["touched"] == []


def test_the_axis_was_changed_since(place: Path, tmp_path: Path) -> None:
    shutil.copytree(place / "kept", tmp_path / "kept")
    with (tmp_path / "kept" / "lift.toml").open("a") as file:
        file.write("# seen\n")
    done = run(place, "old", "far", "--kept", str(tmp_path / "kept"))
    assert done.code == 0
    told = json.loads(run(place, "old", "far", "--kept", str(tmp_path / "kept"), "--json").out)
    assert told["verdicts"][0]["remarks"] == ["The axis file lift.toml was changed since."]


def test_the_very_axis_stands_elsewhere(place: Path, tmp_path: Path) -> None:
    """The file beside the verdict was changed, the one that it was made on was kept as well."""
    shutil.copytree(place / "kept", tmp_path / "kept")
    with (tmp_path / "kept" / "lift.toml").open("a") as file:
        file.write("# seen\n")
    both = ("--kept", str(tmp_path / "kept"), "--kept", "kept/lift.toml")
    told = json.loads(run(place, "old", "far", *both, "--json").out)
    (remark,) = told["verdicts"][0]["remarks"]
    assert remark == "lift.toml beside it was changed since; judged on kept/lift.toml."


def test_without_the_axis_nothing_is_said_to_hold(place: Path, tmp_path: Path) -> None:
    text = (place / "kept" / "lift.json").read_text(encoding="utf-8")
    lost = text.replace('"lift.toml"', '"gone.toml"').replace('"checksum": "', '"checksum": "0')
    (tmp_path / "lift.json").write_text(lost, encoding="utf-8")
    done = run(place, "old", "far", "--kept", str(tmp_path / "lift.json"))
    assert done.code == 1
    assert "The axis file gone.toml is not among the kept files." in flat(done.out)


def test_a_part_that_is_gone(place: Path, tmp_path: Path) -> None:
    content = tables()
    content["gearheads"] = [r for r in content["gearheads"] if r["gearhead"] != "XG72-24"]
    content["pairings"] = [r for r in content["pairings"] if r["right"] != "XG72-24"]
    write(tmp_path / "new", content)
    done = run(place, "old", str(tmp_path / "new"), "--kept", "kept")
    assert done.code == 1
    assert "meets before, no longer possible." in flat(done.out)
    assert "XG72-24 is gone" in flat(done.out)


def test_a_verdict_made_with_other_data_is_told(place: Path) -> None:
    text = flat(run(place, "weak", "old", "--kept", "kept").out)
    assert "It was made with other data, edition 1" in text
    assert "Recorded was meets; X, edition 2 gives fails with this version." in text


def test_examples_need_no_file(place: Path, tmp_path: Path) -> None:
    done = dutyline("select", "--example", "lift", "--line", "old", "--json", cwd=place)
    (tmp_path / "short.json").write_text(done.out, encoding="utf-8")
    told = json.loads(
        run(place, "old", "weak", "--kept", str(tmp_path / "short.json"), "--json").out
    )
    found = {v["combination"]["gearhead"]: v["outcome"] for v in told["verdicts"]}
    assert found["XG72-24"] == "lost"
    assert len(told["verdicts"]) == len(json.loads(done.out)["candidates"])


def test_an_axis_that_names_its_parts(place: Path, tmp_path: Path) -> None:
    text = LIFT.read_text(encoding="utf-8")
    head, _, tail = text.partition("[choose]")
    after = tail.partition("\n[")[2]
    named = '[choose]\nmotors = ["XM72-0450H"]\ngearheads = ["XG72-24"]\nbrakes = ["XB72"]\n'
    named += 'resistors = ["XR-H80-90"]\n'
    (tmp_path / "a.toml").write_text(head + named + (f"\n[{after}" if after else ""), "utf-8")
    told = json.loads(run(place, "old", "weak", "--kept", str(tmp_path / "a.toml"), "--json").out)
    (one,) = told["verdicts"]
    assert (one["recorded"], one["before"], one["after"]) == (None, "meets", "fails")
    assert one["outcome"] == "lost"


def test_simulated_settling_is_simulated_again(place: Path, tmp_path: Path) -> None:
    args = ("verify", "lift.toml", *PARTS, "--line", "../old", "--settle", "--json")
    done = dutyline(*args, cwd=place / "kept")
    (tmp_path / "s.json").write_text(done.out, encoding="utf-8")
    kept = ("--kept", str(tmp_path / "s.json"), "--kept", "kept/lift.toml")
    told = json.loads(run(place, "old", "far", *kept, "--json").out)
    (one,) = [v for v in told["verdicts"] if v["source"].endswith("s.json")]
    assert one["outcome"] == "holds"
    assert one["remarks"] == []


def test_a_verdict_on_estimates_is_judged_on_estimates(place: Path, tmp_path: Path) -> None:
    for name in ("a", "b"):
        edited_folder(tmp_path / name, Edit("motors", "rth_winding_housing_k_per_w", "", {}))
    args = ("verify", str(place / "kept" / "lift.toml"), *PARTS, "--line", "a", "--json")
    for more in ((), ("--estimate",)):
        done = dutyline(*args, *more, cwd=tmp_path)
        (tmp_path / "v.json").write_text(done.out, encoding="utf-8")
        count = json.loads(done.out)["line"]["estimated"]
        assert bool(count) == bool(more)
        kept = ("--kept", "v.json", "--kept", str(place / "kept" / "lift.toml"))
        told = json.loads(dutyline("compare", "a", "b", *kept, "--json", cwd=tmp_path).out)
        (one,) = [v for v in told["verdicts"] if v["source"] == "v.json"]
        assert one["remarks"] == []
        assert one["recorded"] == one["before"] == one["after"]


@pytest.mark.parametrize("width", ["60", "80", "120"])
@pytest.mark.parametrize("more", [(), ("--all",), ("--ascii",)])
def test_it_folds(place: Path, width: str, more: tuple[str, ...]) -> None:
    done = run(place, "old", "weak", "--kept", "kept", *more, COLUMNS=width)
    assert max(map(len, done.out.splitlines())) <= max(int(width), 80)
    assert "--ascii" not in more or done.out.isascii()


def test_quiet(place: Path) -> None:
    done = run(place, "old", "weak", "--kept", "kept", "-q")
    assert flat(done.out).endswith("1 no longer holds.")


@pytest.mark.parametrize("ending", ["html", "pdf"])
def test_the_document(place: Path, tmp_path: Path, ending: str) -> None:
    target = tmp_path / f"changes.{ending}"
    done = run(place, "old", "weak", "--kept", "kept", "--to", str(target))
    assert done.code == 1
    assert "Wrote" in done.err
    if ending == "html":
        page = target.read_text(encoding="utf-8")
        assert "Comparison of two editions" in page
        assert "Acceleration torque of XG72-24: 63.3 becomes 12" in spaced(page)
    else:
        assert target.read_bytes().startswith(b"%PDF")


def test_python_gives_the_same(place: Path) -> None:
    found = dl.compare(
        dl.read_line(place / "old"), dl.read_line(place / "weak"), kept=[place / "kept"]
    )
    assert isinstance(found, dl.Comparison)
    assert not found.holds
    assert found.verdicts[0].outcome == "lost"
    one = dl.compare(dl.read_line(place / "old"), dl.read_line(place / "far"), place / "kept")
    assert one.holds


@pytest.mark.parametrize(
    "arguments",
    [("old", "none"), ("old", "far", "--kept", "none"), ("old", "far", "--to", "x.docx"), ("old",)],
)
def test_input_errors_are_code_2(place: Path, arguments: tuple[str, ...]) -> None:
    done = run(place, *arguments)
    assert (done.code, done.out) == (2, "")
    assert done.err


def test_a_line_that_came_by_a_mapping_is_compared_alike(place: Path) -> None:
    """Another form of the same data is the same content."""
    done = dutyline("line", "old", "--export", "plain", "-q", cwd=place)
    assert done.code == 0
    done = run(place, "old", "plain")
    assert "hold the same content" in flat(done.out)


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("note.txt", "", "no kept verdict is there."),
        ("a.json", '{"schema": "other/1"}', "no kept verdict is there; 1 files hold none."),
        ("a.json", "[]", "no kept verdict is there; 1 files hold none."),
    ],
)
def test_nothing_holds_where_nothing_was_kept(tmp_path, name, text, told):
    (tmp_path / name).write_text(text, "utf-8")
    line = dl.write_line(dl.demo_line(), tmp_path / "line")
    done = dutyline("compare", str(line), str(line), "--kept", str(tmp_path))
    assert done.code == 2, done.out
    assert told in " ".join(done.err.replace("\u00a0", " ").split())


def test_a_verdict_of_another_version_is_not_judged(tmp_path):
    (tmp_path / "a.json").write_text('{"schema": "dutyline.verdict/2"}', "utf-8")
    line = dl.write_line(dl.demo_line(), tmp_path / "line")
    done = dutyline("compare", str(line), str(line), "--kept", str(tmp_path))
    assert done.code == 1
    assert "dutyline.verdict/2" in done.out
