"""Changes that are a choice and no number: what holds at rest, other mains, other parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dutyline.checks.records import Combination
from dutyline.core.numbers import stated_quantity
from dutyline.core.wording import phase_name
from dutyline.remedies.levers import plain
from dutyline.remedies.probe import Goal, Key, Probe, Reading


@dataclass(frozen=True, slots=True)
class Option:
    """One choice other than the present one, judged."""

    field: str
    family: str
    before: str
    after: str
    size: float
    """How far it is from the present one; within a family nearer ones come first."""
    subject: str
    """As the subject of a sentence."""
    reading: Reading | None
    combination: Combination | None = None
    """Where it is another part."""


def nearest(
    options: Sequence[Option], whole: Goal, alone: dict[Key, Goal]
) -> Iterator[tuple[Key, Option, Goal]]:
    """For each line and family the nearest option that settles everything, else that line."""
    for family in dict.fromkeys(option.family for option in options):
        mine = [option for option in options if option.family == family]
        for key, goal in alone.items():
            for wanted in (whole, goal):
                best = next((o for o in mine if wanted.met(o.reading)), None)
                if best is not None:
                    yield key, best, wanted
                    break


def worded(probe: Probe) -> list[Option]:
    """Choices of the axis file, judged."""
    return [*_held(probe), *_fed(probe)]


def _held(probe: Probe) -> Iterator[Option]:
    """The brake closed in a dwell, and in all of them; only where there is a brake and a weight."""
    if probe.combination.brake is None or not probe.demand.gravity_acts:
        return
    resting = []
    for number, table in enumerate(probe.axis.stated.get("phase", []), 1):
        if table.get("do") == "dwell" and table.get("hold", "ideal") in (
            "ideal",
            "worst",
            "credit",
        ):
            resting.append((str(table.get("name", number)), str(table.get("hold", "ideal"))))
    groups = [[one] for one in resting] + ([resting] if len(resting) > 1 else [])
    for group in groups:
        paths = [f"phase.{name}.hold" for name, _ in group]
        reading = probe.at(dict.fromkeys(paths, "brake"))
        said = " and ".join(phase_name(name) for name, _ in group)
        yield Option(
            ", ".join(paths), "hold", ", ".join(hold for _, hold in group),
            ", ".join("brake" for _ in group), 0.1 * len(group),
            f"Closing the brake in {said}", reading,
        )  # fmt: skip


def _fed(probe: Probe) -> Iterator[Option]:
    """Mains for which the line tells curves of this motor."""
    site = probe.axis.site
    if site is None:
        return
    own = {(c.mains, c.phases) for c in probe.line.curves if c.motor == probe.combination.motor}
    for mains, phases in sorted(own - {(site.mains, site.phases)}):
        reading = probe.at({"site.mains": f"{mains!r} V", "site.phases": phases})
        size = abs(mains / site.mains - 1.0) + (0.0 if phases == site.phases else 0.5)
        now, new = (_mains(v, p) for v, p in ((site.mains, site.phases), (mains, phases)))
        yield Option(
            "site.mains, site.phases", "mains",
            f"{plain(stated_quantity(site.mains, 'V'))}, {site.phases}",
            f"{plain(stated_quantity(mains, 'V'))}, {phases}", size,
            f"Mains of {new} instead of {now}", reading,
        )  # fmt: skip


def _mains(volts: float, phases: int | str) -> str:
    words = {1: "single-phase", 3: "three-phase", "dc": "dc"}
    return f"{stated_quantity(volts, 'V')}, {words.get(phases, phases)},"
