"""Where the files lie that ship inside the package."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).parents[1]
"""Folder of the package."""
DATA = PACKAGE / "data"
"""Tables and the product line that ship; ``importlib.resources`` would cost as much as reading."""
