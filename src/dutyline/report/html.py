"""The document tree as one HTML file: styles, type face and drawings inside, no script."""

from __future__ import annotations

import base64
import re
from collections.abc import Mapping, Sequence
from html import escape
from importlib.resources import files

from dutyline.core.wording import lower_first
from dutyline.report.figures.colours import DARK, LIGHT
from dutyline.report.figures.duty import meter
from dutyline.report.figures.marks import mark
from dutyline.report.formula import to_html as formula
from dutyline.report.tree import (
    Bar,
    Block,
    Cautions,
    Document,
    Figure,
    Group,
    Head,
    Inline,
    Legend,
    Listing,
    Mark,
    Math,
    Paragraph,
    Ref,
    Row,
    Run,
    Section,
    Side,
    StatusWord,
    Table,
)
from dutyline.report.words import STATE_WORDS

_WEIGHTS = {400: "400Regular", 600: "600SemiBold", 700: "700Bold"}
_SCALE = 832 / 493.2
"""Pixels of the text column per point of the widest drawing."""


class _Page:
    """Turns a tree into HTML; keeps the numbers of sections, figures and drawings."""

    def __init__(self, document: Document) -> None:
        self.numbers: Mapping[str, int] = document.numbers()
        self.figures = 0
        self.bars = 0

    def words(self, parts: Sequence[Inline]) -> str:
        """Words of every kind in a row."""
        return "".join(self.piece(part) for part in parts)

    def piece(self, part: Inline) -> str:
        """One piece of a sentence."""
        match part:
            case Run(text, style):
                return f'<span class="{style}">{escape(text)}</span>' if style else escape(text)
            case Math(text):
                return f'<span class="math">{formula(text)}</span>'
            case Mark(state):
                return self._icon(mark(state))
            case StatusWord(status):
                return f'<span class="status {escape(status)}">{escape(status)}</span>'
            case Ref(key):
                return f'<a href="#{key}">{self.numbers[key]}</a>'
            case Bar(used, reserve, state):
                self.bars += 1
                return self._icon(meter(used, reserve, state, f"bar{self.bars}"), "bar")

    @staticmethod
    def _icon(svg: str, kind: str = "mark") -> str:
        return svg.replace("<svg ", f'<svg class="{kind}" aria-hidden="true" ', 1)

    def block(self, block: Block | Section) -> str:
        """A block or section."""
        match block:
            case Section():
                return self.section(block)
            case Table():
                return self.table(block)
            case Figure():
                return self.figure(block)
            case Paragraph(parts, size):
                return self.paragraph(parts, size)
            case Listing(items, start):
                rows = "".join(f"<li>{self.words(item)}</li>" for item in items)
                return f'<ol start="{start}">{rows}</ol>'
            case Cautions(items):
                said = "".join(
                    f"<p><strong>{escape(lead)}</strong> {escape(body)}</p>" for lead, body in items
                )
                return f'<div class="cautions">{said}</div>'
            case Legend(states):
                marks = "".join(
                    f"<span>{self._icon(mark(s))} {escape(STATE_WORDS[s])}</span>" for s in states
                )
                return f'<p class="legend">{marks}</p>'
            case Side():
                return self.side(block)

    def side(self, side: Side) -> str:
        """Two columns that fold under each other where there is little room."""
        share = side.left_width / (174.0 - side.gap)
        style = f"--left:{share:.3f}fr;--right:{1 - share:.3f}fr"
        left = "".join(self.block(b) for b in side.left)
        right = "".join(self.block(b) for b in side.right)
        return f'<div class="side" style="{style}"><div>{left}</div><div>{right}</div></div>'

    def paragraph(self, parts: Sequence[Inline], size: str) -> str:
        """A paragraph, or the small head of one."""
        if size == "lead":
            return f"<h3>{self.words(parts)}</h3>"
        return f'<p class="{escape(size)}">{self.words(parts)}</p>'

    def figure(self, figure: Figure) -> str:
        """A drawing with its description and caption."""
        svg = figure.svg.replace(
            "<svg ", f'<svg role="img" aria-label="{escape(figure.alt, quote=True)}" ', 1
        )
        width = re.search(r'viewBox="0 0 ([\d.]+)', figure.svg)
        reach = float(width.group(1)) * _SCALE if width else 650.0
        lead = ""
        if figure.numbered:
            self.figures += 1
            lead = f"<b>Figure {self.figures}</b> "
        caption = f"<figcaption>{lead}{self.words(figure.caption)}</figcaption>"
        return (
            f'<figure><div class="drawing" style="max-width:{reach:.0f}px">{svg}</div>'
            f"{caption if figure.caption else ''}</figure>"
        )

    def table(self, table: Table) -> str:
        """A table with its heads."""
        heads = "".join(
            f'<th scope="col" class="{c.align}">{self.words(c.title)}</th>' for c in table.columns
        )
        body = "".join(self.row(table, row) for row in table.rows)
        return (
            '<div class="wide"><table><thead><tr>'
            f"{heads}</tr></thead><tbody>{body}</tbody></table></div>"
        )

    def row(self, table: Table, row: Row | Group) -> str:
        """A row with the sentence under it, or a heading inside the table."""
        count = len(table.columns)
        if isinstance(row, Group):
            title = escape(row.title)
            return f'<tr class="group"><th scope="colgroup" colspan="{count}">{title}</th></tr>'
        cells, place = "", 0
        for c in row.cells:
            span = f' colspan="{c.span}"' if c.span > 1 else ""
            align = "left" if c.span > 1 else table.columns[place].align
            cells += f'<td class="{align}"{span}>{self.words(c.words)}</td>'
            place += c.span
        kind = ' class="sum"' if row.sum else ""
        out = f"<tr{kind}>{cells}</tr>"
        if row.second:
            lead = f'<td colspan="{row.second_from}"></td>' if row.second_from else ""
            rest = count - row.second_from
            out += (
                f'<tr class="second">{lead}<td colspan="{rest}">{self.words(row.second)}</td></tr>'
            )
        return out

    def section(self, section: Section) -> str:
        """A numbered section."""
        number = self.numbers[section.key]
        remark = (
            f'<span class="remark">{self.words(section.remark)}</span>' if section.remark else ""
        )
        head = f'<h2><span class="number">{number}</span> {escape(section.title)} {remark}</h2>'
        body = "".join(self.block(b) for b in section.blocks)
        return f'<section id="{section.key}">{head}{body}</section>'


