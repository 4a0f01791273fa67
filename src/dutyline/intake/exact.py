"""Numbers kept exact from the foreign cell to the text of ours: fractions, pi and square roots."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from dutyline.core.unit_list import Size

_PI = Fraction("3.14159265358979323846264338327950288419716939937510582097494459230781640628620899")
_ROOT_DIGITS = 10**60


@dataclass(frozen=True, slots=True)
class Exact:
    """``fraction * pi**pi * sqrt(root)``, of which nothing is rounded."""

    fraction: Fraction
    pi: int = 0
    root: Fraction = Fraction(1)

    def __mul__(self, other: Exact) -> Exact:
        return Exact(
            self.fraction * other.fraction, self.pi + other.pi, self.root * other.root
        )._plain()

    def __truediv__(self, other: Exact) -> Exact:
        return Exact(
            self.fraction / other.fraction, self.pi - other.pi, self.root / other.root
        )._plain()

    def __pow__(self, exponent: int) -> Exact:
        return Exact(self.fraction**exponent, self.pi * exponent, self.root**exponent)._plain()

    def _plain(self) -> Exact:
        """Whole roots belong to the fraction."""
        above, below = math.isqrt(self.root.numerator), math.isqrt(self.root.denominator)
        if above**2 == self.root.numerator and below**2 == self.root.denominator:
            return Exact(self.fraction * Fraction(above, below), self.pi)
        return self

    @property
    def rational(self) -> bool:
        """True where neither pi nor a root is left."""
        return self.pi == 0 and self.root == 1

    def near(self) -> Fraction:
        """The number to sixty digits; itself where it is rational."""
        value = self.fraction
        if self.pi:
            value *= _PI**self.pi
        if self.root != 1:
            square = self.root.numerator * self.root.denominator * _ROOT_DIGITS**2
            value *= Fraction(math.isqrt(square), _ROOT_DIGITS * self.root.denominator)
        return value

    def number(self) -> float:
        """Rounded once; infinite beyond the largest."""
        try:
            return float(self.near())
        except OverflowError:
            return math.inf if self.fraction > 0 else -math.inf

    def text(self) -> str:
        """The shortest digits that read back to :meth:`number`.

        >>> Exact(Fraction(254, 10)).text(), Exact(Fraction(3)).text()
        ('25.4', '3')
        """
        return repr(self.number()).removesuffix(".0")


ONE = Exact(Fraction(1))
PI = Exact(Fraction(1), 1)


def exact(number: Fraction | int | str) -> Exact:
    """A number without pi or root."""
    return Exact(Fraction(number))


def root(number: Fraction | int) -> Exact:
    """The square root of a number above zero.

    >>> (root(2) * root(2)).text()
    '2'
    """
    return Exact(Fraction(1), 0, Fraction(number))._plain()


def of_size(size: Size) -> Exact:
    """A unit of the table."""
    return Exact(size.fraction, size.power)
