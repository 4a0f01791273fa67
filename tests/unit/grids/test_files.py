"""A name leads to a file in the folder, or to a refusal."""

from __future__ import annotations

import os
import socket

import pytest

from dutyline.core.errors import Fault, InputError
from dutyline.grids.files import content, inside


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "line" / "lists").mkdir(parents=True)
    (tmp_path / "line" / "lists" / "motors.csv").write_text("a,b\n", encoding="utf-8")
    (tmp_path / "secret.csv").write_text("kept back\n", encoding="utf-8")
    return tmp_path / "line"


def refusal(folder, name):
    with pytest.raises(InputError) as found:
        inside(folder, name)
    return found.value.text()


def test_files_in_the_folder_and_in_folders_of_it(folder):
    assert inside(folder, "lists/motors.csv").read_text("utf-8") == "a,b\n"


def test_a_link_that_stays_inside(folder):
    (folder / "list.csv").symlink_to("lists/motors.csv")
    assert inside(folder, "list.csv").name == "list.csv"


@pytest.mark.parametrize(
    "name",
    ["../secret.csv", "lists/../../secret.csv", "lists\\..\\..\\secret.csv", "..", "lists/.."],
)
def test_names_that_leave(folder, name):
    assert "leaves the folder" in refusal(folder, name)


@pytest.mark.parametrize(
    "name", ["/etc/passwd", "C:\\secret.csv", "C:secret.csv", "\\\\host\\share\\a.csv", "//host/a"]
)
def test_names_from_a_root(folder, name):
    assert "is a path from a root" in refusal(folder, name)


@pytest.mark.parametrize("name", ["", "  ", "a\0b"])
def test_no_names(folder, name):
    assert "is not the name of a file" in refusal(folder, name)


def test_links_that_leave(folder):
    (folder / "a.csv").symlink_to(folder.parent / "secret.csv")
    (folder / "up").symlink_to(folder.parent)
    assert "link that leaves the folder" in refusal(folder, "a.csv")
    assert "link that leaves the folder" in refusal(folder, "up/secret.csv")


def test_a_link_to_itself(folder):
    (folder / "a.csv").symlink_to("a.csv")
    assert "cannot be used" in refusal(folder, "a.csv")


def test_a_missing_file(folder):
    assert "the file is missing" in refusal(folder, "none.csv")
    assert "cannot be used" in refusal(folder, "n" * 5_000)


def test_what_is_no_file_is_not_waited_for(folder, monkeypatch):
    os.mkfifo(folder / "pipe.csv")
    monkeypatch.chdir(folder)
    with socket.socket(socket.AF_UNIX) as server:
        server.bind("socket.csv")
        for name in ("pipe.csv", "socket.csv", "lists"):
            assert "is not a file" in refusal(folder, name)
            assert isinstance(content(folder / name, name), Fault)
    assert isinstance(content(folder / "pipe.csv", "pipe.csv"), Fault)


def test_no_more_is_read_than_asked_for(folder):
    assert content(folder / "lists" / "motors.csv", "motors.csv", most=2) == b"a,b"
