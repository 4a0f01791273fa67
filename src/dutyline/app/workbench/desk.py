"""Axes under work: every edit is judged, kept and shown; the last good result stays."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from dutyline.app.inputs import example_file
from dutyline.app.keeping import origin_of
from dutyline.app.workbench.afterwards import Afterwards
from dutyline.app.workbench.ahead import Ahead
from dutyline.app.workbench.asked import Change
from dutyline.app.workbench.behind import Behind
from dutyline.app.workbench.changes import applied
from dutyline.app.workbench.compared import MOST_COMPARED, side_by_side
from dutyline.app.workbench.drafted import axis_text
from dutyline.app.workbench.effect import effect, ghosts
from dutyline.app.workbench.exports import BusyError, Edition, Job, Jobs
from dutyline.app.workbench.judged import Judged, Sheet, combination_of, judge, sheet_of
from dutyline.app.workbench.page import Page
from dutyline.app.workbench.past import PastView, past
from dutyline.app.workbench.picture import picture, wrong_in
from dutyline.app.workbench.records import (
    CompareView,
    Picture,
    RowView,
    ShortlistView,
    VariantsView,
)
from dutyline.app.workbench.results import Results
from dutyline.app.workbench.shortlist import names_of
from dutyline.app.workbench.since import typed_since
from dutyline.app.workbench.variants import whole
from dutyline.axis import edit_phases
from dutyline.axis.edit import set_value
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import Fault
from dutyline.core.recent import Recent
from dutyline.store.records import (
    ConflictError,
    Content,
    Document,
    KeepingError,
    MissingError,
    Revision,
    Store,
)

__all__ = ["BusyError", "ConflictError", "Desk", "KeepingError", "MissingError"]

T = TypeVar("T")


class Desk:
    """The axes of one server.

    Parameters
    ----------
    store : Store
        Where they are kept.
    line : ProductLine
        Where parts come from.
    """

    def __init__(self, store: Store, line: ProductLine) -> None:
        self.store = store
        self.line = line
        self.jobs = Jobs()
        self.behind = Behind()
        self._results = Results(store, line)
        self._ahead = Ahead(self._results, self.behind, line)
        self._after = Afterwards(store, line, self._results)
        self._saved: Recent[Document] = Recent()

    def open_example(self, name: str = "lift") -> Document:
        """A solved example: the kept one while nobody has changed it, else a new document."""
        text = example_file(name).read_text(encoding="utf-8")
        origin = origin_of("example", name)
        found = self.store.find(origin, text)
        if found is not None and self._untouched(found[0]):
            return found[0]
        return self.open_text(f"{name}.toml", text, origin=origin)

    def is_example(self, document: Document) -> bool:
        """True for a solved example as it ships."""
        name = document.head.content.file.removesuffix(".toml")
        return document.head.number == 1 and document.origin == origin_of("example", name)

    def kept(self, path: Path) -> tuple[Document, Revision] | None:
        """The document once made from a file, and which of its revisions the file is.

        Raises
        ------
        InputError
            The file cannot be read or is no axis.
        """
        return self.store.find(origin_of("file", str(path.resolve())), _text_of(path))

    def open_file(self, path: Path) -> Document:
        """The kept document of a file; a new one where the file holds none of its revisions.

        Raises
        ------
        InputError
            The file cannot be read or is no axis.
        """
        found = self.kept(path)
        if found is not None:
            return found[0]
        origin = origin_of("file", str(path.resolve()))
        return self.open_text(path.name, _text_of(path), origin=origin)

    def open_text(self, file: str, text: str, who: str = "", origin: str = "") -> Document:
        """A new document with a text, the best parts chosen.

        Raises
        ------
        InputError
            The text is no axis that could be judged.
        """
        judged = judge(Sheet(text, file), self.line, search=True)
        here = judged.verdict.combination
        content = Content(file, text, names_of(here))
        document = self.store.create(judged.axis.title, content, who, origin)
        self._after.found(document.id, judged)
        self._results.put(document.id, replace(judged, sheet=sheet_of(content), shortlist=None))
        return document

    def documents(self) -> tuple[Document, ...]:
        """Every kept axis, the one changed last first."""
        return self.store.documents()

    def open_answers(self, answers: Sequence[str], who: str = "", words: str = "") -> Document:
        """A new document from five answers: mechanism, load, way, rate and mains.

        ``words`` are the customer's; they stay in the file as ``axis.enquiry``.

        Raises
        ------
        InputError
            An answer cannot be understood; it is named with what was said of it.
        """
        text = set_value(axis_text(answers), "axis.enquiry", words.replace("\r\n", "\n"))
        return self.open_text("axis.toml", text, who)

    def compare(self, key: str, several: Sequence[Mapping[str, str | None]]) -> CompareView:
        """Up to three combinations side by side, differences only.

        Raises
        ------
        InputError
            A part is not in the line, or the axis as it stands cannot be used.
        MissingError
            There is no such document.
        """
        sheet = sheet_of(self.store.get(key).head.content)
        named = [combination_of(names) for names in several[:MOST_COMPARED]]
        found = [judge(replace(sheet, combination=names), self.line) for names in named]
        return side_by_side(found)

    def page(self, key: str) -> Page:
        """A document as it stands.

        Raises
        ------
        MissingError
            There is no such document.
        """
        document = self.store.get(key)
        return self._page(document, *self._results.judged(document.id, document.head.content))

    def edit(
        self,
        key: str,
        base: int,
        change: Change,
        *,
        who: str = "",
        typing: bool = False,
        instead: bool = False,
        mark: str = "",
    ) -> Page:
        """A change made to the revision ``base``, judged and kept.

        Parameters
        ----------
        key : str
        base : int
            Revision on which the change was made.
        change : mapping
            See :func:`dutyline.app.workbench.changes.applied`.
        who : str
        typing : bool
            The entry may be unfinished: where it cannot be used nothing is kept.
        instead : bool
            One undo step together with the change before.
        mark : str
            Made by the sender: the same change sent again is answered, not made twice.

        Raises
        ------
        ConflictError
            Somebody else changed the document since.
        InputError
            The change is not understood.
        MissingError
            There is no such document.
        """
        with self.behind.edit(key):
            document = self._document(key, base)
            again = mark and document.head.number != base and self.store.marked(key) == mark
            if again:
                return self.page(key)
            head = document.head.content
            guess = self._ahead.take(key, head, change)
            content, what = (
                applied(head, whole(change, self._results.good(key)))
                if guess is None
                else (guess.after, guess.what)
            )
            if content == head:
                return self.page(key)
            before = self._results.before(key, instead)
            if guess is not None:
                self._ahead.end(guess)
            judged, faults = self._results.judged(key, content)
            if faults and typing:
                return self._page(document, judged, faults, typing=True)
            if judged is not None and not faults and not content.parts.get("motor"):
                content = replace(content, parts=names_of(judged.verdict.combination))
                judged = replace(judged, sheet=sheet_of(content))
                self._results.put(key, judged)
            title = judged.axis.title if judged is not None and not faults else document.title
            try:
                document = self.store.save(
                    key, base, content, title, what, who, instead=instead, mark=mark
                )
            except ConflictError as error:
                error.mine = content.text
                raise
            self._saved.put(key, document)
            self._results.stepped(key, before, what)
            return self._page(document, judged, faults)

    def ahead(
        self,
        key: str,
        base: int,
        change: Change,
        *,
        instead: bool = False,
        show: Callable[[Page], object] = id,
    ) -> None:
        """A change that is likely to be asked for soon: work it out where nobody waits for more.

        Parameters
        ----------
        key, base, change, instead
            As of :meth:`edit`.
        show : callable
            What is done with the page that would come of it.

        Raises
        ------
        InputError
            The change is not understood.
        MissingError
            There is no such document.
        """
        document = self._document(key, base)
        if document.head.number == base and not self.behind.edited:
            self._ahead.begin(document, change, instead, show)

    def move(self, key: str, base: int, to: int, *, who: str = "", mark: str = "") -> Page:
        """Undo, redo or restore: another revision becomes the head."""
        with self.behind.edit(key):
            self._saved.take(key)
            try:
                document = self.store.move(key, base, to, who, mark=mark)
            except ConflictError as error:
                texts = (r.content.text for r in self.store.revisions(key) if r.number == to)
                error.mine = next(texts, error.mine)
                raise
            return self.page(document.id)

    def stands(self, page: Page) -> bool:
        """Whether no further edit has come to this server since."""
        saved = self._saved.get(page.document.id)
        return saved is None or saved.head.number <= page.document.head.number

    def later(self, page: Page, make: Callable[[str], T | None]) -> Future[T | None]:
        """What follows a page when no edit is under way; of None where the axis was edited since.

        Parameters
        ----------
        page : Page
        make : callable
            :meth:`variants`, :meth:`shortlist` or :meth:`advised`.
        """
        key, number = page.document.id, page.document.head.number

        def made() -> T | None:
            return make(key) if self.store.get(key).head.number == number else None

        return self.behind.ask(key, (number, make.__name__), made)

    def shortlist(self, key: str) -> ShortlistView | None:
        """Candidates for the axis as it stands; None while it cannot be used."""
        return self._after.shortlist(key)

    def variants(self, key: str) -> VariantsView:
        """The file and its variants as they stand, with what differs.

        Raises
        ------
        MissingError
            There is no such document.
        """
        return self._after.variants(key)

    def advised(self, key: str) -> Picture | None:
        """The page with what would make failing lines pass; None where nothing is to be told."""
        return self._after.advised(key)

    def export(self, key: str, what: str) -> Job:
        """A file to hand over, on its way; see :mod:`dutyline.app.workbench.exports`.

        Raises
        ------
        InputError
            There is no such file.
        MissingError
            There is no such document.
        BusyError
            As many files as allowed are being made.
        """
        head = self.store.get(key).head
        edition = Edition(str(head.number), head.when.date())
        return self.jobs.begin(sheet_of(head.content), self.line, what, edition)

    def row(self, key: str, name: str) -> RowView:
        """One line of the ledger with what would make it pass.

        Raises
        ------
        MissingError
            There is no such document, or no such line in its ledger.
        """
        shown = self.advised(key) or self.page(key).picture
        lines = () if shown is None else (r for g in shown.groups for r in g.rows)
        found = next((r for r in lines if r.key == name), None)
        if found is None:
            raise MissingError("There is no such line.")
        return found

    def past(self, key: str) -> tuple[PastView, ...]:
        """Who changed what and when, the newest first."""
        return past(self.store, key)

    def _document(self, key: str, base: int) -> Document:
        """A document before an edit of its revision ``base``.

        Where this server saved that revision last it is not read again: saving finds out whether
        somebody else has changed it since.
        """
        saved = self._saved.get(key)
        return saved if saved is not None and saved.head.number == base else self.store.get(key)

    def _untouched(self, document: Document) -> bool:
        """True where nobody has changed it yet, and its parts are of this line."""
        head = document.head
        fresh = head.number == 1 and document.changed == head.when
        return fresh and not self._results.judged(document.id, head.content)[1]

    def _page(
        self,
        document: Document,
        judged: Judged | None,
        faults: tuple[Fault, ...],
        *,
        typing: bool = False,
    ) -> Page:
        before, what = self._results.last(document)
        said, moved = what, {}
        if judged is not None and not faults and before is not judged:
            old = None if before is None else before.verdict
            with judged.axis.reader.served():
                said, moved = effect(old, judged.verdict, what), ghosts(old, judged.verdict)
        wrong = {} if typing else wrong_in(document.head.content, faults)
        if wrong and judged is not None:
            wrong = {**typed_since(document.head.content, judged.sheet.text), **wrong}
        rows = None
        if faults and not typing:
            rows = edit_phases.stated(document.head.content.text, document.head.content.variant)
        shown = None
        if judged is not None:
            ready = None if wrong or rows else self._ahead.picture(document.id, judged, moved)
            shown = ready or picture(judged, wrong, moved, rows or None)
        return Page(document, shown, faults, said, moved, typing)


def _text_of(path: Path) -> str:
    """The text of an axis file."""
    from dutyline.axis.read import read_axis

    read_axis(path)
    return path.read_text(encoding="utf-8-sig")
