"""Torque-speed boundaries of a line's motors at one site, made when first asked for."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from dutyline.axis.model import Site
from dutyline.catalogue.boundaries import Boundary, continuous_boundary, peak_boundary
from dutyline.catalogue.parts import ProductLine


class BoundaryShelf:
    """Torque-speed boundaries of a line's motors at one site, made when first asked for."""

    def __init__(self, line: ProductLine, site: Site) -> None:
        self.line, self.site = line, site

    @cached_property
    def peak(self) -> _Shelf:
        """Intermittent, nominal mains."""
        return _Shelf(lambda k: self._peak(k, 1.0))

    @cached_property
    def low(self) -> _Shelf:
        """Intermittent, low mains."""
        return _Shelf(lambda k: self._peak(k, 1.0 + self.site.mains_low))

    @cached_property
    def continuous(self) -> _Shelf:
        """Continuous at the site's ambient and altitude; even numbers without brake, odd with."""
        return _Shelf(self._continuous)

    def _peak(self, motor: int, share: float) -> Boundary | None:
        return peak_boundary(self.line, motor, self.site.mains * share, self.site.phases)

    def _continuous(self, number: int) -> Boundary | None:
        site = self.site
        return continuous_boundary(
            self.line,
            number // 2,
            site.mains,
            site.phases,
            ambient=site.ambient,
            altitude=site.altitude,
            plate_area=site.plate,
            enclosed=site.enclosed,
            brake_fitted=bool(number % 2),
        )


class _Shelf:
    """A sequence whose items are made at first use."""

    def __init__(self, make: Callable[[int], Boundary | None]) -> None:
        self.make = make
        self.kept: dict[int, Boundary | None] = {}

    def __getitem__(self, number: int) -> Boundary | None:
        key = int(number)
        if key not in self.kept:
            self.kept[key] = self.make(key)
        return self.kept[key]
