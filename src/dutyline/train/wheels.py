"""Pitch diameters of pulleys and sprockets."""

from __future__ import annotations

from math import pi, sin

from dutyline.train.stated import Stated


def wheel_diameter(teeth: float, pitch: float, element: str) -> float:
    """Pitch diameter of a pulley or sprocket.

    Parameters
    ----------
    teeth : float
        More than 1 for a chain.
    pitch : float [m]
    element : str
        ``belt`` or ``chain``.

    Returns
    -------
    float [m]

    Notes
    -----
    ``z p / pi`` for a belt, which bends round; ``p / sin(pi / z)`` for a chain, which is a polygon.

    Source
    ------
    Plane geometry.

    Examples
    --------
    >>> round(wheel_diameter(32, 0.005, "belt"), 6), round(wheel_diameter(6, 0.01, "chain"), 6)
    (0.05093, 0.02)
    """
    return pitch / sin(pi / teeth) if element == "chain" else teeth * pitch / pi


def pitch_diameter(stated: Stated) -> float:
    """Stated diameter of a pulley, or from teeth and pitch [m]."""
    stated.alone(("diameter",), ("teeth", "pitch"))
    if stated.optional("diameter") is not None:
        stated.choice("element", ("belt", "chain"))
        return stated.positive("diameter")
    why = "a belt needs diameter, or teeth and pitch"
    teeth, pitch = stated.positive("teeth", why), stated.positive("pitch", why)
    element = stated.choice("element", ("belt", "chain"))
    if element == "chain" and teeth < 3:
        raise stated.fault("teeth", f"teeth is {teeth:g}; a sprocket needs 3 or more.")
    return wheel_diameter(teeth, pitch, element)
