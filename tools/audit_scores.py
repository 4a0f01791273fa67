"""Write the scores of the audit into docs/explanation/audit.md; ``--check`` compares."""

from __future__ import annotations

import re
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "benchmarks")]

import audit as bench  # noqa: E402  the folder of benchmarks has to be known first

PAGE = ROOT / "docs" / "explanation" / "audit.md"
TRIALS, SEED = 400, 7
BLOCK = re.compile(r"(<!-- made by ./do docs: scores -->\n).*?(<!-- end -->\n)", re.DOTALL)
MOST_COLUMNS = 24


def table(heads: list[str], rows: list[list[str]]) -> list[str]:
    """A table in Markdown."""
    return ["| " + " | ".join(line) + " |" for line in (heads, ["---"] * len(heads), *rows)]


def scores() -> str:
    """Shares caught over random corruptions, and what goes unseen."""
    found = list(bench.trials(TRIALS, SEED))
    every = bench.score(found)
    rows = [
        [name, str(s.count), f"{s.caught:.0%}", f"{s.named:.0%}", f"{s.precision:.0%}"]
        for name, s in bench.report(found)
    ]
    whole = bench.whole_columns()
    seen = sum(w[3] for w in whole)
    blind = [f"`{w[1]}` of {w[0]}" for w in whole if not w[3]]
    missed = [f"`{c}` of {f} ({n} of {of})" for f, c, n, of in bench.unseen(found)[:MOST_COLUMNS]]
    return "\n".join([
        "",
        f"{TRIALS} corruptions of one cell each of the line that ships (seed {SEED}, "
        "`benchmarks/audit.py`): a column at random, a row of it at random, six kinds of mistake "
        f"in turn. **Recall: {every.caught:.0%}** are caught: refused by the reader or told by a "
        f"finding; in {every.named:.0%} the very cell is named, alone or as one of two. "
        f"**Precision: {every.precision:.0%}** of the findings point to the cell that was "
        "changed. The untouched line gives no finding. Rules and weights were settled on other "
        "seeds.",
        "",
        *table(["", "trials", "caught", "cell named", "precision"], rows),
        "",
        f"A whole column multiplied by the factor of a slip is seen in {seen} of {len(whole)} "
        f"columns. Not seen: {', '.join(blind)}.",
        "",
        f"Columns in which most single corruptions went unseen: {', '.join(missed)}.",
        "",
        "",
    ])  # fmt: skip


def page() -> str:
    """The page with the scores as they are now."""
    made = scores()
    return BLOCK.sub(lambda m: f"{m[1]}{made}{m[2]}", PAGE.read_text(encoding="utf-8"))


def main(arguments: list[str]) -> int:
    """Write the page, or with ``--check`` say whether it is current."""
    made = page()
    if "--check" in arguments:
        current = PAGE.read_text(encoding="utf-8") == made
        if not current:
            print("docs/explanation/audit.md is not current: ./do docs")
        return 0 if current else 1
    PAGE.write_text(made, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
