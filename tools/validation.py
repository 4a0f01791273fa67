"""Write docs/validation.md from the published values in tests/published; ``--check`` compares."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterable
from itertools import groupby
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT)]

from tests.published import cases  # noqa: E402  the root of the repository has to be known first
from tests.published.of_settling import SETTLING, simulated  # noqa: E402

PAGE = ROOT / "docs" / "validation.md"
MADE = "<!-- Made by ./do docs from tests/published; change the data or the code instead. -->"


def cell(text: str) -> str:
    """Text that may stand in a cell of a table."""
    return text.replace("|", "\\|").replace("\n", " ")


def figure(value: float | bool | str) -> str:
    """A number with six significant digits; rounding noise about zero is zero."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value if abs(value) > 1e-12 else 0.0:.6g}"


def table(heads: list[str], rows: Iterable[list[str]]) -> str:
    """A table in Markdown."""
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join("| " + " | ".join(cell(c) for c in line) + " |" for line in lines)


def comparisons(found: list[cases.Comparison]) -> list[str]:
    """One heading with its source and one table per case."""
    parts: list[str] = []
    for name, rows in groupby(found, key=lambda c: c.case):
        group = list(rows)
        first = group[0]
        seen = {"seen": "Source read.", "memory": "Source from memory."}.get(first.status, "")
        parts += ["", f"### {name}: {first.topic}", "", f"{first.source}. {seen}".strip(), ""]
        heads = ["figure", "printed", "band", "computed", "remark"]
        parts.append(
            table(
                heads,
                (
                    [f"`{c.key}`", figure(c.printed), f"{c.band:.3g}", figure(c.found), c.remark]
                    for c in group
                ),
            )
        )
    return parts


def settling_table() -> str:
    """The reference runs of the settling simulation."""
    heads = ["run", "velocity gain, rad/s", "stated", "computed"]
    rows = []
    for run in SETTLING["run"]:
        stated, found = run["settle_s"], simulated(run, SETTLING["substeps"])
        gain = figure(run["velocity_gain_rad_s"])
        rows.append([run["id"], gain, seconds(stated), seconds(found)])
    return table(heads, rows)


def seconds(time: float) -> str:
    """A time, or that there is none."""
    return figure(time) if math.isfinite(time) else "never"


def page() -> str:
    """The whole page."""
    published, examples = list(cases.published()), list(cases.examples())
    names = sorted(cases.NOT_COMPUTED)
    parts = [
        MADE,
        "",
        "# Validation",
        "",
        f"{len(published)} figures printed outside the project and {len(examples)} figures of "
        "worked examples with invented data are computed with the product's own functions at "
        "every run of the tests. The band is what the last printed digit allows, or wider where "
        "the source rounded on its way. Inputs, sources and notes stand in `tests/published`.",
        "",
        "## Published values",
        *comparisons(published),
        "",
        "## Worked examples",
        "",
        "Each was computed by a separate calculation before it was compared.",
        *comparisons(examples),
        "",
        "## Settling in time",
        "",
        "Motor and load behind a spring, 2 pi rad in 0.2 s under a sampled cascade, computed apart "
        f"from this project with a band of {SETTLING['rel_tol']:.0%}. Times in s from the end of "
        "the move.",
        "",
        settling_table(),
        "",
        "## Known mistakes",
        "",
        "Stated results of well-known mistakes, which the product must not give.",
        "",
        table(
            ["mistake", "figure", "with the mistake", "computed"],
            ([w, k, figure(bad), figure(own)] for w, k, bad, own in cases.mistakes()),
        ),
        "",
        "## Not computed",
        "",
        table(["case", "why"], ([name, cases.NOT_COMPUTED[name]] for name in names)),
        "",
        table(
            ["figure", "why"],
            ([f"{n} `{k}`", why] for (n, k), why in sorted(cases.PARTS_NOT_COMPUTED.items())),
        ),
    ]
    return "\n".join(parts) + "\n"


def main(arguments: list[str]) -> int:
    """Write the page, or with ``--check`` say whether it is current."""
    made = page()
    if "--check" in arguments:
        current = PAGE.is_file() and PAGE.read_text(encoding="utf-8") == made
        if not current:
            print("docs/validation.md is not current: ./do docs")
        return 0 if current else 1
    PAGE.write_text(made, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
