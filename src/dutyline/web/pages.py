"""Pages as HTML, whole or by region, from the same templates."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

import jinja2
import orjson
from markupsafe import Markup

from dutyline.app.workbench.drafted import DraftView
from dutyline.app.workbench.page import Page
from dutyline.app.workbench.records import (
    FieldView,
    Picture,
    QuestionView,
    ShortlistView,
    VariantsView,
)
from dutyline.app.workbench.wording import mark_word, set_symbol, spoken_share
from dutyline.core.deadline import wanted
from dutyline.web.bars import bar

FIRST = ("top", "train", "cycle", "plane", "questions")
"""Parts of the page that follow every edit at once, with the fields of the parts of the train."""
NEXT = ("ledger", "foot")
"""Parts that follow on their heels; the shortlist comes behind."""
DRAFTED = ("top", "train", "cycle", "plane", "ledger", "short")
"""Parts of the page of a new axis that follow every answer."""


_REMEMBERED = {
    "mk": "marks.html",
    "field": "marks.html",
    "row": "rows.html",
    "phase": "rows.html",
    "cautions": "rows.html",
}
"""Macros and their templates whose HTML is kept, since most edits leave most views as they are."""
_OF_THE_MOMENT = ("top", "foot")
"""Parts that say more than a picture and its ghosts do: the last edit, its day."""


@cache
def environment() -> jinja2.Environment:
    """Templates with everything escaped that is not marked as drawn here."""
    found = jinja2.Environment(
        loader=jinja2.FunctionLoader(_source),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
    found.filters["drawn"] = _drawn
    found.filters["data"] = _data
    found.filters["plain"] = _plain
    found.filters["place"] = _place
    found.filters["share"] = spoken_share
    found.filters["symbol"] = _symbol
    found.globals["mark_word"] = mark_word
    found.globals["asset"] = asset
    found.globals["bar"] = bar
    for name, home in _REMEMBERED.items():
        found.globals[name] = lru_cache(1024)(getattr(found.get_template(home).module, name))
    return found


def _source(name: str) -> str:
    return (files("dutyline.web") / "templates" / name).read_text(encoding="utf-8")


def _drawn(svg: str) -> Markup:
    """A drawing of our own; hidden from readers, since its words stand beside it."""
    return Markup(svg.replace("<svg ", '<svg aria-hidden="true" focusable="false" ', 1))


def _data(value: Any) -> str:
    """Data for a script, as the text of an attribute."""
    return orjson.dumps(value).decode()


def _place(value: float) -> Markup:
    """A coordinate of a drawing."""
    return Markup(f"{value:.2f}")


def _symbol(symbol: str) -> Markup:
    """A symbol of ours, set as in print."""
    return Markup(set_symbol(symbol))


_PLAIN = str.maketrans({"\u2009": "", "\u202f": "", "\u00a0": " ", "\u2212": "-"})


def _plain(shown: str) -> str:
    """A printed value as it may be typed again."""
    return shown.translate(_PLAIN)


@cache
def asset(name: str) -> str:
    """Address of a static file, with a piece of its checksum so that it can be kept for good."""
    content = (files("dutyline.web") / "static").joinpath(*name.split("/")).read_bytes()
    return f"/static/{name}?v={hashlib.sha256(content).hexdigest()[:12]}"


def region(
    name: str, page: Page, picture: Picture, short: ShortlistView | None = None, late: str = ""
) -> str:
    """One part of the page."""
    if name == "questions":
        return _questions(picture.questions, picture.more_questions, picture.words)
    return fragment(name, page=page, p=picture, short=short, late=late, document=page.document)


@lru_cache(maxsize=64)
def _questions(questions: tuple[QuestionView, ...], more: int, words: str) -> str:
    """What is still open; most edits leave it open."""
    return fragment("questions", questions=questions, more=more, words=words)


def first_regions(page: Page) -> dict[str, str]:
    """What follows an edit at once."""
    picture = page.picture
    assert picture is not None
    found = _written(page, FIRST)
    for part in picture.parts:
        said = part.said if part.options else ""
        found[f"fields-{part.key}"] = _fields(
            part.key, part.options, part.chosen, said, part.fields, part.more
        )
    return found


def next_regions(page: Page) -> dict[str, str]:
    """What follows on its heels."""
    return _written(page, NEXT)


def regions(page: Page) -> dict[str, str]:
    """Every part that follows an edit."""
    return {**first_regions(page), **next_regions(page)}


def _written(page: Page, names: Iterable[str]) -> dict[str, str]:
    picture = page.picture
    assert picture is not None
    found = {}
    for name in names:
        ghosts, html = picture.written.get(name, (None, ""))
        if ghosts != page.ghosts:
            html = region(name, page, picture)
            if name not in _OF_THE_MOMENT:
                picture.written[name] = page.ghosts, html
        found[name] = html
    return found


@lru_cache(maxsize=256)
def _fields(
    key: str,
    options: tuple[str, ...],
    chosen: str,
    said: str,
    fields: tuple[FieldView, ...],
    more: tuple[FieldView, ...],
) -> str:
    """Fields of a part; most edits leave most parts as they are."""
    return fragment(
        "fields", key=key, options=options, chosen=chosen, said=said, fields=fields, more=more
    )


def variant_regions(shown: VariantsView) -> dict[str, str]:
    """The chips of the variants and what differs between them."""
    return {name: fragment(name, variants=shown) for name in ("variants", "differences")}


def draft_regions(shown: DraftView) -> dict[str, str]:
    """A new axis as far as it is answered."""
    made: Any = environment().get_template("draft.html").module
    return {name: str(getattr(made, name)(shown)) for name in DRAFTED}


def digest(html: str) -> str:
    """A short word for the state of a part of the page."""
    return hashlib.sha256(html.encode()).hexdigest()[:16]


def digests(made: Mapping[str, str]) -> dict[str, str]:
    """The same of every part by name; of fields, which most edits leave, it is remembered."""
    return {
        name: _field_digest(html) if name.startswith("fields-") else digest(html)
        for name, html in made.items()
    }


_field_digest = lru_cache(maxsize=256)(digest)


def fragment(name: str, **named: Any) -> str:
    """A piece by itself."""
    wanted()
    found = environment()
    known = {**found.globals, **named}  # once, where a template would look them up one by one
    return str(found.get_template(f"{name}.html").make_module(known, shared=True))


def whole(
    page: Page, short: ShortlistView | None, variants: VariantsView, parts: dict[str, Any]
) -> str:
    """The whole page."""
    template = environment().get_template("page.html")
    picture = page.picture
    assert picture is not None
    made = {**regions(page), **variant_regions(variants)}
    return template.render(
        page=page,
        p=picture,
        short=short,
        document=page.document,
        html={name: Markup(text) for name, text in made.items()},
        digests=digests(made),
        **parts,
    )
