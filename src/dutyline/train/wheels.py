"""Effective diameters of pulleys and sprockets."""

from __future__ import annotations

from math import pi

from dutyline.train.stated import Stated


def wheel_diameter(teeth: float, pitch: float) -> float:
    """Effective diameter of a pulley or sprocket: one turn moves ``teeth`` pitches.

    Parameters
    ----------
    teeth : float
    pitch : float [m]

    Returns
    -------
    float [m]

    Notes
    -----
    ``z p / pi``, for belt and chain alike: as many links leave a wheel as it has teeth. The pins of
    a chain lie on the larger circle ``p / sin(pi / z)``; the straight links between them reach in
    over the turn just as far as to make its mean radius ``z p / (2 pi)``, by which speed and, as no
    power is lost, force are passed on. Within one link both swing by ``1 - cos(pi / z)``, which is
    left out.

    Source
    ------
    Count of the links; plane geometry.

    Examples
    --------
    >>> round(wheel_diameter(32, 0.005), 6), round(wheel_diameter(15, 0.01905), 6)
    (0.05093, 0.090957)
    """
    return teeth * pitch / pi


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
    return wheel_diameter(teeth, pitch)
