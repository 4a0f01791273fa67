"""Every section and field of the axis file, in one place.

The reader, ``dutyline schema`` and the field reference are all made from :data:`SECTIONS`.
"""

from __future__ import annotations

from difflib import get_close_matches
from functools import cache

from dutyline.axis.fields_around import (
    ACCURACY,
    CABINET,
    CABLE,
    CHOOSE,
    CONTROL,
    DUTY,
    GUIDE,
    REQUIRE,
    RESERVE,
    SITE,
    STOP,
)
from dutyline.axis.fields_cases import CASE, VARIANT
from dutyline.axis.fields_linkage import CAM_SECTION
from dutyline.axis.fields_load import AXIS, BODY, LOAD, PAYLOAD
from dutyline.axis.fields_mechanism import MECHANISM, ROLLER, TRACTION
from dutyline.axis.fields_motion import FORCE, PHASE
from dutyline.axis.fields_train import BALANCE, BRANCH, STAGE, TANDEM
from dutyline.axis.forms import Field, Section

SECTIONS: dict[str, Section] = {
    section.name: section
    for section in (
        AXIS,
        LOAD,
        MECHANISM,
        STAGE,
        BRANCH,
        TANDEM,
        BALANCE,
        PHASE,
        FORCE,
        DUTY,
        STOP,
        SITE,
        REQUIRE,
        GUIDE,
        ACCURACY,
        CONTROL,
        CABLE,
        CABINET,
        RESERVE,
        CHOOSE,
        CASE,
        VARIANT,
    )
}
"""Sections by name, in the order of writing."""

NESTED: dict[str, Section] = {s.name: s for s in (PAYLOAD, BODY, ROLLER, TRACTION, CAM_SECTION)}
"""Forms of the tables inside sections."""

WORD_ALIASES: dict[str, str] = {
    "rack-and-pinion": "rack",
    "winch": "hoist",
    "timing-belt": "belt",
    "toothed-belt": "belt",
    "belt-drive": "belt",
    "ballscrew": "ball-screw",
    "leadscrew": "lead-screw",
    "turntable": "rotary-table",
    "indexing-table": "rotary-table",
    "unwinder": "winder",
    "nip-rolls": "feed-rolls",
    "crank": "slider-crank",
    "crank-slider": "slider-crank",
    "eccentric": "slider-crank",
    "toggle-lever": "toggle",
    "fan": "rotary-load",
    "pump": "rotary-load",
    "mixer": "rotary-load",
    "spindle": "rotary-load",
    "blower": "rotary-load",
    "dial": "rotary-table",
    "rotary-knife": "rotary-table",
    "disc": "cylinder",
    "disk": "cylinder",
    "center": "centre",
    "gear": "reduction",
    "3-4-5": "quintic",
    "4-5-6-7": "septic",
    "scurve": "s-curve",
    "pause": "dwell",
    "wait": "dwell",
    "analog": "analogue",
    "aluminum": "aluminium",
}
"""Other words for choices; writing always gives the word on the right."""


def plain(word: str) -> str:
    """A key or name as compared: lower case, with ``_`` for space and hyphen.

    >>> plain("Ball Screw")
    'ball_screw'
    """
    return "_".join(word.strip().lower().replace("-", " ").replace("_", " ").split())


def find(section: Section, key: str, kind: str | None) -> Field | None:
    """The field that a key means in a section, of the given kind where there are several."""
    named = _by_word(section).get(plain(key), ())
    for field in named:
        if not field.kinds or kind in field.kinds:
            return field
    return named[0] if named else None


def nearest(word: str, among: tuple[str, ...]) -> str | None:
    """The most similar of some words, or None when none is similar."""
    spelt = {plain(a): a for a in among}
    close = get_close_matches(plain(word), spelt, n=1, cutoff=0.6)
    return spelt[close[0]] if close else None


def choice(word: str, choices: tuple[str, ...]) -> str | None:
    """The canonical word for a choice as typed, or None.

    >>> choice("Rack and Pinion", ("rack", "belt"))
    'rack'
    """
    return _spelt(choices).get(plain(word))


def kinds_with(section: Section, key: str) -> tuple[str, ...]:
    """Kinds of a section that have a field of this name."""
    having = [kind for f in _by_word(section).get(plain(key), ()) for kind in f.kinds]
    return tuple(dict.fromkeys(having))


def names_of(section: Section, kind: str | None) -> tuple[str, ...]:
    """Names and aliases of the fields that belong to a kind."""
    return tuple(dict.fromkeys(n for f in section.fields_of(kind) for n in (f.name, *f.aliases)))


@cache
def _by_word(section: Section) -> dict[str, tuple[Field, ...]]:
    """Fields by name and alias, in the order of the section."""
    found: dict[str, tuple[Field, ...]] = {}
    for field in section.fields:
        for word in dict.fromkeys(plain(w) for w in (field.name, *field.aliases)):
            found[word] = (*found.get(word, ()), field)
    return found


@cache
def _spelt(choices: tuple[str, ...]) -> dict[str, str]:
    """Choices by their own words, before them by other words for them."""
    aliases = {plain(a): c for a, c in WORD_ALIASES.items() if c in choices}
    return {**aliases, **{plain(c): c for c in choices}}
