"""The audit of a product line as a page: findings, families on their laws, curves, rules."""

from __future__ import annotations

import math
import os
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from dutyline.audit.plots import CurvePlot, FamilyPlot, curve_plots, family_plots
from dutyline.audit.records import Asked, Audit, Finding
from dutyline.audit.words import span_text, times
from dutyline.catalogue.content import content_hash
from dutyline.catalogue.edition import titled
from dutyline.catalogue.parts import ProductLine
from dutyline.core.numbers import group, stated
from dutyline.core.version import VERSION
from dutyline.report.figures.data import CurvesData, FamilyData, TorqueCurve
from dutyline.report.figures.family import curves, family
from dutyline.report.tree import (
    Answer,
    Block,
    Column,
    Document,
    Figure,
    Group,
    Head,
    Mark,
    Paragraph,
    Row,
    Run,
    Section,
    Side,
    Table,
    cell,
    strong,
    words,
)

MOST_FINDINGS = 500
MOST_CURVES = 24
_QUANTITIES = {
    # name: (title with unit, SI size of the unit)
    "inertia": ("Rotor inertia, kg·cm²", 1e-4),
    "mass": ("Mass, kg", 1.0),
    "torque_peak": ("Peak torque, N·m", 1.0),
    "power_rate": ("Power rate T²/J, kW/s", 1e3),
}
_RPM = 30.0 / math.pi
_FINDINGS = (
    Column(words("Figure"), 46),
    Column(words("As written"), 16, "right"),
    Column(words("Asked for"), 16, "right"),
    Column(words("Ratio"), 16, "right"),
    Column(words("What speaks against it")),
)
_RULES = (
    Column(words("Rule"), 62),
    Column(words("Compares"), 52),
    Column(words("Band"), 26),
    Column(words("Compared"), 14, "right"),
    Column(words("Outside"), 12, "right"),
)


def audit_document(result: Audit) -> Document:
    """The document tree of an audit."""
    line = result.line
    assert isinstance(line, ProductLine)
    found = len(result.findings)
    count = "no finding" if not found else f"{group(found)} finding{'' if found == 1 else 's'}"
    compared = group(sum(a.count for a in result.asked))
    silent = sum(bool(a.silent) for a in result.asked)
    asked = f"; {silent} rules could not be asked" if silent else ""
    what = "Audit of a product line" + (f", edition {line.edition}" if line.edition else "")
    sections = [_findings(result), _families(result), _curves(result), _rules(result)]
    return Document(
        Head(line.name, "", "", "", "", line.date, None, f"dutyline {VERSION}",
             content_hash(line), what=what, digits="content"),
        Answer(
            ("caution",) if found else ("meets",),
            f"{titled(line)}: {count}. Nothing changed.",
            f"{group(result.rows)} rows audited in {compared} comparisons{asked}.",
        ),
        (),
        tuple(s for s in sections if s is not None),
    )  # fmt: skip


def write_audit(result: Audit, path: str | os.PathLike[str]) -> Path:
    """Write the page of an audit as one HTML file; the same audit gives the same bytes."""
    from dutyline.report.build import store
    from dutyline.report.html import to_html

    target = Path(path)
    store(target, to_html(audit_document(result)).encode("utf-8"))
    return target


def _findings(result: Audit) -> Section | None:
    if not result.findings and not result.confirmed and not result.idle:
        return None
    rows = [row for finding in result.findings[:MOST_FINDINGS] for row in _finding(finding)]
    blocks: list[Block] = [Table(_FINDINGS, tuple(rows))] if rows else []
    left = len(result.findings) - MOST_FINDINGS
    if left > 0:
        blocks.append(Paragraph(words(f"{group(left)} more are not listed here."), "table"))
    if result.confirmed:
        told = "; ".join(f"{f.column} of {f.part} is {f.raw}" for f in result.confirmed)
        blocks.append(Paragraph(words(f"Confirmed in audit.toml: {told}."), "table"))
    if result.idle:
        idle = " ".join(f"{column} of {part} as {value}: {why}"
                        for (_, part, column, value), why in result.idle)  # fmt: skip
        blocks.append(Paragraph(words(f"Confirmed in audit.toml in vain: {idle}"), "table"))
    return Section("findings", "Findings", tuple(blocks))


