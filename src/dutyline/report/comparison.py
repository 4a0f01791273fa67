"""The document about two editions of a product line and the verdicts that were kept."""

from __future__ import annotations

from dutyline.catalogue.content import content_hash
from dutyline.catalogue.edition import titled
from dutyline.core.version import VERSION
from dutyline.editions.words import Chapter, chapters, headline, titles
from dutyline.kept.records import Comparison, Judged
from dutyline.kept.words import moved_texts, summary, title_of, touched_texts, turn_text
from dutyline.report.sections.cautions import NO_CERTIFICATE
from dutyline.report.tree import (
    Answer,
    Cautions,
    Column,
    Document,
    Head,
    Mark,
    Paragraph,
    Row,
    Run,
    Section,
    Table,
    cell,
    strong,
    words,
)

MOST_VERDICTS = 500
_MARKS = {"lost": "fails", "worse": "fails", "not judged": "open", "as before": "caution",
          "better": "caution", "holds": "meets"}  # fmt: skip
_CHANGES = (Column(words("What"), 84), Column(words("Rows")))
_VERDICTS = (
    Column(words("Kept verdict"), 62),
    Column(words("Then and now"), 34),
    Column(words("What touches it, what moved")),
)


def comparison_document(result: Comparison) -> Document:
    """The comparison as a document tree."""
    found = result.difference
    after = titled(found.after)
    title = " and ".join(titles(found))
    head = Head(
        title=title[:1].upper() + title[1:], project="", customer="", author="", revision="",
        date=found.after.date, day=None, version=f"dutyline {VERSION}",
        checksum=content_hash(found.after), foot=after, what="Comparison of two editions",
        digits="content",
    )  # fmt: skip
    told = summary(result.verdicts)
    state = ("meets",) if result.holds else ("fails",)
    answer = Answer(state if result.verdicts else (), told or headline(found),
                    headline(found) if told else "")  # fmt: skip
    sections = [_verdicts(result)] if result.verdicts else []
    sections += [_chapter(chapter) for chapter in chapters(found)]
    caution = Cautions(
        (("Kept verdicts.", "Each was judged anew with the same version on both editions, on the "
          "axis file that was kept."), NO_CERTIFICATE)
    )  # fmt: skip
    hashes = (f"Content of {titled(line)}: {content_hash(line)}." for line in
              (found.before, found.after))  # fmt: skip
    closing = tuple(Paragraph(words(text), "small") for text in hashes)
    return Document(head, answer, (), tuple(sections), (caution, *closing))


def _chapter(chapter: Chapter) -> Section:
    rows = tuple(Row((cell(row.head), cell(Run(row.detail, "soft")))) for row in chapter.rows)
    key = chapter.title.lower().replace(" ", "-")
    return Section(key, chapter.title, (Table(_CHANGES, rows),))


def _verdicts(result: Comparison) -> Section:
    rows = tuple(_row(one) for one in result.verdicts[:MOST_VERDICTS])
    left = len(result.verdicts) - len(rows)
    blocks: tuple[Table | Paragraph, ...] = (Table(_VERDICTS, rows),)
    if left > 0:
        blocks = (*blocks, Paragraph(words(f"{left} more are not listed here."), "table"))
    return Section("verdicts", "Kept verdicts", blocks)


def _row(one: Judged) -> Row:
    behind = [*one.remarks]
    behind += [f"Touched: {text}." for text in touched_texts(one.touched)]
    behind += [f"{text}." for text in moved_texts(one.moved)]
    source = "" if title_of(one) == one.kept.source else f" {one.kept.source}"
    if not one.touched and one.outcome != "not judged":
        behind.append("Untouched.")
    return Row(
        (
            cell(Mark(_MARKS[one.outcome]), strong(title_of(one)), Run(source, "soft")),
            cell(turn_text(one)),
            cell(" ".join(behind)),
        )
    )
