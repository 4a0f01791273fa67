"""A text read by its blocks against the reader of the standard library, on the whole text."""

import tomllib

from hypothesis import example, given
from hypothesis import strategies as st

from dutyline.core.toml_blocks import from_blocks
from dutyline.core.toml_lines import line_index

LINES = (
    "[a]",
    "[b]  # said",
    "[[c]]",
    "[[a]]",
    "[a.b]",
    "[c.d]",
    "[[c.e]]",
    " [b]",
    "  [[c]]",
    "[[ c ]]",
    "[ b ]",
    "[1]",
    "[[c]",
    "x = 1",
    "y = true",
    'z = "40 kg"  # [a]',
    "c = [",
    "c = []",
    "[2], ",
    "]",
    'text = """',
    '"""',
    "text = '''",
    "'''",
    "in = { x = 1, y = [2, 3] }",
    "a.x = 1",
    "",
    "# [a]",
    "broken",
    'q = "open',
)
HEADS = ("[a]", "[[c]]", "[b]", "[c.d]", "x = 1", 'z = "1 m"', "in = { x = 1 }", "", "# said")


def agrees(text):
    """Whether a text was put together from blocks; what came of it is that of the whole."""
    found = from_blocks(text)
    if found is None:
        return False
    whole = line_index(text)
    assert repr(found[0]) == repr(tomllib.loads(text))
    assert (dict(found[1].lines), found[1].doubled, found[1].deep) == (dict(whole.lines), (), None)
    return True


@given(st.lists(st.sampled_from(LINES), max_size=12).map("\n".join))
@example("c = [\n[1]\n]\n")
@example('x = """\n[a]\n"""\n[b]')
@example("[a]\n[[c]]\nx = 1\n  [[c]]\nx = 2\n[[c]]\nx = 3")
@example("[[c]]\nx = 1\n[c.d]\ny = true\n[[c]]\nx = 2")
def test_what_is_read_by_blocks_is_what_the_whole_text_says(text):
    agrees(text)


@given(st.lists(st.sampled_from(HEADS), max_size=10).map("\n".join))
def test_texts_of_plain_sections_too(text):
    agrees(text)


def test_sections_once_and_lists_are_read_by_blocks():
    assert agrees("s = 1\n\n[a]\nx = 1\n[[c]]\nx = 1 # one\n[c.d]\ny = 2\n[b]\n[[c]]\nx = 2\n")


def test_blocks_that_speak_of_one_name_are_left_to_the_whole():
    for text in ("[a]\n[a]", "[a]\n[[a]]", "[[a]]\n[a]", "a = 1\n[a]", "[a]\n[b.c]", "[a.b]\n[a]"):
        assert from_blocks(text) is None


def test_data_may_be_changed_without_changing_what_is_remembered():
    text = "[a]\nx = [1, { y = 2 }]\n"
    found = from_blocks(text)
    found[0]["a"]["x"][1]["y"] = 3
    assert from_blocks(text)[0] == {"a": {"x": [1, {"y": 2}]}}