def _faces() -> str:
    out = []
    for weight, name in _WEIGHTS.items():
        font = (
            files("dutyline.report") / "assets" / "fonts" / f"AtkinsonHyperlegibleNext_{name}.ttf"
        )
        data = base64.b64encode(font.read_bytes()).decode("ascii")
        out.append(
            f"@font-face{{font-family:'Atkinson Hyperlegible Next';font-weight:{weight};"
            f"src:url(data:font/ttf;base64,{data}) format('truetype')}}"
        )
    return "".join(out)


def _colours() -> str:
    """Tokens as variables, and the drawings recoloured on dark screens."""
    light = "".join(f"--{name}:{value};" for name, value in LIGHT.items())
    dark = "".join(f"--{name}:{value};" for name, value in DARK.items())
    swapped = "".join(
        f'svg [fill="{LIGHT[name]}"]{{fill:var(--{name})}}'
        f'svg [stroke="{LIGHT[name]}"]{{stroke:var(--{name})}}'
        for name in LIGHT
    )
    return (
        f":root{{color-scheme:light dark;{light}}}"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{dark}}}{swapped}}}"
    )


def _head(head: Head) -> str:
    whose = ", ".join(t for t in (head.project, head.customer) if t)
    named = (head.what, f"revision {head.revision}" if head.revision else "", head.date)
    record = ", ".join(t for t in (*named, f"by {head.author}" if head.author else "") if t)
    under = f"<span>{escape(whose)}</span>" if whose else ""
    return (
        f"<header><h1>{escape(head.title)}</h1><p class='name'>dutyline</p>"
        f"<p class='record'>{under}<span>{escape(record)}</span></p></header>"
    )


def to_html(document: Document) -> str:
    """The document as one HTML page that needs nothing else.

    All text of the document is escaped. On paper it prints in the light colours.
    """
    page, head = _Page(document), document.head
    style = (files("dutyline.report") / "assets" / "report.css").read_text(encoding="utf-8")
    answer = document.answer
    marks = "".join(page._icon(mark(s, 14.0)) for s in answer.states)
    rest = f"<p class='rest'>{escape(answer.rest)}</p>" if answer.rest else ""
    opening = "".join(page.block(b) for b in document.opening)
    body = "".join(page.block(s) for s in document.sections)
    closing = "".join(page.block(b) for b in document.closing)
    title = ", ".join(t for t in (head.title, head.project) if t)
    foot = " · ".join(
        t
        for t in (
            head.project,
            head.title,
            head.revision and f"revision {head.revision}",
            head.date,
            head.version,
            f"{head.digits} {head.checksum[:8]}",
        )
        if t
    )
    return (
        '<!DOCTYPE html>\n<html lang="en-GB"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; '
        "style-src 'unsafe-inline'; font-src data:\">"
        f"<title>{escape(title)}: {escape(lower_first(head.what))}</title>"
        f"<style>{_faces()}{_colours()}{style}</style></head><body><main>"
        f"{_head(head)}<div class='answer'><p class='marks'>{marks}</p>"
        f"<div><p class='verdict'>{escape(answer.sentence)}</p>{rest}</div></div>"
        f"{opening}{body}{closing}</main><footer>{escape(foot)}</footer></body></html>\n"
    )
