"""The keys told on the page and those told in the guide are the same."""

from __future__ import annotations

import re
from pathlib import Path

from dutyline.web.pages import fragment

GUIDE = Path(__file__).parents[2] / "docs" / "how-to" / "workbench-page.md"


def test_the_guide_tells_the_keys_of_the_page() -> None:
    told = re.findall(r'<th scope="row">(.*?)</th><td>(.*?)</td>', fragment("keys"))
    lines = GUIDE.read_text(encoding="utf-8").partition("## Keys")[2].partition("## ")[0]
    written = re.findall(r"^\| (?!key )([^|-].*?) \| (.*?) \|$", lines, re.M)
    assert len(told) > 10
    assert written == told
