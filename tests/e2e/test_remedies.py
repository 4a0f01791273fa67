"""Enquiries that ask what would work, worked on the command line, and the answers followed.

The numbers beside each are closed forms of a pure inertia, not output of ours.
"""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest

import dutyline as dl
from dutyline.axis.change import changed
from dutyline.remedies.reach import reach_of
from support.command import LIFT, dutyline, spaced
from support.remedied import met, reached
from support.sought import once, told

pytestmark = [pytest.mark.e2e, pytest.mark.slow]

FOLDER = Path(__file__).parent / "remedies"
LINE = dl.demo_line()


def verified(name: str, *parts: str) -> dict:
    return json.loads(dutyline("verify", str(FOLDER / f"{name}.toml"), *parts, "--json").out)


def line_of(shown: dict, check: str, part: str = "motor") -> dict:
    return next(ln for ln in shown["ledger"] if (ln["check"], ln["part"]) == (check, part))


def remedy_for(line: dict, field: str) -> dict:
    return next(r for r in line["remedies"] if r["field"] == field)


def followed(name: str, remedy: dict, **parts: str) -> dl.Verdict:
    """The verdict once the fields of a remedy are set as told."""
    fields, values = remedy["field"].split(", "), remedy["to"].split(", ")
    axis = changed(dl.read_axis(FOLDER / f"{name}.toml"), dict(zip(fields, values, strict=True)))
    return dl.verify(axis, dl.Combination(**parts))


def test_why_a_small_motor_fails_a_spin_chuck_and_what_passes():
    """The next motor, or longer ramps: torque is inertia times speed over the ramp."""
    small = verified("semi-11", "--motor", "XM54-0120H")
    assert line_of(small, "peak-torque")["state"] == "fails"
    found = verified("semi-11", "--motor", "XM72-0450H", "--resistor", "XR-H80-90")
    line = line_of(found, "peak-torque")
    assert line["state"] == "short"
    assert any(r["field"] == "motor" and r["to"] == "XM88-0800H" for r in line["remedies"])
    ramps = remedy_for(line, "phase.spin.ramp, phase.stop.ramp")
    motor = LINE.motors[LINE.motor_index["XM72-0450H"]]
    inertia = 2.2e-3 + 1.435e-3 + motor.inertia
    shortest = inertia * 3000 * math.pi / 30 / (0.9 * motor.torque_peak)
    for text in ramps["to"].split(", "):
        time = float(text.removesuffix(" s"))
        assert shortest <= time < shortest + 0.0051
    then = followed("semi-11", ramps, motor="XM72-0450H", resistor="XR-H80-90")
    assert then.verdict == "meets"


def test_a_longer_index_of_a_dial_lowers_torque_with_the_square():
    """Acceleration torque J 4.5 h/T**2 at the table against what the gearhead bears."""
    found = verified("pharma-05", "--motor", "XM116-1300H", "--gearhead", "XG116-36")
    line = line_of(found, "gear-peak", "gearhead")
    assert line["state"] == "fails"
    remedy = remedy_for(line, "phase.index.time")
    then = followed("pharma-05", remedy, motor="XM116-1300H", gearhead="XG116-36")
    assert then.verdict == "meets"
    limit = next(ln.limit for ln in then.ledger if ln.check == "gear-peak")  # at its peaks an hour
    wheel = 2.609 + 3.456  # plate and nests, as the enquiry has them
    shortest = math.sqrt(4.5 * wheel * math.radians(30) / ((1 - 0.05) * limit))
    time = float(remedy["to"].removesuffix(" s"))
    assert shortest * 0.999 <= time < shortest + 0.0051
    bigger = remedy_for(line, "gearhead")
    assert bigger["to"] == "XG148-36"


def test_the_stop_that_a_resistor_bears_is_sought():
    """A centrifuge holds 5.9 kJ: no resistor but one for such a pulse, or a longer stop."""
    parts = ("--motor", "XM148-3000H", "--drive", "XD-H9")
    line = line_of(verified("lab-14", *parts), "resistor-pulse", "resistor")
    assert line["state"] == "fails"
    assert line["demand"]["value"] == pytest.approx(5922, rel=0.15)  # losses help a little
    resistor = remedy_for(line, "resistor")
    pulse = LINE.resistors[LINE.resistor_index[resistor["to"]]].pulse_energy
    assert pulse > line["demand"]["value"]


@pytest.mark.usefixtures("remedies_once")
def test_text_and_json_tell_the_same():
    names = ("--motor", "XM72-0450H", "--gearhead", "XG72-9", "--brake", "XB72", "--resistor")
    text = dutyline("verify", str(LIFT), *names, "XR-H80-90", "-v")
    shown = json.loads(dutyline("verify", str(LIFT), *names, "XR-H80-90", "--json").out)
    flat = re.sub(r"\s+", " ", spaced(text.out))
    for line in shown["ledger"]:
        for remedy in line["remedies"]:
            assert spaced(remedy["text"]) in flat
    assert text.code == 1


@pytest.mark.usefixtures("remedies_once")
def test_a_remedy_is_not_told_twice():
    names = ("--motor", "XM72-0450H", "--gearhead", "XG72-9", "--brake", "XB72", "--resistor")
    text = spaced(dutyline("verify", str(LIFT), *names, "XR-H80-90").out)
    assert text.count("Lowering the pitch") == 1
    assert "closing the brake" in text.lower()


def test_how_far_is_told_on_demand(monkeypatch):
    """JSON, text and Python ask with one and the same verdict, so that it is sought once."""
    found = {told(met()): reached()}
    monkeypatch.setattr("dutyline.app.reach.reach_of", once(reach_of, found))
    names = ("--motor", "XM72-0450H", "--gearhead", "XG72-24", "--brake", "XB72", "--resistor")
    plain = spaced(dutyline("verify", str(LIFT), *names, "XR-H80-90").out)
    assert "How far" not in plain
    answer = dutyline("verify", str(LIFT), *names, "XR-H80-90", "--how-far", "--json").out
    shown = json.loads(answer, parse_constant=pytest.fail)["reach"]
    assert shown["schema"] == "dutyline.reach/1"
    reach = dl.reach(met())
    assert [i["field"] for i in shown["inputs"]] == [e.field for e in reach.effects]
    assert [a["value"]["value"] for a in shown["largest"]] == [a.value for a in reach.answers]
    assert shown["ratio"]["workable"] == [list(pair) for pair in reach.band.bands]
    done = dutyline("verify", str(LIFT), *names, "XR-H80-90", "--how-far")
    text = spaced(done.out)
    assert done.code == 0
    assert len(found) == 1
    for head in (
        "How far until it does not pass", "The most it carries", "One size smaller",
        "Used share over the gear ratio", "Open questions, the weightiest first",
    ):  # fmt: skip
        assert f"\n{head}" in text, head
    assert max(len(row) for row in text.splitlines()) <= 80


def test_a_sentence_alone_looks_for_nothing():
    done = dutyline("verify", str(LIFT), "--motor", "XM54-0240H", "--gearhead", "XG72-9", "-q")
    assert len(done.out.splitlines()) < 6
    assert "would" not in done.out


def test_a_search_tells_no_remedies():
    shown = json.loads(dutyline("select", str(LIFT), "--json").out)
    assert not [ln for c in shown["candidates"] for ln in c["ledger"] if ln["remedies"]]


def test_a_wrong_argument_is_told_in_a_sentence():
    for verb in (dl.advise, dl.reach):
        with pytest.raises(dl.InputError, match="Take one from verify or select"):
            verb("lift.toml")
