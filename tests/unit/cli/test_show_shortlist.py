"""A shortlist as text, on hand-made verdicts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dutyline.checks.records import Combination
from dutyline.cli.screen import Screen, cells
from dutyline.cli.show_shortlist import headline, show_shortlist
from dutyline.selection.records import Rejection, Shortlist
from support import ledgers


def shortlist(candidates=None, rejected=6) -> Shortlist:
    first = ledgers.verdict(ledgers.meeting_ledger(), "meets")
    second = replace(
        ledgers.verdict(), combination=Combination("XM116-1300H", "XG116-4", "XD-H9", "XB116")
    )
    turned_down = tuple(
        Rejection(
            Combination("XM54-0240H", f"XG54-{k}"),
            "peak-torque",
            f"peak torque {110 + k} %.",
            "A longer move would do." if k == 1 else "",
        )
        for k in range(1, rejected + 1)
    )
    found = (first, second) if candidates is None else candidates
    return Shortlist(ledgers.axis(), None, 40, 8, found, turned_down, "mass", "by mass")


def text_of(width=80, which=None, **options):
    screen = Screen(width=width, ascii=options.pop("ascii", False))
    lines = show_shortlist(screen, shortlist() if which is None else which, **options)
    return "\n".join(line.rstrip() for line in lines).replace("\u00a0", " ").replace("\u202f", " ")


@pytest.mark.parametrize("width", [60, 80, 100, 120])
@pytest.mark.parametrize("plain", [False, True])
def test_lines_fit_and_parts_keep_their_names(width, plain):
    screen = Screen(width=width, ascii=plain)
    lines = show_shortlist(screen, shortlist(), verbose=True, every=True)
    assert all(cells(line) <= width for line in lines)
    whole = "\n".join(lines)
    for name in ("XM72-0450H", "XG72-6", "XM116-1300H", "XG116-4", "XM54-0240H"):
        assert name in whole


def test_head_counts_pairs():
    assert headline(shortlist()) == (
        "Tray lift: 8 pairs of motor and gearhead tried, 2 fail no check, 6 rejected."
    )
    assert headline(replace(shortlist(candidates=()), pairs=6)).endswith("every one fails a check.")


def test_80_columns_show_the_tightest_share():
    shown = text_of()
    assert "Motor        Gearhead  Tightest share" in shown
    assert "73 % continuous use" in shown
    assert "● XM72-0450H" in shown
    assert "◌ XM116-1300H" in shown


def test_120_columns_show_a_share_for_each_family():
    shown = text_of(120)
    for head in ("Speed", "Peak", "Contin.", "Holding", "Drive", "Inertia"):
        assert head in shown
    assert "Tightest share of each family in %" in shown


def test_60_columns_take_two_lines_a_candidate():
    shown = text_of(60)
    assert "● XM72-0450H with XG72-6: meets\n" in shown
    assert "73 % continuous use" in shown


def test_rejections_are_cut_and_counted():
    shown = text_of()
    assert shown.count("⊠") == 4
    assert "2 more: --all" in shown
    assert "A longer move would do." in shown
    everything = text_of(every=True)
    assert everything.count("⊠") == 6
    assert "--all" not in everything


def test_parts_that_tell_candidates_apart_get_a_column():
    first = ledgers.verdict(ledgers.meeting_ledger(), "meets")
    other = replace(first, combination=replace(first.combination, drive="XD-H6"))
    shown = text_of(which=shortlist(candidates=(first, other)))
    assert "Drive" in shown
    assert "XD-H4" in shown
    assert "XD-H6" in shown


def test_quiet_is_the_head_alone():
    assert text_of(quiet=True) == headline(shortlist())


def test_ascii():
    assert text_of(ascii=True).isascii()


def test_the_first_candidate_is_told_in_full():
    said = " ".join(text_of().split())
    first = shortlist().candidates[0].combination
    assert f"First in full: {first.motor}, {first.gearhead}, drive {first.drive}" in said
    assert f"brake {first.brake}" in said


@pytest.mark.slow
def test_every_pair_is_accounted_for():
    from dutyline.app.inputs import axis_from, example_names, line_from
    from dutyline.app.select import select

    line = line_from(None)
    for name in example_names():
        if name in ("kettle", "scenery-bar"):  # long searches; the others have every kind of pair
            continue
        found = select(axis_from(None, name), line)
        assert found.kept + found.turned_down == found.pairs, name
        assert found.unjudged == 0


def test_a_rejection_says_how_many_pairs_it_settles():
    whole = shortlist()
    first = replace(whole.rejected[0], pairs=12)
    shown = text_of(which=replace(whole, pairs=19, rejected=(first, *whole.rejected[1:])))
    assert "This settles 12 pairs." in shown
    assert "2 fail no check, 17 rejected" in shown


def test_mains_that_nothing_runs_on_are_told_once():
    """No drive of the shipped line takes 400 V; a list of 120 motors would say no more."""
    from dataclasses import replace as changed

    from dutyline.app.inputs import axis_from, line_from
    from dutyline.app.select import select

    axis = axis_from(None, "lift")
    found = select(changed(axis, site=changed(axis.site, mains=400.0)), line_from(None))
    shown = text_of(which=found)
    said = " ".join(shown.split())
    assert "Nothing in the product line runs on 400 V three-phase." in said
    assert "200 to 230 V" in said
    assert "Rejected" not in shown
    assert "--all" in shown
    assert text_of(which=found, every=True).count("⊠") == len(found.rejected)
    assert not shortlist().off_the_mains
