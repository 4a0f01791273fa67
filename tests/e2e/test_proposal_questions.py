"""Each question of a proposed mapping stands once, with the columns it is about."""

from __future__ import annotations

from tests.support.command import dutyline, spaced

TABLE = "Motor;Nennmoment;Nennstrom;Spitzenstrom\n;Nm;A;A\nErle 1;1,5;2,1;6,3\n"


def test_a_question_stands_once(tmp_path):
    (tmp_path / "motoren.csv").write_text(TABLE, encoding="utf-8")
    flat = " ".join(spaced(dutyline("bring", str(tmp_path), "--propose").out).split())
    asked = '"Nennstrom", "Spitzenstrom": Are the amperes rms or peak? ampere = "rms" or "peak"'
    assert asked in flat
    assert flat.count("Are the amperes rms or peak?") == 1


def test_a_fault_says_where_one_answer_does_for_all(tmp_path):
    (tmp_path / "motoren.csv").write_text(TABLE, encoding="utf-8")
    mapping = tmp_path / "mapping.toml"
    assert dutyline("bring", str(tmp_path), "--propose", "--to", str(mapping)).code == 0
    done = dutyline("bring", str(mapping))
    flat = " ".join(spaced(done.err).split())
    assert done.code == 2
    assert 'Write ampere = "rms" or "peak", at the column or once in [conventions].' in flat
