"""What is still asked, and in which order."""

from tests.support.axis_files import LIFT, TABLE, edited

from dutyline.app.inputs import example_text
from dutyline.axis.edit import set_value
from dutyline.axis.fields import SECTIONS
from dutyline.axis.read import read_axis


def asked(text, *changes):
    return read_axis("a.toml", text=edited(text, *changes)).questions


def test_at_most_seven_in_order_of_rank():
    questions = asked(
        LIFT,
        ('[site]\nmains = "230 V"\nphases = 3\n', ""),
        ("friction = 0.01\n", ""),
        ('drag = "15 N"\n', ""),
        ("efficiency = 0.92\n", ""),
    )
    assert [q.rank for q in questions] == [1, 2, 3, 4, 5, 6, 7]
    paths = [q.path for q in questions]
    assert paths[:4] == ["site.mains", "load.friction", "load.drag", "mechanism.efficiency"]


def test_questions_are_sentences_with_the_default_used():
    question = next(q for q in asked(LIFT, ("friction = 0.01\n", "")) if q.path == "load.friction")
    assert question.text.endswith("?")
    assert question.effect.endswith(".")
    assert question.used == "0.01"


def test_what_is_stated_is_not_asked():
    paths = [q.path for q in asked(LIFT)]
    assert "load.friction" not in paths
    assert "load.incline" not in paths


def test_a_level_axis_is_not_asked_about_people_beneath():
    level = [q.path for q in asked(LIFT, ('"90 deg"', '"0 deg"'))]
    assert "site.people_near" not in level
    assert "site.people_near" in [q.path for q in asked(LIFT)]


def test_nothing_is_asked_that_no_check_would_use():
    for path in (q.path for q in asked(LIFT)):
        section, *_, name = path.split(".")
        field = next(f for f in SECTIONS[section].fields if f.name == name)
        assert field.used, path


def test_a_table_is_not_asked_about_its_slope():
    assert "load.incline" not in [q.path for q in asked(TABLE)]


def test_guesses_and_ranges_of_the_user_are_asked_back():
    guess = next(q for q in asked(LIFT, ("0.01", '"about 0.02"')) if q.path == "load.friction")
    assert guess.used == "about 0.02"
    spread = next(q for q in asked(LIFT, ('"40 kg"', '"36..46 kg"')) if q.path == "load.mass")
    assert "between" in spread.text


def test_the_mechanism_is_named():
    question = next(
        q for q in asked(LIFT, ("efficiency = 0.92\n", "")) if q.path == "mechanism.efficiency"
    )
    assert question.text == "How efficient is the ball screw?"


def test_a_pitch_asks_for_the_starts():
    pitched = asked(LIFT, ('lead = "10 mm"', 'pitch = "10 mm"'))
    question = next(q for q in pitched if q.path == "mechanism.starts")
    assert question.text == "Has the screw one thread or several?"
    assert question.used == "1"
    counted = asked(LIFT, ('lead = "10 mm"', 'pitch = "5 mm"\nstarts = 2'))
    assert "mechanism.starts" not in [q.path for q in counted]
    assert "mechanism.starts" not in [q.path for q in asked(LIFT)]


def test_a_range_says_what_was_judged_and_of_which_payload():
    axis = read_axis("a.toml", text=edited(LIFT, ('"12 kg"', '"60..80 kg"')))
    question = next(q for q in axis.questions if q.path == "load.payloads.carton.mass")
    assert "mass of the payload carton" in question.text
    words = "judged at 70\u00a0kg, the middle of 60 to 80\u00a0kg; ask or judge the upper end."
    assert question.effect.lower() == words.lower()
    (note,) = [n for n in axis.notes if "judged" in n]
    assert note == f"Mass of the payload carton: {words}"


def test_no_question_without_sense():
    asked_of = {kind: _paths(kind) for kind in ("conveyor", "hoist")}
    assert "load.friction" not in asked_of["conveyor"]
    assert "load.incline" not in asked_of["hoist"]
    assert "mechanism.efficiency" not in [q.path for q in asked(TABLE)]
    thread = ("ball-screw", "lead-screw"), ("efficiency = 0.92", "friction = 0.1")
    assert "mechanism.efficiency" not in [q.path for q in asked(LIFT, *thread)]


