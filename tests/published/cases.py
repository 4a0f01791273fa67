"""Which published value is computed by what, which is not and why, and where bands are wider."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from tests.published import (
    examples_axes,
    examples_cutting,
    examples_drives,
    examples_linkages,
    examples_parts,
    of_bodies,
    of_elements,
    of_heat,
    of_linkages,
    of_motion,
    of_screws,
    of_trains,
)
from tests.published.reading import checks, table

ADAPTERS: dict[str, Callable[[dict[str, Any]], dict[str, float]]] = {
    **of_bodies.ADAPTERS,
    **of_trains.ADAPTERS,
    **of_screws.ADAPTERS,
    **of_elements.ADAPTERS,
    **of_motion.ADAPTERS,
    **of_heat.ADAPTERS,
    **of_linkages.ADAPTERS,
}

MECHANICS = {
    **examples_axes.EXAMPLES,
    **examples_parts.EXAMPLES,
    **examples_cutting.EXAMPLES,
    **examples_linkages.EXAMPLES,
}
DRIVES = examples_drives.EXAMPLES

_WORDS = "words or definitions, nothing to compute"

NOT_COMPUTED: dict[str, str] = {
    "BSC-06": "one mass on a weightless shaft; the nut of a screw hangs no mass on it",
    "BSC-07": "masses along a shaft; a screw carries none, and no field states any on a shaft",
    "BLT-04": "V belts carry by friction in a groove; belts of positioning axes are toothed",
    "BLT-08": "a slipping belt drive has no exact ratio, so no axis is positioned with one",
    "MEC-08": "gearheads are products with a stated ratio; their teeth are not asked for",
    "MEC-09": "bodies of one motion without a drive; a shaft is needed here",
    "COP-04": "the law of COP-01 turned round, with 235 for 234.5",
    "COP-06": "the law of COP-01 with its coefficient rounded to 0.004",
    "COP-07": "the voltage drop takes hot copper over the section, 6 % less at 70 degC",
    "ELE-05": "controlled bridges do not occur on servo drives",
    "ELE-08": "direct-current machines are not treated",
    "ENV-01": "no result depends on the density of air: a fan states its torque in place",
    "ENV-03": _WORDS,
    "ENV-04": _WORDS,
    "PRO-04": "a band of friction values; friction is stated in the axis file",
    "SAF-01": _WORDS,
}

PARTS_NOT_COMPUTED: dict[tuple[str, str], str] = {
    ("KEY-01", "T_lb_in"): "torque is an input of the key",
    ("KEY-01", "L_shear_in"): "keys are judged by pressure",
    **{
        ("KEY-03", f"d_{shaft}_t2"): "the flank above the shaft bears; depth in the hub is not used"
        for shaft in ("10_12", "12_17", "17_22", "22_30", "30_38", "38_44", "44_50", "50_58")
    },
    ("MEC-01", "v_m_s"): "two terms of a series; the exact figure is compared below",
    ("MEC-01", "a_m_s2"): "two terms of a series; the exact figure is compared below",
    ("MEC-01", "theta0_deg"): "two terms of a series",
    ("MEC-03", "theta_deg"): "two terms of a series; the exact figure is compared below",
    ("MEC-03", "v_max_m_s"): "two terms of a series; the exact figure is compared below",
    ("PRO-01", "Q"): "flow of pumps is not computed",
    ("PRO-01", "H"): "head of pumps is not computed",
    ("GEO-01", "p_MPa"): "restrained growth is not judged",
    ("GEO-01", "p_gap_MPa"): "restrained growth is not judged",
    ("ELE-01", "lambda_pu"): "per-unit figure of a machine without a catalogue equivalent",
    ("ELE-03", "alpha_deg"): "controlled bridges do not occur on servo drives",
    ("ELE-03", "alpha_p10_deg"): "controlled bridges do not occur on servo drives",
    ("ELE-03", "alpha_m10_deg"): "controlled bridges do not occur on servo drives",
}

RECOMPUTED_BAND = 1e-5
"""Relative; some of the recomputed figures come from sampling."""

RECOMPUTED_WIDER: dict[tuple[str, str], tuple[float, str]] = {
    ("SCR-03", "P_hp"): (1e-5, "the figure uses 63 025 for 63 025.36"),
    ("SCR-07", "P_hp"): (2e-3, "the figure uses 63 000 for 63 025.36"),
    ("SCR-09", "P_hp"): (1e-3, "the figure uses 63 000 for 63 025.36"),
    ("COP-01", "theta_C"): (2e-3, "0.00393 at 20 degC here, 0.00428 at 0 degC there"),
    ("COP-03", "alpha20"): (2e-4, "rounded to 0.00393 here"),
    ("ELE-03", "Vd0_V"): (4e-4, "rounded to 1.35 here"),
}

EXAMPLE_WIDER: dict[tuple[str, str], tuple[float, str]] = {
    ("E04", "T_peak_step1"): (2e-5, "the figure was sampled; the exact extreme is -5.3894938"),
    ("E04", "T_peak_step2"): (3e-5, "the figure was sampled; the exact extreme is -3.8733851"),
    ("drives-7", "resistor_shared_peak_w"): (
        2e-3,
        "the figure is the mean over a step that only partly overflows; finer steps give 1161.6",
    ),
    ("drives-7", "resistor_ohm_max"): (2e-3, "as the peak power it follows from"),
}

MISTAKES: dict[tuple[str, str], tuple[str, str]] = {
    ("E01", "T_dn_const_wrong_divide"): (
        "T_dn_const",
        "dividing by the efficiency while lowering",
    ),
    ("E09", "up_const.T_motor_wrong_net_first"): (
        "up_const.T_motor",
        "netting load and counterweight before the efficiencies",
    ),
    ("E11", "guide_L_km_if_C50_misused"): (
        "guide_L_km",
        "a rating for 50 km taken as one for 100 km",
    ),
}
"""Stated results of well-known mistakes: (example, key) to (key that must differ, mistake)."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """One figure of a source beside the product's own."""

    case: str
    topic: str
    source: str
    status: str
    key: str
    printed: float | bool | str
    band: float
    found: float | bool
    remark: str = ""

    @property
    def agrees(self) -> bool:
        """True when the two differ by no more than the band."""
        if isinstance(self.printed, bool | str):
            return bool(self.found == self.printed)
        return abs(self.found - self.printed) <= self.band * (1 + 1e-9) + 1e-15


