"""Formulas written in plain text, turned into typst mathematics or HTML.

The plain form is what a programmer types: ``F = (m_1 + m_2) (g + a) + F_R``, Greek letters by
name, ``_`` for an index, ``^`` for a power. Whatever is not understood is printed as it stands, so
that no text can do anything but appear.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import escape

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ",
    "eta": "η", "theta": "θ", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ",
    "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "chi": "χ", "psi": "ψ",
    "omega": "ω", "Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ", "Sigma": "Σ",
    "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω",
}  # fmt: skip
_NAMES = {letter: name for name, letter in GREEK.items()}
_SIGNS = {"integral": "∫", "int": "∫", "sum": "∑", "sqrt": "√", "inf": "∞"}
_TYPST_SIGNS = {"∫": "integral", "∑": "sum", "√": "sqrt", "∞": "infinity"}
_OPERATORS = {
    "<=": ("<=", "≤"), ">=": (">=", "≥"), "!=": ("!=", "≠"), "=": ("=", "="), "<": ("<", "<"),
    ">": (">", ">"), "+": ("+", "+"), "-": ("-", "−"), "−": ("-", "−"), "*": ("dot.op", "·"),
    "·": ("dot.op", "·"), "×": ("times", "×"), "≤": ("<=", "≤"), "≥": (">=", "≥"),
    "/": ("\\/", "/"), "(": ("\\(", "("), ")": ("\\)", ")"), "[": ("\\[", "["),
    "]": ("\\]", "]"), "|": ("bar.v", "|"), ",": ("\\,", ","), ";": ("\\;", ";"),
    ":": ("\\:", ":"), "→": ("arrow.r", "→"), "±": ("plus.minus", "±"), "%": ("\\%", "%"),
    "'": ("'", "′"),
}  # fmt: skip
_TOKEN = re.compile(
    r"(?P<space>\s+)|(?P<number>\d+(?:[.,]\d+)?(?:e-?\d+)?)|(?P<word>[^\W\d_]+)"
    r"|(?P<raise>[_^])|(?P<op><=|>=|!=|.)",
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str
    """``space``, ``number``, ``symbol``, ``word``, ``sign``, ``op``, ``other``, ``_`` or ``^``"""
    text: str
    inner: tuple[_Token, ...] = ()


def _read(text: str) -> list[_Token]:
    raw = [(m.lastgroup or "op", m.group()) for m in _TOKEN.finditer(text)]
    out: list[_Token] = []
    k = 0
    while k < len(raw):
        kind, piece = raw[k]
        if kind == "raise" and out and k + 1 < len(raw):
            inner, k = _raised(raw, k + 1)
            out.append(_Token(piece, piece, inner))
            continue
        out.append(_token(kind, piece))
        k += 1
    return out


def _raised(raw: list[tuple[str, str]], k: int) -> tuple[tuple[_Token, ...], int]:
    """What follows ``_`` or ``^``: a bracket, or letters and digits without a space."""
    if raw[k][1] in "({":
        close = {"(": ")", "{": "}"}[raw[k][1]]
        depth, end = 1, k + 1
        while end < len(raw) and depth:
            depth += (raw[end][1] == raw[k][1]) - (raw[end][1] == close)
            end += 1
        body = raw[k + 1 : end - 1 if depth == 0 else end]
        return tuple(_token(kind, piece) for kind, piece in body), end
    end = k + 1 if raw[k][1] in "-−" else k
    while end < len(raw) and raw[end][0] in ("number", "word"):
        end += 1
    end = max(end, k + 1)
    joined = "".join(piece for _, piece in raw[k:end])
    if len(joined) > 1 and any(c.isalpha() for c in joined) and joined not in GREEK:
        return (_Token("word", joined),), end
    return tuple(_token(kind, piece) for kind, piece in raw[k:end]), end


def _token(kind: str, piece: str) -> _Token:
    if kind == "word":
        if piece in GREEK:
            return _Token("symbol", GREEK[piece])
        if piece in _SIGNS:
            return _Token("sign", _SIGNS[piece])
        if len(piece) == 1:
            return _Token("symbol", piece)
        if piece in ("dt", "dx", "dn"):
            return _Token("differential", piece)
        return _Token("word", piece)
    if kind in ("space", "number"):
        return _Token(kind, piece)
    if piece in _TYPST_SIGNS:
        return _Token("sign", piece)
    return _Token("op" if piece in _OPERATORS else "other", piece)


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _typst_symbol(text: str) -> str:
    return _NAMES.get(text) or (text if text.isascii() else _quoted(text))


def _balanced(tokens: list[_Token]) -> bool:
    depth = 0
    for token in tokens:
        depth += (token.text == "(") - (token.text == ")")
        if depth < 0:
            return False
    return depth == 0


def _space(before: _Token, after: _Token) -> str:
    """What a typed space becomes: nothing beside an operator or word, which bring their own."""
    ends = before.kind != "op" or before.text in ")]"
    starts = after.kind != "op" or after.text in "(["
    plain_space = not (ends and starts) or "word" in (before.kind, after.kind)
    return "" if plain_space else "thin"


def _typst_piece(token: _Token, built: bool) -> str:
    if token.kind in ("_", "^"):
        return f"{token.kind}({_typst(list(token.inner), False)})"
    if token.kind == "symbol":
        return _typst_symbol(token.text)
    if token.kind == "differential":
        return f"dif {token.text[1]}"
    if token.kind == "sign":
        if token.text == "√":
            return "sqrt" if built else _quoted("√")
        return _TYPST_SIGNS[token.text]
    if token.kind == "op":
        return token.text if built and token.text in "()/" else _OPERATORS[token.text][0]
    return token.text if token.kind == "number" else _quoted(token.text)


def _typst(tokens: list[_Token], built: bool) -> str:
    out: list[str] = []
    for k, token in enumerate(tokens):
        before = tokens[k - 1] if k else None
        if token.kind == "space":
            if before is not None and k + 1 < len(tokens):
                out.append(_space(before, tokens[k + 1]))
            continue
        piece = _typst_piece(token, built)
        raised = token.kind in ("_", "^") or token.text == "'"
        opens = built and token.text == "(" and before is not None and before.text == "√"
        out.append(piece if raised or opens else f" {piece}")
    return " ".join("".join(f" {p} " if p == "thin" else p for p in out).split())


def to_typst(text: str, display: bool = False) -> str:
    """The formula as typst mathematics; ``display`` builds up fractions and roots.

    >>> to_typst("F k / eta_B", display=True)
    'F thin k / eta_(B)'
    """
    tokens = _read(text)
    return _typst(tokens, display and _balanced(tokens))


def _html(tokens: list[_Token]) -> str:
    out: list[str] = []
    for k, token in enumerate(tokens):
        if token.kind in ("_", "^"):
            tag = "sub" if token.kind == "_" else "sup"
            out.append(f"<{tag}>{_html(list(token.inner))}</{tag}>")
        elif token.kind == "symbol":
            out.append(f"<i>{escape(token.text)}</i>")
        elif token.kind == "differential":
            out.append(f"d<i>{token.text[1]}</i>")
        elif token.kind == "space":
            quiet = 0 < k < len(tokens) - 1 and tokens[k - 1].kind == tokens[k + 1].kind == "symbol"
            out.append("\u2009" if quiet else " ")
        elif token.kind == "op":
            out.append(escape(_OPERATORS[token.text][1]))
        else:
            out.append(escape(token.text))
    return "".join(out)


def to_html(text: str) -> str:
    """The formula as HTML with indices and powers.

    >>> to_html("F k / eta_B")
    '<i>F</i>\u2009<i>k</i> / <i>η</i><sub><i>B</i></sub>'
    """
    return _html(_read(text))


def to_text(text: str) -> str:
    """The formula for those who hear it: Greek letters as letters, true signs."""
    parts = []
    for match in _TOKEN.finditer(text):
        piece = match.group()
        sign = _OPERATORS.get(piece)
        parts.append(GREEK.get(piece) or _SIGNS.get(piece) or (sign[1] if sign else piece))
    return "".join(parts)


def is_prose(text: str) -> bool:
    """True for a rule that is told in words rather than in symbols.

    >>> is_prose("class of motor = drive = resistor"), is_prose("i n_max <= n1B")
    (True, False)
    """
    tokens = _read(text)
    told = sum(t.kind == "word" and t.text not in ("max", "min", "mean", "rms") for t in tokens)
    return told >= 3