def _finding(finding: Finding) -> list[Row]:
    where = finding.file + ("" if finding.row is None else f", row {finding.row}")
    if finding.source is not None:
        where += f", from {finding.source.text()}"
    said = [finding.text]
    if finding.question:
        said.append(finding.question)
    if finding.also:
        said.append(f"Also broken: {', '.join(finding.also)}.")
    if finding.doubt:
        said.append(f"Or the fault is in {' or '.join(finding.doubt)}.")
    ratio = "" if finding.ratio is None else times(finding.ratio)
    return [
        Row(
            (
                cell(Mark("caution"), strong(f"{finding.part}: "), Run(finding.column, "code")),
                cell(strong(finding.raw)),
                cell(finding.proposal),
                cell(ratio),
                cell(" ".join(said)),
            ),
            words(Run(where, "soft")),
            second_from=0,
        )
    ]


def _families(result: Audit) -> Section | None:
    plots = family_plots(result)
    if not plots:
        return None
    figures = [_family_figure(plot, k) for k, plot in enumerate(plots)]
    text = (
        "Each point is a motor; the line is the power law of the family, drawn through the sizes "
        "that belong to it, and the tinted band is what passes. A diamond with a name is a figure "
        "in doubt, tied to where the law would have it."
    )
    blocks = (Paragraph(words(text)), *_paired(figures))
    return Section("families", "Families", blocks)


def _family_figure(plot: FamilyPlot, number: int) -> Figure:
    title, unit = _QUANTITIES[plot.name]
    ends = np.array([plot.size.min() / 1.5, plot.size.max() * 1.5])
    low, high = plot.band
    data = FamilyData(
        names=plot.names,
        size=plot.size,
        value=plot.value / unit,
        doubted=plot.doubted,
        law=plot.law(ends) / unit,
        low=plot.law(ends, low) / unit,
        high=plot.law(ends, high) / unit,
        size_title="Rated power over speed, N·m",
        value_title=title,
    )
    marked = [n for n, doubted in zip(plot.names, plot.doubted, strict=True) if doubted]
    told = f"in doubt: {', '.join(marked)}" if marked else "none in doubt"
    series = f", series {plot.series}" if plot.series else ""
    caption = f"{title.partition(',')[0]}{series}: exponent {stated(plot.slope, 3)}; {told}."
    return Figure(family(data, f"family{number}"), caption, words(caption), width=84.0)


def _curves(result: Audit) -> Section | None:
    plots = curve_plots(result)
    if not plots:
        return None
    figures = [_curve_figure(plot, k) for k, plot in enumerate(plots[:MOST_CURVES])]
    left = len(plots) - len(figures)
    blocks: tuple[Block, ...] = _paired(figures)
    if left:
        blocks = (*blocks, Paragraph(words(f"{group(left)} more motors have curves."), "table"))
    return Section("curves", "Curves", blocks)


def _curve_figure(plot: CurvePlot, number: int) -> Figure:
    shown = tuple(
        TorqueCurve(
            f"{c.kind}, {c.mains:g} V", np.array(c.speed) * _RPM, np.array(c.torque)
        )
        for c in plot.curves
    )  # fmt: skip
    doubted = tuple((s * _RPM, t, f"{stated(t, 4)} N·m") for _, s, t in plot.doubted)
    told = f"{len(doubted)} in doubt" if doubted else "none in doubt"
    caption = f"{plot.motor}: {len(shown)} curves, {told}."
    svg = curves(CurvesData(shown, doubted), f"curves{number}")
    return Figure(svg, caption, words(caption), width=84.0)


def _paired(figures: Sequence[Figure]) -> tuple[Block, ...]:
    """Figures two by two."""
    return tuple(
        Side((figures[k],), tuple(figures[k + 1 : k + 2])) for k in range(0, len(figures), 2)
    )


def _rules(result: Audit) -> Section:
    rows: list[Row | Group] = []
    for name in dict.fromkeys(a.rule.group for a in result.asked):
        rows.append(Group(name))
        rows += [_rule(a) for a in result.asked if a.rule.group == name]
    return Section("rules", "Rules", (Table(_RULES, tuple(rows)),))


def _rule(asked: Asked) -> Row:
    rule = asked.rule
    bands = "; ".join(
        ("" if name == "ratio" else f"{name} ") + span_text(low, high)
        for name, (low, high) in rule.bands.items()
    )
    second = f"Not asked: {asked.silent}." if asked.silent else f"Source: {rule.source}."
    return Row(
        (
            cell(rule.title, " ", Run(rule.id, "code")),
            cell(rule.formula),
            cell(bands),
            cell(group(asked.count)),
            cell(strong(group(asked.outside)) if asked.outside else "0"),
        ),
        words(Run(second, "soft")),
        second_from=0,
    )