def _paths(kind):
    screw = 'lead = "10 mm"\ndiameter = "20 mm"\nlength = "600 mm"\n'
    drum = 'diameter = "80 mm"\n' + ("friction = 0.3\n" if kind == "conveyor" else "")
    changes = ("ball-screw", kind), (screw, drum), ('incline = "90 deg"\nfriction = 0.01\n', "")
    return [q.path for q in asked(LIFT, *changes)]


def test_a_belt_is_asked_for_belt_and_pulleys():
    screw = 'lead = "10 mm"\ndiameter = "20 mm"\nlength = "600 mm"\n'
    belt = ("ball-screw", "belt"), (screw, 'diameter = "60 mm"\n')
    paths = [q.path for q in asked(LIFT, *belt)]
    assert "mechanism.belt_length" in paths
    assert "mechanism.inertia" in paths
    known = 'diameter = "60 mm"\nbelt_mass = "0.1 kg/m"\nbelt_length = "1 m"\n'
    paths = [q.path for q in asked(LIFT, belt[0], (screw, known + 'inertia = "1 kg*cm^2"\n'))]
    assert not any(path.startswith("mechanism.belt_") for path in paths)
    assert "mechanism.inertia" not in paths


def notes(*changes):
    return read_axis("a.toml", text=edited(LIFT, *changes)).notes


def test_mass_and_bodies_add_with_a_note_of_the_sum():
    body = 'mass = "40 kg"\nbody = [{ shape = "point", mass = "2 kg", count = 3 }]'
    (note,) = [n for n in notes(('mass = "40 kg"', body)) if "together" in n]
    assert "40\u00a0kg" in note
    assert "46\u00a0kg" in note
    assert not [n for n in notes() if "together" in n]


def test_a_self_locking_screw_is_no_brake():
    thread = ("ball-screw", "lead-screw"), ("efficiency = 0.92", "friction = 0.2")
    slow = ('lead = "10 mm"', 'lead = "4 mm"')
    (note,) = [n for n in notes(*thread, slow) if "self-locking" in n]
    assert "without the help of friction" in note
    assert "no safety function" in note
    assert not [n for n in notes() if "self-locking" in n]


DIAL = """schema = 1
[axis]
title = "Dial"
[load]
mass = "45 kg"
[[load.body]]
shape = "cylinder"
diameter = "600 mm"
length = "12 mm"
material = "aluminium"
[mechanism]
kind = "rotary-table"
[[phase]]
do = "move"
by = "30 deg"
time = "0.25 s"
[[phase]]
do = "dwell"
time = "0.75 s"
"""


def test_a_mass_that_turns_without_inertia_is_asked_about():
    """45 kg beside a plate of 9.2 kg add nothing to 0.41 kg m2; the reader has to know."""
    axis = read_axis("dial.toml", text=DIAL)
    assert "load.inertia" in [q.path for q in axis.questions[:2]]
    assert any("turns without an inertia" in note for note in axis.notes)
    for told in ('inertia = "2 kg*m^2"', 'arm = "50 mm"'):
        other = read_axis("dial.toml", text=DIAL.replace('"45 kg"', f'"45 kg"\n{told}'))
        assert "load.inertia" not in [q.path for q in other.questions]
        assert not any("turns without an inertia" in note for note in other.notes)


def test_a_belt_is_asked_for_its_length_before_its_weight():
    """Its mass is one per length, of no use without the length."""
    text = example_text("lift")
    asked = []
    for path, typed in (("mechanism.belt_length", "4 m"), ("mechanism.belt_mass", "0.2 kg/m")):
        found = [q.path for q in read_axis("lift.toml", text=text).questions]
        asked += [p for p in found if p.startswith("mechanism.belt_")]
        text = set_value(text, path, typed)
    left = [q.path for q in read_axis("lift.toml", text=text).questions]
    assert asked == ["mechanism.belt_length", "mechanism.belt_mass"]
    assert not any(p.startswith("mechanism.belt_") for p in left)
