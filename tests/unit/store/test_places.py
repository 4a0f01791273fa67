"""The user's data folder by the rules of the platform."""

from __future__ import annotations

from pathlib import Path

import pytest

from dutyline.store.places import data_folder


@pytest.mark.parametrize(
    "environment, folder",
    [
        # XDG Base Directory Specification 0.8: the variable, else $HOME/.local/share; "All paths
        # set in these environment variables must be absolute. If an implementation encounters a
        # relative path [...] it should consider the path invalid and ignore it."
        ({"HOME": "/h", "XDG_DATA_HOME": "/data"}, "/data/dutyline"),
        ({"HOME": "/h"}, "/h/.local/share/dutyline"),
        ({"HOME": "/h", "XDG_DATA_HOME": ""}, "/h/.local/share/dutyline"),
        ({"HOME": "/h", "XDG_DATA_HOME": "data"}, "/h/.local/share/dutyline"),
        ({"XDG_DATA_HOME": "/data"}, "/data/dutyline"),
    ],
)
def test_the_rules_of_linux(environment: dict[str, str], folder: str) -> None:
    assert data_folder(environment, "linux") == Path(folder)


def test_the_custom_of_other_systems() -> None:
    assert data_folder({"HOME": "/h"}, "darwin") == Path("/h/Library/Application Support/dutyline")
    assert data_folder({"LOCALAPPDATA": "/l"}, "win32") == Path("/l/dutyline")


@pytest.mark.parametrize("environment", [{}, {"HOME": ""}, {"HOME": "relative"}])
def test_no_home_no_folder(environment: dict[str, str]) -> None:
    assert data_folder(environment, "linux") is None


def test_tests_keep_nothing_in_the_real_home() -> None:
    folder = data_folder()
    assert folder is not None
    assert "data-home" in str(folder)
