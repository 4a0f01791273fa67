"""Findings of the data audit as text."""

from __future__ import annotations

from collections.abc import Sequence

from dutyline.app.audit import (
    Asked,
    Audit,
    Finding,
    counted,
    shortened,
    span_text,
    spoken_heading,
    times,
)
from dutyline.cli.marks import MEETS, OVER, shape
from dutyline.cli.screen import Screen, cells
from dutyline.core.numbers import SPACE, group

SHOWN = 20
"""Findings told where not every one is asked for."""
ONE_LINE_FROM = 100
_NOUNS = {
    "motors": "motor", "gearheads": "gearhead", "drives": "drive", "brakes": "brake",
    "resistors": "resistor",
}  # fmt: skip


def show_audit(
    screen: Screen,
    result: Audit,
    *,
    quiet: bool = False,
    verbose: bool = False,
    every: bool = False,
) -> list[str]:
    """Every line that ``dutyline audit`` prints."""
    lines = screen.wrap(_head(screen, result), "", "  ")
    if quiet:
        return lines
    shown = result.findings if every else result.findings[:SHOWN]
    for finding in shown:
        lines += ["", *_finding(screen, finding, verbose)]
    left = len(result.findings) - len(shown)
    if left:
        lines += ["", f"{group(left)} more: {screen.yours('--all')}"]
    if result.confirmed:
        named = ", ".join(f"{f.column} of {f.part}" for f in result.confirmed[:SHOWN])
        count = _count(len(result.confirmed), "finding")
        lines += ["", *screen.wrap(f"{count} confirmed in audit.toml: {named}.", "", "  ")]
    if result.idle:
        lines.append("")
    for (file, part, column, value), why in result.idle[:SHOWN]:
        told = f"Confirmed in audit.toml in vain: {column} of {part} in {file} as {value}. {why}"
        lines += screen.wrap(told, "", "  ")
    lines += ["", *screen.wrap(_foot(result), "", "  ")]
    lines += _silent(screen, result, verbose)
    return [screen.text(line) for line in lines]


def _head(screen: Screen, result: Audit) -> str:
    line = result.line
    read = ", ".join(_count(n, _NOUNS[kind]) for kind, n in counted(result).items() if n)
    found = len(result.findings)
    mark = shape(screen, OVER if found else MEETS)
    count = _count(found, "finding") if found else "no finding"
    name = screen.yours(getattr(line, "folder", "") or getattr(line, "name", ""))
    edition = getattr(line, "edition", "")
    name += f", edition {edition}" if edition else ""
    return f"{mark} {name}: {read} read, {count}. Nothing changed."


def _count(number: int, noun: str) -> str:
    return f"{group(number)} {noun}" + ("" if number == 1 else "s")


def _finding(screen: Screen, finding: Finding, verbose: bool) -> list[str]:
    """Place and cell, what speaks against it, the slip and what it would be."""
    row = "" if finding.row is None else f", row {finding.row}"
    head = f"{finding.file}{row}, {finding.part}: {_figure(screen, finding)}."
    said = [_sentence(finding), *_slip(finding)]
    first = f"{shape(screen, OVER)} "
    lines = screen.wrap(head, first)
    joined = " ".join(said)
    wide = screen.width >= ONE_LINE_FROM
    if wide and len(lines) == 1 and cells(lines[0]) + 1 + cells(joined) <= screen.width:
        lines = [f"{lines[0]} {screen.text(joined)}"]
    else:
        for sentence in said:
            lines += screen.wrap(sentence, "  ", "  ")
    if finding.source is not None:
        lines += screen.wrap(f"It came from {screen.yours(finding.source.text())}.", "  ", "    ")
    if finding.also:
        broken = ", ".join(finding.also) if verbose else _count(len(finding.also), "more rule")
        verb = "" if verbose else (" is" if len(finding.also) == 1 else " are")
        told = f"Also broken: {broken}." if verbose else f"{broken}{verb} broken by it."
        lines += screen.wrap(told, "  ", "    ")
    if finding.doubt:
        lines += screen.wrap(f"Or the fault is in {' or '.join(finding.doubt)}.", "  ", "    ")
    return lines


def _figure(screen: Screen, finding: Finding) -> str:
    """``rotor inertia (inertia_kgcm2) is 0.21``; a long converted number shortened."""
    words, unit = spoken_heading(finding.file, finding.column)
    after = f"{SPACE}{unit}" if unit else ""
    column = "" if words == finding.column else f" ({finding.column})"
    return f"{words}{column} is {screen.bold(shortened(finding.raw))}{after}"


def _sentence(finding: Finding) -> str:
    if finding.ratio is None:
        return finding.text
    return f"{finding.text.removesuffix('.')}; the figure is {times(finding.ratio)} that."


def _slip(finding: Finding) -> list[str]:
    if finding.question and finding.proposal:
        return [f"{finding.question} Then it would be {finding.proposal}."]
    return [finding.question] if finding.question else []


def _foot(result: Audit) -> str:
    silent = [a for a in result.asked if a.silent]
    asked = "every rule could be asked"
    if silent:
        verb = "rule" if len(silent) == 1 else "rules"
        asked = f"{len(silent)} {verb} could not be asked"
    compared = sum(a.count for a in result.asked)
    rows = group(result.rows)
    return f"{rows} rows audited in {group(compared)} comparisons; {asked}."


def _silent(screen: Screen, result: Audit, verbose: bool) -> list[str]:
    """Rules that say nothing, by their reason; with ``-v`` each rule by itself."""
    why: dict[str, list[Asked]] = {}
    for asked in result.asked:
        if asked.silent:
            why.setdefault(asked.silent, []).append(asked)
    lines: list[str] = []
    for reason, rules in why.items():
        named: Sequence[str] = [a.rule.id for a in rules]
        lines += screen.wrap(f"{', '.join(named)}: {reason}.", "  ", "    ")
    if verbose:
        for asked in result.asked:
            rule = asked.rule
            lines += ["", *screen.wrap(f"{rule.id}: {rule.title}.", "", "  ")]
            count = f"{group(asked.count)} compared, {group(asked.outside)} outside."
            lines += screen.wrap(f"{rule.formula}; {_bands(asked)}. {count}", "  ", "    ")
            lines += screen.wrap(f"Source: {rule.source}.", "  ", "    ")
    return lines


def _bands(asked: Asked) -> str:
    bands = asked.rule.bands.items()
    told = [f"{'' if name == 'ratio' else name + ' '}{span_text(low, high)}" for name, (low, high)
            in bands]  # fmt: skip
    return ", ".join(told)
