"""Lines of keys and tables in a TOML text, and what stands twice."""

import pytest

from dutyline.core.toml_lines import line_index

TEXT = '''\
schema = 1
[load]   # what moves
mass = "40 kg"
payloads = { carton = "12 kg", "big one" = { mass = "3 kg" } }
note = """
mass = "not a key"
[site]
"""
[[phase]]
do = "move"
[[phase]]
do = 'dwell'
carry = [
  "a",  # first
  "b",
]
body = [
  { shape = "rod", mass = "1 kg" },
  { shape = "ring",
    mass = "2 kg" },
]
[mechanism.rollers]
a.b = 3
[[stage]]
[stage.traction]
friction = 0.2
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("schema",), 1),
        (("load",), 2),
        (("load", "mass"), 3),
        (("load", "payloads", "carton"), 4),
        (("load", "payloads", "big one", "mass"), 4),
        (("load", "note"), 5),
        (("phase",), 9),
        (("phase", 0, "do"), 10),
        (("phase", 1), 11),
        (("phase", 1, "do"), 12),
        (("phase", 1, "carry", 0), 14),
        (("phase", 1, "carry", 1), 15),
        (("phase", 1, "body", 1, "shape"), 19),
        (("phase", 1, "body", 1, "mass"), 20),
        (("mechanism", "rollers", "a", "b"), 23),
        (("stage", 0, "traction", "friction"), 26),
        (("phase", 1, "unknown"), 11),
    ],
)
def test_paths_have_their_lines(path, line):
    assert line_index(TEXT).of(path) == line


def test_what_does_not_stand_in_the_text_has_no_line():
    assert line_index(TEXT).of(("site", "mains")) is None


def test_nothing_is_doubled_in_a_correct_text():
    assert line_index(TEXT).doubled == ()


def test_doubled_keys_and_tables_are_found_with_both_lines():
    found = line_index("[a]\nx = 1\ny = 2\nx = 3\n[b]\n[a]\nz = 1\n").doubled
    assert [(d.path, d.line, d.first, d.table) for d in found] == [
        (("a", "x"), 4, 2, False),
        (("a",), 6, 1, True),
    ]


def test_a_key_twice_inside_braces_is_found():
    found = line_index("a = { x = 1, x = 2 }\n").doubled
    assert [d.path for d in found] == [("a", "x")]


@pytest.mark.parametrize(
    "text",
    ["=", "[", "[[", "[a", "a = [", "a = {", 'a = "', "a = '''", "a.", "]", "\x00", "a = [" * 90],
)
def test_broken_text_is_walked_to_its_end(text):
    assert line_index(text + "\nb = 1\n") is not None


@pytest.mark.parametrize(
    "text", ["a = " + "[" * 60, "a = " + "{a = " * 60, "a." * 60 + "a = 1", "[" + "a." * 60 + "a]"]
)
def test_depth_beyond_any_machine_is_found_on_its_line(text):
    assert line_index("x = 1\n" + text).deep == 2
    assert line_index(TEXT).deep is None
