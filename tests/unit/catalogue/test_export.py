"""A line that is written and read again is the same line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dutyline.catalogue.content import content_hash
from dutyline.catalogue.export import write_line
from dutyline.catalogue.library import demo_line, read_line
from dutyline.catalogue.parts import Motor
from dutyline.core.errors import InputError
from dutyline.estimates.fill import estimated
from support.lines import edited_folder


def test_the_line_that_ships(tmp_path: Path) -> None:
    folder = write_line(demo_line(), tmp_path / "copy")
    again = read_line(folder)
    assert again == replace(demo_line(), folder=str(folder))
    assert content_hash(again) == content_hash(demo_line())
    twice = write_line(again, tmp_path / "twice")
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == {
        p.name: p.read_bytes() for p in twice.iterdir()
    }


def test_what_stands_beside_goes_along(tmp_path: Path) -> None:
    source = edited_folder(tmp_path / "a")
    (source / "audit.toml").write_text("schema = 1\n", "utf-8")
    (source / "line.toml").write_text('[line]\ncurrency = "EUR"\n', "utf-8")
    folder = write_line(read_line(source), tmp_path / "b", {"origins.csv": b"x"})
    again = read_line(folder)
    assert (again.name, again.currency, again.thresholds) == ("a", "EUR", b"schema = 1\n")
    assert (folder / "origins.csv").read_bytes() == b"x"


def test_a_folder_of_the_same_name_needs_no_edition(tmp_path: Path) -> None:
    line = read_line(edited_folder(tmp_path / "a" / "line"))
    (tmp_path / "b").mkdir()
    folder = write_line(line, tmp_path / "b" / "line")
    assert not (folder / "line.toml").exists()


def test_an_empty_folder_may_be_there(tmp_path: Path) -> None:
    (tmp_path / "new").mkdir()
    assert read_line(write_line(demo_line(), tmp_path / "new")).motors


def test_estimates_are_not_written(tmp_path: Path) -> None:
    """What nobody stated does not become a stated value by way of a file."""
    bare = replace(
        demo_line(), motors=tuple(replace(m, rth_winding_housing=None) for m in demo_line().motors)
    )
    filled = estimated(bare)
    assert filled.assumed
    assert content_hash(filled) == content_hash(bare)
    assert read_line(write_line(filled, tmp_path / "new")).motors == bare.motors


@pytest.mark.parametrize("taken", ["file", "folder", "link"])
def test_nothing_is_overwritten(tmp_path: Path, taken: str) -> None:
    target = tmp_path / "there"
    if taken == "folder":
        target.mkdir()
        (target / "kept.txt").write_text("kept", "utf-8")
    elif taken == "file":
        target.write_text("kept", "utf-8")
    else:
        target.symlink_to(tmp_path / "nowhere")
    before = sorted(tmp_path.iterdir())
    with pytest.raises(InputError, match="stands there already"):
        write_line(demo_line(), target)
    assert sorted(tmp_path.iterdir()) == before
    if taken == "folder":
        assert [p.name for p in target.iterdir()] == ["kept.txt"]


@pytest.mark.parametrize("name", ["no/such/folder", "bad\0name"])
def test_places_that_cannot_be(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError):
        write_line(demo_line(), f"{tmp_path}/{name}")


def test_a_disk_that_refuses_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: Path, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(InputError, match="No space left"):
        write_line(demo_line(), tmp_path / "new")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("name", ["a\nb", " a", ""])
def test_what_no_file_can_say_is_not_written(tmp_path: Path, name: str) -> None:
    line = replace(demo_line(), motors=(*demo_line().motors, Motor(name)))
    with pytest.raises(InputError):
        write_line(line, tmp_path / "new")
    assert not list(tmp_path.iterdir())


def test_only_a_line_is_written(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="ProductLine is needed"):
        write_line("demo line", tmp_path / "new")  # type: ignore[arg-type]