def published() -> Iterator[Comparison]:
    """Every published figure that the product computes."""
    for case in checks():
        name = case["id"]
        if name not in ADAPTERS:
            continue
        found = ADAPTERS[name](case["given"])
        for key, printed in case["expect"].items():
            if (name, key) not in PARTS_NOT_COMPUTED:
                yield _of_check(case, key, printed, case["tolerance"][key], found[key])


def recomputed() -> Iterator[Comparison]:
    """The same figures with more digits, from the separate calculation in the file."""
    for case in checks():
        name, more = case["id"], case.get("recomputed", {})
        if name not in ADAPTERS:
            continue
        found = ADAPTERS[name](case["given"])
        for key in (k for k in more if k in found):
            wider = RECOMPUTED_WIDER.get((name, key))
            band = (wider[0] if wider else RECOMPUTED_BAND) * abs(more[key])
            remark = wider[1] if wider else ""
            yield _of_check(case, key, more[key], band, found[key], remark)


def examples() -> Iterator[Comparison]:
    """Every figure of the worked examples that the product computes."""
    data = table("mechanics-examples")
    for case in [*data["example"], *data["spot"]]:
        name = case["id"]
        if name not in MECHANICS:
            continue
        found = MECHANICS[name](dict(case["inputs"]))
        for key, stated in case["expected"].items():
            if (name, key) in MISTAKES:
                continue
            band = max(stated.get("abs_tol", 0.0), stated["rel_tol"] * abs(stated["value"]))
            yield _of_example(name, case["title"], key, stated["value"], band, found[key])
    for case in table("drives-examples")["example"]:
        number, name = case["number"], f"drives-{case['number']}"
        if number not in DRIVES:
            continue
        found = DRIVES[number](case["input"])
        title = case["id"].replace("-", " ")
        for key, stated in case["expected"].items():
            whole = isinstance(stated, int | str)
            band = 0.0 if whole else case["rel_tol"] * abs(stated) + case["abs_tol"]
            yield _of_example(name, title, key, stated, band, found[key])


def mistakes() -> Iterator[tuple[str, str, float, float]]:
    """Stated results of mistakes: what is wrong, the key, the wrong figure, the product's own."""
    data = table("mechanics-examples")
    for case in data["example"]:
        for (name, key), (own, what) in MISTAKES.items():
            if name == case["id"]:
                found = MECHANICS[name](dict(case["inputs"]))
                yield what, f"{name} {own}", case["expected"][key]["value"], found[own]


def all_names() -> set[str]:
    """Ids of every check and example in the files."""
    data = table("mechanics-examples")
    return {
        *(case["id"] for case in checks()),
        *(case["id"] for case in [*data["example"], *data["spot"]]),
        *(f"drives-{case['number']}" for case in table("drives-examples")["example"]),
    }


def computed_names() -> set[str]:
    """Ids that an adapter covers."""
    return {*ADAPTERS, *MECHANICS, *(f"drives-{number}" for number in DRIVES)}


def _of_check(
    case: dict[str, Any], key: str, printed: float, band: float, found: float, remark: str = ""
) -> Comparison:
    return Comparison(
        case["id"], case["topic"], case["source"], case["status"], key, printed, band, found, remark
    )


def _of_example(
    name: str, title: str, key: str, stated: Any, band: float, found: Any
) -> Comparison:
    wider = EXAMPLE_WIDER.get((name, key))
    remark = ""
    if wider is not None:
        band, remark = wider[0] * abs(stated), wider[1]
    source = "worked example with invented data, computed separately"
    assert isinstance(stated, bool | str) or math.isfinite(stated)
    return Comparison(name, title, source, "computed", key, stated, band, found, remark)
