"""Formulas written in plain text, turned into typst mathematics, HTML or words.

The plain form is what a programmer types: ``F = (m_1 + m_2) (g + a) + F_R``, Greek letters by
name, ``_`` for an index, ``^`` for a power. Whatever is not understood is printed as it stands, so
that no text can do anything but appear.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
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
SIGNS = {"integral": "∫", "int": "∫", "sum": "∑", "inf": "∞"}
_TYPST_SIGNS = {"∫": "integral", "∑": "sum", "∞": "infinity"}
OPERATORS = {
    "<=": ("<=", "≤"), ">=": (">=", "≥"), "!=": ("!=", "≠"), "=": ("=", "="), "<": ("<", "<"),
    ">": (">", ">"), "+": ("+", "+"), "-": ("-", "−"), "−": ("-", "−"), "*": ("dot.op", "·"),
    "·": ("dot.op", "·"), "×": ("times", "×"), "≤": ("<=", "≤"), "≥": (">=", "≥"),
    "/": ("\\/", "/"), "(": ("\\(", "("), ")": ("\\)", ")"), "[": ("\\[", "["),
    "]": ("\\]", "]"), ",": ("\\,", ","), ";": ("\\;", ";"), ":": ("\\:", ":"),
    "→": ("arrow.r", "→"), "±": ("plus.minus", "±"), "%": ("\\%", "%"), "'": ("'", "′"),
}  # fmt: skip
TOKEN = re.compile(
    r"(?P<space>\s+)|(?P<indexed>(?<![^\W_])[^\W\d_]\d+[^\W_]*)"
    r"|(?P<number>\d+(?:[.,]\d+)?(?:e-?\d+)?)|(?P<word>[^\W\d_]+)"
    r"|(?P<raise>[_^])|(?P<op><=|>=|!=|.)",
    re.DOTALL,
)
_DIFFERENTIALS = ("dt", "dx", "dn")
Raw = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Token:
    """One element of a formula, with what it holds."""

    kind: str
    """``space``, ``number``, ``symbol``, ``word``, ``sign``, ``differential``, ``op``, ``other``;
    ``sub``, ``sup``, ``root``, ``group`` (round brackets) and ``size`` (upright bars) hold more."""
    text: str
    inner: tuple[Token, ...] = ()


def raw_tokens(text: str) -> list[Raw]:
    """The text cut into pieces, each with its kind."""
    return [(m.lastgroup or "op", m.group()) for m in TOKEN.finditer(text)]


def read(text: str) -> tuple[Token, ...]:
    """The formula as tokens; brackets, roots, indices and powers hold what belongs to them."""
    return _tokens(raw_tokens(text))


def _tokens(raw: Sequence[Raw]) -> tuple[Token, ...]:
    out: list[Token] = []
    k = 0
    while k < len(raw):
        kind, piece = raw[k]
        closing = {"(": ")", "|": "|"}.get(piece)
        if kind == "raise" and out and k + 1 < len(raw):
            inner, k = _raised(raw, k + 1, index=piece == "_")
            out.append(Token("sub" if piece == "_" else "sup", piece, inner))
        elif piece in ("sqrt", "√") and k + 1 < len(raw):
            inner, k = _under_root(raw, k + 1)
            out.append(Token("root", "√", inner))
        elif closing and (end := _match(raw, k, closing)) is not None:
            name = "group" if piece == "(" else "size"
            out.append(Token(name, piece, _tokens(raw[k + 1 : end])))
            k = end + 1
        else:
            out += _token(kind, piece)
            k += 1
    return tuple(out)


def _match(raw: Sequence[Raw], start: int, closing: str) -> int | None:
    """Where the bracket that opens at ``start`` closes."""
    opening, depth = raw[start][1], 0
    for k in range(start + 1, len(raw)):
        if raw[k][1] == closing and depth == 0:
            return k
        if closing != opening:
            depth += (raw[k][1] == opening) - (raw[k][1] == closing)
    return None


def _under_root(raw: Sequence[Raw], k: int) -> tuple[tuple[Token, ...], int]:
    if raw[k][0] == "space" and k + 1 < len(raw):
        k += 1
    if raw[k][1] == "(" and (end := _match(raw, k, ")")) is not None:
        return _tokens(raw[k + 1 : end]), end + 1
    return tuple(_token(*raw[k])), k + 1


def _raised(raw: Sequence[Raw], k: int, *, index: bool) -> tuple[tuple[Token, ...], int]:
    """What follows ``_`` or ``^``: a bracket, or letters and digits without a space."""
    closing = {"(": ")", "{": "}"}.get(raw[k][1])
    if closing and (end := _match(raw, k, closing)) is not None:
        return _tokens(raw[k + 1 : end]), end + 1
    end = k + 1 if raw[k][1] in "-−" else k
    while end < len(raw) and raw[end][0] in ("number", "word", "indexed"):
        end += 1
    end = max(end, k + 1)
    joined = "".join(piece for _, piece in raw[k:end])
    if index and len(joined) > 1 and not joined.isdigit() and joined not in GREEK:
        return (Token("word", joined),), end
    return tuple(t for kind, piece in raw[k:end] for t in _token(kind, piece)), end


def _token(kind: str, piece: str) -> list[Token]:
    if kind == "indexed":
        index = piece[1:]
        name = "number" if index.isdigit() else "word"
        return [*_token("word", piece[0]), Token("sub", "_", (Token(name, index),))]
    if kind == "word":
        if piece in GREEK:
            return [Token("symbol", GREEK[piece])]
        if piece in SIGNS:
            return [Token("sign", SIGNS[piece])]
        if piece in _DIFFERENTIALS:
            return [Token("differential", piece)]
        return [Token("symbol" if len(piece) == 1 else "word", piece)]
    if kind in ("space", "number"):
        return [Token(kind, piece)]
    if piece in _TYPST_SIGNS:
        return [Token("sign", piece)]
    return [Token("op" if piece in OPERATORS else "other", piece)]


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _typst_symbol(text: str) -> str:
    return _NAMES.get(text) or (text if text.isascii() else _quoted(text))


def _space(before: Token, after: Token) -> str:
    """What a typed space becomes: nothing beside an operator or word, which bring their own."""
    kinds = (before.kind, after.kind)
    return "" if "op" in kinds or "word" in kinds else "thin"


def _typst_piece(token: Token, built: bool) -> str:
    inner = _typst(token.inner, built and token.kind in ("group", "root", "size"))
    match token.kind:
        case "sub" | "sup":
            return f"{token.text}({inner})"
        case "root":
            return f"sqrt({inner})"
        case "group":
            return f"( {inner} )" if built else f"\\( {inner} \\)"
        case "size":
            return f'class("opening", bar.v) {inner} class("closing", bar.v)'
        case "symbol":
            return _typst_symbol(token.text)
        case "differential":
            return f"dif {token.text[1]}"
        case "sign":
            return _TYPST_SIGNS[token.text]
        case "op":
            return OPERATORS[token.text][0]
    return token.text if token.kind == "number" else _quoted(token.text)


def _divides(tokens: Sequence[Token], k: int) -> bool:
    """True for a slash with something to divide on both sides."""
    before = next((t for t in reversed(tokens[:k]) if t.kind != "space"), None)
    after = next((t for t in tokens[k + 1 :] if t.kind != "space"), None)
    ends = (None, "op", "other")
    kinds = [None if t is None else t.kind for t in (before, after)]
    return tokens[k].text == "/" and not any(kind in ends for kind in kinds)


def _typst(tokens: Sequence[Token], built: bool) -> str:
    out = ""
    for k, token in enumerate(tokens):
        if token.kind == "space":
            if 0 < k < len(tokens) - 1:
                out += f" {_space(tokens[k - 1], tokens[k + 1])} "
        elif token.kind in ("sub", "sup"):
            out = out.rstrip() + _typst_piece(token, built)
        elif built and _divides(tokens, k):
            out += " /"
        else:
            out += f" {_typst_piece(token, built)}"
    return " ".join(out.split())


def to_typst(text: str, display: bool = False) -> str:
    """The formula as typst mathematics; ``display`` builds up fractions.

    >>> to_typst("F k / eta_B", display=True)
    'F thin k / eta_(B)'
    """
    return _typst(read(text), display)


def _html(tokens: Sequence[Token]) -> str:
    out: list[str] = []
    for k, token in enumerate(tokens):
        inner = _html(token.inner)
        match token.kind:
            case "sub" | "sup":
                out.append(f"<{token.kind}>{inner}</{token.kind}>")
            case "root":
                out.append(f"√({inner})")
            case "group":
                out.append(f"({inner})")
            case "size":
                out.append(f"|{inner}|")
            case "symbol":
                out.append(f"<i>{escape(token.text)}</i>")
            case "differential":
                out.append(f"d<i>{token.text[1]}</i>")
            case "space":
                both = 0 < k < len(tokens) - 1
                quiet = both and _space(tokens[k - 1], tokens[k + 1]) == "thin"
                out.append("\u2009" if quiet else " ")
            case "op":
                out.append(escape(OPERATORS[token.text][1]))
            case _:
                out.append(escape(token.text))
    return "".join(out)


def to_html(text: str) -> str:
    """The formula as HTML with indices and powers.

    >>> to_html("F k / eta_B").replace(chr(0x2009), " ")
    '<i>F</i> <i>k</i> / <i>η</i><sub><i>B</i></sub>'
    """
    return _html(read(text))


def to_text(text: str) -> str:
    """The formula for those who hear it: Greek letters as letters, true signs.

    >>> to_text("omega_0 t_d <= phi")
    'ω_0 t_d ≤ φ'
    """
    parts = []
    for _, piece in raw_tokens(text):
        sign = OPERATORS.get(piece)
        parts.append(GREEK.get(piece) or SIGNS.get(piece) or (sign[1] if sign else piece))
    return "".join(parts)
