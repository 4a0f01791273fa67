"""The page on order lists: its fields and rows are read, its commands and its Python run."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

import dutyline as dl
from dutyline.axis.read import read_axis
from dutyline.catalogue.columns import ACCESSORIES, ACCESSORY_KINDS
from support.command import LIFT, dutyline
from support.lines import SHIPPED

pytestmark = pytest.mark.docs
PAGE = (Path(__file__).parents[2] / "docs" / "how-to" / "order-list.md").read_text("utf-8")


def test_commands_run(tmp_path):
    shutil.copy(LIFT, tmp_path / "axis.toml")
    commands = re.findall(r"^dutyline (order axis\.toml --to \S+(?: --separator \S+)?)", PAGE, re.M)
    assert len(commands) == 3
    for command in commands:
        done = dutyline(*command.replace('"', "").split(), cwd=tmp_path)
        assert done.code == 0, done.err
    assert {p.name for p in tmp_path.iterdir()} == {"axis.toml", "order.csv", "order.xlsx"}


def test_python_runs(tmp_path, monkeypatch, capsys):
    shutil.copy(LIFT, tmp_path / "axis.toml")
    monkeypatch.chdir(tmp_path)
    (block,) = re.findall(r"```python\n(.*?)```", PAGE, re.S)
    exec(block, {})
    assert "Motor cable length" in capsys.readouterr().out


def test_fields_are_read():
    (block,) = re.findall(r"```toml\n(.*?)```", PAGE, re.S)
    text = re.sub(r"\[require\]\n", "", block)
    axis = read_axis("page.toml", text=LIFT.read_text("utf-8").replace("[require]", "[require]\n"
                     + text.split("\n\n")[-1]) + "\n".join(text.split("\n\n")[:-1]))  # fmt: skip
    assert axis.equipment.cable.length == 4.0
    assert axis.equipment.cabinet.fuse == 10.0
    order = {p.kind: p for p in dl.order_list(dl.select(axis).candidates[0]).positions}
    assert order["motor-cable"].part == "XC-M4F-5"
    assert order["protective-device"].part == "XS3-10"
    assert order["drive"].options == ("fieldbus",)


def test_rows_are_read(tmp_path):
    folder = Path(shutil.copytree(SHIPPED, tmp_path / "line"))
    (block,) = re.findall(r"```text\n(accessory,.*?)```", PAGE, re.S)
    (folder / "accessories.csv").write_text(block, "utf-8")
    accessories = dl.read_line(folder).accessories
    assert [a.name for a in accessories] == ["C-4-3", "C-4-F", "A-72-14", "F-3-8", "P-24-60"]
    assert accessories[0].price == 31.5


def test_every_kind_and_column_is_told():
    for kind in ACCESSORY_KINDS:
        assert f"`{kind}`" in PAGE, kind
    for column in ACCESSORIES.columns:
        assert column.name in PAGE, column.name
