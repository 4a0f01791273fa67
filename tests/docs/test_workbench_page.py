"""The page on the workbench: its copy is a store, its query runs, its hash is that of sha256sum."""

from __future__ import annotations

import contextlib
import hashlib
import re
import shutil
import sqlite3
from pathlib import Path

import pytest

from dutyline.app.serve import desk_for
from dutyline.catalogue.library import demo_line
from support.command import LIFT

pytestmark = pytest.mark.docs
PAGE = (Path(__file__).parents[2] / "docs" / "how-to" / "workbench.md").read_text("utf-8")


def test_copies_and_queries_run_beside_a_running_store(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(LIFT, "axis.toml")
    desk, key, _ = desk_for("axis.toml", None, demo_line(), "axes.sqlite")
    change = {"do": "set", "path": "load.mass", "typed": "31 kg"}
    desk.edit(key, 1, change)
    (copying,) = re.findall(r"```python\n(.*?)```", PAGE, re.S)
    exec(copying, {})
    (query,) = re.findall(r"```sql\n(.*?)```", PAGE, re.S)
    with contextlib.closing(sqlite3.connect("copy.sqlite")) as copy:
        rows = copy.execute(query).fetchall()
    title = desk.store.get(key).title
    assert [(r[0], r[1]) for r in rows] == [(title, 2), (title, 1)]
    assert rows[1][4] == hashlib.sha256(Path("axis.toml").read_bytes()).hexdigest()
    desk.store.close()
    desk, again, said = desk_for("axis.toml", None, demo_line(), "copy.sqlite")
    assert again == key
    assert "revision 1 of a kept axis" in said[1]
    desk.store.close()


def test_the_list_is_where_the_page_says() -> None:
    template = Path(__file__).parents[2] / "src" / "dutyline" / "web" / "templates" / "page.html"
    (address,) = re.findall(r"list of all kept axes, `(/\w+)`", PAGE)
    assert f'href="{address}"' in template.read_text("utf-8")
