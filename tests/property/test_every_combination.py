"""Energy of every mechanism with every law, behind any stages, balances, tandem and branch.

Built from axis files, as a user would. Two laws of nature stand against the program: without
losses what goes in comes back (conservation), and with losses nothing is gained. The first knows
nothing of how the program keeps its books. Closing tolerance: 1e-9 of the energy that flows.
"""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from dutyline.axis.fields_motion import LAWS
from dutyline.axis.forms import KINDS, STAGES
from dutyline.axis.read import read_axis
from dutyline.demand.output import output_demand
from support.machines import STAGE_FRAMES, machines, table

pytestmark = pytest.mark.property
CLOSES = 1e-9
EACH = [(kind, law) for kind in KINDS for law in LAWS]
FEW, MANY = 2, 24


def on(count: int, kind: str, law: str | None, *, lossy: bool):
    """A decorator: the check on so many files of a kind and a law, or of a kind and any law."""
    quiet = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
    limits = settings(max_examples=count, deadline=None, suppress_health_check=quiet,
                      phases=(Phase.explicit, Phase.generate))  # fmt: skip
    files = machines(kind, law, lossy=lossy) if law else st.sampled_from(LAWS).flatmap(
        lambda any_: machines(kind, any_, lossy=lossy)
    )  # fmt: skip
    return lambda check: limits(given(files)(check))


def conserves(text: str) -> None:
    """Without losses a closed cycle gives back what it took; a web or a dwell takes nothing."""
    out = output_demand(read_axis("made.toml", text=text))
    moved = out.energy_motoring + out.energy_regenerated
    assert out.balance < CLOSES
    assert out.energy_motoring == pytest.approx(out.energy_regenerated, abs=CLOSES * moved + 1e-12)
    assert abs(out.lost).sum() <= CLOSES * moved + 1e-12


def loses(text: str) -> None:
    """With losses: the books close, no contact gives, and the shaft work is what is taken."""
    axis = read_axis("made.toml", text=text)
    out = output_demand(axis)
    moved = out.energy_motoring + out.energy_regenerated
    assert out.balance < CLOSES
    assert out.lost.min(initial=0.0) >= -CLOSES * moved
    assert out.friction_work >= -CLOSES * moved
    if axis.train.kind == "winder":  # a roll keeps what its web brings
        return
    net = out.energy_motoring - out.energy_regenerated
    taken = float(out.lost.sum()) + out.friction_work + out.process_work + out.lifted
    assert net == pytest.approx(taken, abs=CLOSES * max(moved, 1e-9))


@pytest.mark.parametrize("kind, law", EACH, ids=[f"{k}-{w}" for k, w in EACH])
def test_energy_closes(kind, law):
    """A few files of every kind and law, without losses and with."""
    if kind != "winder":
        on(FEW, kind, law, lossy=False)(conserves)()
    on(FEW, kind, law, lossy=True)(loses)()


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_energy_closes_on_many(kind):
    """The same on more stages, balances, tandems and branches, whatever the law."""
    if kind != "winder":
        on(MANY, kind, None, lossy=False)(conserves)()
    on(MANY, kind, None, lossy=True)(loses)()


@pytest.mark.parametrize("first", STAGES)
@pytest.mark.parametrize("second", STAGES)
@pytest.mark.parametrize("lossy", [False, True], ids=["free", "lossy"])
def test_every_pair_of_stages_closes(first, second, lossy):
    """Two stages of any kinds behind a ball screw up a slope."""
    rows = []
    for kind in (first, second):
        sure, lost = STAGE_FRAMES[kind]
        rows.append(table("[[stage]]", {"kind": kind, **sure, **(lost if lossy else {})}))
    text = UPRIGHT.replace("[[phase]]", "\n".join([*rows, "[[phase]]"]), 1)
    if lossy:
        text = text.replace("efficiency = 1", "efficiency = 0.9").replace("0 N", "20 N")
        loses(text)
    else:
        conserves(text)


UPRIGHT = """\
schema = 1

[axis]
title = "Made"

[load]
mass = "20 kg"
incline = "90 deg"
friction = 0
drag = "0 N"

[mechanism]
kind = "ball-screw"
lead = "12 mm"
inertia = "2 kg*cm^2"
efficiency = 1

[[phase]]
do = "move"
by = "300 mm"
time = "0.7 s"
law = "modified-sine"

[[phase]]
do = "dwell"
time = "0.3 s"

[[phase]]
do = "move"
to = "0 mm"
time = "0.9 s"
law = "s-curve"

[[phase]]
do = "dwell"
time = "0.3 s"
"""


def test_what_does_not_close_would_be_seen():
    """A friction of a thousandth, told to nobody, breaks the first law by far more than it may."""
    text = UPRIGHT.replace("friction = 0", "friction = 0.001").replace("90 deg", "30 deg")
    with pytest.raises(AssertionError):
        conserves(text)


def test_all_kinds_laws_and_stages_are_there():
    assert len(EACH) == len(KINDS) * len(LAWS) == 18 * 11
    assert isinstance(machines("belt", "cubic", lossy=True), st.SearchStrategy)
