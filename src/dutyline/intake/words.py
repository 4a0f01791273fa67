"""Words by which tables call their columns, from ``data/headings.toml``."""

from __future__ import annotations

import functools
import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from dutyline.catalogue.origins import KINDS
from dutyline.core.places import DATA

LEAST = 0.5
"""Share of a heading that a known word has to make up."""
LONGEST = 120
"""Characters of a heading; a longer text is none."""
_SQUARE = re.compile(r"\[[^\[\]]*\]")
_ROUND = re.compile(r"\(([^()]*)\)")
_TOKEN = re.compile(r"[a-z0-9µηθ]+")


@dataclass(frozen=True, slots=True)
class Words:
    """The whole list, in one spelling."""

    kinds: Mapping[str, frozenset[str]]
    fields: Mapping[str, Mapping[str, tuple[str, ...]]]
    """Words of every field, by kind."""
    states: Mapping[str, tuple[str, ...]]
    """Words that answer a convention: ``ampere peak``."""
    unknown: tuple[str, ...]


@functools.cache
def words() -> Words:
    """The list as it ships."""
    with (DATA / "headings.toml").open("rb") as file:
        data = tomllib.load(file)
    fields = {
        kind: {
            column.field: tuple(
                dict.fromkeys(
                    plain(w) for w in (column.field.replace("_", " "), *data[kind].get(
                        column.field, ()))
                )
            )
            for column in form.columns
        }
        for kind, form in KINDS.items()
        if kind in data["kinds"]
    }  # fmt: skip
    return Words(
        {kind: frozenset(plain(w) for w in data["kinds"][kind]) for kind in data["kinds"]},
        fields,
        {state: tuple(plain(w) for w in said) for state, said in data["states"].items()},
        tuple(data["unknown"]["words"]),
    )


@functools.lru_cache(maxsize=8192)
def plain(text: str) -> str:
    """One spelling: small letters without accents, no punctuation, nothing in square brackets.

    >>> plain("Massenträgheit [kg·cm²]"), plain("Couple à l'arrêt")
    ('massentragheit', 'couple a l arret')
    """
    bare = _SQUARE.sub(" ", text).casefold()
    bare = "".join(c for c in unicodedata.normalize("NFKD", bare) if not unicodedata.combining(c))
    return " ".join(_TOKEN.findall(bare))


@functools.lru_cache(maxsize=8192)
def fields_of(kind: str, heading: str) -> tuple[tuple[float, str], ...]:
    """Fields that a heading may mean, the likeliest first, each with its share of the heading."""
    if len(heading) > LONGEST:
        return ()
    found: list[tuple[float, str]] = []
    spellings = {plain(heading), plain(_ROUND.sub(" ", heading)), plain(heading.split(" / ")[0])}
    inside = [(spelled, _tokens(spelled)) for spelled in spellings if spelled]
    for field, known in words().fields.get(kind, {}).items():
        best = max((_share(word, *spelled) for word in known for spelled in inside), default=0.0)
        if best >= LEAST:
            found.append((best, field))
    return tuple(sorted(found, key=lambda f: -f[0]))


def _share(word: str, heading: str, inside: frozenset[str]) -> float:
    """1 for the very word; else the share of the letters that the words of it make up."""
    if word == heading:
        return 1.0
    if len(word) < 3 or not _tokens(word) <= inside:
        return 0.0
    return 0.95 * _letters(word) / _letters(heading)


@functools.lru_cache(maxsize=8192)
def _tokens(text: str) -> frozenset[str]:
    return frozenset(text.split())


def _letters(text: str) -> int:
    return len(text) - text.count(" ")


def kinds_of(text: str) -> list[str]:
    """Kinds of part that the name of a file or sheet says."""
    tokens = f" {plain(text.replace('_', ' '))} "
    return [kind for kind, known in words().kinds.items()
            if any(f" {word} " in tokens for word in known)]  # fmt: skip


def answers_in(heading: str, keys: tuple[str, ...]) -> dict[str, str]:
    """Conventions that the words of a heading answer."""
    found: dict[str, str] = {}
    spelled = f" {plain(heading)} "
    for state, known in words().states.items():
        key, answer = state.split(" ", 1)
        if key in keys and any(f" {word} " in spelled for word in known):
            longest = max(len(w) for w in known if f" {w} " in spelled)
            held = found.get(key)
            if held is None or longest > len(held.split("\0")[1]):
                found[key] = f"{answer}\0{'x' * longest}"
    return {key: answer.split("\0")[0] for key, answer in found.items()}


def means_unknown(text: str) -> bool:
    """Whether a cell says that nothing is known."""
    return text.casefold() in {word.casefold() for word in words().unknown}
