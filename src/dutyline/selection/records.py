"""What a search over a product line found."""

from __future__ import annotations

from dataclasses import dataclass

from dutyline.axis.model import Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.records import Combination, Line, Verdict
from dutyline.checks.supply import mains_words, supply_range


@dataclass(frozen=True, slots=True)
class Rejection:
    """A motor and gearhead with which no combination works, and why."""

    combination: Combination
    """The one that comes nearest."""
    check: str
    """Id of the check that fails worst."""
    text: str
    """One plain sentence."""
    near_miss: str
    """What comes close or would do, as a sentence; empty where nothing is near."""
    failing: tuple[Line, ...] = ()
    """Lines that fail, worst first."""
    pairs: int = 1
    """Pairs of motor and gearhead meant: all of a motor that does not suit the mains."""

    @property
    def worst_share(self) -> float:
        """Used share of the worst line; infinite for a yes-no check."""
        shares = [line.used for line in self.failing if line.used is not None]
        return max(shares, default=float("inf"))


@dataclass(frozen=True, slots=True)
class Shortlist:
    """Candidates best first, and the pairs that were rejected, nearest first."""

    axis: Axis
    line: ProductLine
    tried: int
    """Combinations judged."""
    pairs: int
    """Distinct pairs of motor and gearhead among them."""
    candidates: tuple[Verdict, ...]
    rejected: tuple[Rejection, ...]
    objective: str
    order: str
    """How the candidates are ordered, as a sentence."""

    @property
    def kept(self) -> int:
        """Pairs with a candidate."""
        return len({(v.combination.motor, v.combination.gearhead) for v in self.candidates})

    @property
    def turned_down(self) -> int:
        """Pairs that a rejection explains."""
        return sum(rejection.pairs for rejection in self.rejected)

    @property
    def unjudged(self) -> int:
        """Pairs that could not be judged: they ride along, and their mass is not given."""
        return self.pairs - self.kept - self.turned_down

    @property
    def none_works(self) -> str:
        """That nothing carries the axis, as a sentence; empty where something does."""
        if self.candidates:
            return ""
        tried = f"None of {self.pairs} pairs of motor and gearhead carries the axis."
        return f"{tried} {self.off_the_mains}".rstrip()

    @property
    def off_the_mains(self) -> str:
        """Which mains the drives take, where no pair suits those stated; else empty."""
        site = self.axis.site
        failing = {rejection.check for rejection in self.rejected}
        if site is None or self.candidates or failing != {"supply-match"}:
            return ""
        takes = dict.fromkeys(supply_range(drive) for drive in self.line.drives)
        said = "; ".join(words for words in takes if words)
        drives = f" Its drives take {said}." if said else ""
        return f"Nothing in the product line runs on {mains_words(site)}.{drives}"
