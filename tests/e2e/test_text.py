"""The text on real results: widths, ASCII, colour; nothing but the answer on standard output."""

from __future__ import annotations

import re

import pytest

from dutyline.cli.screen import cells
from support.command import dutyline, spaced

pytestmark = [pytest.mark.e2e, pytest.mark.usefixtures("remedies_once")]

VERBS = [
    ("demand", "--example", "lift"),
    ("select", "--example", "lift"),
    ("verify", "--example", "lift", "--motor", "XM72-0450H", "--brake", "XB72"),
]
SHAPES = re.compile("[●◭◇⊠◌]")


@pytest.mark.parametrize("columns", ["60", "80", "100", "120"])
@pytest.mark.parametrize("verb", VERBS, ids=lambda v: v[0])
def test_lines_fit_the_width(verb, columns):
    done = dutyline(*verb, "-v", COLUMNS=columns)
    assert done.code in (0, 1)
    too_wide = [ln for ln in done.out.splitlines() if cells(ln) > int(columns)]
    assert too_wide == []


@pytest.mark.parametrize("verb", VERBS, ids=lambda v: v[0])
def test_plain_pipe_has_no_escapes_and_80_columns(verb):
    done = dutyline(*verb)
    assert "\x1b" not in done.out
    assert max(cells(ln) for ln in done.out.splitlines()) <= 80


@pytest.mark.parametrize("verb", VERBS, ids=lambda v: v[0])
def test_ascii(verb):
    done = dutyline(*verb, "--ascii")
    assert done.out.isascii()
    assert not SHAPES.search(done.out)


def test_encoding_without_shapes_gives_ascii():
    done = dutyline(*VERBS[2], encoding="latin-1")
    assert done.out.isascii()
    assert done.code in (0, 1)


def test_json_is_ascii_where_the_encoding_is_poor():
    done = dutyline(*VERBS[2], "--json", encoding="ascii")
    assert done.out.isascii()
    assert done.err.isascii()


def test_colour_on_request_only_adds():
    plain = dutyline(*VERBS[2]).out
    coloured = dutyline(*VERBS[2], "--color", "always").out
    assert "\x1b[3" in coloured
    assert re.sub("\x1b\\[[0-9;]*m", "", coloured) == plain


def test_no_color_is_overruled_only_by_always():
    assert "\x1b" not in dutyline(*VERBS[2], NO_COLOR="1").out
    assert "\x1b" in dutyline(*VERBS[2], "--color", "always", NO_COLOR="1").out


def test_quiet_is_a_sentence():
    done = dutyline(*VERBS[2], "-q")
    said = " ".join(spaced(done.out).split())
    assert re.match(r"^[●◭◇⊠◌ ]+XM72-0450H meets ", said)
    assert len(done.out.splitlines()) <= 5


def test_words_leave_the_duty_line_out():
    assert "share used, %" in dutyline(*VERBS[2]).out
    assert "share used, %" not in dutyline(*VERBS[2], "--words").out


def test_verbose_shows_formula_and_source():
    done = dutyline("verify", "--example", "lift", "--motor", "XM38-0050H", "-v")
    assert "Formula:" in done.out
    assert "Source:" in done.out


def test_all_lists_every_rejection():
    few = dutyline("select", "--example", "lift").out
    all_ = dutyline("select", "--example", "lift", "--all").out
    assert "more: --all" in few
    assert "more: --all" not in all_
    assert all_.count("⊠") > few.count("⊠")


def test_assumed_inputs_are_told():
    done = dutyline("demand", "--example", "lift")
    assert "Assumed" in done.out
    assert "hours a day 16 h" in spaced(" ".join(done.out.split()))


def test_gravity_is_cautioned():
    done = dutyline(*VERBS[2])
    assert "do not secure work beneath the load" in " ".join(done.out.split())
    assert "certifies nothing" in done.out
