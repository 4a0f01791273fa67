"""Which tests name a check, read from the test files as they stand."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

UNIT = Path(__file__).resolve().parents[1] / "tests" / "unit"
FOLDERS = (UNIT / "checks", UNIT / "demand")
SECOND_WAY = "SECOND"
"""Name of the table of second ways; its keys are checks, its test is one for all of them."""

Key = tuple[str, str]


def tests_by_check(keys: Iterable[Key]) -> dict[Key, list[str]]:
    """``file::test`` for every check (id, part); the second way of the table stands first.

    A test belongs to a check where the id stands in its body, with the part beside it or alone.
    """
    known = list(keys)
    found: dict[Key, list[str]] = defaultdict(list)
    for path in (p for folder in FOLDERS for p in sorted(folder.glob("test_*.py"))):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for key in _second_ways(tree, known):
            found[key].insert(0, f"{path.stem}::test_second_way[{key[0]}-{key[1]}]")
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                for key in _named(node, known):
                    found[key].append(f"{path.stem}::{node.name}")
    return found


def _second_ways(tree: ast.Module, known: list[Key]) -> Iterator[Key]:
    for node in tree.body:
        names = [t.id for t in getattr(node, "targets", ()) if isinstance(t, ast.Name)]
        if (
            SECOND_WAY in names
            and isinstance(node, ast.Assign)
            and isinstance(node.value, ast.Dict)
        ):
            for key in node.value.keys:
                if isinstance(key, ast.Tuple) and (pair := _pair(key)) in known:
                    yield pair


def _pair(node: ast.Tuple) -> Key:
    words = [e.value if isinstance(e, ast.Constant) else None for e in node.elts]
    return (str(words[0]), str(words[1])) if len(words) == 2 else ("", "")


def _named(test: ast.FunctionDef, known: list[Key]) -> list[Key]:
    """Checks that a test names, in the order of the table."""
    pairs = [n for n in ast.walk(test) if isinstance(n, ast.Tuple) and _pair(n) in known]
    inside = {id(part) for pair in pairs for part in pair.elts}
    alone = {
        n.value
        for n in ast.walk(test)
        if isinstance(n, ast.Constant) and isinstance(n.value, str) and id(n) not in inside
    }
    named = {_pair(pair) for pair in pairs}
    return [key for key in known if key in named or key[0] in alone]
