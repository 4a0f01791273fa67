"""What each axis came to: as it stands, the last time it could be computed, and a step before."""

from __future__ import annotations

from dutyline.app.workbench.earlier import last_good
from dutyline.app.workbench.judged import Judged, judge, sheet_of
from dutyline.catalogue.parts import ProductLine
from dutyline.core.errors import Fault, InputError
from dutyline.core.recent import Recent
from dutyline.store.records import Content, Document, Store


class Results:
    """Results of the axes used last.

    Parameters
    ----------
    store : Store
        Where an axis without a result is looked up.
    line : ProductLine
    """

    def __init__(self, store: Store, line: ProductLine) -> None:
        self._store, self._line = store, line
        self._good: Recent[Judged] = Recent()
        self._step: Recent[tuple[Judged | None, str]] = Recent()

    def good(self, key: str) -> Judged | None:
        """The newest result of an axis, without looking further."""
        return self._good.get(key)

    def put(self, key: str, judged: Judged) -> None:
        """Keep a result as the newest."""
        self._good.put(key, judged)

    def judged(self, key: str, content: Content) -> tuple[Judged | None, tuple[Fault, ...]]:
        """The result of a content, or the last good one and what stands against this one."""
        sheet = sheet_of(content)
        held = self.good(key)
        if held is not None and held.sheet == sheet:
            return held, ()
        try:
            judged = judge(sheet, self._line)
        except InputError as error:
            if held is None and (held := last_good(self._store, key, self._line)) is not None:
                self.put(key, held)
            return held, error.faults
        self.put(key, judged)
        return judged, ()

    def before(self, key: str, instead: bool) -> Judged | None:
        """The result before the step that an edit begins, or goes on with (``instead``)."""
        step = self._step.get(key) if instead else None
        return self.good(key) if step is None else step[0]

    def stepped(self, key: str, before: Judged | None, what: str) -> None:
        """A step was made from a result, told in words."""
        self._step.put(key, (before, what))

    def last(self, document: Document) -> tuple[Judged | None, str]:
        """The result before the last step, and the step in words; nothing after undo."""
        before, what = self._step.get(document.id) or (None, "")
        return (before, what) if what == document.head.what else (None, "")
