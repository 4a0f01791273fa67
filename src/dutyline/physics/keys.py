"""Parallel keys: standard sections and the part of the flank that bears."""

from __future__ import annotations

SECTIONS: tuple[tuple[float, float, float, float, float], ...] = (
    # shaft over, shaft up to, width, height, depth in the shaft [mm]
    (10.0, 12.0, 4.0, 4.0, 2.5),
    (12.0, 17.0, 5.0, 5.0, 3.0),
    (17.0, 22.0, 6.0, 6.0, 3.5),
    (22.0, 30.0, 8.0, 7.0, 4.0),
    (30.0, 38.0, 10.0, 8.0, 5.0),
    (38.0, 44.0, 12.0, 8.0, 5.0),
    (44.0, 50.0, 14.0, 9.0, 5.5),
    (50.0, 58.0, 16.0, 10.0, 6.0),
)
"""DIN 6885-1, ISO 773."""
CLOSE = 1e-6
"""[m] by which a stated section may miss the standard one."""


def key_section(shaft: float) -> tuple[float, float, float] | None:
    """Width, height and depth in the shaft of the standard key of a shaft [m].

    Parameters
    ----------
    shaft : float [m]
        Diameter.

    Returns
    -------
    tuple of float, or None
        None beyond the table, which ends at shafts of 58 mm.

    Source
    ------
    DIN 6885-1, ISO 773.

    Examples
    --------
    >>> key_section(0.025)
    (0.008, 0.007, 0.004)
    """
    for low, high, width, height, depth in SECTIONS:
        if low < shaft * 1e3 <= high:
            return width / 1e3, height / 1e3, depth / 1e3
    return None


def bearing_height(width: float, height: float) -> float | None:
    """Height of the flank of a key above its shaft [m], the smaller part of it.

    Parameters
    ----------
    width, height : float [m]
        Of the key.

    Returns
    -------
    float or None
        None for a section that is not in the table.

    Source
    ------
    DIN 6885-1, ISO 773: height less depth in the shaft.

    Examples
    --------
    >>> round(bearing_height(0.008, 0.007) or 0.0, 6)
    0.003
    """
    for _, _, b, h, depth in SECTIONS:
        if abs(b / 1e3 - width) < CLOSE and abs(h / 1e3 - height) < CLOSE:
            return (h - depth) / 1e3
    return None
