"""Write examples/*/expected-ledger.txt again, from the last verify on the page of each example."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from support.examples import NAMES, axis_file, run, verify_command  # noqa: E402


def main() -> None:
    changed = 0
    for name in NAMES:
        kept = axis_file(name).parent / "expected-ledger.txt"
        answer = run(verify_command(name)).out.encode()
        changed += not kept.exists() or kept.read_bytes() != answer
        kept.write_bytes(answer)
    print(f"{len(NAMES)} ledgers, {changed} changed.")


if __name__ == "__main__":
    main()
