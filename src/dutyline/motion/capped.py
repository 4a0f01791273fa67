"""The move of least copper loss whose speed may not exceed a limit."""

from __future__ import annotations

from dutyline.motion.pieces import Piece


def capped_flank(stroke: float, time: float, speed: float) -> float | None:
    """Length of either flank of the move of least mean square acceleration below a speed.

    Parameters
    ----------
    stroke : float [m or rad]
        More than zero.
    time : float [s]
        More than zero.
    speed : float [m/s or rad/s]
        Largest speed allowed.

    Returns
    -------
    float or None [s]
        None where the limit does not bind, or is too low for the stroke.

    Notes
    -----
    Without a limit the speed is a parabola, the law ``cubic``. With one, speed follows half a
    parabola up to the limit and stays there: flanks of ``1.5 (T - h/v)``.

    Source
    ------
    Calculus of variations, least integral of the squared acceleration (derived).

    Examples
    --------
    >>> round(capped_flank(1.0, 1.0, 1.3), 6)
    0.346154
    >>> capped_flank(1.0, 1.0, 1.5) is None
    True
    """
    if not stroke / time < speed < 1.5 * stroke / time:
        return None
    return 1.5 * (time - stroke / speed)


def capped_pieces(distance: float, time: float, speed: float) -> tuple[Piece, ...]:
    """Flank, even speed, flank; the speed is a limit that binds (see :func:`capped_flank`)."""
    flank = capped_flank(abs(distance), time, speed)
    assert flank is not None
    v = speed if distance > 0 else -speed
    way = 2 * v * flank / 3
    return (
        Piece(0.0, flank, (0.0, 0.0, v / flank, -v / (3 * flank**2))),
        Piece(flank, time - 2 * flank, (way, v)),
        Piece(time - flank, flank, (distance - way, v, 0.0, -v / (3 * flank**2))),
    )
