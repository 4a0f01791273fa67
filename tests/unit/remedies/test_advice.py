"""Every remedy is done as told and judged anew; a little less of it does not suffice."""

import pytest

from dutyline.axis.change import changed
from dutyline.checks.verdict import verify
from dutyline.remedies.advice import advised, needy
from support import pure_inertia as flywheel
from support.remedied import (
    CASES,
    LINE,
    done,
    less_of,
    line_like,
    numeric,
    remedied,
    settles_all,
)

pytestmark = pytest.mark.slow


def helping(name: str):
    """Lines and their remedies that change something."""
    verdict = remedied(name)
    return [(line, r) for line in verdict.ledger for r in line.remedies if r.field]


@pytest.mark.parametrize("name", CASES)
def test_every_line_in_need_says_something(name):
    verdict = remedied(name)
    assert verdict.verdict in ("fails", "short")
    for line in verdict.ledger:
        assert bool(line.remedies) == (line in needy(verdict)), line.check


@pytest.mark.parametrize("name", CASES)
def test_nothing_but_remedies_is_added(name):
    verdict = remedied(name)
    bare = verify(verdict.axis, LINE, verdict.combination)
    assert [(ln.check, ln.part, ln.margin) for ln in verdict.ledger] == [
        (ln.check, ln.part, ln.margin) for ln in bare.ledger
    ]
    assert verdict.verdict == bare.verdict


@pytest.mark.parametrize("name", CASES)
def test_a_remedy_does_what_it_says(name):
    verdict = remedied(name)
    for line, remedy in helping(name):
        after = done(verdict.axis, verdict.combination, remedy)
        then = line_like(after, line)
        assert then is None or then.state == "meets", (line.check, remedy)
        assert (after.verdict == "meets") == settles_all(remedy), (line.check, remedy)


@pytest.mark.parametrize("name", CASES)
def test_a_little_less_does_not_suffice(name):
    verdict = remedied(name)
    for line, remedy in helping(name):
        if not numeric(remedy):
            continue
        after = done(verdict.axis, verdict.combination, remedy, less_of(remedy))
        then = line_like(after, line)
        enough = after.verdict == "meets" if settles_all(remedy) else then.state == "meets"
        assert not enough, (line.check, remedy)


@pytest.mark.parametrize("name", CASES)
def test_what_settles_everything_stands_first(name):
    for line in needy(remedied(name)):
        whole = [settles_all(r) for r in line.remedies if r.field]
        assert whole == sorted(whole, reverse=True)


def test_a_brake_a_resistor_and_a_ratio_are_named():
    def fields(name: str) -> set[str]:
        return {r.after for ln in needy(remedied(name)) for r in ln.remedies}

    assert "XB72" in fields("no brake")
    assert "resistor" in {r.field for ln in needy(remedied("no resistor")) for r in ln.remedies}
    assert "XG72-24" in fields("a ratio too small")


def test_longer_moves_do_not_help_a_brake():
    """Said in words, and true when tried: what holds at rest knows nothing of moves."""
    verdict = remedied("a ratio too small")
    line = next(ln for ln in verdict.ledger if ln.check == "brake-hold")
    vain = [r for r in line.remedies if not r.field]
    assert len(vain) == 1
    assert "slower moves" in vain[0].text
    for share in (1.1, 1.5, 2.0, 4.0, 8.0):
        changes = {f"phase.{p}.time": f"{0.6 * share!r} s" for p in ("up", "down")}
        after = verify(changed(verdict.axis, changes), LINE, verdict.combination)
        then = line_like(after, line)
        assert then is not None
        assert then.margin == line.margin


def test_a_verdict_that_meets_is_left_alone():
    verdict = verify(flywheel.axis(), LINE, flywheel.PARTS)
    assert advised(verdict) is verdict
