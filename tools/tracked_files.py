"""Tracked files name no path of a machine and no package registry host."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
HOSTS = ["py" + r"pi\.org", "python" + "hosted", "npm" + r"js\.", r"deb\.deb" + "ian"]
PATHS = [r"/ro" + r"ot/", r"/ho" + r"me/\w+/", r"/Us" + r"ers/\w+/", r"[A-Z]:\\Us" + "ers"]


def patterns() -> re.Pattern[str]:
    """Everything that may not stand in a tracked file."""
    paths = list(PATHS)
    if len(ROOT.parts) > 2:
        paths.append(re.escape(str(ROOT)) + r"\b")
    return re.compile("|".join(HOSTS + paths))


def tracked() -> list[str]:
    """Names of the tracked files; all files of the folder when it is no checkout."""
    listing = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return [name for name in listing.stdout.split("\0") if name]


def findings() -> list[str]:
    """``file:line: text`` of every hit."""
    wanted = patterns()
    found = []
    for name in tracked():
        path = ROOT / name
        try:
            text = path.read_text(encoding="utf-8")
        except (UnicodeDecodeError, FileNotFoundError, IsADirectoryError):
            continue
        found += [
            f"{name}:{number}: {line.strip()[:100]}"
            for number, line in enumerate(text.splitlines(), 1)
            if wanted.search(line)
        ]
    return found


if __name__ == "__main__":
    hits = findings()
    for hit in hits:
        print(hit)
    print("tracked files: clean" if not hits else f"tracked files: {len(hits)} lines to change")
    sys.exit(bool(hits))
