"""Write docs/explanation/enquiries.md from the enquiries of the tests; ``--check`` compares."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from support.enquiries import ENQUIRIES, ending, tolerance  # noqa: E402

PAGE = ROOT / "docs" / "explanation" / "enquiries.md"
MADE = "<!-- Made by ./do docs; change tests/e2e/enquiries instead. -->"
INTRO = """\
An enquiry names an answer before the task, mixes units and leaves out what matters. Each of these,
all invented, is an axis file in `tests/e2e/enquiries`, worked as a user would; the last one asks
about several axes at once and is worked with Python alone. The tests hold what this page says: each
number was found by hand before the axis was computed, and what is easily overlooked is brought up
by the program in the place named here, or left to people for the reason given.
"""
STATES = {"fails": "fails", "short": "is short", "meets": "meets", "not-checked": "is not checked"}


def _parts(trap: dict[str, Any]) -> str:
    return ", ".join(trap["parts"].values())


def _raised(trap: dict[str, Any]) -> str:
    """Where the program brings a trap up."""
    if "question" in trap:
        return f"asked: `{trap['question']}`"
    if "note" in trap:
        return f"note: “… {trap['note']} …”"
    if "caution" in trap:
        return f"caution: “… {trap['caution']} …”"
    if "report" in trap:
        return f"report of {_parts(trap)}: “… {trap['report']} …”"
    if "check" in trap:
        return f"check `{trap['check']}` {STATES[trap['state']]} with {_parts(trap)}"
    if "refused" in trap:
        typed = ", ".join(f"`{line}`" for line in trap["written"].strip().splitlines()[-1:])
        return f"refused: {typed}"
    if "figure" in trap:
        return "figures: " + ", ".join(_spoken(key) for key in trap["figure"])
    return f"left to people: {trap['people']}"


def _spoken(key: str) -> str:
    return ending(key)[0].replace("_", " ")


def _number(name: str, key: str, value: float) -> str:
    _, found = ending(key)
    said = f"{value:g}" if 1e-3 <= abs(value) < 1e6 else f"{value:.4g}"
    space = "" if found.printed.startswith("°") or not found.printed else " "
    own = tolerance(name, key)
    within = f" (within {own:g} %)" if own != 3.0 else ""
    return f"{_spoken(key)} {said}{space}{found.printed}{within}"


def _enquiry(name: str, enquiry: dict[str, Any]) -> list[str]:
    rows = [f"| {trap['trap']} | {_raised(trap)} |" for trap in enquiry["trap"]]
    numbers = [_number(name, key, value) for key, value in enquiry["numbers"].items()]
    return [
        f"## {name}: {enquiry['industry']}",
        "",
        enquiry["asked"],
        "",
        "| easily overlooked | where it comes up |",
        "| --- | --- |",
        *rows,
        "",
        "Numbers, within 3 %: " + "; ".join(numbers) + ".",
        "",
    ]


def page() -> str:
    """The whole page."""
    lines = [MADE, "", "# Twenty enquiries", "", INTRO]
    for name, enquiry in ENQUIRIES.items():
        lines += _enquiry(name, enquiry)
    traps = [trap for enquiry in ENQUIRIES.values() for trap in enquiry["trap"]]
    left = sum("people" in trap for trap in traps)
    figures = sum("figure" in trap for trap in traps)
    lines += [
        "## Counted",
        "",
        f"Of {len(traps)} things easily overlooked {len(traps) - left - figures} are brought up in "
        f"words, by a check or by a refusal, {figures} show in a figure that has to be read, "
        f"and {left} are left to people.",
    ]
    return "\n".join(lines) + "\n"


def main() -> int:
    told = page()
    if "--check" in sys.argv[1:]:
        return 0 if PAGE.read_text(encoding="utf-8") == told else 1
    PAGE.write_text(told, encoding="utf-8")
    print("Wrote docs/explanation/enquiries.md.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
