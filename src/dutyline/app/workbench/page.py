"""One axis as it stands, for whoever shows it."""

from __future__ import annotations

from dataclasses import dataclass, field

from dutyline.app.workbench.records import Picture
from dutyline.core.errors import Fault
from dutyline.store.records import Document


@dataclass(frozen=True, slots=True)
class Page:
    """One axis as it stands, with the last result that could be computed."""

    document: Document
    picture: Picture | None
    """None while the axis has never been usable."""
    faults: tuple[Fault, ...] = ()
    """Why the axis as it stands cannot be computed; the picture is then an older one."""
    effect: str = ""
    ghosts: dict[str, float] = field(default_factory=dict)
    typing: bool = False
    """True when an unfinished entry could not be read and was not kept."""
