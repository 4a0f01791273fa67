"""Where a server keeps axes when it is told, and when it is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from dutyline.app.keeping import origin_of, store_for
from dutyline.core.errors import InputError
from dutyline.store.memory import MemoryStore
from dutyline.store.rows import VERSION_TABLE
from dutyline.store.sql import SqlStore
from support.stores import content


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("XDG_DATA_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    return tmp_path


def test_without_a_word_in_the_data_folder(home: Path) -> None:
    store, said = store_for(None)
    own = store.create("Lift", content()).id
    store.close()
    assert said == f"Axes are kept in {home}/.local/share/dutyline/axes.sqlite."
    again, _ = store_for(None)
    assert again.get(own).title == "Lift"
    again.close()


def test_memory_leaves_nothing(home: Path) -> None:
    store, said = store_for("memory")
    store.create("Lift", content())
    assert "end with the program" in said
    assert list(home.iterdir()) == []


def test_no_home_is_told_and_memory_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("XDG_DATA_HOME")
    monkeypatch.delenv("HOME")
    store, said = store_for(None)
    assert isinstance(store, MemoryStore)
    assert said == (
        "Nothing is kept: there is no home folder. "
        "Edits end with the program; name a file to keep them in with --store."
    )


def test_a_home_that_cannot_be_written_is_told_and_memory_used(home: Path) -> None:
    (home / ".local").write_text("no folder")
    store, said = store_for(None)
    assert isinstance(store, MemoryStore)
    assert said.startswith(f"Nothing is kept: {home}/.local/share/dutyline/axes.sqlite cannot be")
    assert "not a directory" in said


def test_a_named_place_that_cannot_be_written_is_a_fault(home: Path) -> None:
    (home / "file").write_text("no folder")
    with pytest.raises(InputError, match="--store: not a directory"):
        store_for(str(home / "file" / "axes.sqlite"))


def test_a_newer_file_in_the_data_folder_is_a_fault_not_memory(home: Path) -> None:
    store, _ = store_for(None)
    assert isinstance(store, SqlStore)
    with store._engine.begin() as connection:
        connection.exec_driver_sql(f"UPDATE {VERSION_TABLE} SET version_num = '9999'")
    store.close()
    with pytest.raises(InputError, match="newer dutyline"):
        store_for(None)


def test_a_mark_of_a_place_tells_nothing_of_it() -> None:
    mark = origin_of("file", "/projects/secret/axis.toml")
    assert mark != origin_of("file", "/projects/other/axis.toml")
    assert mark != origin_of("example", "/projects/secret/axis.toml")
    assert len(mark) == 64
    assert "secret" not in mark
