"""Rules of one gearhead and of the gearheads of one frame."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from dutyline.audit.look import Look, beside
from dutyline.audit.records import Tested

LEAST_OF_FRAME = 3
"""Gearheads of one style and frame below which they are not compared."""
OF_FRAME = (
    "backlash", "stiffness", "inertia_in", "mass", "no_load_torque", "torque_rated",
    "torque_acceleration", "torque_emergency", "speed_in_mean", "speed_in_max",
)  # fmt: skip
OF_BEARING = ("radial", "axial", "tilting", "bearing_offset", "shaft_in_max")


def gear_torque_ladder(look: Look) -> Iterator[Tested]:
    """``T_2B / T_2N`` and ``T_2E / T_2B``"""
    yield _share(look, "torque_acceleration", "torque_rated", "acceleration")
    yield _share(look, "torque_emergency", "torque_acceleration", "emergency")


def gear_speed_times_ratio(look: Look) -> Iterator[Tested]:
    """``n_2N i / n_1N``"""
    out, ratio, mean = (
        look.column("gearheads", name) for name in ("speed_rated_out", "ratio", "speed_in_mean")
    )
    yield Tested(
        out * ratio / mean,
        (look.side("gearheads", "speed_rated_out", 1), look.side("gearheads", "ratio", 1),
         look.side("gearheads", "speed_in_mean", -1)),
        nominal=1.0,
    )  # fmt: skip


def gear_speed_order(look: Look) -> Iterator[Tested]:
    """``n_1B / n_1N``"""
    yield _share(look, "speed_in_max", "speed_in_mean", "ratio")


def gear_efficiency_band(look: Look) -> Iterator[Tested]:
    """Efficiency of one stage, and of more."""
    efficiency, stages = look.column("gearheads", "efficiency"), look.column("gearheads", "stages")
    for band, rows in (("one_stage", stages == 1), ("more_stages", stages > 1)):
        at = np.nonzero(rows)[0]
        yield Tested(
            efficiency[at],
            (look.side("gearheads", "efficiency", 1, at),
             look.side("gearheads", "stages", rows=at)),
            band,
        )  # fmt: skip


def gear_tilting_moment_lever(look: Look) -> Iterator[Tested]:
    """``M_k / F_r`` over the side of the frame."""
    tilting, radial = look.column("gearheads", "tilting"), look.column("gearheads", "radial")
    with np.errstate(divide="ignore", invalid="ignore"):
        lever = tilting / radial / look.column("gearheads", "frame")
    yield Tested(
        np.where(np.isfinite(lever), lever, np.nan),
        (look.side("gearheads", "tilting", 1), look.side("gearheads", "radial", -1),
         look.side("gearheads", "frame", -1)),
    )  # fmt: skip


def gear_frame_consistency(look: Look) -> Iterator[Tested]:
    """A value over the median of the others of its style and frame."""
    yield from _of_frame(look, OF_FRAME)


def gear_frame_shares_bearing(look: Look) -> Iterator[Tested]:
    """Loads of the output bearing over the median of the others of its style and frame."""
    yield from _of_frame(look, OF_BEARING)


def _of_frame(look: Look, fields: tuple[str, ...]) -> Iterator[Tested]:
    groups = [rows for rows in look.frames if rows.size >= LEAST_OF_FRAME]
    if not groups:
        return
    rows = np.concatenate(groups)
    for name in fields:
        column = look.column("gearheads", name)
        usual = np.concatenate([beside(column[group]) for group in groups])
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.where(usual > 0, column[rows] / usual, np.nan)
        yield Tested(
            share,
            (look.side("gearheads", name, 1, rows), look.side("gearheads", "frame", rows=rows)),
            nominal=1.0,
        )


def _share(look: Look, top: str, bottom: str, band: str) -> Tested:
    return Tested(
        look.column("gearheads", top) / look.column("gearheads", bottom),
        (look.side("gearheads", top, 1), look.side("gearheads", bottom, -1)),
        band,
    )
