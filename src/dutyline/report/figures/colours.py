"""The colours of figures and pages, light for paper, dark for screens that ask for it."""

from __future__ import annotations

LIGHT = {
    "sheet": "#ffffff",
    "sunk": "#f0f4f1",
    "ink": "#16211e",
    "soft": "#4a5853",
    "edge": "#75837c",
    "rule": "#b9c4be",
    "hair": "#d8dfda",
    "act": "#6a2466",
    "tint": "#f6edf5",
    "meets": "#1c6650",
    "short": "#8a5600",
    "fails": "#a8243a",
    "caution": "#6d5310",
    "open": "#515c66",
    "gravity": "#b9cbd2",
    "inertia": "#2c6076",
    "friction": "#7a4a1d",
    "process": "#3f4b8c",
}
"""Token to colour; every token has a colour of its own, so that dark pages can swap them."""

DARK = {
    "sheet": "#161f1c",
    "sunk": "#1d2825",
    "ink": "#e7eeea",
    "soft": "#a9b7b0",
    "edge": "#7d8d85",
    "rule": "#41504a",
    "hair": "#2b3733",
    "act": "#e29fdc",
    "tint": "#2b2130",
    "meets": "#69c7a5",
    "short": "#efb14b",
    "fails": "#ff8b97",
    "caution": "#d9bb62",
    "open": "#aab6bf",
    "gravity": "#3b545e",
    "inertia": "#8fc3da",
    "friction": "#dba36c",
    "process": "#a9b4f0",
}

FACE = "Atkinson Hyperlegible Next"
"""Type face of pages and figures."""
