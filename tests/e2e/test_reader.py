"""The axis file says for whom results are written: the words follow, the numbers behind do not."""

from __future__ import annotations

import json
import re

import pytest

from support.command import LIFT, dutyline
from support.examples import axis_file, verify_command

pytestmark = [pytest.mark.e2e, pytest.mark.usefixtures("remedies_once")]

PARTS = ("--motor", "XM72-0450H", "--gearhead", "XG72-24", "--brake", "XB72")
POUND_INCH = 4.4482216152605 * 0.0254  # N*m, exact by definition
METRIC = re.compile(r"\d[ \u00a0\u202f](?:N·m|kN|N|mm|μm|kg·cm²|kg|m/s²?)(?![\w·/])")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("reader")
    text = LIFT.read_text(encoding="utf-8")
    wanted = {"si": "", "inch": 'units = "inch"\n', "comma": 'decimal = "comma"\n'}
    for name, line in wanted.items():
        (made / f"{name}.toml").write_text(text.replace("[axis]\n", f"[axis]\n{line}", 1), "utf-8")
    return made


def numbers(data):
    """Every number of a JSON answer with its place; texts are words for the reader."""
    if isinstance(data, dict):
        return {(k, *p): v for k, inner in data.items() for p, v in numbers(inner).items()}
    if isinstance(data, list):
        return {(n, *p): v for n, inner in enumerate(data) for p, v in numbers(inner).items()}
    return {} if isinstance(data, str) else {(): data}


@pytest.mark.parametrize("verb", ["demand", "verify"])
@pytest.mark.parametrize("reader", ["inch", "comma"])
def test_json_stays_si_to_the_last_digit(folder, verb, reader):
    parts = PARTS if verb == "verify" else ()
    one, other = (
        json.loads(dutyline(verb, str(folder / f"{name}.toml"), *parts, "--json").out)
        for name in ("si", reader)
    )
    for answer in (one, other):
        axis = answer["axis"] if verb == "demand" else answer
        axis.pop("inputs", None)
    assert numbers(one) == numbers(other)


def test_results_on_the_terminal_are_in_pounds_and_inches(folder):
    plain, inch = (dutyline("demand", str(folder / f"{n}.toml")).out for n in ("si", "inch"))
    peak = [float(re.search(r"Peak torque +([\d.]+)", out)[1]) for out in (plain, inch)]
    assert peak[1] == pytest.approx(peak[0] / POUND_INCH, rel=1e-3)
    told = dutyline("verify", str(folder / "inch.toml"), *PARTS).out
    assert "lbf·in" in told
    left = [m[0] for m in METRIC.finditer(told)]
    typed = [m[0] for m in re.finditer(r"(?:from|to|of|at) [\d.]*(\d[ \u00a0]kg)", told)]
    assert len(left) == len(typed) + 1, left  # the flange is named by its standard size


def test_the_page_is_in_pounds_and_inches_but_for_what_was_typed_and_worked_in_si(folder):
    done = dutyline(
        "report", str(folder / "inch.toml"), *PARTS, "--to", str(folder / "inch.html"),
    )  # fmt: skip
    assert done.code in (0, 1), done.err
    page = (folder / "inch.html").read_text(encoding="utf-8")
    for title in ("Motor torque by cause, lbf·in", "Gearhead output torque, lbf·in"):
        assert title in page
    typed = re.search(r'<section[^>]*id="inputs".*?</section>', page, re.S)
    worked = re.search(r'<section[^>]*id="hand".*?</section>', page, re.S)
    assert typed
    assert worked
    for piece in (typed[0], worked[0]):
        page = page.replace(piece, "")
    words = re.sub(r"<style.*?</style>|<[^>]+>", " ", page, flags=re.S)
    left = [words[max(0, m.start() - 30) : m.end() + 6] for m in METRIC.finditer(words)]
    allowed = re.compile(r"flange|shaft|customer|carton|constant drag|mass")
    assert not [text for text in left if not allowed.search(text)], left


def test_a_decimal_comma_stands_in_every_number_of_a_result(folder):
    told = dutyline("verify", str(folder / "comma.toml"), *PARTS).out
    assert re.search(r"\d,\d", told)
    assert not re.search(r"\d\.\d", told)


def test_faults_of_the_motion_speak_inches(folder):
    text = (folder / "inch.toml").read_text(encoding="utf-8")
    bad = text.replace('by = "300 mm"', 'by = "12 in"\nspeed = "1 in/s"', 1)
    assert bad != text
    (folder / "bad.toml").write_text(bad, "utf-8")
    done = dutyline("demand", str(folder / "bad.toml"))
    assert done.code == 2
    assert "12 in" in done.err
    assert "in/s" in done.err
    assert not re.search(r"\d m/s|0\.3048", done.err)


@pytest.mark.parametrize("name", ["plate-lift", "sorter"])
def test_examples_in_inches_show_no_newton(name):
    assert axis_file(name).read_text(encoding="utf-8").count('"inch"')
    assert "N·m" not in dutyline(*verify_command(name)).out
