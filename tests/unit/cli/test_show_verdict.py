"""A verdict as text, on hand-made ledgers: words, marks, columns, folding."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from dutyline.cli.duty_line import bar, duty_line, scale_cells
from dutyline.cli.marks import FAILS, MEETS, OPEN, OVER, SHORT, mark_of
from dutyline.cli.screen import Screen, cells
from dutyline.cli.show_verdict import show_verdict
from support import ledgers

WIDTHS = (60, 80, 100, 120)


def text_of(verdict=None, width=80, **options):
    screen = Screen(
        width=width, ascii=options.pop("ascii", False), words=options.pop("words", False)
    )
    lines = show_verdict(screen, ledgers.verdict() if verdict is None else verdict, **options)
    return "\n".join(line.rstrip() for line in lines).replace("\u00a0", " ").replace("\u202f", " ")


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("plain", [False, True])
@pytest.mark.parametrize(
    "ledger", [ledgers.full_ledger, ledgers.failing_ledger, ledgers.meeting_ledger]
)
def test_no_line_is_wider_than_the_screen(width, plain, ledger):
    screen = Screen(width=width, ascii=plain)
    for line in show_verdict(screen, ledgers.verdict(ledger()), verbose=True):
        assert cells(line) <= width, line


@pytest.mark.parametrize("width", WIDTHS)
def test_every_check_is_named_in_full_at_every_width(width):
    shown = text_of(width=width)
    for line in ledgers.full_ledger():
        assert line.title in shown


def test_sentence_says_what_needs_the_reader():
    first = " ".join(text_of().split("\n\n")[0].split())
    assert first == (
        "◭ ◌ XM72-0450H with XG72-6 meets 6 of 10 checks: holding at standstill has 8 % left "
        "where 10 % is wanted, inertia ratio takes 101 % of its limit (caution), 2 lack data. "
        "Incomplete."
    )


def test_rows_at_80_columns():
    shown = text_of()
    assert re.search(
        r"^◭ Holding at standstill +92 %  0\.95 of 1\.03 N·m +0\.61 s short of reserve$",
        shown,
        re.M,
    )
    assert re.search(r"^● Continuous use +73 %  1\.03 of 1\.41 N·m +cycle  meets$", shown, re.M)
    assert re.search(r"^● Top speed +55 %  3 281 of 6 000 r/min +0\.20 s meets$", shown, re.M)
    assert re.search(r"^◌ First resonance +belt stiffness +not checked$", shown, re.M)
    assert re.search(r"^● Supply class and phases +230 V, three-phase +meets$", shown, re.M)


def test_advice_stands_under_its_check():
    lines = text_of().splitlines()
    row = next(k for k, line in enumerate(lines) if line.startswith("◭ Holding"))
    assert lines[row + 1] == "  8 % left, 10 % wanted."
    assert lines[row + 2] == "  Close the brake while unloading."
    row = next(k for k, line in enumerate(lines) if line.startswith("◇ Inertia"))
    assert lines[row + 1] == "  Caution: 10.1 where 10.0 is usual."


def test_states_stand_in_one_column():
    rows = [ln for ln in text_of().splitlines() if ln.startswith("● ")]
    places = {row.rindex("meets") for row in rows}
    assert len(places) == 1


def test_bars_from_100_columns():
    assert "━" not in text_of(width=80)
    assert "━" in text_of(width=100)
    assert "━" in text_of(width=120)


def test_quiet_is_the_sentence_alone():
    shown = text_of(quiet=True)
    assert shown.startswith("◭ ◌ XM72")
    assert "\n\n" not in shown


def test_verbose_opens_what_needs_a_decision():
    failing = replace(
        ledgers.failing_ledger()[0],
        formula="|T| <= T_peak",
        source="common practice, no source",
        assumed=("load.friction",),
    )
    shown = text_of(ledgers.verdict((failing,), "fails"), verbose=True)
    assert "  Formula: |T| <= T_peak" in shown
    assert "  Source: common practice, no source" in shown
    assert "  Assumed: load.friction" in shown


def test_everything_meets():
    shown = text_of(ledgers.verdict(ledgers.meeting_ledger(), "meets"))
    assert shown.startswith("● XM72-0450H with XG72-6 meets all 6 checks; the tightest is")
    assert "Needs you" not in shown


def test_words_leave_the_duty_line_out():
    assert "share used" in text_of()
    assert "share used" not in text_of(words=True)


def test_ascii_has_no_other_sign_and_the_same_columns():
    shown = text_of(ascii=True)
    assert shown.isascii()
    assert shown.startswith("~ ? XM72")
    rows = [ln for ln in shown.splitlines() if ln.startswith("+ ")]
    assert len({row.rindex("meets") for row in rows}) == 1


def test_cautions_close_the_text_and_nothing_is_certified():
    shown = text_of()
    assert "Gravity axis: these numbers do not secure work beneath the load." in shown
    assert shown.endswith("The tool computes, it certifies nothing.")


def test_colour_only_on_shape_word_and_demand():
    screen = Screen(colour=True)
    row = next(
        ln for ln in show_verdict(screen, ledgers.verdict()) if "Holding at" in ln and "92" in ln
    )
    assert row.startswith("\x1b[33m◭\x1b[0m Holding")
    assert row.endswith("\x1b[33mshort of reserve\x1b[0m")
    assert "\x1b[1m0.95\x1b[0m of" in row
    assert row.count("\x1b[0m") == 3


def test_yes_no_lines_show_their_text_never_a_share():
    said = ledgers.line("fit", "Flange and shaft", "Place and data", "gearhead", unit="1",
                        demand=0.0, limit=1.0, text="72 mm on XG72")  # fmt: skip
    denied = replace(
        said, demand=1.0, limit=0.0, margin=-math.inf, state="fails", text="88 mm flange"
    )
    assert "%" not in text_of(ledgers.verdict((said,), "meets")).partition("Place and data")[2]
    shown = text_of(ledgers.verdict((denied,), "fails"))
    assert "⊠ Flange and shaft" in shown
    assert "88 mm flange" in shown
    assert "of 1.00" not in shown


def test_endless_use_is_no_number():
    endless = ledgers.line(
        "overload-single", "Overload", demand=math.inf, limit=1.0, margin=-math.inf
    )
    endless = replace(endless, state="fails", unit="1")
    assert "> 999 %" in text_of(ledgers.verdict((endless,), "fails"))


@pytest.mark.parametrize(
    ("severity", "state", "mark"),
    [
        ("must", "meets", MEETS),
        ("must", "short", SHORT),
        ("must", "fails", FAILS),
        ("caution", "fails", OVER),
        ("caution", "short", OVER),
        ("caution", "meets", MEETS),
        ("caution", "not-checked", OPEN),
        ("note", "fails", OVER),
    ],
)
def test_marks(severity, state, mark):
    line = replace(ledgers.full_ledger()[0], severity=severity, state=state)
    assert mark_of(line) is mark


@pytest.mark.parametrize(("width", "count"), [(80, 50), (120, 84)])
def test_cells_of_the_duty_line(width, count):
    assert scale_cells(width) == count
    _, strokes, scale = duty_line(Screen(width=width), ledgers.full_ledger())
    assert strokes.index("┃") == count
    assert scale.index("limit") == count


def test_strokes_of_the_duty_line():
    lines = [
        ledgers.line("a", "A", demand=0.30, limit=1.0),
        ledgers.line("b", "B", demand=0.305, limit=1.0),
        ledgers.line("c", "C", demand=0.50, limit=1.0),
        ledgers.line("d", "D", demand=0.95, limit=1.0, required=0.1),
        ledgers.line("e", "E", demand=1.2, limit=1.0),
        ledgers.line("f", "F", missing=("x",)),
    ]
    names, strokes, _ = duty_line(Screen(width=80), lines)
    assert strokes[15] == "║"
    assert strokes[25] == "│"
    assert strokes[47] == "◭"
    assert strokes[45] == "░"
    assert strokes[50:] == "┃⊠  ◌ 1 not checked"
    assert names.index("d 95") + len("d 95\u202f%") == 48
    assert "e 120" in names


def test_bar_ends_in_the_limit():
    screen = Screen()
    half = bar(screen, ledgers.line("a", "A", demand=0.5, limit=1.0, required=0.1))
    assert half == "━━━━━━━──────░┃"
    over = bar(screen, ledgers.line("a", "A", demand=1.5, limit=1.0))
    assert over == "━━━━━━━━━━━━━━╋"
    endless = replace(ledgers.failing_ledger()[0], margin=-math.inf)
    assert bar(screen, endless) == over


def test_sentence_of_one_missing_datum():
    lines = (
        *ledgers.meeting_ledger(),
        ledgers.line("settling", "Settling time", missing=("belt",)),
    )
    shown = text_of(ledgers.verdict(lines))
    assert "1 lacks data. Incomplete." in " ".join(shown.split())


def test_the_word_of_a_line_is_its_state_in_json():
    from dutyline.checks.sentence import STATE_WORDS, state_word

    assert set(STATE_WORDS) == {"meets", "short", "fails", "not-checked"}
    for line in (*ledgers.full_ledger(), *ledgers.failing_ledger()):
        assert state_word(line).startswith(line.state.split("-")[0])
        assert ("caution" in state_word(line)) == (
            line.severity == "caution" and line.state in ("short", "fails")
        )


def test_a_limit_of_a_part_is_no_custom():
    """Only the inertia ratio is a matter of custom; what a gearhead bears is its limit."""
    from dutyline.report.words import beyond

    ledger = ledgers.verdict().ledger
    (ratio,) = (ln for ln in ledger if ln.check == "inertia-ratio")
    assert beyond(ratio, "10.1", "10.0") == "10.1 where 10.0 is usual."
    gearhead = replace(ratio, check="gear-torque-limit-set")
    assert beyond(gearhead, "498", "291 N*m") == "498 where 291 N*m is the limit."
