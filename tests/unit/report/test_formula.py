"""Formulas in plain text: what typst and HTML get, and that no text can do more than appear."""

import pytest
import typst
from hypothesis import given, settings
from hypothesis import strategies as st

from dutyline.report.formula import to_html, to_text, to_typst
from dutyline.report.pdf import printable
from dutyline.report.prose import pieces
from dutyline.report.tree import Math, Run


@pytest.mark.parametrize(
    ("plain", "typst_text"),
    [
        ("T_B", "T_(B)"),
        ("T_BR / T_g", 'T_("BR") \\/ T_(g)'),
        ("eta_G", "eta_(G)"),
        ("sqrt(a + b)", "sqrt(a + b)"),
        ("x^-3", "x^(- 3)"),
        ("T2B", 'T_("2B")'),
        ("a <= b", "a <= b"),
    ],
)
def test_typst_of_plain_formulas(plain, typst_text):
    assert to_typst(plain) == typst_text


def test_display_builds_fractions():
    assert to_typst("(a + b) / c", display=True) == "( a + b ) / c"


def test_html_has_indices_powers_and_true_signs():
    assert to_html("T_c^2 - 1") == "<i>T</i><sub><i>c</i></sub><sup>2</sup> − 1"


def test_html_escapes_what_it_does_not_know():
    assert "<script" not in to_html('<script src="x">')


def test_text_for_hearing_has_greek_letters():
    assert to_text("omega_0 t_d") == "ω_0 t_d"


def _compiles(body: str) -> None:
    source = f'#set page(height: auto)\n#eval({body}, mode: "math")\n'
    typst.compile(source.encode(), ignore_system_fonts=True)


HOSTILE = [
    '"#panic(1)"', "#sys.inputs", "$ x $", "\\ { } [ ] ( ", "a)b(", "_", "^", "m_", "@label",
    "<x>", "// x", "/* x", "`raw`", "~", "|a", "sqrt", "a_(b", "'", "&", "#", '"',
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("display", [False, True])
def test_hostile_text_is_set_and_nothing_else(text, display):
    literal = '"' + to_typst(text, display).replace("\\", "\\\\").replace('"', '\\"') + '"'
    _compiles(literal)


@settings(max_examples=40, deadline=None)
@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=12))
def test_any_text_is_set(text):
    made = to_typst(printable(text))
    literal = '"' + made.replace("\\", "\\\\").replace('"', '\\"') + '"'
    _compiles(literal)


def test_prose_keeps_words_and_sets_symbols():
    found = pieces("i n_max <= end of the motor's curve at these mains")
    assert [type(p) for p in found] == [Math, Run]
    assert found[0] == Math("i n_max <=")
    assert found[1].text.strip() == "end of the motor's curve at these mains"


def test_prose_without_symbols_is_one_run():
    assert pieces("an axis that falls without torque has a brake") == (
        Run("an axis that falls without torque has a brake"),
    )
