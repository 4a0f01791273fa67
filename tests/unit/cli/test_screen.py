"""Width, colour and ASCII: columns hold on every screen."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dutyline.cli.screen import (
    Screen,
    ascii_text,
    cells,
    colour_wanted,
    needs_ascii,
    screen_for,
    write,
)


class Terminal(io.StringIO):
    """A stream that says it is looked at, with the encoding given."""

    def __init__(self, encoding: str = "utf-8", looked_at: bool = True) -> None:
        super().__init__()
        self._encoding = encoding
        self._looked_at = looked_at

    @property
    def encoding(self) -> str:
        return self._encoding

    def isatty(self) -> bool:
        return self._looked_at


@pytest.fixture(autouse=True)
def _plain_environment(monkeypatch):
    for name in ("NO_COLOR", "TERM", "COLUMNS", "LC_ALL", "LC_CTYPE", "LANG"):
        monkeypatch.delenv(name, raising=False)


@pytest.mark.parametrize(
    ("shown", "plain"),
    [
        ("●◭◇⊠◌", "+~!x?"),
        ("14.2\u00a0N·m", "14.2 N.m"),
        ("kg·cm²", "kg.cm^2"),
        ("90°", "90deg"),
        ("80\u00a0Ω", "80 ohm"),
        ("44\u00a0μm", "44 um"),
        ("−700\u00a0mm", "-700 mm"),
        ("3\u202f281", "3281"),
        ("92\u202f%", "92 %"),
        ("│║──·░┃", "|#--.:]"),
        ("à", "a"),
    ],
)
def test_ascii_spelling(shown, plain):
    assert ascii_text(shown) == plain


@given(st.text())
def test_ascii_text_is_ascii(text):
    assert ascii_text(text).isascii()


@given(st.text(alphabet="abc ·²Ω●\u202f\u00a0", max_size=20), st.booleans())
def test_columns_hold(text, plain):
    screen = Screen(ascii=plain)
    assert cells(screen.left(text, 60)) == 60
    assert cells(screen.right(text, 60)) == 60


def test_colour_takes_no_cells():
    screen = Screen(colour=True)
    assert screen.bold("0.95") == "\x1b[1m0.95\x1b[0m"
    assert cells(screen.bold("0.95")) == 4


def test_no_colour_no_escapes():
    assert Screen(colour=False).bold("0.95") == "0.95"


@given(st.lists(st.text(alphabet="abcdefg", min_size=1, max_size=12), min_size=1, max_size=40))
def test_wrapping_keeps_every_word_and_the_width(words):
    screen = Screen(width=60)
    lines = screen.wrap(" ".join(words), "* ", "  ")
    assert " ".join(" ".join(lines).split()) == " ".join(["*", *words])
    assert all(cells(line) <= 60 for line in lines)
    assert all(line.startswith("  ") for line in lines[1:])


def test_no_break_spaces_hold():
    lines = Screen(width=60).wrap("a " * 28 + "14.2\u00a0N·m")
    assert lines[-1].endswith("14.2\u00a0N·m")
    assert not any(line.endswith("14.2") for line in lines)


@pytest.mark.parametrize(
    ("looked_at", "environment", "choice", "wanted"),
    [
        (True, {}, None, True),
        (False, {}, None, False),
        (True, {"NO_COLOR": "1"}, None, False),
        (True, {"TERM": "dumb"}, None, False),
        (False, {"NO_COLOR": "1"}, "always", True),
        (True, {}, "never", False),
    ],
)
def test_colour(monkeypatch, looked_at, environment, choice, wanted):
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert colour_wanted(Terminal(looked_at=looked_at), choice) is wanted


@pytest.mark.parametrize(
    ("encoding", "language", "plain"),
    [
        ("utf-8", "de_DE.UTF-8", False),
        ("UTF-8", "", False),
        ("latin-1", "", True),
        ("ascii", "", True),
        ("utf-8", "ja_JP.UTF-8", True),
    ],
)
def test_ascii_fallback(monkeypatch, encoding, language, plain):
    if language:
        monkeypatch.setenv("LANG", language)
    assert needs_ascii(Terminal(encoding)) is plain


@pytest.mark.parametrize(("columns", "width"), [("20", 60), ("80", 80), ("100", 100), ("300", 120)])
def test_width_is_the_terminals_within_bounds(monkeypatch, columns, width):
    monkeypatch.setenv("COLUMNS", columns)
    assert screen_for(Terminal()).width == width


def test_width_without_a_terminal():
    assert screen_for(Terminal(looked_at=False)).width == 80


def test_written_lines_have_no_trailing_blanks():
    stream = io.StringIO()
    write(["a  ", "b"], stream)
    assert stream.getvalue() == "a\nb\n"
