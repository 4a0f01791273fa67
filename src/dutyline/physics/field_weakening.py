"""Torque beyond the corner speed with a current that weakens the field."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dutyline.physics.ranges import Array, numbers


def weakened_current(
    speed: ArrayLike,
    voltage: float,
    resistance: float,
    inductance: float,
    flux: float,
    pole_pairs: float,
    current_peak: float,
) -> tuple[Array, Array]:
    """Currents of most torque with field weakening, round rotor: ``(i_d, i_q)``, peak [A].

    nan where no current keeps the voltage: the speed cannot be reached.

    Parameters
    ----------
    speed : array_like [rad/s]
    voltage, resistance, inductance, flux, pole_pairs
        As in :func:`dutyline.physics.torque_speed.voltage_limited_current`.
    current_peak : float [A rms]

    Source
    ------
    Voltage and current limits are two discs in the plane of the currents; the highest point of
    their overlap is the top of one of them or where their edges cross. Derived here from the
    textbook equations.

    Examples
    --------
    >>> w = 6500 * np.pi / 30
    >>> i_d, i_q = weakened_current(w, 170.30385, 2.4, 0.0068, 0.042103626, 5, 5.6)
    >>> float((1.5 * 5 * 0.042103626 * i_q).round(4))
    2.0542
    """
    w = np.abs(numbers(speed)) * pole_pairs
    limit = np.sqrt(2.0) * current_peak
    square = resistance**2 + (w * inductance) ** 2
    centre = (-(w**2) * inductance * flux - 1j * w * flux * resistance) / square
    radius = voltage / np.sqrt(square)
    far = np.abs(centre)
    with np.errstate(divide="ignore", invalid="ignore"):
        along = (limit**2 - radius**2 + far**2) / (2.0 * far)
        across = np.sqrt(np.maximum(limit**2 - along**2, 0.0))
        toward = centre / far
    meet = np.stack([(along + 1j * s * across) * toward for s in (-1.0, 1.0)])
    crossing = np.abs(along) <= limit
    tops = np.stack([np.full_like(centre, 1j * limit), centre + 1j * radius])
    found = np.concatenate([tops, np.where(crossing, meet, np.nan)])
    slack = 1e-9 * (limit + radius)
    fits = (np.abs(found) <= limit + slack) & (np.abs(found - centre) <= radius + slack)
    height = np.where(fits, found.imag, -np.inf)
    best = np.take_along_axis(found, height.argmax(axis=0)[None], axis=0)[0]
    reached = np.isfinite(height.max(axis=0))
    return numbers(np.where(reached, best.real, np.nan)), numbers(
        np.where(reached, best.imag, np.nan)
    )
