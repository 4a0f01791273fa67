"""Cautions by rule: gravity, people, stored energy; and that nothing here certifies."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.axis.unusual import outlying
from dutyline.checks.records import Verdict
from dutyline.checks.verdict import ENERGY_WORDS, GRAVITY_WORDS, PEOPLE_WORDS
from dutyline.report.tree import Cautions

GRAVITY = (
    "Gravity axis.",
    "A motor holding brake keeps a resting axis still; alone it does not protect people. It wears "
    "with every emergency stop and can lose torque through oil, wear or a wrong gap. Work beneath "
    "the load is for a competent person to secure by other means, such as a prop.",
)
STOPPING = (
    "Stopping.",
    "Whoever builds the machine assesses the risk and chooses the stop category (IEC\u00a060204-1) "
    "and how reliable the stop function must be (ISO\u00a013849-1).",
)
PEOPLE = (
    "People near.",
    "People may be near or beneath this axis: the risk assessment comes before the first powered "
    "move, and guards or distances are part of it.",
)
ENERGY = (
    "Stored energy, heat, start.",
    "The drive keeps a dangerous voltage after switching off, and turning masses keep their "
    "energy. Resistor and motor get hot. A powered axis may start unexpectedly.",
)
LOSS = "Loss of power"
"""Stands with the conditions."""
NO_CERTIFICATE = (
    "No certificate.",
    "These are calculated figures; local codes and licensed practice come first.",
)


MOST_UNUSUAL = 3
"""Unusual values among the cautions; more of them stand with the notes."""


def unusual(notes: Sequence[str]) -> tuple[str, ...]:
    """The notes of an axis on unusual values that stand among the cautions."""
    return outlying(notes)[:MOST_UNUSUAL]


def cautions(verdict: Verdict) -> Cautions:
    """What nobody who works with the axis may overlook."""
    said: list[tuple[str, str]] = []
    given = verdict.cautions
    hangs = any(line.check == "gravity-safety-caution" for line in verdict.ledger)
    if hangs or any(c.startswith("Gravity axis") for c in given):
        said.append(GRAVITY)
    site = verdict.axis.site
    if PEOPLE_WORDS in given or (site is not None and site.people_near):
        said.append(PEOPLE)
    said += [STOPPING, ENERGY]
    general = (GRAVITY_WORDS, PEOPLE_WORDS, ENERGY_WORDS)
    titles = tuple(f"{line.title}:" for line in verdict.ledger)
    elsewhere = outlying(given)[MOST_UNUSUAL:]
    for caution in given:
        known = caution in general or caution.startswith(("Gravity axis", *titles))
        lead, _, rest = caution.partition(": ")
        rest = rest[:1].upper() + rest[1:]
        if lead == "Hot surface":  # the words on heat say so already
            at = said.index(ENERGY)
            said[at] = (ENERGY[0], f"{ENERGY[1]} {rest}")
        elif hangs and lead == "Brake wear":  # the words on gravity say so already
            _, _, test = caution.partition("; ")
            said[0] = (said[0][0], f"{said[0][1]} T{test[1:]}")
        elif not known and lead != LOSS and caution not in elsewhere:
            said.append((f"{lead}.", rest) if rest else ("Caution.", caution))
    if elsewhere:
        more = f"{len(elsewhere)} more stand with the notes."
        said.append(("Unusual values.", more))
    return Cautions((*said, NO_CERTIFICATE))
