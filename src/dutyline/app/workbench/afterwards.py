"""What follows the page of an axis: shortlist, variants, and what would help."""

from __future__ import annotations

from dataclasses import replace

from dutyline.app.advise import advise
from dutyline.app.workbench.judged import Judged, Sheet, sheet_of
from dutyline.app.workbench.picture import picture
from dutyline.app.workbench.records import Picture, ShortlistView, VariantsView
from dutyline.app.workbench.results import Results
from dutyline.app.workbench.shortlist import looked_at, shortlist
from dutyline.app.workbench.variants import judged_variants, variants
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import InputError
from dutyline.core.recent import Recent
from dutyline.selection.search import select
from dutyline.store.records import Content, Store


class Afterwards:
    """What was found for the axes used last.

    Parameters
    ----------
    store : Store
    line : ProductLine
    results : Results
        What each axis came to.
    """

    def __init__(self, store: Store, line: ProductLine, results: Results) -> None:
        self._store, self._line, self._results = store, line, results
        self._advice: Recent[tuple[Judged, Judged]] = Recent()
        self._lists: Recent[tuple[Sheet, ShortlistView]] = Recent()
        self._beside: Recent[tuple[Content, VariantsView]] = Recent()

    def found(self, key: str, judged: Judged) -> None:
        """The shortlist of a document was made together with its result."""
        assert judged.shortlist is not None
        with judged.axis.reader.served():
            listed = shortlist(judged.shortlist, judged.verdict.combination)
        self._lists.put(key, (judged.sheet, listed))

    def shortlist(self, key: str) -> ShortlistView | None:
        """Candidates for the axis as it stands; None while it cannot be used."""
        judged, faults = self._results.judged(key, self._store.get(key).head.content)
        if judged is None or faults:
            return None
        any_parts, here = replace(judged.sheet, combination=None), judged.verdict.combination
        held = self._lists.get(key)
        if held is not None and held[0] == any_parts:
            return looked_at(held[1], here)
        try:
            with judged.axis.reader.served():
                found = shortlist(select(judged.axis, self._line), here)
        except InputError:
            return None
        self._lists.put(key, (any_parts, found))
        return found

    def variants(self, key: str) -> VariantsView:
        """The file and its variants as they stand, with what differs.

        Raises
        ------
        MissingError
            There is no such document.
        """
        content = self._store.get(key).head.content
        good = self._results.good(key)
        here = good if good is not None and good.sheet == sheet_of(content) else None
        held = self._beside.get(key)
        if held is None or held[0] != content:
            held = content, variants(content, judged_variants(content, here, self._line))
            self._beside.put(key, held)
        return held[1]

    def advised(self, key: str) -> Picture | None:
        """The page with what would make failing lines pass; None where nothing is to be told."""
        judged = self._results.good(key)
        if judged is None or judged.verdict.verdict == "meets":
            return None
        held = self._advice.get(key)
        if held is None or held[0] is not judged:
            held = judged, replace(judged, verdict=advise(judged.verdict))
            self._advice.put(key, held)
        return picture(held[1])
