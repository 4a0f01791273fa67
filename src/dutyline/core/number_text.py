"""Numbers as engineers type them: decimal comma, groups of three, fractions, powers of ten.

Numbers are kept as exact fractions until the unit has been applied, so that ``300 mm`` and
``0.3 m`` end in the same bits.
"""

from __future__ import annotations

import re
from fractions import Fraction

from dutyline.core.faults import ValueFault, listed, quoted

LONGEST = 200
"""Characters of a value; more is no value."""

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
           "⅓": "1/3", "⅔": "2/3"}  # fmt: skip
_SPELLED = str.maketrans(
    {
        "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2044": "/", "\u2215": "/",
        "\u03bc": "u", "\u00b5": "u", "\u2126": "Ω", "º": "°", "˚": "°", "\u2103": "°C",
        "\u2109": "°F", "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"',
        "×": " x ", "•": "·", "∙": "·", "⋅": "·", "…": "..", "≈": "~",
        "\t": " ", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2007": " ",
    }
)  # fmt: skip


def plain(text: str) -> str:
    """The text with one spelling for every dash, quote, space, superscript and small fraction.

    Raises
    ------
    ValueFault
        Too long, empty, or with characters that cannot be printed.
    """
    if len(text) > LONGEST:
        raise ValueFault(
            f"read {len(text)} characters; a value with its unit is needed.",
            "Put remarks into the note of the value.",
        )
    text = re.sub("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+", lambda m: "^" + m[0].translate(_SUPERSCRIPTS), text)
    for sign, spelled in _VULGAR.items():
        text = re.sub(rf"(?<=[0-9])\s*{sign}", f" {spelled}", text).replace(sign, spelled)
    text = re.sub(r"(?<=[0-9A-Za-z\"'%°])\s*\u2013\s*(?=[0-9])", "..", text)
    text = text.translate(_SPELLED).replace("\u2013", "-").replace("''", '"')
    text = re.sub(" +", " ", text).strip()
    if not text.isprintable():
        raise ValueFault(
            f"read {quoted(text)}, which holds characters that cannot be printed.",
            "Type the value again.",
        )
    return text


_BODY = re.compile(
    r"(?P<sign>[+-]?) ?(?:"
    r"(?P<grouped>[0-9]{1,3}(?: [0-9]{3})+(?![0-9])(?:[.,][0-9]+)?"
    r"|[0-9]{1,3}(?:'[0-9]{3})+(?![0-9'\"])(?:[.,][0-9]+)?)"
    r"|(?P<body>[0-9](?:[0-9.,]*[0-9])?|[.,][0-9]+))"
)
_OVER = re.compile(r" ?/ ?([0-9]{1,9})(?![0-9]|[.,][0-9])")
_MIXED = re.compile(r"[ -]([0-9]{1,6}) ?/ ?([0-9]{1,6})(?![0-9]|[.,][0-9])")
_POWER = re.compile(r"[eE]([+-]?[0-9]+)| ?[x*·] ?10 ?\^ ?([+-]?[0-9]+)")


def scan(text: str, start: int = 0) -> tuple[Fraction, int]:
    """The number that begins at ``start`` of a :func:`plain` text, and where it ends.

    Raises
    ------
    ValueFault
        There is none, or it has two readings.
    """
    found = _BODY.match(text, start)
    if not found:
        raise ValueFault(f"read {quoted(text)}; a number is needed first.")
    sign = -1 if found["sign"] == "-" else 1
    end = found.end()
    if found["grouped"]:
        number = _decimal(re.sub("[ ']", "", found["grouped"]).replace(",", "."), text)
    else:
        number = _decimal(_separated(found["body"], text), text)
        if found["body"].isdigit():
            number, end = _fraction(number, text, end)
    power = _POWER.match(text, end)
    if power:
        exponent = power[1] or power[2]
        if len(exponent) > 4 or abs(int(exponent)) > 60:
            raise ValueFault(
                f"read {quoted(text)}; its power of ten is beyond any machine.",
                "Check the exponent.",
            )
        number *= Fraction(10) ** int(exponent)
        end = power.end()
    return sign * number, end


def _decimal(digits: str, text: str) -> Fraction:
    """The fraction of plain digits with at most one point."""
    whole, _, part = digits.partition(".")
    if len(digits) > 40:
        raise ValueFault(f"read {quoted(text)}; a number has at most 40 digits.")
    return Fraction(int(whole + part or "0"), 10 ** len(part))


def _separated(body: str, text: str) -> str:
    """Digits with at most one point, from digits with points and commas."""
    points, commas = body.count("."), body.count(",")
    if commas == 1 and points == 0:
        left, right = body.split(",")
        if len(right) == 3 and re.fullmatch("[1-9][0-9]{0,2}", left):
            rest = text[text.find(body) + len(body) :]
            raise ValueFault(
                f"read {quoted(text)}; the comma may be a decimal mark ({left}.{right}) "
                f"or group digits ({left} {right}).",
                f'Write "{left}.{right}{rest}" or "{left}{right}{rest}".',
                (
                    f"{text.replace(body, f'{left}.{right}', 1)}",
                    text.replace(body, left + right, 1),
                ),
            )
        return f"{left}.{right}"
    if commas == 0 and points <= 1:
        return body
    mark = body[max(body.rfind("."), body.rfind(","))]
    other = "," if mark == "." else "."
    whole, _, part = body.rpartition(mark)
    if body.count(mark) == 1 and re.fullmatch(rf"[0-9]{{1,3}}(?:\{other}[0-9]{{3}})+", whole):
        return f"{whole.replace(other, '')}.{part}"
    if re.fullmatch(rf"[0-9]{{1,3}}(?:\{mark}[0-9]{{3}})+", body):
        return body.replace(mark, "")
    raise ValueFault(
        f"read {quoted(text)}, whose points and commas do not form one number.",
        "Write the number with one decimal point and no marks between groups.",
    )


def _fraction(number: Fraction, text: str, end: int) -> tuple[Fraction, int]:
    """``1/2`` and ``1 1/2`` from the whole number that was read."""
    over = _OVER.match(text, end)
    mixed = None if over else _MIXED.match(text, end)
    if over is None and mixed is None:
        return number, end
    below = int(over[1]) if over else int(mixed[2]) if mixed else 1
    if below == 0:
        raise ValueFault(f"read {quoted(text)}, a fraction over zero.", "Check the fraction.")
    if over:
        return number / below, over.end()
    assert mixed is not None
    above = int(mixed[1])
    if above >= below:
        raise ValueFault(
            f"read {quoted(text)}; the fraction after a whole number has to be below one.",
            "Check the fraction.",
        )
    return number + Fraction(above, below), mixed.end()


def parse_number(text: str) -> float:
    """A bare number as typed.

    Parameters
    ----------
    text : str
        ``0.5``, ``0,5``, ``1 250``, ``1/2``, ``1 1/2``, ``2.4e-3``, ``2.4 x 10^-3``, ``10 %``.

    Raises
    ------
    ValueFault
        No number, something after it, or two readings (``1,250``).

    Examples
    --------
    >>> parse_number("0,5"), parse_number("1 1/2"), parse_number("10 %")
    (0.5, 1.5, 0.1)
    """
    clean = plain(text)
    number, end = scan(clean)
    rest = clean[end:].strip()
    if rest == "%":
        number /= 100
    elif rest:
        raise ValueFault(
            f"read {quoted(text)}; a bare number is needed.", f"Leave out {quoted(rest)}."
        )
    result = float(number)
    if not abs(result) <= 1e15:
        raise ValueFault(f"read {quoted(text)}, {listed(result)}; that is beyond any machine.")
    return result
