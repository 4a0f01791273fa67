"""Rules told half in words and half in symbols: which part is which."""

from __future__ import annotations

from dutyline.report.formula import GREEK, SIGNS, Raw, raw_tokens
from dutyline.report.tree import Inline, Math, Run

_FUNCTIONS = ("max", "min", "mean", "rms", "sin", "cos", "tan", "exp", "log")
_UNITS = {"degC": "°C", "ohm": "Ω"}


def _told(raw: list[Raw], k: int) -> bool:
    """True for a word of a sentence, False for what belongs to a formula."""
    kind, piece = raw[k]
    before = raw[k - 1] if k else ("", "")
    after = raw[k + 1] if k + 1 < len(raw) else ("", "")
    if kind != "word" or before[0] == "raise" or after[0] == "raise":
        return False
    if piece in GREEK or piece in SIGNS or piece in ("sqrt", "dt") or _two_letter(piece):
        return False
    if piece in _FUNCTIONS:
        return after[1] not in ("(", "|") and not (after[0] == "space" and _symbol(raw, k + 2))
    if len(piece) == 1:
        return piece in ("a", "s") and (before[1] == "'" or _word(raw, k - 2) or _word(raw, k + 2))
    return True


def _two_letter(piece: str) -> bool:
    """True for symbols such as ``Kt``."""
    return len(piece) == 2 and piece[0].isupper()


def _symbol(raw: list[Raw], k: int) -> bool:
    return 0 <= k < len(raw) and (raw[k][1] in GREEK or len(raw[k][1]) == 1)


def _word(raw: list[Raw], k: int) -> bool:
    return 0 <= k < len(raw) and raw[k][0] == "word" and len(raw[k][1]) > 2 and raw[k][1] != "sqrt"


def pieces(text: str) -> tuple[Inline, ...]:
    """Words as words, symbols as formulas, in reading order.

    >>> [type(p).__name__ for p in pieces("i n_max <= end of the curve")]
    ['Math', 'Run']
    """
    raw = raw_tokens(text)
    told = [_told(raw, k) for k in range(len(raw))]
    for k, (kind, piece) in enumerate(raw):
        around = [told[j] for j in (k - 1, k + 1) if 0 <= j < len(raw)]
        joins = piece in ("-", "'", ",", ";", ":") and bool(around) and around[0]
        if (kind == "op" and joins) or (kind == "space" and any(around)):
            told[k] = True
        elif kind == "number" and k and raw[k - 1][0] == "space" and _word(raw, k - 2):
            told[k] = k + 2 >= len(raw) or _word(raw, k + 2) or raw[k + 1][1] in ",;:)"
    out: list[Inline] = []
    start = 0
    for k in range(1, len(raw) + 1):
        if k == len(raw) or told[k] != told[start]:
            said = "".join(piece for _, piece in raw[start:k])
            if told[start] or not said.strip():
                shown = "".join(_UNITS.get(p, p) for _, p in raw[start:k])
                out.append(Run(shown.replace(" - ", " − ")))
            else:
                lead = " " if said[0].isspace() and out else ""
                tail = " " if said[-1].isspace() and k < len(raw) else ""
                out += [Run(lead)] * bool(lead) + [Math(said.strip())] + [Run(tail)] * bool(tail)
            start = k
    return tuple(out)
