"""What every position is made from."""

from __future__ import annotations

from dataclasses import dataclass

from dutyline.axis.model import MAIN, Axis
from dutyline.catalogue.parts import ProductLine
from dutyline.checks.fitted import Chosen
from dutyline.checks.records import Line, Verdict
from dutyline.checks.sentence import FAR, tightest_line, used_share
from dutyline.core.wording import lower_first


@dataclass(frozen=True, slots=True)
class Work:
    """A verdict with its parts looked up."""

    verdict: Verdict
    parts: Chosen

    @property
    def axis(self) -> Axis:
        """The axis judged."""
        axis: Axis = self.verdict.axis
        return axis

    @property
    def line(self) -> ProductLine | None:
        """Where the parts come from."""
        line: ProductLine | None = self.verdict.line
        return line

    @property
    def each(self) -> int:
        """Pieces of what every motor has of its own."""
        return self.axis.motors

    def named(self) -> dict[str, str | None]:
        """Names of the parts as accessories ask for them."""
        names = self.verdict.combination
        return {
            "motors": names.motor,
            "gearheads": names.gearhead,
            "drives": names.drive,
            "brakes": names.brake,
        }

    def check(self, name: str) -> Line | None:
        """The ledger line of a check."""
        return next((ln for ln in self.verdict.ledger if ln.check == name), None)

    def tightest(self, part: str) -> str:
        """The tightest check of a kind of part: ``tightest check: peak torque, 91 % used``."""
        line = tightest_line([ln for ln in self.verdict.ledger if ln.part == part])
        if line is None or line.used is None:
            return ""
        case = f" in case {line.case}" if line.case != MAIN else ""
        share = used_share(line.used) + (" used" if line.used <= FAR else "")
        return f"tightest check: {lower_first(line.title)}, {share}{case}"

    def most(self, place: str, name: str) -> float | None:
        """The largest figure of that name over all cases."""
        cases = self.verdict.cases or (self.verdict,)
        found = [one.demand.get(place, {}).get(name) for one in cases]
        return max((value for value in found if value is not None), default=None)
