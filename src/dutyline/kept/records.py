"""A verdict that was kept, and what becomes of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from dutyline.axis.model import Axis
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.editions.records import Difference
from dutyline.editions.touch import Touched

Outcome = Literal["holds", "lost", "worse", "as before", "better", "not judged"]
"""What becomes of it: it met and meets; it met and does not; it did not meet and is further from
it, where it was, or nearer; it cannot be told."""
RANK = {"meets": 0, "short": 1, "incomplete": 2, "fails": 3}
"""Verdicts from the best to the worst."""


@dataclass(frozen=True, slots=True)
class Row:
    """A ledger line as it was recorded."""

    check: str
    part: str
    state: str
    margin: float | None


@dataclass(frozen=True, slots=True)
class Kept:
    """What a file tells of a past verdict."""

    source: str
    """File, and which of several verdicts in it."""
    folder: str
    """Folder of that file."""
    axis_file: str
    """Name of the axis file."""
    checksum: str
    """Of the axis file; empty where it is not known."""
    combination: Combination
    title: str = ""
    files: dict[str, str] = field(default_factory=dict)
    """Checksums of the files beside the axis file."""
    variant: str = ""
    settled: bool = False
    """True where the settling was simulated."""
    estimated: bool = False
    """True where data that the line lacks were estimated."""
    verdict: str = ""
    """``meets``, ``short``, ``fails`` or ``incomplete``; empty where none was recorded, as in an
    axis file that names its parts."""
    binding: str = ""
    ledger: tuple[Row, ...] = ()
    edition: str = ""
    content_hash: str = ""
    """Of the line that it was made with; empty where it is not known."""
    version: str = ""
    fault: str = ""
    """Why the file cannot be used, as a sentence; empty where it can."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A ledger line whose state or margin differs; None where one of the two has none."""

    before: Line | None
    after: Line | None

    @property
    def title(self) -> str:
        """As printed."""
        line = self.after or self.before
        return "" if line is None else line.title


@dataclass(frozen=True, slots=True)
class Judged:
    """A kept verdict on both editions."""

    kept: Kept
    outcome: Outcome
    axis: Axis | None = None
    before: Verdict | None = None
    after: Verdict | None = None
    touched: Touched = field(default_factory=Touched)
    moved: tuple[Moved, ...] = ()
    """Worst first."""
    remarks: tuple[str, ...] = ()
    """What a reader must know: why it is not judged, an axis file that changed, a verdict that the
    first line does not give."""

    @property
    def then(self) -> str:
        """The verdict as recorded, or else on the first line."""
        return self.kept.verdict or ("" if self.before is None else self.before.verdict)

    @property
    def now(self) -> str:
        """The verdict on the second line; empty where there is none."""
        return "" if self.after is None else self.after.verdict


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two editions, and what becomes of the verdicts that were kept."""

    difference: Difference
    verdicts: tuple[Judged, ...]
    """Those that no longer hold first."""
    passed: int = 0
    """Files of JSON or TOML among the kept ones that hold no verdict and no parts."""

    @property
    def holds(self) -> bool:
        """True where nothing that held ceases to hold, and every verdict could be judged."""
        return not any(v.outcome in ("lost", "worse", "not judged") for v in self.verdicts)
