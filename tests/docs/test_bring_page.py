"""The example on the page about bringing data runs and gives what the page says."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.support.command import dutyline

from dutyline.intake.conventions import CONVENTIONS
from dutyline.intake.keys import COLUMN, TABLE
from dutyline.intake.read_mapping import read_mapping

pytestmark = pytest.mark.docs
PAGE = Path(__file__).resolve().parents[2] / "docs" / "how-to" / "bring-your-data.md"


def blocks(kind: str) -> list[str]:
    return [part.split("```")[0] for part in PAGE.read_text("utf-8").split(f"```{kind}\n")[1:]]


def test_the_example_on_the_page(tmp_path: Path):
    (tmp_path / "motoren.csv").write_text(blocks("csv")[0], "utf-8")
    (tmp_path / "mapping.toml").write_text(blocks("toml")[0], "utf-8")
    done = dutyline("bring", "mapping.toml", cwd=tmp_path)
    said = next(b for b in blocks("text") if b.startswith("$ dutyline bring mapping.toml\n"))
    assert done.code == 0, done.err
    assert done.out.strip() == said.removeprefix("$ dutyline bring mapping.toml\n").strip()
    asked = dutyline("bring", "mapping.toml", "--to", "out", cwd=tmp_path)
    assert asked.code == 0
    row = (tmp_path / "out" / "motors.csv").read_text("utf-8").splitlines()[1].split(",")
    # 10.5 lbf.in by NIST SP 811 (2008), B.8, and 0.30 times sqrt 2
    assert float(row[1]) == pytest.approx(10.5 * 0.1129848, rel=1e-6)
    assert float(row[5]) == pytest.approx(0.424264, rel=1e-6)


def test_the_curve_on_the_page_is_a_mapping():
    text = "schema = 1\n" + blocks("toml")[2]
    assert read_mapping("m.toml", text).tables[0].kind == "curves"


def test_keys_on_the_page_are_known():
    page = PAGE.read_text("utf-8")
    known = {key.name for key in (*TABLE, *COLUMN)} | {c.key for c in CONVENTIONS}
    for name in (
        "turned",
        "join",
        "repeat",
        "part",
        "strip",
        "values",
        "wide",
        "sort",
        "zero_below",
    ):
        assert name in known
        assert f"{name} = " in page
