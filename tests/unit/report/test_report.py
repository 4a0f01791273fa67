"""The whole report: bytes, fonts, order, hostile text, accessibility, page one."""

from __future__ import annotations

import datetime
import hashlib
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from tests.support.sample_verdict import PARTS, sample_verdict, tray_lift

from dutyline.checks.records import Combination
from dutyline.report.build import build_document, write_report
from dutyline.report.html import to_html
from dutyline.report.pdf import ReportError, printable, to_pdf
from dutyline.report.tree import Document, Figure, words

DATE = datetime.date(2026, 11, 24)
ROOT = Path(__file__).parents[3]
HOSTILE = '<script>alert(1)</script> #panic("x") $x$ *b* _i_ @y "q" \\ [z]'

_poppler = pytest.mark.skipif(not shutil.which("pdftotext"), reason="poppler is not installed")


@pytest.fixture(scope="module")
def document() -> Document:
    return build_document(sample_verdict(), date=DATE, revision="7")


@pytest.fixture(scope="module")
def pdf(document, tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("report") / "lift.pdf"
    path.write_bytes(to_pdf(document))
    return path


def poppler(tool: str, *arguments: str) -> str:
    done = subprocess.run([tool, *arguments], capture_output=True, text=True, check=True)
    return done.stdout


def squeezed(text: str) -> str:
    return re.sub(r"[\s\u00a0\u202f]+", " ", text)


_SCRIPT = """
import datetime, hashlib, sys
sys.path.insert(0, {root!r})
from tests.support.sample_verdict import sample_verdict
from dutyline.report.build import build_document
from dutyline.report.html import to_html
from dutyline.report.pdf import to_pdf
document = build_document(sample_verdict(), date=datetime.date(2026, 11, 24), revision="7")
for data in (to_pdf(document), to_html(document).encode()):
    print(hashlib.sha256(data).hexdigest())
"""


@pytest.mark.slow
def test_two_processes_give_the_same_bytes(document, pdf):
    done = subprocess.run(
        [sys.executable, "-c", _SCRIPT.format(root=str(ROOT))],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": str(ROOT / "src"), "PYTHONHASHSEED": "77", "TZ": "Asia/Tokyo"},
    )
    here = [
        hashlib.sha256(pdf.read_bytes()).hexdigest(),
        hashlib.sha256(to_html(document).encode()).hexdigest(),
    ]
    assert done.stdout.split() == here


def test_write_report_names_the_file_and_knows_both_forms(tmp_path):
    verdict = sample_verdict()
    pdf = write_report(verdict, tmp_path / "lift.pdf", date=DATE)
    page = write_report(verdict, tmp_path / "lift.html", format="html", date=DATE)
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


@_poppler
def test_only_the_known_type_faces_are_embedded(pdf):
    rows = poppler("pdffonts", str(pdf)).splitlines()[2:]
    names = {re.sub(r"^[A-Z]{6}\+", "", row.split()[0]).split("-")[0] for row in rows}
    assert names <= {"AtkinsonHyperlegibleNext", "NewCMMath", "DejaVuSansMono"}
    assert all(" yes yes yes " in row for row in rows), "embedded, subset, with unicode map"


@_poppler
def test_reading_order_of_the_key_sentences(pdf):
    text = squeezed(poppler("pdftotext", str(pdf), "-"))
    wanted = [
        "Tray lift",
        "XM72-0450H with XG72-6 meets",
        "The duty line: each mark is one of the checks",
        "Selected items",
        "Key figures",
        "Conditions you must keep",
        "A motor holding brake keeps a resting axis still",
        "No certificate.",
        "Lift one tray, 15.5 lb, by 700 mm",
        "Open points",
        "Motion and demand",
        "What each part adds",
        "The peak torque by hand",
        "The rms torque by phases",
        "Needs a decision",
        "Is the loop inside?",
        "Order list",
        "Start-up values",
        "Formulas and sources",
        "Checksum",
        "it certifies nothing",
    ]
    places = [text.find(sentence) for sentence in wanted]
    assert -1 not in places, wanted[places.index(-1)]
    assert places == sorted(places)


@_poppler
def test_every_page_says_which_it_is(pdf):
    text = poppler("pdftotext", "-layout", str(pdf), "-")
    feet = re.findall(r"(\d+) of (\d+)\s*\n?\f", text)
    assert [int(page) for page, _ in feet] == list(range(1, len(feet) + 1))
    assert {int(count) for _, count in feet} == {len(feet)}


@_poppler
@pytest.mark.parametrize("parts", [PARTS, Combination("XM88-0800H", None, "XD-H6", None)])
def test_page_one_never_spills(parts, tmp_path):
    path = write_report(sample_verdict(parts), tmp_path / "lift.pdf", date=DATE)
    second = poppler("pdftotext", "-f", "2", "-l", "2", "-layout", str(path), "-")
    head = squeezed(second).strip()
    assert re.match(r"\d+ (Inputs|Conditions, continued)", head), head[:60]
    first = squeezed(poppler("pdftotext", "-f", "1", "-l", "1", str(path), "-"))
    assert "local codes and licensed practice come first" in first


def test_pdf_is_tagged_and_titled(pdf):
    data = pdf.read_bytes()
    assert b"/MarkInfo" in data
    assert b"/Lang" in data
    assert b"pdfuaid" in data


def test_a_figure_without_description_is_refused(document):
    bare = Figure(document.opening[0].svg, "")
    broken = replace(document, opening=(replace(bare, alt=None),))
    with pytest.raises(ReportError):
        to_pdf(broken)


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.handlers: list[str] = []
        self.addresses: list[str] = []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.handlers += [name for name, _ in attrs if name.startswith("on")]
        self.addresses += [v or "" for n, v in attrs if n in ("src", "href")]


def hostile_verdict():
    verdict = sample_verdict()
    axis = tray_lift(
        title=HOSTILE, project=HOSTILE, customer=HOSTILE, author=HOSTILE, enquiry=HOSTILE
    )
    phases = tuple(replace(p, name=HOSTILE) for p in axis.cycle.phases)
    inputs = tuple(replace(i, label=HOSTILE, symbol=HOSTILE) for i in axis.inputs)
    axis = replace(axis, cycle=replace(axis.cycle, phases=phases), inputs=inputs)
    return replace(verdict, axis=axis)


def test_html_has_no_script_and_asks_for_nothing():
    parser = _Tags()
    page = to_html(build_document(hostile_verdict(), date=DATE))
    parser.feed(page)
    assert "script" not in parser.tags
    assert parser.handlers == []
    assert all(a.startswith("#") for a in parser.addresses)
    assert not re.search(r"https?://(?!www\.w3\.org/2000/svg)", page)


def test_html_shows_hostile_text_as_typed():
    page = to_html(build_document(hostile_verdict(), date=DATE))
    assert "&lt;script&gt;alert(1)&lt;/script&gt; #panic(&quot;x&quot;)" in page


def test_html_is_closed_and_every_reference_has_its_section(document):
    page = to_html(document)
    for target in re.findall(r'href="#([\w-]+)"', page):
        assert f'<section id="{target}">' in page
    for tag in ("section", "table", "figure", "div", "svg", "p", "ol"):
        assert len(re.findall(rf"<{tag}[ >]", page)) == page.count(f"</{tag}>"), tag


@_poppler
def test_pdf_prints_hostile_text_as_typed(tmp_path):
    path = write_report(hostile_verdict(), tmp_path / "hostile.pdf", date=DATE)
    text = squeezed(poppler("pdftotext", str(path), "-"))
    assert '<script>alert(1)</script> #panic("x") $x$ *b* _i_ @y "q"' in text


def test_characters_without_a_glyph_become_a_square():
    axis = tray_lift(title="Hub 升降機 Ω α Ж ✓")
    assert printable(axis.title) == "Hub □□□ Ω α Ж □"
    verdict = replace(sample_verdict(), axis=axis)
    assert to_pdf(build_document(verdict, date=DATE)).startswith(b"%PDF-")


@pytest.mark.slow
def test_every_character_called_printable_can_be_set(document):
    from dutyline.report.pdf import _RANGES

    every = "".join(chr(c) for a, b in _RANGES for c in range(a, b + 1))
    chunks = [every[k : k + 60] for k in range(0, len(every), 60)]
    for chunk in chunks:
        assert printable(chunk).replace(" ", "") == chunk.replace(" ", "")
    head = replace(document.head, title="x", project=every.strip())
    to_pdf(replace(document, head=head, sections=(), opening=(), closing=()))


def test_sections_without_content_are_left_out_and_numbers_close_up():
    axis = tray_lift(inputs=(), questions=())
    verdict = replace(sample_verdict(), axis=axis, trace=None, extra={}, cautions=())
    document = build_document(verdict)
    numbers = document.numbers()
    assert {"inputs", "plots", "hand", "rms", "adds", "history"}.isdisjoint(numbers)
    assert sorted(numbers.values()) == list(range(1, len(numbers) + 1))
    to_pdf(document)


def test_nothing_in_the_report_certifies(document):
    page = squeezed(to_html(document)).lower()
    for claim in ("certified", "guarantee", "approved", "is safe", "complies with", "conforms to"):
        assert claim not in page


def test_cautions_follow_their_rules():
    lift = to_html(build_document(sample_verdict()))
    for lead in ("Gravity axis.", "Stopping.", "Stored energy, heat, start.", "No certificate."):
        assert lead in lift
    assert "People near." not in lift
    near = tray_lift()
    near = replace(near, site=replace(near.site, people_near=True))
    assert "People near." in to_html(build_document(replace(sample_verdict(), axis=near)))


def test_dates_and_revisions_are_not_invented(document):
    bare = build_document(sample_verdict())
    assert (bare.head.date, bare.head.day, bare.head.revision) == ("", None, "")
    assert document.head.date == "24 November 2026"
    assert words("") == ()


def test_conditions_beyond_seven_go_on_with_their_numbers(document, monkeypatch):
    build = sys.modules["dutyline.report.build"]
    kept = tuple(words(f"Condition {n}.") for n in range(1, 11))
    monkeypatch.setattr(build, "conditions", lambda verdict, parts: kept)
    page = to_html(build.build_document(sample_verdict()))
    assert '<ol start="8"><li>Condition 8.</li>' in page
    assert "3 more in section" in page


def test_long_names_stay_inside_the_foot():
    axis = tray_lift(title="A title of an axis that is far longer than any foot of a page can hold")
    head = build_document(replace(sample_verdict(), axis=axis)).head
    assert len(head.foot) <= 40
    assert head.foot.endswith("…")
    assert head.title == axis.title
