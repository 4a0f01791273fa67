"""What a proposal reads from a table, and what it leaves open."""

from __future__ import annotations

import tomllib

import pytest

from dutyline.core.errors import InputError
from dutyline.grids.records import Grid
from dutyline.intake.bring import bring
from dutyline.intake.proposal_text import mapping_text, quote
from dutyline.intake.propose import proposed
from dutyline.intake.read_mapping import read_mapping
from dutyline.intake.words import fields_of

LANGUAGES = {
    "en": ["Type", "Rated torque [Nm]", "Peak torque [Nm]", "Max speed [rpm]",
           "Rotor inertia [kg·cm²]"],
    "de": ["Typ", "Nennmoment [Nm]", "Spitzenmoment [Nm]", "Höchstdrehzahl [1/min]",
           "Massenträgheitsmoment [kg·cm²]"],
    "fr": ["Référence", "Couple nominal [Nm]", "Couple crête [Nm]", "Vitesse maximale [tr/min]",
           "Moment d'inertie [kg·cm²]"],
    "es": ["Referencia", "Par nominal [Nm]", "Par de pico [Nm]", "Velocidad máxima [1/min]",
           "Momento de inercia [kg·cm²]"],
    "it": ["Sigla", "Coppia nominale [Nm]", "Coppia di picco [Nm]", "Velocità massima [1/min]",
           "Momento d'inerzia [kg·cm²]"],
}  # fmt: skip
ROWS = [["A1", "1,5", "4,5", "6.000", "0,12"], ["A2", "2,5", "-", "5.000", "0,34"]]
FIELDS = ["name", "torque_rated", "torque_peak", "speed_max", "inertia"]


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_headings_of_five_languages(language: str):
    table = proposed(Grid("m.csv", "", [["Our motors"], LANGUAGES[language], *ROWS]))
    assert table.kind == "motors"
    assert table.heading == (2,)
    assert [column.field for column in table.columns] == FIELDS
    assert (table.numerals.decimal, table.numerals.thousands) == (",", ".")
    assert table.unknown == ("-",)
    asked = [column.field for column in table.columns if column.open]
    assert asked == ["inertia"]


def test_what_is_open_stops_the_reading_until_it_is_answered():
    grid = Grid("m.csv", "", [LANGUAGES["de"], *ROWS])
    text = mapping_text([proposed(grid)], "Ours")
    with pytest.raises(InputError, match="inertia is not said"):
        bring(read_mapping("mapping.toml", text), lambda _: [grid])
    answered = text.replace("# [conventions]", '[conventions]\ninertia = "J"')
    line = bring(read_mapping("mapping.toml", answered), lambda _: [grid]).line
    assert line.motors[0].inertia == pytest.approx(1.2e-5)
    assert line.motors[0].speed_max == pytest.approx(628.3185, rel=1e-7)


def test_an_answer_in_the_heading_is_taken_and_phases_are_not_told_apart():
    heads = ["Motor", "Polzahl", "Strangwiderstand [Ohm]", "Kt [Nm/Arms]", "GD² [kg·cm²]"]
    columns = proposed(Grid("m.csv", "", [heads, ["A", "8", "1.5", "0.3", "4"]])).columns
    told = {c.field: dict(c.answers) for c in columns}
    assert told["pole_pairs"] == {"count": "poles"}
    assert told["inertia"] == {"inertia": "GD2"}
    asked = {c.field: " ".join(c.open) for c in columns}
    assert '"star-phase" or "delta-phase"' in asked["resistance"]
    assert "ampere" not in asked["torque_constant"]
    assert 'current = "line"' in asked["torque_constant"]


def test_a_number_that_can_be_read_two_ways_is_asked_about():
    table = proposed(
        Grid("m.csv", "", [LANGUAGES["en"], ["A", "1,500", "4,500", "6,000", "1,250"]])
    )
    assert table.numerals.decimal == ""
    assert any("decimal?" in question for question in table.open)


def test_units_in_a_row_two_readings_and_columns_that_are_not_known():
    rows = [
        ["Motor", "Rated torque", "Inertia", "Colour"],
        ["", "lb-in", "oz-in", ""],
        ["A", "10", "2", "red"],
    ]
    table = proposed(Grid("m.csv", "", rows))
    assert table.units == 2
    torque, inertia, colour = table.columns[1:]
    assert torque.unit == "lb-in"
    assert "may be" in " ".join(inertia.open)
    assert colour.field == ""


def test_products_side_by_side():
    rows = [list(row) for row in zip(*[LANGUAGES["fr"], *ROWS], strict=True)]
    table = proposed(Grid("moteurs.csv", "", rows))
    assert table.turned
    assert [column.field for column in table.columns] == FIELDS


def test_the_kind_is_taken_from_headings_and_names():
    heads = ["Typ", "Übersetzung", "Nennmoment [Nm]", "Verdrehspiel [arcmin]", "Wirkungsgrad [%]"]
    table = proposed(Grid("preise.csv", "Getriebe", [heads, ["G", "10", "15", "5", "96"]]))
    assert table.kind == "gearheads"
    assert {c.field for c in table.columns} == {
        "name", "ratio", "torque_rated", "backlash", "efficiency",
    }  # fmt: skip


def test_a_table_of_something_else_is_left_out():
    table = proposed(Grid("x.csv", "", [["Datum", "Wetter"], ["heute", "Regen"]]))
    assert table.kind == ""
    assert tomllib.loads(mapping_text([table], "x")) == {"schema": 1, "line": {"name": "x"}}


def test_a_heading_that_means_two_fields_is_asked_about():
    table = proposed(Grid("m.csv", "", [["Motor", "Mass [kg]", "Weight [kg]", "Peak torque [Nm]"],
                                        ["A", "1", "2", "3"]]))  # fmt: skip
    assert any("may be mass too" in " ".join(c.open) for c in table.columns)


@pytest.mark.parametrize("text", ['2" shaft', "a\\b", "\x1b[2J", "ä€😀", "tab\there"])
def test_any_heading_is_written_as_toml(text: str):
    assert tomllib.loads(f"x = {quote(text)}") == {"x": text}


def test_no_word_stands_for_two_fields_of_a_kind():
    from dutyline.intake.words import words

    for kind, known in words().fields.items():
        for said in {w for group in known.values() for w in group}:
            best = [f for share, f in fields_of(kind, said) if share == 1.0]
            assert len(best) == 1, (kind, said, best)
