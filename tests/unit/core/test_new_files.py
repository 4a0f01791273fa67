"""New files: whole or not at all, and never over another."""

from __future__ import annotations

import pytest

from dutyline.core.new_files import write_new


def test_a_file_that_exists_is_kept(tmp_path):
    path = tmp_path / "a.toml"
    write_new(path, "\u00e4\n")
    assert path.read_bytes() == b"\xc3\xa4\n"
    with pytest.raises(FileExistsError):
        write_new(path, "other")
    assert path.read_bytes() == b"\xc3\xa4\n"


def test_what_cannot_be_written_leaves_nothing(tmp_path):
    """Half of a surrogate pair has no UTF-8 (RFC 3629, section 3)."""
    with pytest.raises(UnicodeEncodeError):
        write_new(tmp_path / "a.toml", "a" * 100_000 + "\ud800")
    assert list(tmp_path.iterdir()) == []
